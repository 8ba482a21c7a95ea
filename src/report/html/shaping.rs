//! What a page says of a shaped course beside the routes: its waypoints, its limits, the trade-off
//! with its courses on a map of their own.

use minijinja::Value;
use serde::Serialize;

use super::choice::choice;
use super::frame::{Frame, route_class};
use super::labels::{FIGURE_SIZE, Taken};
use super::sheet::{Sheet, extent, points};
use super::svg::{Anchor, Drawing, Path, Point};
use super::tables::Table;
use crate::geodesy::Position;
use crate::report::shaped::{
    WAITING_PAYS, corners_rows, course_shaped, days_felt, drawn, few_courses, inland_said,
    trade_off_described, trade_off_rows,
};
use crate::report::wording::heads;
use crate::study::{LimitCost, RouteResult, Shaping, TradeOff};

/// The radius of the disc around a course's number, in the drawing's units.
const DISC: f64 = 9.0;
/// Places along a course where its number may stand, over the middle part of it.
const PLACES: usize = 31;

/// Weights of the courses' lines on the map, from the fastest to the gentlest.
const RANKS: usize = 4;

/// The parts a shaped course adds.
#[derive(Serialize)]
pub(super) struct ShapingParts {
    corners: Option<Table>,
    limits: Option<Table>,
    inland: Vec<String>,
    waiting: Option<&'static str>,
    choice: Option<TradeOffParts>,
}

/// The trade-off.
#[derive(Serialize)]
struct TradeOffParts {
    described: String,
    curve: Value,
    map: Value,
    table: Table,
    few: Option<&'static str>,
}

impl ShapingParts {
    pub(super) fn of(shaping: &Shaping) -> Self {
        let corners = course_shaped(shaping).map(|(route, passage)| {
            let (mut heading, rows) = corners_rows(passage);
            heading[0] = "Waypoint".to_owned();
            heading[1] = "Position".to_owned();
            let caption = format!("{}: the waypoints", route.name);
            Table::new(caption, heading, 2, vec![rows])
        });
        Self {
            corners,
            limits: limits(&shaping.shaped.limits),
            inland: shaping.shaped.inland_ends.iter().map(inland_said).collect(),
            waiting: shaping.shaped.waiting_pays.then_some(WAITING_PAYS),
            choice: shaping
                .trade_off
                .as_ref()
                .map(|trade_off| TradeOffParts::of(shaping, trade_off)),
        }
    }
}

/// The limits in force and what each costs; none where none is set.
fn limits(limits: &[LimitCost]) -> Option<Table> {
    let rows = limits.iter().map(|cost| {
        let days = days_felt(cost);
        let days = days.map_or("under 0.1".to_owned(), |days| format!("{days:.1}"));
        vec![cost.limit.clone(), days]
    });
    let rows: Vec<Vec<String>> = rows.collect();
    let caption = "What each limit costs, the others kept".to_owned();
    (!rows.is_empty())
        .then(|| Table::new(caption, heads(&["Limit", "Days it costs"]), 1, vec![rows]))
}

impl TradeOffParts {
    fn of(shaping: &Shaping, trade_off: &TradeOff) -> Self {
        let rows = trade_off_rows(shaping, trade_off);
        let mut heading = rows.heading;
        heading[0] = "Course".to_owned();
        let caption = format!("Days and shares of time, by {}", trade_off.hardship);
        Self {
            described: trade_off_described(trade_off.hardship),
            curve: Value::from_safe_string(choice(&shaping.comparison, trade_off)),
            map: Value::from_safe_string(courses(shaping, trade_off)),
            table: Table::new(caption, heading, 1, vec![rows.courses, rows.drawn]),
            few: few_courses(trade_off),
        }
    }
}

/// The map of a trade-off's courses, numbered, with the routes drawn, in both sizes.
fn courses(shaping: &Shaping, trade_off: &TradeOff) -> String {
    let courses = &trade_off.courses;
    let routes: Vec<&RouteResult> = drawn(shaping).collect();
    let ways = routes.iter().map(|result| &result.route);
    let ways = ways.chain(courses.iter().map(|course| &course.route));
    let lines: Vec<Vec<Position>> = ways.map(points).collect();
    let said = courses
        .iter()
        .map(|course| format!("{}: {}.", course.name, extent(&course.route)));
    Sheet::both(
        "map-courses",
        &format!("Map of the {} courses shaped", courses.len()),
        &said.collect::<Vec<_>>().join(" "),
        &lines,
        |_, _| (),
        |sheet, drawing, taken| {
            let (drawn, shaped) = sheet.lines.split_at(routes.len());
            // The gentlest first and thinnest, so that the fastest, the boldest, lies above.
            for (place, line) in shaped.iter().enumerate().rev() {
                let told = format!("{}: {}", courses[place].name, extent(&courses[place].route));
                let rank = place * RANKS / shaped.len();
                drawing.titled(&told, |drawing| {
                    drawing.path(&format!("course c{rank}"), &Path::open(line));
                });
            }
            for (index, line) in drawn.iter().enumerate() {
                drawing.path(&format!("line {}", route_class(index)), &Path::open(line));
            }
            sheet.ends(drawing, taken, courses.iter().map(|course| &course.route));
            // On a phone the numbers need the room; there the key above the map must do.
            if sheet.frame == Frame::Wide {
                for (index, route) in routes.iter().enumerate() {
                    sheet.name(drawing, taken, index, &route.name);
                }
            }
            for (course, line) in courses.iter().zip(shaped) {
                number(sheet, drawing, taken, course.number, line);
            }
        },
    )
}

/// A course's number on its line, where that is farthest from the others and there is room.
fn number(sheet: &Sheet, drawing: &mut Drawing, taken: &mut Taken, number: usize, line: &[Point]) {
    let (first, last) = (line.len() / 5, (4 * line.len() / 5).max(line.len() / 5));
    let own = sheet.lines.iter().position(|other| other == line);
    let place = |part: usize| line[first + (last - first) * part / (PLACES - 1)];
    // Beyond a disc's width it does not matter how far the others are; then nearer to the middle
    // is better.
    let merit = |part: &usize| {
        let clear = sheet.clearance(place(*part), |other| Some(other) != own);
        let aside = part.abs_diff(PLACES / 2) as f64 / PLACES as f64;
        clear.min(2.0 * DISC) - DISC * aside
    };
    let mut parts: Vec<usize> = (0..PLACES).collect();
    parts.sort_by(|a, b| merit(b).total_cmp(&merit(a)));
    let text = number.to_string();
    let free = parts
        .into_iter()
        .map(place)
        .find(|at| taken.take(*at, "00", FIGURE_SIZE + 3.0));
    if let Some([x, y]) = free {
        drawing.circle("disc", [x, y], DISC);
        drawing.text("figure", [x, y + 4.0], Anchor::Middle, &text);
    }
}
