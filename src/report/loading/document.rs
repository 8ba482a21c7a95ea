//! The loading lists as JSON: stable names, `null` where a figure is not available.

use serde::Serialize;

use super::super::cautions::CAUTIONS;
use super::super::document::{VoyageRecord, written};
use super::LoadingStudy;
use crate::stores::{LoadingPlan, RoutePlan, TooFewArrive};

#[derive(Serialize)]
struct Document<'a> {
    voyage: VoyageRecord<'a>,
    ensemble: Option<EnsembleRecord>,
    routes: Vec<RouteRecord<'a>>,
    notes: &'a [String],
    cautions: [&'static str; CAUTIONS.len()],
}

#[derive(Serialize)]
struct EnsembleRecord {
    members: usize,
    seed: u64,
    persistence_hours: f64,
}

/// One of `plan` and `too_few_arrive` is there.
#[derive(Serialize)]
struct RouteRecord<'a> {
    name: &'a str,
    plan: Option<&'a LoadingPlan>,
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
        notes: study.climate.notes(),
        cautions: CAUTIONS,
    };
    written(&document)
}
