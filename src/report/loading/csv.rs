//! The loading lists as CSV: a row a line.

use serde::Serialize;

use super::super::csv::{optional, written as csv};
use super::super::wording::number;
use super::words::{basis, item, rule};
use crate::route::spreadsheet_text;
use crate::stores::{Line, LoadedLitres, LoadingPlan, PlaceStores, Priced, Provision, Purchase};
use crate::study::Loading;
use crate::units::{OutputUnits, Unit};

/// How many columns there are.
const COLUMNS: usize = 13;

/// The lines of all routes' lists, the food to buy, what to leave each place with and what to buy where. A
/// route without a list has no rows.
pub fn loading_csv(loading: &Loading) -> String {
    let heading: [String; COLUMNS] = [
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
        let lines = lines.into_iter().chain(food);
        let places = plan.staged.iter().flat_map(|staged| &staged.places);
        let places = places.flat_map(|place| place_rows(&route, place, units));
        let costs = plan.costs.iter().flat_map(|costs| &costs.purchases);
        let costs = costs.map(|bought| purchase_row(&route, bought, units));
        lines.chain(places).chain(costs).collect::<Vec<_>>()
    };
    let plans = loading
        .routes
        .iter()
        .filter_map(|route| route.loading.planned());
    csv(&heading, plans.flat_map(rows))
}

/// What to leave a place with, a row for each kind of goods had there.
fn place_rows(route: &str, place: &PlaceStores, units: OutputUnits) -> Vec<Vec<String>> {
    let litres = |loaded: &Option<LoadedLitres>| loaded.as_ref().map(|loaded| loaded.litres);
    let rows = [
        ("stay", place.stay.as_ref().map(|stay| stay.days), Unit::Day),
        ("diesel", litres(&place.diesel), Unit::Litre),
        ("water", litres(&place.water), Unit::Litre),
        (
            "food",
            place.food.as_ref().map(|food| food.kg),
            Unit::Kilogram,
        ),
        ("fresh-food", place.fresh_food_kg, Unit::Kilogram),
    ];
    let had = rows.into_iter().filter_map(|(item, quantity, unit)| {
        let (quantity, unit) = unit.convert(quantity?, units);
        let mut row = vec![route.to_owned(), "place".to_owned(), item.to_owned()];
        row.push(spreadsheet_text(&place.place));
        row.extend([number(quantity), unit.symbol().to_owned()]);
        row.resize(COLUMNS, String::new());
        Some(row)
    });
    had.collect()
}

/// What to buy at a place, with the price of one of its unit as the rate.
fn purchase_row(route: &str, bought: &Purchase, units: OutputUnits) -> Vec<String> {
    let ((quantity, unit), one) = match bought.what {
        Priced::Diesel | Priced::Water => (
            Unit::Litre.convert(bought.quantity, units),
            Unit::Litre.convert(1.0, units).0,
        ),
        Priced::Food | Priced::Harbour => (Unit::Day.convert(bought.quantity, units), 1.0),
    };
    let mut row = vec![route.to_owned(), "purchase".to_owned(), tag(&bought.what)];
    row.push(spreadsheet_text(&bought.place));
    row.extend([number(quantity), unit.symbol().to_owned(), String::new()]);
    row.push(optional(bought.price.map(|price| price / one)));
    row.resize(COLUMNS, String::new());
    row
}

/// The name that JSON has for a variant of an enum without fields.
fn tag(variant: &impl Serialize) -> String {
    match serde_json::to_value(variant) {
        Ok(serde_json::Value::String(name)) => name,
        _ => String::new(),
    }
}
