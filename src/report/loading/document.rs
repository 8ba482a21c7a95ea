//! The loading lists as JSON: stable names, `null` where a figure is not available.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::cautions::CAUTIONS;
use super::super::document::{VoyageRecord, written};
use super::super::land::land_warnings;
use super::super::notes::notes;
use super::LoadingStudy;
use crate::stores::{LoadingPlan, RoutePlan, TooFewArrive};

/// What to load for each of a voyage's routes.
#[derive(JsonSchema, Serialize)]
pub(in super::super) struct Document<'a> {
    /// Which voyage, boat and winds.
    voyage: VoyageRecord<'a>,
    /// How the passages behind the lists were made.
    ensemble: Option<EnsembleRecord>,
    /// Each route's list, in the voyage's order.
    routes: Vec<RouteRecord<'a>>,
    /// What to know about the boat, the winds and the land, a sentence or two each.
    notes: Vec<String>,
    /// What to know before trusting the figures, a sentence each.
    cautions: &'static [&'static str],
}

/// How the passages behind the lists were made.
#[derive(JsonSchema, Serialize)]
struct EnsembleRecord {
    /// How many passages on each route.
    members: usize,
    /// The seed of their winds.
    seed: u64,
    /// How long a wind persists, hours.
    persistence_hours: f64,
}

/// One route. One of `plan` and `too_few_arrive` is there.
#[derive(JsonSchema, Serialize)]
struct RouteRecord<'a> {
    /// The route's name.
    name: &'a str,
    /// The loading list; none where too few passages arrive.
    plan: Option<&'a LoadingPlan>,
    /// Why there is no list; none where there is one.
    too_few_arrive: Option<TooFewArrive>,
}

/// The study as JSON, indented.
pub fn loading_json(study: &LoadingStudy<'_>) -> String {
    let routes = study.voyage.routes.iter().zip(study.plans);
    let document = Document {
        voyage: VoyageRecord::new(study.voyage, study.climate),
        ensemble: study.ensembles.first().map(|ensemble| EnsembleRecord {
            members: ensemble.members,
            seed: ensemble.seed,
            persistence_hours: ensemble.persistence_hours,
        }),
        routes: routes
            .map(|(route, plan)| RouteRecord {
                name: route.name(),
                plan: plan.planned(),
                too_few_arrive: match plan {
                    RoutePlan::Planned(_) => None,
                    RoutePlan::TooFewArrive(few) => Some(*few),
                },
            })
            .collect(),
        notes: [
            land_warnings(&study.voyage.routes, study.land),
            notes(study.voyage, study.climate, study.land),
        ]
        .concat(),
        cautions: &CAUTIONS,
    };
    written(&document)
}
