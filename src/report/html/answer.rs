//! The question a voyage asks, and the answer in a sentence or two.

use crate::report::sentences::{beside_verdict, faster_by, sentences, verdict};
use crate::report::shaped::{course_shaped, drawn, limits_said};
use crate::report::wording::{date, percent};
use crate::study::{Comparison, Pair, RouteResult, Shaping};

/// What the crew asks.
pub(super) fn question(comparison: &Comparison) -> String {
    let names: Vec<&str> = comparison
        .routes
        .iter()
        .map(|route| route.name.as_str())
        .collect();
    match &names[..] {
        [] | [_] => asked(comparison, "how many days?"),
        [others @ .., last] => asked(comparison, &format!("{} or {last}?", others.join(", "))),
    }
}

/// What the crew asks of a shaped course.
pub(super) fn shaping_question(shaping: &Shaping) -> String {
    let question = match limits_said(&shaping.shaped) {
        Some(_) => "which course, within your limits?",
        None => "which course?",
    };
    asked(&shaping.comparison, question)
}

fn asked(comparison: &Comparison, question: &str) -> String {
    let voyage = &comparison.voyage;
    // A heading does not break a date.
    let day = date(voyage.departure).replace(' ', "\u{a0}");
    format!("{}, leaving {day}: {question}", voyage.name)
}

/// Which route is quicker, by how much, and how likely.
pub(super) fn answer(comparison: &Comparison) -> String {
    let ranked = comparison.verdict.by_median_days.iter();
    let ranked: Vec<&RouteResult> = ranked.filter_map(|name| comparison.route(name)).collect();
    let said = match &ranked[..] {
        [] => return "On no route do half the passages arrive.".to_owned(),
        [only] => format!("{} takes {}.", only.name, days(only)),
        _ => verdict(comparison).join(" "),
    };
    // Routes that half the passages do not finish must not go unsaid.
    match comparison.routes.len() - ranked.len() {
        0 => said,
        1 => format!("{said} On one route half the passages or more do not arrive."),
        count => format!("{said} On {count} routes half the passages or more do not arrive."),
    }
}

/// The median and P90 of a route half of whose passages arrive.
fn days(route: &RouteResult) -> String {
    let days = &route.ensemble.days;
    let median = days.p50.unwrap_or(f64::NAN);
    match days.p90 {
        Some(p90) => format!("{median:.1} days in the median (P90 {p90:.1})"),
        None => format!("{median:.1} days in the median (10 % of passages or more do not arrive)"),
    }
}

/// What is said beside [`shaping_answer`]: of the verdict only what that has not said, where the two
/// quickest are not the course shaped and the quickest of the routes drawn.
pub(super) fn beside_shaping_answer(shaping: &Shaping) -> Vec<String> {
    let comparison = &shaping.comparison;
    let shaped = course_shaped(shaping).map(|(route, _)| &route.name);
    let first_two = comparison.verdict.first_two.as_ref();
    let is_said = first_two
        .is_some_and(|pair| shaped.is_some_and(|name| [&pair.first, &pair.second].contains(&name)));
    if is_said || shaped.is_none() {
        beside_verdict(comparison)
    } else {
        sentences(comparison)
    }
}

/// The course shaped against the quickest of the routes drawn, and under which limits.
pub(super) fn shaping_answer(shaping: &Shaping) -> String {
    let comparison = &shaping.comparison;
    let Some((route, passage)) = course_shaped(shaping) else {
        return answer(comparison);
    };
    let limits = limits_said(&shaping.shaped);
    let course = match &limits {
        Some(limits) => format!("Within your limits ({limits}) the course shaped"),
        None => "With no limits set the course shaped".to_owned(),
    };
    let takes = format!("{course} takes {:.1} days on the mean wind", passage.days);
    let count = drawn(shaping).count();
    let ranked = comparison.verdict.by_median_days.iter();
    let Some(best) = ranked
        .filter(|name| **name != route.name)
        .find_map(|name| comparison.route(name))
    else {
        return match count {
            0 => format!("{takes}."),
            _ => format!("{takes}; on no route drawn do half the passages arrive."),
        };
    };
    let against = match &best.expected {
        Some(other) => format!("against {:.1} for {}", other.days, best.name),
        None => format!("on which {} stalls", best.name),
    };
    let which = match count {
        1 => "the route drawn",
        _ => "the quickest of the routes drawn",
    };
    let free = limits.map_or("", |_| ", which need not keep to your limits");
    let pair = Pair::of(route, best);
    let faster = faster_by(&route.name, &pair.first_faster_by_days);
    let faster = faster.unwrap_or_else(|| "Too few passages arrive to compare P90".to_owned());
    let chance = percent(pair.chance_first_arrives_before);
    format!(
        "{takes}, {against}, {which}{free}. {faster}. The chance that it arrives before {} is \
         {chance}.",
        best.name
    )
}
