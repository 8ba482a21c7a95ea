//! The question a voyage asks, and the answer in a sentence.

use jiff::civil::Date;

use crate::passage::{Ensemble, Walk, chance_first_arrives_before};
use crate::report::Study;
use crate::report::shaped::ShapedStudy;
use crate::report::wording::{date, percent};

/// Medians that differ by less than this share are called equal.
const EQUAL_MEDIAN_SHARE: f64 = 0.03;
/// Days less than this are no gain, nor a loss: they would be written as 0.0.
const LEVEL_DAYS: f64 = 0.05;

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
        unbroken_date(voyage.departure)
    )
}

/// A date that a heading does not break.
fn unbroken_date(day: Date) -> String {
    date(day).replace(' ', "\u{a0}")
}

/// What the crew asks of a shaped course.
pub(super) fn shaping_question(shaped: &ShapedStudy<'_>) -> String {
    let voyage = shaped.study.voyage;
    let asked = match shaped.limits_said() {
        Some(_) => "which course, within your limits?",
        None => "which course?",
    };
    format!(
        "{}, leaving {}: {asked}",
        voyage.name,
        unbroken_date(voyage.departure)
    )
}

/// What the course shaped gains on the quickest of the routes drawn, on the mean wind and at equal
/// chance, and under which limits.
pub(super) fn shaping_answer(shaped: &ShapedStudy<'_>) -> String {
    let study = &shaped.study;
    let Some((route, passage)) = shaped.course() else {
        return answer(study);
    };
    let limits = match shaped.limits_said() {
        Some(limits) => format!("Within your limits ({limits}) the course shaped"),
        None => "With no limits set the course shaped".to_owned(),
    };
    let takes = format!("{limits} takes {:.1} days on the mean wind", passage.days());
    let drawn = study.voyage.routes.iter().zip(study.walks);
    let quickest = drawn
        .zip(study.ensembles)
        .take(shaped.drawn())
        .filter_map(|((route, walk), spread)| match walk {
            Walk::Arrives(passage) => Some((route, passage, spread)),
            Walk::Stalls(_) => None,
        })
        .min_by(|a, b| a.1.hours.total_cmp(&b.1.hours));
    let Some((best, other, other_spread)) = quickest else {
        return match shaped.drawn() {
            0 => format!("{takes}."),
            _ => format!("{takes}; none of the routes drawn arrives."),
        };
    };
    let gain = other.days() - passage.days();
    let against = if gain.abs() < LEVEL_DAYS {
        format!("as many as {}", best.name())
    } else {
        let word = if gain > 0.0 { "fewer" } else { "more" };
        format!("{:.1} {word} than {}", gain.abs(), best.name())
    };
    let spread = study.ensembles.last();
    let at = |share| Some(other_spread.days_at(share)? - spread?.days_at(share)?);
    let chances = match [at(0.1), at(0.5), at(0.9)] {
        [Some(quick), Some(median), Some(slow)] => format!(
            "At equal chance {} is {} in a quick passage (one in ten), {} in the median and {} in a \
             slow one (one in ten).",
            route.name(),
            ahead(quick),
            ahead(median),
            ahead(slow)
        ),
        _ => "Too few passages arrive to compare them at equal chance.".to_owned(),
    };
    let free = shaped
        .limits_said()
        .map_or("", |_| ", which need not keep them");
    let which = match shaped.drawn() {
        1 => "the route drawn",
        _ => "the quickest of the routes drawn",
    };
    format!("{takes}, {against}, {which}{free}. {chances}")
}

/// How far ahead one route is, in days.
fn ahead(days: f64) -> String {
    match days {
        days if days.abs() < LEVEL_DAYS => "level".to_owned(),
        days if days > 0.0 => format!("{days:.1} days ahead"),
        days => format!("{:.1} days behind", -days),
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gain_is_ahead_and_a_loss_behind() {
        assert_eq!(
            [0.34, -0.34, 0.04, -0.04].map(ahead),
            ["0.3 days ahead", "0.3 days behind", "level", "level"]
        );
    }
}
