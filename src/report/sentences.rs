//! The comparison in plain words: what one route costs and gains against another.

use super::loading::caution;
use super::wording::{date, grouped, percent, percent_met, temperature};
use crate::passage::{Stall, Storms};
use crate::stores::{RoutePlan, Subject};
use crate::study::{Comparison, DaysGained, Pair, RouteResult, Swing, Verdict};
use crate::units::TemperatureScale;

/// Air that differs by less than this is not worth a sentence, in degrees Celsius.
const EQUAL_AIR_C: f64 = 1.0;
/// Times that differ by less than this are not worth a comparison, in days.
const EQUAL_EXPOSURE_DAYS: f64 = 0.1;
/// A route that rests on replaced wind data for more than this share of its time is told of.
const MUCH_REPLACED: f64 = 0.5;
/// A smaller chance of a storm is shown in the table and not worth a warning, 0 to 1.
const TOLD_STORM_CHANCE: f64 = 0.005;
/// Days less than this are no gain and no loss: they would be written as 0.0.
const LEVEL_DAYS: f64 = 0.05;

/// The verdict, the quickest route against each other one, warnings, and where routes stall.
pub(super) fn sentences(comparison: &Comparison) -> Vec<String> {
    [verdict(comparison), beside_verdict(comparison)].concat()
}

/// The two quickest routes against each other: which is quicker, by how much, and how often it
/// arrives first; nothing where fewer than two arrive.
pub(super) fn verdict(comparison: &Comparison) -> Vec<String> {
    let verdict = &comparison.verdict;
    let first_two = verdict.first_two.as_ref().and_then(|pair| {
        let [quick, slow] = [&pair.first, &pair.second].map(|name| comparison.route(name));
        Some((quick?, slow?, pair))
    });
    first_two.map_or(Vec::new(), |(quick, slow, pair)| {
        let clear = verdict.quicker.is_some();
        let doubt = (!clear).then(|| doubt(verdict, &comparison.swings, slow));
        days_apart(quick, slow, pair, doubt.as_deref())
    })
}

/// All that is said beside the verdict.
pub(super) fn beside_verdict(comparison: &Comparison) -> Vec<String> {
    let ranked = comparison.verdict.by_median_days.iter();
    let ranked: Vec<&RouteResult> = ranked.filter_map(|name| comparison.route(name)).collect();
    let mut said = Vec::new();
    if let Some((quickest, others)) = ranked.split_first() {
        for (place, other) in others.iter().enumerate() {
            if place > 0 {
                let pair = Pair::of(quickest, other);
                said.extend(days_apart(quickest, other, &pair, None));
            }
            said.extend(conditions_apart(
                quickest,
                other,
                comparison.voyage.temperature,
            ));
        }
    }
    said.extend(storm_warnings(comparison));
    said.extend(fuel_warnings(comparison));
    said.extend(comparison.routes.iter().filter_map(uncertain));
    let stalled = comparison.routes.iter();
    said.extend(stalled.filter_map(|route| Some(stalls(&route.name, route.stalled.as_ref()?))));
    said
}

/// A warning for each route on which a storm is to be reckoned with at all.
pub(super) fn storm_warnings(comparison: &Comparison) -> Vec<String> {
    storm_warnings_from(comparison, TOLD_STORM_CHANCE)
}

/// The same where the chance is at least `least`.
pub(super) fn storm_warnings_from(comparison: &Comparison, least: f64) -> Vec<String> {
    let routes = comparison.routes.iter();
    let told = routes.filter_map(|route| Some((&route.name, storms_told(route)?)));
    told.filter(|(_, storms)| storms.chance >= least)
        .map(|(name, storms)| storm_words(name, storms))
        .collect()
}

/// The chance of a storm on each leg of such a route.
pub(super) fn storms_by_leg(comparison: &Comparison) -> Vec<String> {
    let routes = comparison.routes.iter();
    let told = routes.filter_map(|route| Some((&route.name, storms_told(route)?)));
    told.filter(|(_, storms)| storms.by_leg.len() > 1)
        .map(|(name, storms)| {
            let legs = storms.by_leg.iter();
            let legs: Vec<String> = legs
                .map(|leg| format!("leg {} {}", leg.leg, percent_met(leg.chance)))
                .collect();
            format!("{name}, the same by leg: {}.", legs.join(", "))
        })
        .collect()
}

/// The storms on a route, where they are worth a warning.
fn storms_told(route: &RouteResult) -> Option<&Storms> {
    let storms = route.ensemble.storms.as_ref();
    storms.filter(|storms| storms.chance >= TOLD_STORM_CHANCE)
}

fn storm_words(name: &str, storms: &Storms) -> String {
    let mut words = format!(
        "{name}: the chance of a tropical storm centre within 200 nm is {}",
        percent(storms.chance)
    );
    if let Some(month) = storms.most_in_month {
        words += &format!(", most in {month}");
    }
    if !storms.waters.is_empty() {
        let waters: Vec<&str> = storms.waters.iter().map(|waters| waters.name()).collect();
        words += &format!(" (waters: {})", waters.join(", "));
    }
    words += &match storms.quiet_from_month {
        Some(month) => {
            format!("; from {month} on, the route has less than a tenth of its worst month.")
        }
        None => "; no month of the year has less than a tenth of the route's worst.".to_owned(),
    };
    words
}

/// What the loading lists warn of about the diesel, each with its route.
fn fuel_warnings(comparison: &Comparison) -> Vec<String> {
    let units = comparison.voyage.units;
    let plans = comparison.routes.iter().filter_map(|route| {
        Some((
            &route.name,
            route.loading.as_ref().and_then(RoutePlan::planned)?,
        ))
    });
    let warnings = plans.flat_map(|(name, plan)| {
        let fuel = plan.cautions.iter();
        let fuel = fuel.filter(|caution| caution.subject() == Subject::Fuel);
        fuel.map(move |said| format!("{name}: {}", caution(said, units)))
    });
    warnings.collect()
}

/// A warning where a route's figures rest for the most part on wind data that were replaced.
fn uncertain(route: &RouteResult) -> Option<String> {
    let share = route.expected.as_ref()?.replaced_share;
    let share = share.filter(|share| *share > MUCH_REPLACED)?;
    Some(format!(
        "{} spends {} of its time where ships' reports are few and the wind is smoothed or from a \
         second data set: its figures are less certain than they look.",
        route.name,
        percent(share)
    ))
}

/// Where and when a route's walk ends short of its end.
pub(super) fn stalls(name: &str, stall: &Stall) -> String {
    format!(
        "{name} stalls on leg {} near {} on {}: the boat makes next to no progress there.",
        stall.leg,
        stall.position,
        date(stall.date)
    )
}

/// Which route is quicker, by how much, and how often it arrives first.
fn days_apart(
    quick: &RouteResult,
    slow: &RouteResult,
    pair: &Pair,
    doubt: Option<&str>,
) -> Vec<String> {
    let mut said = vec![in_the_median(quick, slow, pair, doubt)];
    said.extend(
        faster_by(&quick.name, &pair.first_faster_by_days).map(|by| {
            format!(
                "The chance that {} arrives before {} is {}; {by}.",
                quick.name,
                slow.name,
                percent(pair.chance_first_arrives_before)
            )
        }),
    );
    said
}

/// What else the quicker route has more or less of.
fn conditions_apart(
    quick: &RouteResult,
    slow: &RouteResult,
    scale: TemperatureScale,
) -> Vec<String> {
    let mut said = Vec::new();
    let (Some(a), Some(b)) = (&quick.expected, &slow.expected) else {
        return said;
    };
    let (mut more, mut less) = (Vec::new(), Vec::new());
    for (kind, share) in a.exposure.iter() {
        let Some(told) = kind.names().told else {
            continue;
        };
        let (here, there) = (share * a.days, b.exposure[kind] * b.days);
        if (here - there).abs() < EQUAL_EXPOSURE_DAYS {
            continue;
        }
        let figures = format!("{here:.1} days {told} against {there:.1}");
        if here > there {
            more.push(figures)
        } else {
            less.push(figures)
        }
    }
    for (word, figures) in [("more", more), ("less", less)] {
        if !figures.is_empty() {
            let figures = figures.join(", ");
            said.push(format!(
                "{} has {word} than {}: {figures}.",
                quick.name, slow.name
            ));
        }
    }
    if let (Some(air_a), Some(air_b)) = (a.air_temperature_c, b.air_temperature_c)
        && (air_a.mean - air_b.mean).abs() >= EQUAL_AIR_C
    {
        let word = if air_a.mean < air_b.mean {
            "colder"
        } else {
            "warmer"
        };
        said.push(format!(
            "{} is {word}: the air is {} on average against {}, {} in the coldest month met \
             against {}.",
            quick.name,
            temperature(air_a.mean, scale),
            temperature(air_b.mean, scale),
            temperature(air_a.lowest, scale),
            temperature(air_b.lowest, scale)
        ));
    }
    said
}

/// Why the first two routes are too close to call, and what then decides.
fn doubt(verdict: &Verdict, swings: &[Swing], second: &RouteResult) -> String {
    let turning = swings
        .iter()
        .filter(|swing| verdict.turned_by.contains(&swing.assumption));
    let turning: Vec<&str> = turning.map(|swing| swing.label.as_str()).collect();
    let mut why = Vec::new();
    if verdict.differ == Some(false) {
        why.push("The medians differ by less than 5 %.".to_owned());
    }
    if !turning.is_empty() {
        let turning = turning.join("; ");
        why.push(format!(
            "{} is the quicker if one assumption is moved ({turning}).",
            second.name
        ));
    }
    why.push("What each asks of the crew decides.".to_owned());
    why.join(" ")
}

/// Which is quicker in the median, and by how much, or that it is too close to call and why.
fn in_the_median(
    quick: &RouteResult,
    slow: &RouteResult,
    pair: &Pair,
    doubt: Option<&str>,
) -> String {
    let shorter_nm = slow.distance_nm - quick.distance_nm;
    let length = format!(
        "{} nm {}",
        grouped(shorter_nm.abs()),
        if shorter_nm < 0.0 {
            "longer"
        } else {
            "shorter"
        }
    );
    let [a, b] = [quick, slow].map(|route| route.ensemble.days.p50.unwrap_or(f64::NAN));
    // With days in harbour there are two kinds of days.
    let stops = [quick, slow].map(|route| route.ensemble.whole_days.is_some());
    let at_sea = if stops.contains(&true) { " at sea" } else { "" };
    let (quick, slow) = (&quick.name, &slow.name);
    let Some(doubt) = doubt else {
        let by = pair.first_faster_by_days.p50.unwrap_or(0.0);
        return format!(
            "{quick} is quicker by {by:.1} days{at_sea} in the median, {a:.1} days against {b:.1}, and is \
             {length}."
        );
    };
    format!(
        "{quick} and {slow} are too close to call on time, {a:.1} days{at_sea} against {b:.1} in the median, \
         though {quick} is {length}. {doubt}"
    )
}

/// By how much a route is faster or slower at P10, the median and P90; none where one of two routes
/// does not arrive.
pub(super) fn faster_by(name: &str, gained: &DaysGained) -> Option<String> {
    let (p10, p50, p90) = (gained.p10?, gained.p50?, gained.p90?);
    let all = [p10, p50, p90];
    let (word, sign) = match all {
        _ if all.iter().all(|days| *days > -LEVEL_DAYS) => ("faster", 1.0),
        _ if all.iter().all(|days| *days < LEVEL_DAYS) => ("slower", -1.0),
        _ => {
            return Some(format!(
                "{name} is {} at P10, {} at the median, {} at P90",
                ahead(p10),
                ahead(p50),
                ahead(p90)
            ));
        }
    };
    let [p10, p50, p90] = all.map(|days| (sign * days).max(0.0));
    Some(format!(
        "{name} is {word} by {p10:.1} days at P10, {p50:.1} at the median, {p90:.1} at P90"
    ))
}

/// How far ahead one route is, in days.
fn ahead(days: f64) -> String {
    match days {
        days if days.abs() < LEVEL_DAYS => "level".to_owned(),
        days if days > 0.0 => format!("{days:.1} days ahead"),
        days => format!("{:.1} days behind", -days),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gains_and_losses_are_told_apart() {
        let said = |p10, p50, p90| {
            let gained = DaysGained {
                p10: Some(p10),
                p50: Some(p50),
                p90: Some(p90),
            };
            faster_by("Direct", &gained).unwrap()
        };
        assert_eq!(
            said(2.34, 2.42, 2.6),
            "Direct is faster by 2.3 days at P10, 2.4 at the median, 2.6 at P90"
        );
        assert_eq!(
            said(-1.0, -0.02, 0.0),
            "Direct is slower by 1.0 days at P10, 0.0 at the median, 0.0 at P90"
        );
        assert_eq!(
            said(0.34, 0.04, -0.34),
            "Direct is 0.3 days ahead at P10, level at the median, 0.3 days behind at P90"
        );
    }
}
