//! A shaped course on one screen: what it takes, its corners or the trade-off, and the routes beside it.

use super::figures::cells_of;
use super::notes::{AboutRoutes as _, leaving};
use super::sentences::storm_warnings_from;
use super::shaped::{
    WAITING_PAYS, corners_rows, course_shaped, days_felt, drawn, few_courses, inland_said,
    limits_said, trade_off_rows,
};
use super::summary::{CAUTION, short_heading};
use super::table::{layout, wrap};
use super::wording::percent;
use crate::passage::MOST_STORM_CHANCE;
use crate::study::{Shaping, TradeOff};

/// The columns of the routes' table: its heading, and the figure by its column in CSV.
const COLUMNS: [(&str, &str); 8] = [
    ("nm", "distance_nm"),
    ("Days P50", "days_p50"),
    ("P90", "days_p90"),
    ("Headwind", "headwind_share"),
    ("Light air", "light_air_share"),
    ("Gale", "gale_share"),
    ("Storm", "storm_chance"),
    ("Air low", "air_temperature_lowest_c"),
];

/// A shaped course in 40 lines; [`super::shaped_text`] says all.
pub fn shaped_summary(shaping: &Shaping) -> String {
    let comparison = &shaping.comparison;
    let mut parts = vec![short_heading(
        &comparison.voyage,
        &leaving(&comparison.voyage),
    )];
    let mut said = verdict(shaping);
    said.extend(shaping.trade_off.as_ref().and_then(span));
    parts.push(wrap(&said.join(" "), ""));
    match &shaping.trade_off {
        Some(trade_off) => {
            let rows = trade_off_rows(shaping, trade_off);
            let mut lines = vec![layout(
                &rows.heading,
                &[rows.courses, rows.drawn].concat(),
                1,
            )];
            lines.extend(few_courses(trade_off).map(|note| wrap(note, "")));
            parts.push(lines.join("\n"));
        }
        None => parts.extend(course_shaped(shaping).map(|(_, passage)| {
            let (heading, rows) = corners_rows(passage);
            layout(&heading, &rows, 2)
        })),
    }
    parts.push(routes(shaping));
    let mut notes = storm_warnings_from(comparison, MOST_STORM_CHANCE);
    notes.extend(shaping.shaped.inland_ends.iter().map(inland_said));
    notes.extend(shaping.shaped.waiting_pays.then(|| WAITING_PAYS.to_owned()));
    parts.extend(notes.iter().map(|note| wrap(note, "")));
    parts.extend(comparison.noticed().said_of_land());
    parts.push(wrap(CAUTION, ""));
    parts.join("\n\n") + "\n"
}

/// What the fastest course takes beside the routes drawn, and what the limits cost.
fn verdict(shaping: &Shaping) -> Vec<String> {
    let Some((route, passage)) = course_shaped(shaping) else {
        return vec!["The course found does not arrive.".to_owned()];
    };
    let days_of = |route: &crate::study::RouteResult| {
        let expected = route.expected.as_ref()?;
        Some((route.name.clone(), expected.days))
    };
    let fastest = drawn(shaping).filter_map(days_of);
    let fastest = fastest.min_by(|a, b| a.1.total_cmp(&b.1));
    let beside = fastest.map_or(String::new(), |(name, days)| {
        let by = days - passage.days;
        let word = if by < 0.0 { "more" } else { "less" };
        format!(", {:.1} days {word} than {name}", by.abs())
    });
    let mut said = vec![format!(
        "The fastest course found, {}, takes {:.1} days on the mean wind{beside}; limits: {}.",
        route.name,
        passage.days,
        limits_said(&shaping.shaped).unwrap_or_else(|| "none".to_owned())
    )];
    let felt = shaping.shaped.limits.iter();
    let felt: Vec<String> = felt
        .filter_map(|cost| {
            let days = days_felt(cost)?;
            Some(format!("'{}' would save {days:.1} days", cost.limit))
        })
        .collect();
    if !felt.is_empty() {
        said.push(format!("Left out alone: {}.", felt.join(", ")));
    } else if !shaping.shaped.limits.is_empty() {
        said.push("Left out alone, none of them would save more than an hour or two.".to_owned());
    }
    said
}

/// From the first course of a trade-off to the last.
fn span(trade_off: &TradeOff) -> Option<String> {
    let (first, last) = (trade_off.courses.first()?, trade_off.courses.last()?);
    let hardship = trade_off.hardship;
    let share =
        |course: &crate::study::TradeOffCourse| percent(hardship.share(&course.expected.exposure));
    (trade_off.courses.len() > 1).then(|| {
        format!(
            "Of {} courses the last takes {:.1} days, with {} of {hardship} against {}.",
            trade_off.courses.len(),
            last.expected.days,
            share(last),
            share(first)
        )
    })
}

/// The routes drawn and the course found, a row each, with the spread of days.
fn routes(shaping: &Shaping) -> String {
    let comparison = &shaping.comparison;
    let columns = COLUMNS.map(|(head, column)| (head, cells_of(comparison, column)));
    let columns = columns
        .iter()
        .filter(|(_, cells)| cells.iter().any(|cell| !cell.is_empty()));
    let mut heading = vec!["* better".to_owned()];
    heading.extend(columns.clone().map(|(head, _)| (*head).to_owned()));
    let rows = comparison.routes.iter().enumerate();
    let rows: Vec<Vec<String>> = rows
        .map(|(index, route)| {
            let cells = columns.clone().map(|(_, cells)| cells[index].clone());
            std::iter::once(route.name.clone()).chain(cells).collect()
        })
        .collect();
    layout(&heading, &rows, 1)
}
