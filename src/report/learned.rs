//! A polar learned from a crew's own logs, for a terminal.

use super::calibration::{left_out, to_write, two_decimals};
use super::cautions::LEARN_CAUTIONS;
use super::notes::bullets;
use super::table::{layout, wrap};
use super::wording::{grouped, heads, percent};
use crate::boat::LearnedPart;
use crate::study::LearnedBoat;

/// What stands behind a learned polar, and the lines to write in the voyage file; `written_to` is the
/// polar file, none where none was asked for.
pub fn learned_text(learned: &LearnedBoat, written_to: Option<&str>) -> String {
    let polar = &learned.learned;
    let boat = learned.boat.name.as_deref().unwrap_or("the boat");
    let title = format!(
        "A polar learned from {}, beside that of {boat}",
        learned.files.join(", ")
    );
    let mut parts = vec![
        wrap(&title, "  "),
        entries(learned),
        parts_table(&polar.parts),
    ];
    parts.extend(left_out(&polar.dropped));
    let file = written_to.unwrap_or("polar.csv");
    let lines = [
        format!("polar = \"{file}\""),
        "polar_from = \"sea\"".to_owned(),
        format!(
            "factor_uncertainty = {}",
            two_decimals(polar.factor_uncertainty)
        ),
    ];
    parts.push(to_write(
        "in place of polar, factor, [boat.factors] and [boat.generic]",
        &lines,
    ));
    if written_to.is_none() {
        parts.push(wrap(
            "No polar file was written; `--out polar.csv` writes one.",
            "",
        ));
    }
    parts.push(format!("Cautions\n{}", bullets(&LEARN_CAUTIONS)));
    parts.join("\n\n") + "\n"
}

/// What was used, how well the winds were taken to be known, and how far the boat still differs.
fn entries(learned: &LearnedBoat) -> String {
    let polar = &learned.learned;
    let count = |entries: usize| grouped(entries as f64);
    let lines = [
        format!(
            "Entries: {}; used: {} logged speeds, {} stretches between fixes (over the ground, \
             any current included). Consecutive entries differ alike (correlation {}): they say as \
             much as {} independent ones.",
            count(polar.entries_read),
            count(polar.logged_speeds),
            count(polar.stretches),
            two_decimals(polar.residual_correlation),
            count(polar.independent_entries.round() as usize)
        ),
        format!(
            "Logged winds are taken to be off by {} kn and {} degrees (standard deviation). What \
             that does not explain is a standard deviation of {} of her speed from entry to entry.",
            polar.wind_errors.speed_kn,
            polar.wind_errors.direction_deg,
            percent(polar.residual_spread)
        ),
        format!(
            "Over all: {} times the voyage file's polar, its factors and the sea included; \
             standard error {}.",
            two_decimals(polar.overall_factor),
            two_decimals(polar.standard_error)
        ),
    ];
    lines.map(|line| wrap(&line, "  ")).join("\n")
}

fn parts_table(parts: &[LearnedPart]) -> String {
    let heading = heads(&["Wind, kn", "Off the bow", "Entries", "Factor", "Std error"]);
    let rows: Vec<Vec<String>> = parts
        .iter()
        .map(|part| {
            let wind = match part.to_wind_kn {
                Some(to_kn) => format!("{} to {to_kn}", part.from_wind_kn),
                None => format!("{} and more", part.from_wind_kn),
            };
            vec![
                wind,
                format!("{}° to {}°", part.from_angle_deg, part.to_angle_deg),
                grouped(part.entries as f64),
                two_decimals(part.factor),
                two_decimals(part.standard_error),
            ]
        })
        .collect();
    format!(
        "{}\n\n{}",
        layout(&heading, &rows, 2),
        wrap(
            "Factor: on the voyage file's polar, its factors and the sea included. Std error: of \
             the factor, as a share of it; without entries how far it is held to be off at all. \
             Entries are sorted by the wind logged; between fixes by the angle off the course made \
             good.",
            ""
        )
    )
}
