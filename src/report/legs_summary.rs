//! The legs on one screen: how far, how long and where it is hardest, then a line a leg; or the pieces
//! asked for.

use super::figures::{Facts, Figure};
use super::laid_off::{pieces_key, pieces_table};
use super::legs::{Rows, from_to, wind_from, with_stops, without_magnetic};
use super::notes::{land_warnings, leaving};
use super::sentences::{stalls, storm_warnings_from};
use super::summary::{CAUTION, short_heading};
use super::table::{layout, wrap};
use super::wording::{grouped, heads, per_cent, percent};
use crate::passage::{ExpectedLeg, ExpectedPassage, ExpectedStop, ExposureKind, MOST_STORM_CHANCE};
use crate::study::{Comparison, Legs, RouteResult};

/// The legs in 40 lines for the demonstration's two routes; [`super::legs_text`] says all.
pub fn legs_summary(legs: &Legs) -> String {
    let comparison = &legs.comparison;
    let mut parts = vec![short_heading(
        &comparison.voyage,
        &leaving(&comparison.voyage),
    )];
    for (route, laid_off) in legs.routes() {
        let answer = wrap(&answer(comparison, route), "");
        let table = match (legs.by, laid_off) {
            (Some(by), Some(laid_off)) => pieces_table(&route.name, laid_off, by),
            _ => route.expected.as_ref().map(leg_table),
        };
        parts.push(answer);
        parts.extend(table);
    }
    let storms = storm_warnings_from(comparison, MOST_STORM_CHANCE);
    if !storms.is_empty() {
        parts.push(wrap(&storms.join(" "), ""));
    }
    let key = legs.by.map_or(LEGS_KEY.to_owned(), pieces_key);
    parts.push(wrap(&(key + without_magnetic(comparison)), ""));
    let land = land_warnings(comparison);
    let land = land.iter().map(|line| format!("WARNING: {line}."));
    parts.extend(land.map(|line| wrap(&line, "  ")));
    parts.push(wrap(CAUTION, ""));
    parts.join("\n\n") + "\n"
}

/// How far, how long, and which leg is the hardest.
pub(super) fn answer(comparison: &Comparison, route: &RouteResult) -> String {
    let name = &route.name;
    let distance = grouped(route.distance_nm);
    if let Some(stall) = &route.stalled {
        return format!("{name}: {distance} nm. {}", stalls(name, stall));
    }
    let facts = Facts::from(route);
    let days = |column| {
        Figure::named(column).map_or(String::new(), |days| days.cell(&facts, &comparison.voyage))
    };
    let spread = match route.ensemble.days.p50 {
        None => "no median: half of the passages or more do not arrive".to_owned(),
        Some(_) => {
            let [p10, p50, p90] = ["days_p10", "days_p50", "days_p90"].map(days);
            format!("{p50} days in the median, {p10} at P10, {p90} at P90")
        }
    };
    let hardest = route.expected.as_ref().and_then(hardest);
    format!(
        "{name}: {distance} nm, {spread}. {}",
        hardest.unwrap_or_default()
    )
    .trim_end()
    .to_owned()
}

/// The leg with the largest share of its time in gales, then in beating hard.
fn hardest(passage: &ExpectedPassage) -> Option<String> {
    let met = |leg: &ExpectedLeg| {
        [ExposureKind::Gale, ExposureKind::HardBeat].map(|kind| leg.exposure[kind])
    };
    let hardest = passage.legs.iter().max_by(|a, b| {
        let ([gale_a, beat_a], [gale_b, beat_b]) = (met(a), met(b));
        gale_a.total_cmp(&gale_b).then(beat_a.total_cmp(&beat_b))
    })?;
    let [gale, beat] = met(hardest).map(percent);
    let times = format!("{gale} of its time in gales, {beat} beating in 20 kn or more");
    Some(match passage.legs.len() {
        1 => format!("It is one leg: {times}."),
        _ => format!(
            "The hardest leg is {}, {} to {}: {times}.",
            hardest.number, hardest.from, hardest.to
        ),
    })
}

fn leg_table(passage: &ExpectedPassage) -> String {
    let (heading, rows) = leg_rows(passage);
    layout(&heading, &rows, 2)
}

fn leg_rows(passage: &ExpectedPassage) -> Rows {
    let heading = heads(&[
        "", "To", "Course T", "Course M", "nm", "Days", "Wind", "Gale", "Dark",
    ]);
    let row = |leg: &ExpectedLeg| {
        vec![
            leg.number.to_string(),
            leg.to.clone(),
            from_to(Some(leg.departure_course), Some(leg.arrival_course)),
            from_to(leg.departure_course_magnetic, leg.arrival_course_magnetic),
            grouped(leg.distance_nm),
            format!("{:.1}", leg.days),
            wind_from(&leg.wind),
            per_cent(leg.exposure[ExposureKind::Gale]),
            format!("{:.1}", leg.dark_hours_per_day),
        ]
    };
    let stay = |stop: &ExpectedStop| {
        let mut row = vec![String::new(); heading.len()];
        row[1] = "in harbour there".to_owned();
        row[5] = format!("{:.1}", stop.days);
        row
    };
    let rows = with_stops(passage, row, stay);
    (heading, rows)
}

const LEGS_KEY: &str = "Courses are degrees true (T) and magnetic (M), at the leg's beginning and its \
     end. Days: on the leg, on the mean wind. Wind: where the mean comes from, and the mean speed in \
     knots. Gale: per cent of the time with 34 kn or more. Dark: hours a day from sunset to sunrise. \
     `--by day`, `--by 5deg` or `--by 300nm` lays the lines off in pieces.";
