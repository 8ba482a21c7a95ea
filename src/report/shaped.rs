//! A shaped course beside the routes drawn, and what each limit costs.

use super::Study;
use super::comparison::{bullets, side_by_side, voyage_heading};
use super::legs::Rows;
use super::table::{layout, wrap};
use super::trade_off::{TradeOff, trade_off_section};
use super::wording::{course, date, grouped, heads};
use crate::passage::{ExpectedPassage, Walk};
use crate::route::Route;
use crate::shaping::{Limit, Limits, Shaped};

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

/// Days less than this are not told of a limit.
const NO_DAYS: f64 = 0.05;
/// What is said where a wait would pay.
pub(super) const WAITING_PAYS: &str = "Somewhere on this course a later start would arrive sooner: the boat is so slow there that \
     waiting for the season to change pays. No such wait was looked for.";

/// The whole report on a shaped course as text.
pub fn shaped_text(shaped: &ShapedStudy<'_>) -> String {
    let study = &shaped.study;
    let mut parts = vec![voyage_heading(study.voyage, study.climate)];
    parts.push(course_section(shaped));
    if let Some(trade_off) = &shaped.trade_off {
        parts.push(trade_off_section(shaped, trade_off));
    }
    parts.extend(side_by_side(study));
    parts.join("\n\n") + "\n"
}

impl<'a> ShapedStudy<'a> {
    /// The course shaped as a route, and its passage, if it arrives.
    pub(super) fn course(&self) -> Option<(&'a Route, &'a ExpectedPassage)> {
        match (self.study.voyage.routes.last()?, self.study.walks.last()?) {
            (route, Walk::Arrives(passage)) => Some((route, passage)),
            (_, Walk::Stalls(_)) => None,
        }
    }

    /// How many of the study's routes were drawn by the crew: all but the last.
    pub(super) fn drawn(&self) -> usize {
        self.study.voyage.routes.len().saturating_sub(1)
    }

    /// The limits in force, one after the other, as a crew would say them; none where none is set.
    pub(super) fn limits_said(&self) -> Option<String> {
        let said = self.limits.in_force().into_iter().map(|limit| match limit {
            Limit::KeepOut | Limit::Cyclones => format!("out of {}", self.limits.describe(limit)),
            _ => self.limits.describe(limit),
        });
        let said: Vec<String> = said.collect();
        (!said.is_empty()).then(|| said.join("; "))
    }
}

impl LimitCost {
    /// Whether the limit makes a difference worth telling.
    pub(super) fn is_felt(&self) -> bool {
        self.days >= NO_DAYS
    }
}

fn course_section(shaped: &ShapedStudy<'_>) -> String {
    let kept = shaped
        .limits_said()
        .unwrap_or_else(|| "no limits set".to_owned());
    let mut lines = vec![wrap(
        &format!("The fastest course found on the mean wind; {kept}"),
        "  ",
    )];
    if let Some((_, passage)) = shaped.course() {
        let (heading, rows) = corners_rows(passage);
        lines.push(layout(&heading, &rows, 2));
    }
    let costs: Vec<String> = shaped
        .limit_costs
        .iter()
        .map(|cost| {
            let limit = shaped.limits.describe(cost.limit);
            if cost.is_felt() {
                format!("'{limit}' costs {:.1} days.", cost.days)
            } else {
                format!("'{limit}' costs next to nothing: less than an hour or two.")
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
    (heading, rows)
}
