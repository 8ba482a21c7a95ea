//! The stages of routes with stops, and how their deadlines are kept, for a terminal.

use jiff::civil::Date;

use super::notes::bullets;
use super::table::layout;
use super::wording::{date, heads, percent};
use crate::study::{Comparison, RouteResult};

/// The stages of all routes with stops, and the deadlines; nothing without either.
pub(super) fn stages_section(comparison: &Comparison) -> Vec<String> {
    let mut parts = Vec::new();
    let routes = comparison.routes.iter();
    let rows: Vec<Vec<String>> = routes.flat_map(rows).collect();
    if !rows.is_empty() {
        let heading = heads(&[
            "Stage",
            "Leaves",
            "Arrives",
            "At sea, days",
            "P90",
            "In harbour",
        ]);
        parts.push(format!(
            "Stages, the median unless said; harbour days follow the stage\n{}",
            layout(&heading, &rows, 1)
        ));
    }
    let late = comparison.routes.iter().flat_map(lateness);
    let late: Vec<String> = late.collect();
    if !late.is_empty() {
        parts.push(format!("Deadlines\n{}", bullets(&late)));
    }
    parts
}

fn rows(route: &RouteResult) -> Vec<Vec<String>> {
    let day = |day: Option<Date>| day.map(date).unwrap_or_default();
    let days = |days: Option<f64>| days.map_or(String::new(), |days| format!("{days:.1}"));
    let stages = route.ensemble.stages.iter();
    stages
        .map(|stage| {
            vec![
                format!(
                    "{} {}: {} to {}",
                    route.name, stage.number, stage.from, stage.to
                ),
                day(stage.departure.p50),
                day(stage.arrival.p50),
                days(stage.days.p50),
                days(stage.days.p90),
                days(stage.in_harbour_days.map(|days| days.p50)),
            ]
        })
        .collect()
}

fn lateness(route: &RouteResult) -> Vec<String> {
    let late = route.ensemble.late.iter();
    late.map(|late| {
        let bad_case = match late.days_p90 {
            None => "in the bad case (P90) she does not arrive".to_owned(),
            Some(days) if days > 0.0 => format!("in the bad case (P90) {days:.1} days late"),
            Some(_) => "not late in the bad case (P90)".to_owned(),
        };
        format!(
            "{}: {} by {}: {} chance to be late, {bad_case}",
            route.name,
            late.at,
            date(late.by),
            percent(late.chance)
        )
    })
    .collect()
}
