//! A shaped course beside the routes drawn, what each limit costs, and the trade-off, in full.

use super::compare::side_by_side;
use super::legs::Rows;
use super::notes::{bullets, voyage_heading};
use super::table::{Screen, layout, wrap};
use super::wording::{course, date, grouped, heads, percent};
use crate::passage::ExpectedPassage;
use crate::shaping::{Hardship, Limit};
use crate::study::{
    InlandEnd, LimitCost, RouteResult, ShapedCourse, Shaping, TradeOff, TradeOffCourse,
};

/// Days less than this are not told of a limit.
const NO_DAYS: f64 = 0.05;
/// What is said where a wait would pay.
pub(super) const WAITING_PAYS: &str = "Somewhere on this course a later start would arrive sooner: \
     the boat is so slow there that waiting for the season to change pays. No such wait was looked \
     for.";
/// What is said of an end on land by the coarse outlines.
pub(super) fn inland_said(end: &InlandEnd) -> String {
    format!(
        "{} lies on land by the coarse outlines: the search went from the sea near it, {}, {:.1} nm \
         away. The leg between the two is yours to lay off on the chart.",
        end.name, end.sea, end.distance_nm
    )
}

/// Fewer courses in a trade-off than this call for a word of why.
const FEW_COURSES: usize = 8;
/// The word.
pub(super) const FEW_COURSES_NOTE: &str =
    "These waters offer no more courses that differ by this hardship.";

/// The whole report on a shaped course as text.
pub fn shaped_text(shaping: &Shaping, screen: Screen) -> String {
    let mut parts = vec![voyage_heading(&shaping.comparison.voyage)];
    parts.push(course_section(shaping));
    parts.extend(
        shaping
            .trade_off
            .as_ref()
            .map(|trade_off| trade_off_section(shaping, trade_off)),
    );
    parts.extend(side_by_side(&shaping.comparison, None, screen));
    parts.join("\n\n") + "\n"
}

/// The course shaped among the routes, and its passage, if it arrives.
pub(super) fn course_shaped(shaping: &Shaping) -> Option<(&RouteResult, &ExpectedPassage)> {
    let route = shaping.comparison.route(&shaping.shaped.route)?;
    Some((route, route.expected.as_ref()?))
}

/// The routes drawn by the crew.
pub(super) fn drawn(shaping: &Shaping) -> impl Iterator<Item = &RouteResult> {
    let routes = shaping.comparison.routes.iter();
    routes.filter(|route| route.name != shaping.shaped.route)
}

/// The limits in force, one after the other, as a crew would say them; none where none is set.
pub(super) fn limits_said(shaped: &ShapedCourse) -> Option<String> {
    let said = shaped.limits.iter().map(|cost| match cost.kind {
        Limit::KeepOut => format!("out of {}", cost.limit),
        _ => cost.limit.clone(),
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// The days a limit costs; none where it makes no difference worth telling.
pub(super) fn days_felt(cost: &LimitCost) -> Option<f64> {
    Some(cost.costs_days).filter(|days| *days >= NO_DAYS)
}

fn course_section(shaping: &Shaping) -> String {
    let kept = limits_said(&shaping.shaped).unwrap_or_else(|| "no limits set".to_owned());
    let about = format!("The fastest course found on the mean wind; {kept}");
    let mut lines = vec![wrap(&about, "  ")];
    if let Some((_, passage)) = course_shaped(shaping) {
        let (heading, rows) = corners_rows(passage);
        lines.push(layout(&heading, &rows, 2));
    }
    let costs = shaping
        .shaped
        .limits
        .iter()
        .map(|cost| match days_felt(cost) {
            Some(days) => format!("'{}' costs {days:.1} days.", cost.limit),
            None => format!("'{}' costs less than an hour or two.", cost.limit),
        });
    let costs: Vec<String> = costs.collect();
    if !costs.is_empty() {
        lines.push(format!(
            "\nWhat each limit costs beside the others\n{}",
            bullets(&costs)
        ));
    }
    for end in &shaping.shaped.inland_ends {
        lines.push(format!("\n{}", wrap(&inland_said(end), "")));
    }
    if shaping.shaped.waiting_pays {
        lines.push(format!("\n{}", wrap(WAITING_PAYS, "")));
    }
    lines.join("\n")
}

/// The course's corners, with what lies before each; the first two columns are text.
pub(super) fn corners_rows(passage: &ExpectedPassage) -> Rows {
    let heading = heads(&["", "From", "Course T", "nm", "Days", "Date"]);
    let mut rows: Vec<Vec<String>> = passage
        .legs
        .iter()
        .map(|leg| {
            vec![
                leg.from.clone(),
                leg.start.to_string(),
                course(leg.departure_course),
                grouped(leg.distance_nm),
                format!("{:.1}", leg.elapsed_days - leg.days),
                date(leg.begins),
            ]
        })
        .collect();
    rows.extend(passage.legs.last().map(|leg| {
        vec![
            leg.to.clone(),
            leg.end.to_string(),
            String::new(),
            String::new(),
            format!("{:.1}", passage.days),
            date(leg.ends),
        ]
    }));
    (heading, rows)
}

/// The table of a trade-off; the first column is text.
pub(super) struct TradeOffRows {
    pub heading: Vec<String>,
    /// The courses, the fastest first, and among them the routes drawn that none of them beats.
    pub courses: Vec<Vec<String>>,
    /// The other routes drawn that arrive.
    pub drawn: Vec<Vec<String>>,
}

/// The courses and the routes drawn, with days and exposures.
pub(super) fn trade_off_rows(shaping: &Shaping, trade_off: &TradeOff) -> TradeOffRows {
    let hardship = trade_off.hardship;
    // The share of the hardship stands beside its days, and not again among the others.
    let others = [
        Hardship::Headwind,
        Hardship::HardBeat,
        Hardship::LightAir,
        Hardship::Gale,
    ];
    let mut shown = vec![hardship];
    shown.extend(others.into_iter().filter(|other| *other != hardship));
    let mut heading = heads(&["", "nm", "Days"]);
    heading.push(format!("{}, days", capital(hardship.name())));
    heading.extend(shown.iter().map(|hardship| capital(hardship.name())));
    let row = |name: &str, passage: &ExpectedPassage| {
        let mut row = vec![
            name.to_owned(),
            grouped(passage.distance_nm),
            format!("{:.1}", passage.days),
            format!("{:.1}", hardship.share(&passage.exposure) * passage.days),
        ];
        row.extend(
            shown
                .iter()
                .map(|hardship| percent(hardship.share(&passage.exposure))),
        );
        row
    };
    let is_member = |name: &str| {
        let mut courses = trade_off.courses.iter();
        courses.any(|course| course.drawn && course.name == name)
    };
    TradeOffRows {
        courses: trade_off
            .courses
            .iter()
            .map(|course| row(&course_label(course), &course.expected))
            .collect(),
        drawn: drawn(shaping)
            .filter(|route| !is_member(&route.name))
            .filter_map(|route| Some(row(&route.name, route.expected.as_ref()?)))
            .collect(),
        heading,
    }
}

/// A course as it is called in a table: a route drawn has its number behind its name.
fn course_label(course: &TradeOffCourse) -> String {
    if course.drawn {
        format!("{} ({})", course.name, course.number)
    } else {
        course.name.clone()
    }
}

/// The trade-off for a terminal.
fn trade_off_section(shaping: &Shaping, trade_off: &TradeOff) -> String {
    let rows = trade_off_rows(shaping, trade_off);
    let mut lines = vec![
        wrap(&trade_off_described(trade_off.hardship), ""),
        layout(&rows.heading, &[rows.courses, rows.drawn].concat(), 1),
    ];
    lines.extend(few_courses(trade_off).map(|note| wrap(note, "")));
    lines.join("\n")
}

/// Why there are so few courses, where there are few.
pub(super) fn few_courses(trade_off: &TradeOff) -> Option<&'static str> {
    (trade_off.courses.len() < FEW_COURSES).then_some(FEW_COURSES_NOTE)
}

/// What the courses of a trade-off have in common.
pub(super) fn trade_off_described(hardship: Hardship) -> String {
    // Less light air or engine is not gentler.
    let (last, worse) = match hardship {
        Hardship::LightAir => (
            "the one with least light air".to_owned(),
            "has more light air",
        ),
        Hardship::Engine => ("the one least under power".to_owned(), "longer under power"),
        hardship => (format!("the gentlest by {hardship}"), "harder"),
    };
    format!(
        "From the fastest to {last}, on the mean wind; none is slower than another and also {worse}. \
         A route drawn that keeps the limits and that none of them beats stands among them; the others \
         stand below."
    )
}

/// A name as it begins a heading.
pub(super) fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn less_light_air_or_engine_is_not_called_gentle() {
        let said = trade_off_described(Hardship::Gale);
        assert!(said.starts_with("From the fastest to the gentlest by gale,"));
        for (hardship, last) in [
            (Hardship::LightAir, "the one with least light air,"),
            (Hardship::Engine, "the one least under power,"),
        ] {
            let said = trade_off_described(hardship);
            assert!(
                said.starts_with(&format!("From the fastest to {last}")),
                "{said}"
            );
            assert!(!said.contains("gentle") && !said.contains("hard"), "{said}");
        }
    }
}
