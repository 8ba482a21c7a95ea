//! Deadlines and stages of a season in words: the latest departure in time, and when every stage keeps
//! out of the storms.

use super::wording::{date, percent, percent_met};
use crate::passage::SeasonPassage;
use crate::study::{DateSpan, MOST_LATE, Season, SeasonRoute};

/// More spans of departures than this are not listed.
const MOST_SPANS: usize = 3;

/// Whether a route has deadlines or stops, of which there is more to say than its window.
pub(super) fn has_stages_or_deadlines(season: &Season, route: &SeasonRoute) -> bool {
    let stops =
        |passage: &SeasonPassage| passage.name == route.name && !passage.ensemble.stages.is_empty();
    let first = season.departures.first();
    let stops = first.is_some_and(|departure| departure.routes.iter().any(stops));
    route.keeping.deadlines.is_some() || stops
}

/// What is to be said of the routes' deadlines and stages; nothing of routes without.
pub(super) fn keeping_sentences(season: &Season) -> Vec<String> {
    let routes = season.routes.iter();
    routes
        .filter(|route| has_stages_or_deadlines(season, route))
        .flat_map(|route| {
            let in_time = in_time(route);
            let clear = clear(route, season.most_storm_chance);
            [in_time, Some(clear), both(route)]
        })
        .flatten()
        .collect()
}

/// What a mark behind a month means.
pub(super) fn keeping_key(season: &Season) -> String {
    format!(
        "Behind a month: * every departure keeps the deadlines in {} of cases and every stage's \
         chance of a storm within {}; (*) some departures do.",
        percent(1.0 - MOST_LATE),
        percent(season.most_storm_chance)
    )
}

/// The mark behind a month, of the share of its departures that keep all.
pub(super) fn keeping_mark(share: f64) -> &'static str {
    match share {
        1.0.. => " *",
        share if share > 0.0 => " (*)",
        _ => "",
    }
}

fn in_time(route: &SeasonRoute) -> Option<String> {
    let name = &route.name;
    let kept = route.keeping.deadlines.as_ref()?;
    Some(match (kept.latest.zip(kept.late_chance), &kept.missed) {
        (Some((latest, late)), _) => format!(
            "{name}: leave by {} to keep every deadline in nine cases of ten; the chance to be late \
             is then {}.",
            date(latest),
            percent_met(late)
        ),
        (None, Some(missed)) => format!(
            "{name}: no departure keeps every deadline in nine cases of ten. Leaving {} comes nearest, \
             and is late at {} (by {}, stage {}) with a chance of {}.",
            date(missed.departure),
            missed.at,
            date(missed.by),
            missed.stage,
            percent(missed.chance)
        ),
        (None, None) => return None,
    })
}

fn clear(route: &SeasonRoute, most_storm_chance: f64) -> String {
    let (name, limit) = (&route.name, percent(most_storm_chance));
    let storms = &route.keeping.storms;
    if let Some(fails) = &storms.fails {
        let ends = fails.from.as_ref().zip(fails.to.as_ref());
        let ends = ends.map_or(String::new(), |(from, to)| format!(" ({from} to {to})"));
        return format!(
            "{name}: no departure keeps every stage's chance of a tropical storm within {limit}. The \
             least is leaving {}, with {} on stage {}{ends}.",
            date(fails.departure),
            percent(fails.chance),
            fails.stage
        );
    }
    let spans = storms.departures.as_slice();
    let span = |span: &DateSpan| format!("{} to {}", date(span.first), date(span.last));
    match spans {
        [] => format!("{name}: too few passages arrive to tell the stages' chances of a storm."),
        _ if spans.len() > MOST_SPANS => format!(
            "{name}: every stage's chance of a tropical storm keeps within {limit} in {} periods of \
             departure; `--csv` tells which.",
            spans.len()
        ),
        _ => {
            let spans: Vec<String> = spans.iter().map(span).collect();
            format!(
                "{name}: every stage's chance of a tropical storm keeps within {limit} leaving {}.",
                spans.join(", and ")
            )
        }
    }
}

fn both(route: &SeasonRoute) -> Option<String> {
    let kept = route.keeping.deadlines.as_ref()?;
    let can_each = kept.latest.is_some() && route.keeping.storms.fails.is_none();
    match route.keeping.latest {
        Some(latest) if Some(latest) != kept.latest => Some(format!(
            "{}: the latest departure that keeps both is {}.",
            route.name,
            date(latest)
        )),
        None if can_each => Some(format!("{}: no departure keeps both.", route.name)),
        _ => None,
    }
}
