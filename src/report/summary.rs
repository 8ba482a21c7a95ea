//! The comparison on one screen: the verdict, the figures that decide, the spread, what it hangs on.

use super::compare::columns_and_spread;
use super::figures::deciding_groups;
use super::notes::{AboutRoutes, engine_words, leaving};
use super::second::second_opinion;
use super::sentences::{storm_warnings_from, verdict};
use super::stages::by_the_calendar;
use super::table::{Screen, wrap};
use super::waiting::waiting_lines;
use crate::passage::MOST_STORM_CHANCE;
use crate::study::{AboutVoyage, Comparison, Swing};

/// How many of the assumptions are named that move the answer most.
const SWINGS_NAMED: usize = 3;

/// The comparison in 40 lines for two routes; [`super::comparison_text`] says all.
pub fn comparison_summary(comparison: &Comparison, screen: Screen) -> String {
    let mut parts = vec![short_heading(
        &comparison.voyage,
        &leaving(&comparison.voyage),
    )];
    let said = [
        verdict(comparison),
        storm_warnings_from(comparison, MOST_STORM_CHANCE),
    ]
    .concat();
    if !said.is_empty() {
        parts.push(wrap(&said.join(" "), ""));
    }
    let deciding = deciding_groups(comparison);
    parts.extend(columns_and_spread(comparison, &deciding, "*", screen));
    let dated = by_the_calendar(comparison);
    if !dated.is_empty() {
        let lines = dated.iter().map(|line| wrap(line, "  "));
        parts.push(lines.collect::<Vec<_>>().join("\n"));
    }
    parts.extend(waiting_lines(comparison));
    parts.extend(second_opinion(comparison));
    parts.extend(hangs_on(comparison).map(|line| wrap(&line, "")));
    parts.extend(comparison.noticed().said_of_land());
    parts.push(wrap(CAUTION, ""));
    parts.join("\n\n") + "\n"
}

/// The voyage, when it is, and the boat.
pub(super) fn short_heading(voyage: &AboutVoyage, when: &str) -> String {
    let boat = &voyage.boat;
    let lines = [
        format!("{}, {when}", voyage.name),
        format!(
            "Boat: {}; {} x {}; {}",
            boat.name.as_deref().unwrap_or("not named"),
            if boat.generic.is_some() {
                "a generic polar, a first guess,"
            } else {
                "polar"
            },
            boat.factor,
            engine_words(boat, voyage.units)
        ),
    ];
    lines.map(|line| wrap(&line, "  ")).join("\n")
}

/// The assumptions that move the answer most; none where there are no two routes that arrive, or no
/// swings.
fn hangs_on(comparison: &Comparison) -> Option<String> {
    let pair = comparison.verdict.first_two.as_ref()?;
    let base = pair.first_faster_by_days.p50?;
    let becomes = |swing: &Swing| match swing.first_faster_by_days.and_then(|by| by.p50) {
        Some(days) => format!("{days:+.1} ({})", swing.label),
        None => format!("no arrival ({})", swing.label),
    };
    let moved = comparison.swings.iter().take(SWINGS_NAMED).map(becomes);
    let moved: Vec<String> = moved.collect();
    (!moved.is_empty()).then(|| {
        format!(
            "{} leads {} by {base:.1} days; one assumption moved makes that {}.",
            pair.first,
            pair.second,
            moved.join(", ")
        )
    })
}

/// The cautions under a short report.
pub(super) const CAUTION: &str = "A planning aid from averages, not a forecast; ice, squalls, tides, differences \
     between years and more are left out, and southern winds and currents are less certain: \
     `--full` says all. Check official pilot charts, warnings and local rules; the skipper decides.";
