//! The comparison in plain words: what one route costs and gains against another.

use super::Study;
use super::loading::caution;
use super::wording::{date, gained, grouped, percent, percent_met};
use crate::passage::{
    Ensemble, ExpectedPassage, Exposure, Stall, Walk, chance_first_arrives_before,
};
use crate::route::Route;
use crate::stores::{RoutePlan, Subject};

/// Routes whose days differ by less than this share are called equal.
const EQUAL_DAYS_SHARE: f64 = 0.03;
/// Air that differs by less than this is not worth a sentence, in degrees Celsius.
const EQUAL_AIR_C: f64 = 1.0;
/// Times that differ by less than this are not worth a comparison, in days.
const EQUAL_EXPOSURE_DAYS: f64 = 0.1;
/// A route that rides on replaced wind data for more than this share of its time is told of.
const MUCH_REPLACED: f64 = 0.5;

type Kind = (&'static str, fn(&Exposure) -> f64);

/// What is told of in days.
const KINDS: [Kind; 5] = [
    ("with the wind ahead", |exposure| exposure.headwind),
    ("beating hard", |exposure| exposure.hard_beat),
    ("of gale", |exposure| exposure.gale),
    ("of light air", |exposure| exposure.light_air),
    ("under power", |exposure| exposure.under_power),
];

/// The routes that arrive, quickest first, each against the quickest; then those that stall.
pub(super) fn sentences(study: &Study<'_>) -> Vec<String> {
    let mut arriving = Vec::new();
    let mut stalled = Vec::new();
    let outcomes = study.walks.iter().zip(study.ensembles);
    for (route, (walk, spread)) in study.voyage.routes.iter().zip(outcomes) {
        let name = route.name();
        match walk {
            Walk::Arrives(passage) => arriving.push(Named {
                name,
                passage,
                spread,
            }),
            Walk::Stalls(stall) => stalled.push(stalls(name, stall)),
        }
    }
    arriving.sort_by(|a, b| a.passage.hours.total_cmp(&b.passage.hours));
    let mut said = Vec::new();
    if let Some((quickest, others)) = arriving.split_first() {
        for other in others {
            said.extend(compare(quickest, other));
        }
    }
    said.extend(cyclone_warnings(study));
    said.extend(fuel_warnings(study));
    said.extend(arriving.iter().filter_map(uncertain));
    said.extend(stalled);
    said
}

/// A warning for each route that is in cyclone waters in their season at all.
pub(super) fn cyclone_warnings(study: &Study<'_>) -> Vec<String> {
    let routes = study.voyage.routes.iter().zip(study.ensembles);
    let warning = |(route, spread): (&Route, &Ensemble)| {
        let time = spread.cyclone_time.as_ref()?;
        let basins = time.basins.iter();
        let basins: Vec<String> = basins
            .map(|basin| format!("{basin}, {}", basin.season()))
            .collect();
        (time.share > 0.0).then(|| {
            format!(
                "{} spends up to {} of its time in cyclone waters in their season ({}).",
                route.name(),
                percent_met(time.share),
                basins.join("; ")
            )
        })
    };
    routes.filter_map(warning).collect()
}

/// What the loading lists warn of about the diesel, each with its route.
fn fuel_warnings(study: &Study<'_>) -> Vec<String> {
    let plans = study.loading.unwrap_or_default().iter();
    let warnings = plans.filter_map(RoutePlan::planned).flat_map(|plan| {
        let fuel = plan.cautions.iter();
        let fuel = fuel.filter(|caution| caution.subject() == Subject::Fuel);
        fuel.map(|said| format!("{}: {}", plan.route, caution(said, study.voyage.output)))
    });
    warnings.collect()
}

/// A warning where a route's figures rest for the most part on wind data that were replaced.
fn uncertain(route: &Named<'_>) -> Option<String> {
    let share = route
        .passage
        .replaced_share
        .filter(|share| *share > MUCH_REPLACED)?;
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

/// A route that arrives.
struct Named<'a> {
    name: &'a str,
    passage: &'a ExpectedPassage,
    spread: &'a Ensemble,
}

/// What the quicker route gains and costs against the slower.
fn compare(quicker: &Named<'_>, slower: &Named<'_>) -> Vec<String> {
    let (quick, slow) = (quicker.name, slower.name);
    let (a, b) = (quicker.passage, slower.passage);
    let mut said = vec![length_and_days(quicker, slower)];
    said.extend(at_equal_chance(quicker, slower));
    let (mut costs, mut gains) = (Vec::new(), Vec::new());
    for (what, share) in KINDS {
        let (here, there) = (share(&a.exposure) * a.days(), share(&b.exposure) * b.days());
        if (here - there).abs() < EQUAL_EXPOSURE_DAYS {
            continue;
        }
        let figures = format!("{here:.1} days {what} against {there:.1}");
        if here > there {
            costs.push(figures)
        } else {
            gains.push(figures)
        }
    }
    if !costs.is_empty() {
        said.push(format!(
            "{quick} meets more than {slow}: {}.",
            costs.join(", ")
        ));
    }
    if !gains.is_empty() {
        said.push(format!(
            "{quick} meets less than {slow}: {}.",
            gains.join(", ")
        ));
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
            "{quick} is the {word}: the air is {:.0} °C on average against {:.0} °C, {:.0} °C at \
             the lowest against {:.0} °C.",
            air_a.mean, air_b.mean, air_a.lowest, air_b.lowest
        ));
    }
    said
}

fn length_and_days(quicker: &Named<'_>, slower: &Named<'_>) -> String {
    let (quick, slow) = (quicker.name, slower.name);
    let (a, b) = (quicker.passage, slower.passage);
    let longer_nm = a.distance_nm - b.distance_nm;
    let length = format!(
        "{} nm {}",
        grouped(longer_nm.abs()),
        if longer_nm < 0.0 { "shorter" } else { "longer" }
    );
    let days = format!("{:.1} days against {:.1}", a.days(), b.days());
    let saved_days = b.days() - a.days();
    if saved_days < EQUAL_DAYS_SHARE * b.days() {
        format!("{quick} and {slow} take about as long, {days}, though {quick} is {length}.")
    } else {
        format!(
            "On the mean wind {quick} is quicker by {saved_days:.1} days, {days}, and is {length}."
        )
    }
}

/// The chance that one arrives first, and the days between them in a good case and in a bad.
fn at_equal_chance(quicker: &Named<'_>, slower: &Named<'_>) -> Option<String> {
    let (quick, slow) = (quicker.name, slower.name);
    let gain = |share| Some(slower.spread.days_at(share)? - quicker.spread.days_at(share)?);
    let (good, middling, bad) = (gain(0.1)?, gain(0.5)?, gain(0.9)?);
    let chance = chance_first_arrives_before(quicker.spread, slower.spread);
    Some(format!(
        "The chance that {quick} arrives before {slow} is {}. At equal chance {quick} gains \
         {} days in a quick passage (one in ten), {} in the median and {} in a slow one (one in \
         ten).",
        percent(chance),
        gained(good),
        gained(middling),
        gained(bad)
    ))
}
