//! The stages of routes with stops, and how their deadlines are kept.

use jiff::civil::Date;

use super::loading::{Rows, amount};
use super::table::layout;
use super::wording::{date, grouped, heads, percent, percent_met};
use crate::passage::{ExposureKind, Late, StageSpread};
use crate::study::{Comparison, RouteResult};
use crate::units::{OutputUnits, Unit};

/// The stages of all routes with stops, and the deadlines; nothing without either.
pub(super) fn stages_section(comparison: &Comparison) -> Vec<String> {
    let mut parts = Vec::new();
    let units = comparison.voyage.units;
    let staged = |route: &&RouteResult| !route.ensemble.stages.is_empty();
    for route in comparison.routes.iter().filter(staged) {
        let table = |of: &str, (heading, rows): Rows, text_columns| {
            format!(
                "{}: {of}\n{}",
                route.name,
                layout(&heading, &rows, text_columns)
            )
        };
        let stages = &route.ensemble.stages;
        parts.extend([
            table("the stages by the calendar", when_rows(stages), 3),
            table("the stages at sea", sea_rows(stages, units), 1),
        ]);
    }
    let (heading, rows) = deadline_rows(comparison);
    if !rows.is_empty() {
        parts.push(format!("Deadlines\n{}", layout(&heading, &rows, 1)));
    }
    parts
}

/// When each stage begins and ends, and the stay after it; the first three columns are text.
pub(super) fn when_rows(stages: &[StageSpread]) -> Rows {
    let heading = heads(&[
        "",
        "From",
        "To",
        "Leaves",
        "Arrives",
        "Arrives, P90",
        "In harbour, days",
    ]);
    let row = |stage: &StageSpread| {
        vec![
            stage.number.to_string(),
            stage.from.clone(),
            stage.to.clone(),
            day(stage.departure.p50),
            day(stage.arrival.p50),
            day(stage.arrival.p90),
            tenths(stage.in_harbour_days.map(|days| days.p50)),
        ]
    };
    (heading, stages.iter().map(row).collect())
}

/// What each stage asks: days, what is met, the chances, diesel.
pub(super) fn sea_rows(stages: &[StageSpread], units: OutputUnits) -> Rows {
    let heading = heads(&[
        "",
        "nm",
        "Days, P10",
        "median",
        "P90",
        ExposureKind::Headwind.names().column,
        ExposureKind::Gale.names().column,
        "A gale of 6 h",
        "A storm",
        "Diesel, median",
        "P90",
    ]);
    let row = |stage: &StageSpread| {
        let diesel = |litres: Option<f64>| {
            litres.map_or(String::new(), |litres| amount(litres, Unit::Litre, units))
        };
        vec![
            stage.number.to_string(),
            grouped(stage.distance_nm),
            tenths(stage.days.p10),
            tenths(stage.days.p50),
            tenths(stage.days.p90),
            percent(stage.exposure[ExposureKind::Headwind]),
            percent(stage.exposure[ExposureKind::Gale]),
            percent(stage.chance.gale_6h),
            stage.storm_chance.map_or(String::new(), percent_met),
            diesel(stage.litres.map(|litres| litres.p50)),
            diesel(stage.litres.map(|litres| litres.p90)),
        ]
    };
    (heading, stages.iter().map(row).collect())
}

/// How each deadline of each route is kept.
pub(super) fn deadline_rows(comparison: &Comparison) -> Rows {
    let heading = heads(&[
        "Deadline",
        "By",
        "Chance to be late",
        "Days late, P90",
        "Days in hand, median",
    ]);
    let of = |days: Option<f64>| days.map_or("no arrival".to_owned(), |days| format!("{days:.1}"));
    let row = |route: &RouteResult, late: &Late| {
        vec![
            format!("{}: {}", route.name, late.at),
            date(late.by),
            percent_met(late.chance),
            of(late.days_p90),
            of(late.margin_days_p50),
        ]
    };
    let routes = comparison.routes.iter();
    let rows = routes.flat_map(|route| {
        let late = route.ensemble.late.iter();
        late.map(|late| row(route, late)).collect::<Vec<_>>()
    });
    (heading, rows.collect())
}

/// Of each route with a stop or a deadline: days at sea and in harbour apart, when she arrives, and the
/// chance to be late.
pub(super) fn by_the_calendar(comparison: &Comparison) -> Vec<String> {
    let routes = comparison.routes.iter();
    routes.filter_map(route_by_the_calendar).collect()
}

fn route_by_the_calendar(route: &RouteResult) -> Option<String> {
    let ensemble = &route.ensemble;
    if ensemble.stages.is_empty() && ensemble.late.is_empty() {
        return None;
    }
    let mut said = Vec::new();
    if let (Some(at_sea), Some(in_harbour)) = (ensemble.days.p50, ensemble.in_harbour_days) {
        let in_harbour = in_harbour.p50;
        said.push(format!(
            "{at_sea:.1} days at sea and {in_harbour:.1} in harbour in the median"
        ));
    }
    let arrival = &ensemble.arrival;
    said.push(match (arrival.p50, arrival.p90) {
        (Some(p50), Some(p90)) => format!("arrives {} (median), {} (P90)", date(p50), date(p90)),
        (Some(p50), None) => format!("arrives {} (median), not at P90", date(p50)),
        _ => "does not arrive in the median".to_owned(),
    });
    said.extend(ensemble.late.iter().map(|late| {
        let chance = percent_met(late.chance);
        format!(
            "{chance} chance to be late at {} by {}",
            late.at,
            date(late.by)
        )
    }));
    Some(format!("{}: {}.", route.name, said.join("; ")))
}

fn day(day: Option<Date>) -> String {
    day.map(date).unwrap_or_default()
}

fn tenths(days: Option<f64>) -> String {
    days.map_or(String::new(), |days| format!("{days:.1}"))
}
