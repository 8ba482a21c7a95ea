//! What a crew's own log says about the polar, for a terminal.

use super::cautions::FIT_CAUTIONS;
use super::notes::bullets;
use super::table::{layout, wrap};
use super::wording::{grouped, heads};
use crate::boat::{
    Calibration, DroppedEntries, FactorEstimate, PointFactors, PointOfSailing, SpeedSource,
};
use crate::study::FittedFactor;

/// What a log says about the polar of a voyage's boat.
pub fn fit_text(fitted: &FittedFactor) -> String {
    let calibration = &fitted.calibration;
    let boat = fitted.boat.name.as_deref().unwrap_or("the boat");
    let title = format!(
        "{} compared with the polar of {boat} as the sea leaves it, before any factor",
        calibration.file
    );
    let mut parts = vec![
        wrap(&title, "  "),
        wrap(&entries(calibration), "  "),
        factors(calibration),
    ];
    parts.extend(left_out(&calibration.dropped));
    parts.extend(slower(fitted).map(|sentence| wrap(&sentence, "")));
    parts.push(advice(fitted));
    parts.push(format!("Cautions\n{}", bullets(&FIT_CAUTIONS)));
    parts.join("\n\n") + "\n"
}

/// What was left out and why; none where nothing was.
pub(super) fn left_out(dropped: &[DroppedEntries]) -> Option<String> {
    let reasons = dropped.iter();
    let reasons: Vec<String> = reasons
        .map(|dropped| format!("{} {}", grouped(dropped.entries as f64), dropped.reason))
        .collect();
    (!reasons.is_empty()).then(|| format!("Left out\n{}", bullets(&reasons)))
}

fn entries(calibration: &Calibration) -> String {
    let speed = match calibration.speed_source {
        SpeedSource::Logged => "Boat speed is as logged, through the water",
        SpeedSource::BetweenFixes => {
            "No boat speed is logged: it is computed between fixes, over the ground, any current \
             included"
        }
    };
    format!(
        "{speed}. Entries: {}, used: {}.",
        grouped(calibration.entries_read as f64),
        grouped(calibration.overall.entries as f64)
    )
}

fn factors(calibration: &Calibration) -> String {
    let heading = heads(&["", "Factor", "Std dev", "P10", "P90", "Entries"]);
    let row = |name: &str, entries: usize, estimate: Option<FactorEstimate>| {
        let figures = estimate.map(|found| {
            [found.factor, found.standard_deviation, found.p10, found.p90].map(two_decimals)
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
            "Factor: the median of logged speed over polar speed. Std dev: the robust standard \
             deviation of that ratio from entry to entry. P10, P90: 10 % of the entries are below, \
             10 % above. Empty where the entries are too few.",
            ""
        )
    )
}

/// The points of sailing on which the overall factor promises more than the log.
fn slower(fitted: &FittedFactor) -> Option<String> {
    let points = &fitted.calibration.by_point_of_sailing;
    let slower: Vec<String> = points
        .iter()
        .filter(|point| fitted.slower_on.contains(&point.point_of_sailing))
        .filter_map(|point| {
            let factor = two_decimals(point.estimate?.factor);
            Some(format!("{} ({factor})", point.point_of_sailing))
        })
        .collect();
    (!slower.is_empty()).then(|| {
        format!(
            "The overall factor is too high for {}: without a factor for it a route with much of \
             that takes longer than computed.",
            slower.join(" and ")
        )
    })
}

/// The lines to write in the voyage file.
fn advice(fitted: &FittedFactor) -> String {
    let there = fitted.boat.factor;
    let uncertainty = fitted.factor_uncertainty_to_write;
    let uncertainty_line = format!("factor_uncertainty = {uncertainty}");
    if fitted.agrees {
        let leave = format!("The voyage file's factor of {there} agrees with the log: leave it");
        let rest = if fitted.boat.factor_uncertainty == uncertainty {
            ".".to_owned()
        } else {
            format!(", and write `{uncertainty_line}` beside it.")
        };
        return wrap(&(leave + &rest), "");
    }
    let mut lines = vec![
        format!("factor = {}", two_decimals(fitted.factor_to_write)),
        uncertainty_line,
    ];
    let factors = fitted.factors_to_write;
    if factors != PointFactors::NONE {
        lines.push("[boat.factors]".to_owned());
        let by_point = [
            ("beating", factors.beating),
            ("reaching", factors.reaching),
            ("running", factors.running),
        ];
        lines.extend(by_point.map(|(key, factor)| format!("{key} = {}", two_decimals(factor))));
    }
    to_write(
        &format!("in place of the factor of {there} it has now"),
        &lines,
    )
}

/// Lines for the table of the boat, which its subtables follow.
pub(super) fn to_write(instead: &str, lines: &[String]) -> String {
    let lines: Vec<String> = lines.iter().map(|line| format!("  {line}")).collect();
    format!(
        "{}\n\n{}",
        wrap(
            &format!("Write under [boat] in the voyage file, {instead}:"),
            ""
        ),
        lines.join("\n")
    )
}

pub(super) fn two_decimals(value: f64) -> String {
    format!("{value:.2}")
}
