//! Land in a route's way: warnings, notes and records.

use schemars::JsonSchema;
use serde::Serialize;

use super::comparison::bullets;
use super::document::PositionRecord;
use crate::route::{LandCheck, LandCrossing, Route};

/// What a check for land cannot know; said wherever land is checked.
const SMALL_ISLANDS: &str = "Land is checked against coarse outlines (1:10 million, within a mile, \
     more on intricate coasts): small islands, rocks, reefs and shoals are missing, so a clear \
     check is no proof of a clear passage; lay every leg off on the chart.";

/// A stretch of a leg on land.
#[derive(JsonSchema, Serialize)]
pub(super) struct LandCrossingRecord<'a> {
    /// The leg's number on its route, from 1.
    leg: usize,
    /// The waypoint the leg leaves.
    from: &'a str,
    /// The waypoint the leg reaches.
    to: &'a str,
    /// Where the leg comes upon the land, or its start where that is on land.
    enters: PositionRecord,
    /// How far along the leg that is, nautical miles.
    enters_nm: f64,
    /// How long the leg stays on land, nautical miles.
    over_nm: f64,
}

/// The crossings of a route.
pub(super) fn crossing_records<'a>(
    route: &'a Route,
    check: &LandCheck,
) -> Vec<LandCrossingRecord<'a>> {
    let record = |crossing: &LandCrossing| {
        let leg = &route.legs()[crossing.leg - 1];
        LandCrossingRecord {
            leg: leg.number,
            from: &leg.from,
            to: &leg.to,
            enters: crossing.enters.into(),
            enters_nm: crossing.enters_nm,
            over_nm: crossing.over_nm,
        }
    };
    check.crossings.iter().map(record).collect()
}

/// A warning for each stretch of a route on land. The two lists go side by side.
pub fn land_warnings(routes: &[Route], land: &[LandCheck]) -> Vec<String> {
    let pairs = routes.iter().zip(land);
    pairs
        .flat_map(|(route, check)| check.crossings.iter().map(|found| warning(route, found)))
        .collect()
}

fn warning(route: &Route, crossing: &LandCrossing) -> String {
    let leg = &route.legs()[crossing.leg - 1];
    format!(
        "route '{}', leg {} from {} to {}, crosses land: it comes upon it at {}, {:.0} nm along \
         the leg, and stays on it for {} nm",
        route.name(),
        leg.number,
        leg.from,
        leg.to,
        crossing.enters,
        crossing.enters_nm,
        miles(crossing.over_nm)
    )
}

/// What there is to say about the check itself, crossings apart.
pub(super) fn land_notes(routes: &[Route], land: &[LandCheck]) -> Vec<String> {
    let mut notes = Vec::new();
    for (route, check) in routes.iter().zip(land) {
        if check.near_ends_nm > 0.0 {
            notes.push(format!(
                "{} is over land for {} nm within {:.0} nm of its ends. That is not counted as a \
                 crossing: harbours lie where the outlines are least exact.",
                route.name(),
                miles(check.near_ends_nm),
                LandCheck::ENDS_NM
            ));
        }
    }
    notes.push(SMALL_ISLANDS.to_owned());
    notes
}

/// Crossings and notes, for a terminal.
pub(super) fn about_the_land(routes: &[Route], land: &[LandCheck]) -> String {
    let mut lines = land_warnings(routes, land);
    for line in &mut lines {
        *line = format!("WARNING: {line}.");
    }
    lines.extend(land_notes(routes, land));
    format!("About the land\n{}", bullets(&lines))
}

/// Few miles with a decimal, many without.
fn miles(nm: f64) -> String {
    match nm {
        ..0.05 => "less than 0.1".to_owned(),
        ..9.95 => format!("{nm:.1}"),
        _ => format!("{nm:.0}"),
    }
}
