//! The loading lists as text: the routes side by side, then each route's list.

use super::super::compare::spread_note;
use super::super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::super::table::{layout, wrap};
use super::amounts::{figure, in_units, shown, with_unit};
use super::{sections, side_by_side};
use crate::stores::{Caution, LoadingPlan, RoutePlan, TooFewArrive};
use crate::study::Loading;
use crate::units::Unit;

/// Read before the figures, since they are about staying alive.
const FIRST: &str = "Minimums, not targets: what a healthy crew would use if the passage went as \
    the spread of many says. Water, medicine and the state of the boat are not arithmetic. The \
    skipper decides.";

/// The loading lists of all routes.
pub fn loading_text(loading: &Loading) -> String {
    let mut parts = vec![voyage_heading(&loading.voyage), wrap(FIRST, "")];
    if loading.routes.len() > 1 {
        parts.push(side_by_side::table(loading));
    }
    for route in &loading.routes {
        match &route.loading {
            RoutePlan::Planned(plan) => {
                parts.extend(head(plan));
                let own_kn = loading.voyage.boat.motor_below_kn;
                parts.extend(sections::all(plan, own_kn));
            }
            RoutePlan::TooFewArrive(few) => parts.push(too_few(&route.name, few)),
        }
    }
    parts.push(wrap(&spread_note(&loading.simulated), ""));
    parts.extend(loading.noticed().under_headings());
    parts.push(cautions());
    parts.join("\n\n") + "\n"
}

fn too_few(route: &str, few: &TooFewArrive) -> String {
    wrap(
        &format!(
            "{route}: no list. The days of {} % of the passages were asked for, and {:.1} % \
             arrive; ask for fewer, or leave in another season.",
            few.confidence_percent, few.arrived_percent
        ),
        "",
    )
}

/// A route's list, and what to know before acting on it.
fn head(plan: &LoadingPlan) -> [String; 2] {
    let title = format!(
        "{}: to load for {} % of passages",
        plan.route, plan.chosen.percent
    );
    let rule = "=".repeat(textwrap::core::display_width(&title).min(80));
    let own: Vec<String> = plan.cautions.iter().map(caution).collect();
    [
        format!("{}\n{rule}\n{}", wrap(&title, ""), list(plan)),
        format!("Before acting on it\n{}", bullets(&own)),
    ]
}

/// A caution in words, with its amount.
pub(in super::super) fn caution(caution: &Caution) -> String {
    match (caution.quantity, caution.unit) {
        (Some(quantity), Some(unit)) => {
            let text = caution.text.trim_end_matches('.');
            format!("{text}: {}.", with_unit(quantity, unit))
        }
        _ => caution.text.clone(),
    }
}

/// The loading list proper: what, how much, where it goes, and what does not fit.
fn list(plan: &LoadingPlan) -> String {
    let litres = |litres: f64| in_units(litres, Unit::Litre, plan.output);
    let kilograms = |kg: f64| in_units(kg, Unit::Kilogram, plan.output);
    let short = |short: Option<f64>| match short {
        Some(short) if short > 0.0 => litres(short),
        _ => String::new(),
    };
    let row = |what: &str, amount: String, room: String, short: String| {
        vec![what.to_owned(), amount, room, short]
    };
    let mut rows = Vec::new();
    if let (Some(fuel), Some(diesel)) = (&plan.fuel, &plan.summary.diesel) {
        let least = if fuel.chosen.is_least {
            "at least "
        } else {
            ""
        };
        rows.push(row(
            "Diesel",
            format!("{least}{}", shown(diesel)),
            format!("tanks and cans give {}", litres(fuel.usable_litres)),
            short(Some(fuel.shortfall_litres)),
        ));
    }
    let water = &plan.water;
    rows.push(row(
        "Water in tanks and bottles",
        litres(water.tank_minimum_litres),
        water.stock_litres.map_or(String::new(), |stock| {
            format!("they hold {}", litres(stock))
        }),
        short(water.shortfall_litres),
    ));
    rows.push(row(
        "Emergency water",
        litres(water.emergency_litres),
        "apart from the tanks".to_owned(),
        String::new(),
    ));
    rows.push(row(
        "Food for people",
        kilograms(plan.food.people_kg),
        format!("takes {}", litres(plan.food.stowed_litres)),
        String::new(),
    ));
    if plan.food.pet_kg > 0.0 {
        let amount = kilograms(plan.food.pet_kg);
        rows.push(row("Food for pets", amount, String::new(), String::new()));
    }
    for spare in &plan.service.lines {
        let amount = with_unit(spare.quantity, spare.unit);
        rows.push(row(
            &format!("Spare: {}", spare.item),
            amount,
            String::new(),
            String::new(),
        ));
    }
    let heading = ["What", "Load", "Room for it", "Does not fit"].map(str::to_owned);
    let days = format!(
        "{} days at sea, food for {}, water for {}",
        figure(plan.days.passage_days),
        figure(plan.days.food_days),
        figure(plan.days.water_days)
    );
    format!("{days}\n\n{}", layout(&heading, &rows, 1))
}
