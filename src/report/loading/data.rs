//! The loading lists as data: JSON with stable names, `null` where a figure is not available, and
//! CSV with a row a line.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::cautions::CAUTIONS;
use super::super::csv::{number, optional, written as csv};
use super::super::document::{VoyageRecord, written};
use super::super::land::land_warnings;
use super::super::notes::notes;
use super::LoadingStudy;
use super::words::{basis, item, rule};
use crate::route::spreadsheet_text;
use crate::stores::{LoadingPlan, Provision, RoutePlan, TooFewArrive};
use crate::units::Unit;

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

/// The lines of all routes' lists, and the food to buy. A route without a list has no rows.
pub fn loading_csv(study: &LoadingStudy<'_>) -> String {
    let heading = [
        "route",
        "subject",
        "item",
        "what",
        "quantity",
        "unit",
        "days",
        "rate",
        "rate_unit",
        "rate_per",
        "reserve_share",
        "rule",
        "basis",
    ];
    let units = study.voyage.output;
    let in_units = |quantity: f64, unit: Unit| {
        let (quantity, unit) = unit.convert(quantity, units);
        [number(quantity), unit.symbol().to_owned()]
    };
    let rows = |plan: &LoadingPlan| {
        let route = spreadsheet_text(&plan.route);
        let days = plan.days.food_days;
        let line = |(subject, line): (_, &crate::stores::Line)| {
            let mut row = vec![route.clone(), tag(&subject), tag(&line.item)];
            row.push(spreadsheet_text(&item(line)));
            row.extend(in_units(line.quantity, line.unit));
            row.push(optional(line.days));
            row.extend(match line.rate {
                Some(rate) => in_units(rate.value, rate.unit),
                None => Default::default(),
            });
            row.push(line.rate.map_or(String::new(), |rate| tag(&rate.per)));
            row.push(optional(line.reserve_share));
            row.extend([spreadsheet_text(&rule(line)), basis(&line.basis)]);
            row
        };
        let bought = |food: &Provision| {
            let mut row = vec![route.clone(), "food".to_owned(), "provision".to_owned()];
            row.push(spreadsheet_text(&food.name));
            row.extend(in_units(food.mass_kg, Unit::Kilogram));
            row.push(number(days));
            row.extend(in_units(food.grams_per_person_day, Unit::Gram));
            row.extend(["person-and-day".to_owned(), String::new()]);
            row.push(format!(
                "{}; keeps {} days",
                tag(&food.keeping),
                food.keeps_days
            ));
            row.push(basis(&food.basis));
            row
        };
        let lines: Vec<Vec<String>> = plan.lines().map(line).collect();
        let food = plan.food.provisions.iter().map(bought);
        lines.into_iter().chain(food).collect::<Vec<_>>()
    };
    let plans = study.plans.iter().filter_map(RoutePlan::planned);
    csv(&heading, plans.flat_map(rows))
}

/// The name that JSON has for a variant of an enum without fields.
fn tag(variant: &impl Serialize) -> String {
    match serde_json::to_value(variant) {
        Ok(serde_json::Value::String(name)) => name,
        _ => String::new(),
    }
}
