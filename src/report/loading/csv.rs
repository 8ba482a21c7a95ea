//! The loading lists as CSV: a row a line.

use serde::Serialize;

use super::super::csv::{optional, written as csv};
use super::super::wording::number;
use super::words::{basis, item, rule};
use crate::route::spreadsheet_text;
use crate::stores::{Line, LoadingPlan, Provision};
use crate::study::Loading;
use crate::units::Unit;

/// The lines of all routes' lists, and the food to buy. A route without a list has no rows.
pub fn loading_csv(loading: &Loading) -> String {
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
    ]
    .map(str::to_owned);
    let units = loading.voyage.units;
    let in_units = |quantity: f64, unit: Unit| {
        let (quantity, unit) = unit.convert(quantity, units);
        [number(quantity), unit.symbol().to_owned()]
    };
    let rows = |plan: &LoadingPlan| {
        let route = spreadsheet_text(&plan.route);
        let days = plan.days.food_days;
        let line = |(subject, line): (_, &Line)| {
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
    let plans = loading
        .routes
        .iter()
        .filter_map(|route| route.loading.planned());
    csv(&heading, plans.flat_map(rows))
}

/// The name that JSON has for a variant of an enum without fields.
fn tag(variant: &impl Serialize) -> String {
    match serde_json::to_value(variant) {
        Ok(serde_json::Value::String(name)) => name,
        _ => String::new(),
    }
}
