//! What the routes ask for, side by side.

use super::super::compare::ROUTES_ABREAST;
use super::super::table::layout;
use super::super::wording::percent;
use super::words::{Need, amount, figure};
use crate::stores::{FuelPlan, Keeping, LoadingPlan, Provision, RoutePlan, WaterPlan};
use crate::study::Loading;
use crate::units::{OutputUnits, Unit};

/// A row: a figure of every plan.
struct Row {
    name: &'static str,
    /// Whether the page that is printed first has it.
    in_summary: bool,
    write: fn(&LoadingPlan, OutputUnits) -> String,
}

impl Row {
    const fn new(name: &'static str, write: fn(&LoadingPlan, OutputUnits) -> String) -> Self {
        Self {
            name,
            in_summary: true,
            write,
        }
    }

    const fn in_full_only(mut self) -> Self {
        self.in_summary = false;
        self
    }
}

/// What is not available is an empty cell.
const ROWS: [Row; 20] = [
    Row::new("Days at sea, median", |plan, _| figure(plan.median.days)),
    Row::new("Days at sea, as provided for", |plan, _| {
        format!("{} (P{})", figure(plan.chosen.days), plan.chosen.percent)
    }),
    Row::new("Days of food", |plan, _| figure(plan.days.food_days)),
    Row::new("Days of water", |plan, _| figure(plan.days.water_days)),
    Row::new("Diesel to load", |plan, units| {
        of_fuel(plan, |fuel| diesel(fuel).written(units))
    }),
    Row::new("  tanks and cans give", |plan, units| {
        of_fuel(plan, |fuel| amount(fuel.usable_litres, Unit::Litre, units))
    }),
    Row::new("  chance of running dry", |plan, _| {
        of_fuel(plan, |fuel| percent(fuel.dry_tank_chance))
    })
    .in_full_only(),
    Row::new("  engine hours", |plan, _| {
        of_fuel(plan, |fuel| figure(fuel.engine_hours))
    })
    .in_full_only(),
    Row::new("Water in tanks and bottles, least", |plan, units| {
        water_in_tanks(&plan.water).written(units)
    }),
    Row::new("  they hold", |plan, units| {
        let stock = plan.water.stock_litres;
        stock.map_or("not known".to_owned(), |stock| {
            amount(stock, Unit::Litre, units)
        })
    }),
    Row::new("Emergency water, apart from them", |plan, units| {
        amount(plan.water.emergency_litres, Unit::Litre, units)
    }),
    Row::new("Food to load", |plan, units| {
        amount(plan.food.to_load_kg, Unit::Kilogram, units)
    }),
    Row::new("  fresh", |plan, units| to_buy(plan, Keeping::Fresh, units)),
    Row::new("  chilled", |plan, units| {
        to_buy(plan, Keeping::Chilled, units)
    }),
    Row::new("  dry", |plan, units| to_buy(plan, Keeping::Dry, units)),
    Row::new("  without cooking", |plan, units| {
        to_buy(plan, Keeping::NoCook, units)
    }),
    Row::new("  for pets", |plan, units| {
        none_if_zero(plan.food.pet_kg, Unit::Kilogram, units)
    }),
    Row::new("  room in lockers", |plan, units| {
        amount(plan.food.stowed_litres, Unit::Litre, units)
    }),
    Row::new("Charging by engine, a day", |plan, units| {
        let power = plan.power.as_ref();
        let hours = power.and_then(|power| power.charging_hours_per_day);
        hours.map_or(String::new(), |hours| amount(hours, Unit::Hour, units))
    })
    .in_full_only(),
    Row::new("Sleep for each, a day", |plan, units| {
        amount(plan.watches.mean_sleep_hours, Unit::Hour, units)
    })
    .in_full_only(),
];

/// The diesel to load against what tanks and cans give.
pub(super) fn diesel(fuel: &FuelPlan) -> Need {
    Need {
        quantity: fuel.chosen.to_load_litres,
        unit: Unit::Litre,
        is_least: fuel.chosen.is_least,
        short: fuel.shortfall_litres,
    }
}

/// The water to leave with against what tanks and bottles hold.
pub(super) fn water_in_tanks(water: &WaterPlan) -> Need {
    Need {
        quantity: water.tank_minimum_litres,
        unit: Unit::Litre,
        is_least: false,
        short: water.shortfall_litres.unwrap_or(0.0),
    }
}

/// The people's food that is kept in one way.
fn to_buy(plan: &LoadingPlan, keeping: Keeping, units: OutputUnits) -> String {
    let kept = |food: &&Provision| food.keeping == keeping;
    let food = plan.food.provisions.iter().filter(kept);
    none_if_zero(food.map(|food| food.mass_kg).sum(), Unit::Kilogram, units)
}

fn none_if_zero(quantity: f64, unit: Unit, units: OutputUnits) -> String {
    if quantity > 0.0 {
        amount(quantity, unit, units)
    } else {
        String::new()
    }
}

fn of_fuel(plan: &LoadingPlan, write: impl Fn(&FuelPlan) -> String) -> String {
    plan.fuel.as_ref().map_or(String::new(), write)
}

/// The rows' names, and the figure of every plan.
pub(in super::super) fn loading_figures(
    plans: &[&RoutePlan],
    units: OutputUnits,
) -> Vec<(&'static str, Vec<String>)> {
    ROWS.iter()
        .map(|row| (row.name, cells(row, plans, units)))
        .filter(|(_, cells)| !cells.iter().all(String::is_empty))
        .collect()
}

fn cells(row: &Row, plans: &[&RoutePlan], units: OutputUnits) -> Vec<String> {
    let cell = |plan: &RoutePlan| match plan.planned() {
        Some(plan) => (row.write)(plan, units),
        None => "too few arrive".to_owned(),
    };
    plans.iter().copied().map(cell).collect()
}

/// The routes' figures, a column a route: all of them, or those of the summary.
pub(super) fn table(loading: &Loading, in_full: bool) -> String {
    let tables = loading.routes.chunks(ROUTES_ABREAST).map(|routes| {
        let mut heading = vec![String::new()];
        heading.extend(routes.iter().map(|route| route.name.clone()));
        let plans: Vec<&RoutePlan> = routes.iter().map(|route| &route.loading).collect();
        let rows = ROWS.iter().filter(|row| in_full || row.in_summary);
        let rows: Vec<Vec<String>> = rows
            .map(|row| (row.name, cells(row, &plans, loading.voyage.units)))
            .filter(|(_, cells)| !cells.iter().all(String::is_empty))
            .map(|(name, cells)| std::iter::once(name.to_owned()).chain(cells).collect())
            .collect();
        layout(&heading, &rows, 1)
    });
    tables.collect::<Vec<_>>().join("\n\n")
}
