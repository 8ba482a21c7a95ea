//! What the routes ask for, side by side.

use super::super::compare::ROUTES_ABREAST;
use super::super::table::layout;
use super::super::wording::percent;
use super::words::{amount, figure};
use crate::stores::{FuelPlan, LoadingPlan, RoutePlan};
use crate::study::Loading;
use crate::units::{OutputUnits, Unit};

/// A row's name, and how a plan's figure is written.
type Row = (&'static str, fn(&LoadingPlan, OutputUnits) -> String);

/// What is not available is an empty cell.
const ROWS: [Row; 12] = [
    ("Days at sea, median", |plan, _| figure(plan.median.days)),
    ("Days at sea, as provided for", |plan, _| {
        format!("{} (P{})", figure(plan.chosen.days), plan.chosen.percent)
    }),
    ("Days of food", |plan, _| figure(plan.days.food_days)),
    ("Days of water", |plan, _| figure(plan.days.water_days)),
    ("Diesel to load", |plan, units| {
        of_fuel(plan, |fuel| {
            amount(fuel.chosen.to_load_litres, Unit::Litre, units)
        })
    }),
    ("  tanks and cans give", |plan, units| {
        of_fuel(plan, |fuel| amount(fuel.usable_litres, Unit::Litre, units))
    }),
    ("  chance of running dry", |plan, _| {
        of_fuel(plan, |fuel| percent(fuel.dry_tank_chance))
    }),
    ("  engine hours", |plan, _| {
        of_fuel(plan, |fuel| figure(fuel.engine_hours))
    }),
    ("Water to load", |plan, units| {
        amount(plan.water.to_load_litres, Unit::Litre, units)
    }),
    ("Food to load", |plan, units| {
        amount(plan.food.to_load_kg, Unit::Kilogram, units)
    }),
    ("Charging by engine, a day", |plan, units| {
        let power = plan.power.as_ref();
        let hours = power.and_then(|power| power.charging_hours_per_day);
        hours.map_or(String::new(), |hours| amount(hours, Unit::Hour, units))
    }),
    ("Sleep for each, a day", |plan, units| {
        amount(plan.watches.mean_sleep_hours, Unit::Hour, units)
    }),
];

fn of_fuel(plan: &LoadingPlan, write: impl Fn(&FuelPlan) -> String) -> String {
    plan.fuel.as_ref().map_or(String::new(), write)
}

/// The rows' names, and the figure of every plan.
pub(in super::super) fn loading_figures(
    plans: &[&RoutePlan],
    units: OutputUnits,
) -> Vec<(&'static str, Vec<String>)> {
    let cells = |(name, write): &Row| {
        let cell = |plan: &RoutePlan| match plan.planned() {
            Some(plan) => write(plan, units),
            None => "too few arrive".to_owned(),
        };
        (*name, plans.iter().copied().map(cell).collect())
    };
    ROWS.iter().map(cells).collect()
}

/// The routes' figures, a column a route.
pub(super) fn table(loading: &Loading) -> String {
    let tables = loading.routes.chunks(ROUTES_ABREAST).map(|routes| {
        let mut heading = vec![String::new()];
        heading.extend(routes.iter().map(|route| route.name.clone()));
        let plans: Vec<&RoutePlan> = routes.iter().map(|route| &route.loading).collect();
        let rows = loading_figures(&plans, loading.voyage.units).into_iter();
        let rows: Vec<Vec<String>> = rows
            .map(|(name, cells)| std::iter::once(name.to_owned()).chain(cells).collect())
            .collect();
        layout(&heading, &rows, 1)
    });
    tables.collect::<Vec<_>>().join("\n\n")
}
