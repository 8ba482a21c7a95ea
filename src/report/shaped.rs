//! A shaped course beside the routes drawn, what each limit costs, and the trade-off.

use super::Study;
use super::comparison::{bullets, side_by_side, voyage_heading};
use super::csv::{EXPOSURE, number, shares, written};
use super::table::{layout, wrap};
use super::wording::{course, date, grouped, percent};
use crate::passage::{ExpectedPassage, Walk};
use crate::route::{Route, spreadsheet_text};
use crate::shaping::{Hardship, Limit, Limits, Shaped};

/// A voyage with a shaped course as the last of its routes, and what was asked of it.
#[derive(Debug, Clone, Copy)]
pub struct ShapedStudy<'a> {
    /// The voyage, with the course shaped as its last route.
    pub study: Study<'a>,
    /// The course shaped.
    pub shaped: &'a Shaped,
    /// The limits it keeps.
    pub limits: &'a Limits,
    /// What each limit costs.
    pub limit_costs: &'a [LimitCost],
    /// The choice between fast and gentle, where asked for.
    pub trade_off: Option<TradeOff<'a>>,
}

/// What one limit costs beside the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitCost {
    /// Which.
    pub limit: Limit,
    /// Days that the course would be faster without it.
    pub days: f64,
}

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

/// Days less than this are not told of a limit.
const NO_DAYS: f64 = 0.05;
/// Fewer courses than this call for a word of why.
const FEW_COURSES: usize = 8;

impl TradeOff<'_> {
    /// The courses that arrive, with their routes and passages.
    pub(super) fn arriving(&self) -> impl Iterator<Item = (&Shaped, &Route, &ExpectedPassage)> {
        let named = self.courses.iter().zip(self.routes).zip(self.walks);
        named.filter_map(|((course, route), walk)| match walk {
            Walk::Arrives(passage) => Some((course, route, passage)),
            Walk::Stalls(_) => None,
        })
    }
}

/// The whole report on a shaped course as text.
pub fn shaped_text(shaped: &ShapedStudy<'_>) -> String {
    let study = &shaped.study;
    let mut parts = vec![voyage_heading(study.voyage, study.climate)];
    parts.push(course_section(shaped));
    if let Some(trade_off) = &shaped.trade_off {
        parts.push(trade_off_section(study, trade_off));
    }
    parts.extend(side_by_side(study));
    parts.join("\n\n") + "\n"
}

fn course_section(shaped: &ShapedStudy<'_>) -> String {
    let limits = shaped.limits.in_force();
    let kept = if limits.is_empty() {
        "no limits set".to_owned()
    } else {
        let said = limits.iter().map(|limit| match limit {
            Limit::KeepOut | Limit::Cyclones => {
                format!("out of {}", shaped.limits.describe(*limit))
            }
            _ => shaped.limits.describe(*limit),
        });
        said.collect::<Vec<_>>().join("; ")
    };
    let mut lines = vec![wrap(
        &format!("The fastest course found on the mean wind; {kept}"),
        "  ",
    )];
    if let Some(Walk::Arrives(passage)) = shaped.study.walks.last() {
        lines.push(corners_table(passage));
    }
    let costs: Vec<String> = shaped
        .limit_costs
        .iter()
        .map(|cost| {
            let limit = shaped.limits.describe(cost.limit);
            if cost.days < NO_DAYS {
                format!("'{limit}' costs next to nothing: less than an hour or two.")
            } else {
                format!("'{limit}' costs {:.1} days.", cost.days)
            }
        })
        .collect();
    if !costs.is_empty() {
        lines.push(format!(
            "\nWhat each limit costs beside the others\n{}",
            bullets(&costs)
        ));
    }
    if shaped.shaped.waiting_pays {
        lines.push(wrap(
            "\nSomewhere on this course a later start would arrive sooner: the boat is so slow \
             there that waiting for the season to change pays. No such wait was looked for.",
            "",
        ));
    }
    lines.join("\n")
}

fn corners_table(passage: &ExpectedPassage) -> String {
    let heading = ["", "From", "Course T", "nm", "Days", "Date"].map(str::to_owned);
    let mut rows: Vec<Vec<String>> = passage
        .legs
        .iter()
        .map(|leg| {
            let begun_days = (leg.elapsed_hours - leg.hours) / 24.0;
            vec![
                leg.from.clone(),
                leg.ends[0].to_string(),
                course(leg.departure_course),
                grouped(leg.distance_nm),
                format!("{begun_days:.1}"),
                date(leg.dates[0]),
            ]
        })
        .collect();
    rows.extend(passage.legs.last().map(|leg| {
        vec![
            leg.to.clone(),
            leg.ends[1].to_string(),
            String::new(),
            String::new(),
            format!("{:.1}", passage.days()),
            date(leg.dates[1]),
        ]
    }));
    layout(&heading, &rows, 2)
}

fn trade_off_section(study: &Study<'_>, trade_off: &TradeOff<'_>) -> String {
    let hardship = trade_off.hardship;
    let mut shown = vec![
        Hardship::Headwind,
        Hardship::HardBeat,
        Hardship::LightAir,
        Hardship::Gale,
    ];
    if !shown.contains(&hardship) {
        shown.push(hardship);
    }
    let mut heading = ["", "nm", "Days"].map(str::to_owned).to_vec();
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
    let mut rows: Vec<Vec<String>> = trade_off
        .arriving()
        .map(|(_, route, passage)| row(route.name(), passage))
        .collect();
    let few = rows.len() < FEW_COURSES;
    // The routes drawn, for the eye; the last of the study is the course shaped.
    let drawn = study.voyage.routes.iter().zip(study.walks);
    for (route, walk) in drawn.take(study.walks.len() - 1) {
        if let Walk::Arrives(passage) = walk {
            rows.push(row(route.name(), passage));
        }
    }
    let mut lines = vec![
        wrap(
            &format!(
                "From the fastest to the gentlest by {hardship}, on the mean wind; none is both \
                 slower and harder than another. The routes drawn stand below for comparison."
            ),
            "",
        ),
        layout(&heading, &rows, 1),
    ];
    if few {
        lines.push(wrap(
            "These waters offer no more courses that differ by this hardship.",
            "",
        ));
    }
    lines.join("\n")
}

/// A name as it begins a heading.
fn capital(name: &str) -> String {
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
    let rows = trade_off.arriving().map(|(course, route, passage)| {
        let corners: Vec<String> = course.corners.iter().map(ToString::to_string).collect();
        let mut row = vec![
            spreadsheet_text(route.name()),
            number(course.prices.of(trade_off.hardship)),
            number(passage.distance_nm),
            number(passage.days()),
        ];
        row.extend(shares(&passage.exposure));
        row.push(corners.join("; "));
        row
    });
    written(&heading, rows)
}
