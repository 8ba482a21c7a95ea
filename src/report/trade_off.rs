//! The trade-off: courses from the fastest to the gentlest, beside the routes drawn.

use super::csv::{EXPOSURE, number, shares, written};
use super::shaped::ShapedStudy;
use super::table::{layout, wrap};
use super::wording::{grouped, heads, percent};
use crate::passage::{ExpectedPassage, Walk};
use crate::route::{Route, spreadsheet_text};
use crate::shaping::{Hardship, Shaped};

/// Courses from the fastest to the gentlest, each walked.
#[derive(Debug, Clone, Copy)]
pub struct TradeOff<'a> {
    /// What there is less of from one to the next.
    pub hardship: Hardship,
    /// The courses.
    pub courses: &'a [Shaped],
    /// The same as routes.
    pub routes: &'a [Route],
    /// Their expected passages.
    pub walks: &'a [Walk],
}

/// Fewer courses than this call for a word of why.
const FEW_COURSES: usize = 8;
/// The word.
pub(super) const FEW_COURSES_NOTE: &str =
    "These waters offer no more courses that differ by this hardship.";

/// A course of a trade-off that arrives.
#[derive(Debug, Clone, Copy)]
pub(super) struct Choice<'a> {
    /// Its number, the fastest being 1.
    pub number: usize,
    pub course: &'a Shaped,
    pub route: &'a Route,
    pub passage: &'a ExpectedPassage,
}

impl<'a> TradeOff<'a> {
    /// The courses that arrive.
    pub(super) fn arriving(&self) -> impl Iterator<Item = Choice<'a>> + use<'a> {
        let named = self.courses.iter().zip(self.routes).zip(self.walks);
        let numbered = named.enumerate();
        numbered.filter_map(|(index, ((course, route), walk))| match walk {
            Walk::Arrives(passage) => Some(Choice {
                number: index + 1,
                course,
                route,
                passage,
            }),
            Walk::Stalls(_) => None,
        })
    }

    /// Whether there are so few courses that the reader should be told why.
    pub(super) fn is_short(&self) -> bool {
        self.arriving().count() < FEW_COURSES
    }

    /// What the courses have in common.
    pub(super) fn described(&self) -> String {
        // Less light air or engine is not gentler.
        let (last, worse) = match self.hardship {
            Hardship::LightAir => ("the one with least light air".to_owned(), "lighter of wind"),
            Hardship::Engine => ("the one least under power".to_owned(), "longer under power"),
            hardship => (format!("the gentlest by {hardship}"), "harder"),
        };
        format!(
            "From the fastest to {last}, on the mean wind; none is both slower and {worse} than \
             another. The routes drawn stand below for comparison."
        )
    }
}

/// The table of a trade-off; the first column is text.
pub(super) struct TradeOffRows {
    pub heading: Vec<String>,
    /// The courses, the fastest first.
    pub courses: Vec<Vec<String>>,
    /// The routes drawn that arrive.
    pub drawn: Vec<Vec<String>>,
}

/// The courses and the routes drawn, with days and exposures.
pub(super) fn trade_off_rows(study: &ShapedStudy<'_>, trade_off: &TradeOff<'_>) -> TradeOffRows {
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
            format!("{:.1}", passage.days()),
            format!("{:.1}", hardship.share(&passage.exposure) * passage.days()),
        ];
        let shares = shown
            .iter()
            .map(|hardship| hardship.share(&passage.exposure));
        row.extend(shares.map(percent));
        row
    };
    let routes = study.study.voyage.routes.iter().zip(study.study.walks);
    TradeOffRows {
        courses: trade_off
            .arriving()
            .map(|choice| row(choice.route.name(), choice.passage))
            .collect(),
        drawn: routes
            .take(study.drawn())
            .filter_map(|(route, walk)| match walk {
                Walk::Arrives(passage) => Some(row(route.name(), passage)),
                Walk::Stalls(_) => None,
            })
            .collect(),
        heading,
    }
}

/// The trade-off for a terminal.
pub(super) fn trade_off_section(study: &ShapedStudy<'_>, trade_off: &TradeOff<'_>) -> String {
    let rows = trade_off_rows(study, trade_off);
    let mut lines = vec![
        wrap(&trade_off.described(), ""),
        layout(&rows.heading, &[rows.courses, rows.drawn].concat(), 1),
    ];
    if trade_off.is_short() {
        lines.push(wrap(FEW_COURSES_NOTE, ""));
    }
    lines.join("\n")
}

/// A name as it begins a heading.
pub(super) fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The trade-off as CSV, a row a course from the fastest to the gentlest.
pub fn trade_off_csv(trade_off: &TradeOff<'_>) -> String {
    let mut heading = vec!["route", "price_hours_an_hour", "distance_nm", "days"];
    heading.extend(EXPOSURE);
    heading.push("corners");
    let rows = trade_off.arriving().map(|choice| {
        let corners: Vec<String> = choice
            .course
            .corners
            .iter()
            .map(ToString::to_string)
            .collect();
        let mut row = vec![
            spreadsheet_text(choice.route.name()),
            number(choice.course.prices.of(trade_off.hardship)),
            number(choice.passage.distance_nm),
            number(choice.passage.days()),
        ];
        row.extend(shares(&choice.passage.exposure));
        row.push(corners.join("; "));
        row
    });
    written(&heading, rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn less_light_air_or_engine_is_not_called_gentle() {
        let described = |hardship| {
            let (courses, routes, walks) = (&[], &[], &[]);
            TradeOff {
                hardship,
                courses,
                routes,
                walks,
            }
            .described()
        };
        assert!(described(Hardship::Gale).starts_with("From the fastest to the gentlest by gale,"));
        for (hardship, last) in [
            (Hardship::LightAir, "the one with least light air,"),
            (Hardship::Engine, "the one least under power,"),
        ] {
            let said = described(hardship);
            assert!(
                said.starts_with(&format!("From the fastest to {last}")),
                "{said}"
            );
            assert!(!said.contains("gentle") && !said.contains("hard"), "{said}");
        }
    }
}
