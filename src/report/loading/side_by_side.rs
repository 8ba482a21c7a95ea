//! What the routes ask for, side by side.

use super::super::compare::ROUTES_ABREAST;
use super::super::table::layout;
use super::super::wording::percent;
use super::amounts::{figure, in_units, shown, with_unit};
use crate::stores::{LoadingPlan, RoutePlan};
use crate::study::Loading;
use crate::units::Unit;

/// A row's name, and how a plan's figure is written.
type Row = (&'static str, fn(&LoadingPlan) -> String);

/// What is not available is an empty cell.
const ROWS: [Row; 12] = [
    ("Days at sea, 50 %", |plan| figure(plan.days.median_days)),
    ("Days at sea, as sure as asked", |plan| {
        format!(
            "{} ({} %)",
            figure(plan.days.passage_days),
            plan.chosen.percent
        )
    }),
    ("Days of food", |plan| figure(plan.days.food_days)),
    ("Days of water", |plan| figure(plan.days.water_days)),
    ("Diesel to load", |plan| {
        plan.summary.diesel.as_ref().map_or(String::new(), shown)
    }),
    ("  tanks and cans give", |plan| {
        plan.fuel.as_ref().map_or(String::new(), |fuel| {
            in_units(fuel.usable_litres, Unit::Litre, plan.output)
        })
    }),
    ("  chance of running dry", |plan| {
        plan.fuel
            .as_ref()
            .map_or(String::new(), |fuel| percent(fuel.dry_tank_chance))
    }),
    ("  engine hours", |plan| {
        plan.fuel
            .as_ref()
            .map_or(String::new(), |fuel| figure(fuel.engine_hours))
    }),
    ("Water to load", |plan| shown(&plan.summary.water)),
    ("Food to load", |plan| shown(&plan.summary.food)),
    ("Charging by engine, a day", |plan| {
        plan.power
            .as_ref()
            .and_then(|power| power.charging_hours_per_day)
            .map_or(String::new(), |hours| with_unit(hours, Unit::Hour))
    }),
    ("Sleep for each, a day", |plan| {
        with_unit(plan.watches.mean_sleep_h, Unit::Hour)
    }),
];

/// The rows' names, and the figure of every plan.
pub(in super::super) fn loading_figures(plans: &[&RoutePlan]) -> Vec<(&'static str, Vec<String>)> {
    let cell = |plan: &RoutePlan, write: &fn(&LoadingPlan) -> String| {
        plan.planned().map_or("too few arrive".to_owned(), write)
    };
    ROWS.iter()
        .map(|(name, write)| (*name, plans.iter().map(|plan| cell(plan, write)).collect()))
        .collect()
}

/// The routes' figures, a column a route.
pub(super) fn table(loading: &Loading) -> String {
    let names: Vec<&str> = loading
        .routes
        .iter()
        .map(|route| route.name.as_str())
        .collect();
    let plans: Vec<&RoutePlan> = loading.routes.iter().map(|route| &route.loading).collect();
    let figures = loading_figures(&plans);
    names
        .chunks(ROUTES_ABREAST)
        .enumerate()
        .map(|(block, abreast)| {
            let first = block * ROUTES_ABREAST;
            let mut heading = vec![String::new()];
            heading.extend(abreast.iter().map(|name| (*name).to_owned()));
            let rows: Vec<Vec<String>> = figures
                .iter()
                .map(|(name, cells)| {
                    let mut row = vec![(*name).to_owned()];
                    row.extend_from_slice(&cells[first..first + abreast.len()]);
                    row
                })
                .collect();
            layout(&heading, &rows, 1)
        })
        .collect::<Vec<_>>()
        .join("\n\n")
}
