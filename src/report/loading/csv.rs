//! The loading lists as CSV: a row a line, the routes one after the other.

use super::super::csv::{optional, written};
use super::super::wording::number;
use crate::route::spreadsheet_text;
use crate::study::Loading;

/// The lines of all routes' lists. A route without a list has no rows.
pub fn loading_csv(loading: &Loading) -> String {
    let heading = [
        "route",
        "subject",
        "item",
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
    let plans = loading
        .routes
        .iter()
        .filter_map(|route| route.loading.planned());
    let rows = plans.flat_map(|plan| {
        plan.lines().map(|line| {
            let rate = line.rate;
            vec![
                spreadsheet_text(&plan.route),
                line.subject.name().to_owned(),
                spreadsheet_text(&line.item),
                number(line.quantity),
                line.unit.symbol().to_owned(),
                optional(line.days),
                optional(rate.map(|rate| rate.value)),
                rate.map_or("", |rate| rate.unit.symbol()).to_owned(),
                rate.map_or("", |rate| rate.per).to_owned(),
                optional(line.reserve_share),
                spreadsheet_text(&line.rule),
                line.basis.to_string(),
            ]
        })
    });
    written(&heading, rows)
}
