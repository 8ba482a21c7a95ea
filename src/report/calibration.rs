//! What a crew's own log says about the polar: for a terminal, and as JSON.

use schemars::JsonSchema;
use serde::Serialize;

use super::cautions::FIT_CAUTIONS;
use super::comparison::bullets;
use super::document::written;
use super::table::{layout, wrap};
use super::wording::{grouped, heads};
use crate::boat::{Calibration, FactorEstimate, PointOfSailing, SpeedSource};
use crate::passage::Voyage;

/// A point of sailing this much below the overall factor is worth a warning.
const FLATTERED_BY: f64 = 0.05;

/// What a crew's own log says about the polar, before any factor.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'a> {
    /// The boat's name; none where the voyage file gives none.
    boat: Option<&'a str>,
    /// The factor the voyage file has now.
    factor_in_voyage_file: f64,
    /// The factor to write, to two decimals.
    factor_to_write: f64,
    #[serde(flatten)]
    calibration: &'a Calibration,
    /// What to know before trusting the figures, a sentence each.
    cautions: &'static [&'static str],
}

/// What a log says about a voyage's polar, for a terminal.
pub fn calibration_text(voyage: &Voyage, calibration: &Calibration) -> String {
    let boat = voyage.boat_name.as_deref().unwrap_or("the boat");
    let mut parts = vec![
        wrap(
            &format!(
                "{} against the polar of {boat}, before any factor",
                calibration.file
            ),
            "  ",
        ),
        wrap(&entries(calibration), "  "),
        factors(calibration),
    ];
    if !calibration.dropped.is_empty() {
        let reasons: Vec<String> = calibration
            .dropped
            .iter()
            .map(|dropped| format!("{} {}", grouped(dropped.entries as f64), dropped.reason))
            .collect();
        parts.push(format!("Left out\n{}", bullets(&reasons)));
    }
    parts.extend(flattered(calibration).map(|sentence| wrap(&sentence, "")));
    parts.push(wrap(&advice(voyage, calibration), ""));
    parts.push(format!("Cautions\n{}", bullets(&FIT_CAUTIONS)));
    parts.join("\n\n") + "\n"
}

/// What a log says about a voyage's polar, as JSON.
pub fn calibration_json(voyage: &Voyage, calibration: &Calibration) -> String {
    written(&Document {
        boat: voyage.boat_name.as_deref(),
        factor_in_voyage_file: voyage.boat.factor(),
        factor_to_write: hundredths(calibration.overall.factor),
        calibration,
        cautions: &FIT_CAUTIONS,
    })
}

fn entries(calibration: &Calibration) -> String {
    let speed = match calibration.speed_source {
        SpeedSource::Logged => "Speed is as logged, through the water",
        SpeedSource::BetweenFixes => {
            "No speed is logged: it is taken between fixes, over the ground, any current included"
        }
    };
    format!(
        "{speed}. Entries: {}, used: {}.",
        grouped(calibration.entries_read as f64),
        grouped(calibration.overall.entries as f64)
    )
}

fn factors(calibration: &Calibration) -> String {
    let heading = heads(&["", "Factor", "Spread", "10 %", "90 %", "Entries"]);
    let row = |name: &str, entries: usize, estimate: Option<FactorEstimate>| {
        let figures = estimate.map(|found| {
            [
                found.factor,
                found.standard_deviation,
                found.tenth,
                found.ninetieth,
            ]
            .map(two_decimals)
        });
        let mut row = vec![name.to_owned()];
        row.extend(figures.unwrap_or_default());
        row.push(grouped(entries as f64));
        row
    };
    let overall = calibration.overall;
    let mut rows = vec![row("All entries", overall.entries, Some(overall))];
    rows.extend(calibration.by_point_of_sailing.iter().map(|point| {
        let name = match point.point_of_sailing {
            PointOfSailing::Upwind => "Upwind, under 60° off",
            PointOfSailing::Reaching => "Reaching, 60° to 110°",
            PointOfSailing::Running => "Running, over 110° off",
        };
        row(name, point.entries, point.estimate)
    }));
    format!(
        "{}\n\n{}",
        layout(&heading, &rows, 1),
        wrap(
            "Factor: the median of logged over polar speed. Spread: its robust standard deviation \
             from entry to entry. Empty where the entries are too few to tell.",
            ""
        )
    )
}

/// The points of sailing on which the one factor promises more than the log.
fn flattered(calibration: &Calibration) -> Option<String> {
    let overall = calibration.overall.factor;
    let below: Vec<String> = calibration
        .by_point_of_sailing
        .iter()
        .filter_map(|point| Some((point.point_of_sailing, point.estimate?.factor)))
        .filter(|(_, factor)| overall - factor >= FLATTERED_BY)
        .map(|(point, factor)| format!("{point} ({factor:.2})"))
        .collect();
    (!below.is_empty()).then(|| {
        format!(
            "One factor flatters her {}: a route with much of that takes longer than it is \
             reckoned to.",
            below.join(" and ")
        )
    })
}

fn advice(voyage: &Voyage, calibration: &Calibration) -> String {
    let found = two_decimals(calibration.overall.factor);
    let there = voyage.boat.factor();
    if hundredths(there) == hundredths(calibration.overall.factor) {
        format!("The voyage file's factor of {there} agrees with the log: leave it.")
    } else {
        format!(
            "Write `factor = {found}` under [boat] in the voyage file, in place of the factor of \
             {there} it has now."
        )
    }
}

fn two_decimals(value: f64) -> String {
    format!("{value:.2}")
}

fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
