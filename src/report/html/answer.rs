//! The question a voyage asks, and the answer in a sentence.

use crate::passage::{Ensemble, chance_first_arrives_before};
use crate::report::Study;
use crate::report::wording::{date, percent};

/// Medians that differ by less than this share are called equal.
const EQUAL_MEDIAN_SHARE: f64 = 0.03;

/// What the crew asks.
pub(super) fn question(study: &Study<'_>) -> String {
    let voyage = study.voyage;
    let names: Vec<&str> = voyage.routes.iter().map(|route| route.name()).collect();
    let asked = match &names[..] {
        [] | [_] => "how many days?".to_owned(),
        [others @ .., last] => format!("{} or {last}?", others.join(", ")),
    };
    format!(
        "{}, leaving {}: {asked}",
        voyage.name,
        date(voyage.departure)
    )
}

/// A route half of whose passages arrive.
struct Arriving<'a> {
    name: &'a str,
    median_days: f64,
    spread: &'a Ensemble,
}

/// What the reckoning says, in a sentence or two.
pub(super) fn answer(study: &Study<'_>) -> String {
    let routes = study.voyage.routes.iter().zip(study.ensembles);
    let mut arriving: Vec<Arriving<'_>> = routes
        .filter_map(|(route, spread)| {
            Some(Arriving {
                name: route.name(),
                median_days: spread.days_at(0.5)?,
                spread,
            })
        })
        .collect();
    arriving.sort_by(|a, b| a.median_days.total_cmp(&b.median_days));
    match &arriving[..] {
        [] => "On no route do half the passages arrive.".to_owned(),
        [only] => format!(
            "{} takes {:.1} days in the median{}; half the passages are slower.{}",
            only.name,
            only.median_days,
            slow(only),
            others_do_not(study, 1)
        ),
        [quicker, slower, ..] => {
            let days = format!(
                "{:.1} days{} against {:.1}{} for {}",
                quicker.median_days,
                slow(quicker),
                slower.median_days,
                slow(slower),
                slower.name
            );
            let equal =
                slower.median_days - quicker.median_days < EQUAL_MEDIAN_SHARE * slower.median_days;
            let verdict = if equal {
                format!("{} is hardly quicker in the median", quicker.name)
            } else {
                format!("{} is the quicker in the median", quicker.name)
            };
            format!(
                "{verdict}: {days}. It arrives first in {} of passages, and the chance of a gale \
                 of 6 hours or more is {} against {}.{}",
                percent(chance_first_arrives_before(quicker.spread, slower.spread)),
                percent(quicker.spread.chance.gale_6h),
                percent(slower.spread.chance.gale_6h),
                others_do_not(study, arriving.len())
            )
        }
    }
}

/// The bad case in brackets.
fn slow(route: &Arriving<'_>) -> String {
    match route.spread.days_at(0.9) {
        Some(days) => format!(" (one passage in ten takes more than {days:.1})"),
        None => " (one passage in ten or more does not arrive)".to_owned(),
    }
}

/// Routes that half the passages do not finish must not go unsaid.
fn others_do_not(study: &Study<'_>, arriving: usize) -> String {
    match study.ensembles.len() - arriving {
        0 => String::new(),
        1 => " On one route half the passages or more do not arrive.".to_owned(),
        count => format!(" On {count} routes half the passages or more do not arrive."),
    }
}
