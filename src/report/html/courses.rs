//! The courses of a trade-off on a map of their own: numbered, with the routes drawn beside them.

use super::frame::{Frame, route_class};
use super::labels::{FIGURE_SIZE, Taken};
use super::sheet::{Sheet, degrees, points};
use super::svg::{Anchor, Drawing, Path, Point};
use crate::geodesy::Position;
use crate::report::shaped::ShapedStudy;
use crate::report::trade_off::{Choice, TradeOff};
use crate::report::wording::grouped;

/// The disc a course's number stands in, in the drawing's units.
const DISC: f64 = 9.0;
/// Places along a course where its number may stand, over the middle part of it.
const PLACES: usize = 31;

/// The map in both sizes.
pub(super) fn courses(shaped: &ShapedStudy<'_>, trade_off: &TradeOff<'_>) -> String {
    let choices: Vec<Choice<'_>> = trade_off.arriving().collect();
    let drawn = &shaped.study.voyage.routes[..shaped.drawn()];
    let ways = choices.iter().map(|choice| choice.route);
    let lines: Vec<Vec<Position>> = drawn.iter().chain(ways).map(points).collect();
    let said: Vec<String> = choices.iter().map(describe).collect();
    Sheet::both(
        "map-courses",
        &format!("Map of the {} courses shaped", choices.len()),
        &said.join(" "),
        &lines,
        |sheet, drawing| {
            let (routes, courses) = sheet.lines.split_at(drawn.len());
            for line in courses {
                drawing.path("course", &Path::open(line));
            }
            for (index, line) in routes.iter().enumerate() {
                drawing.path(&format!("line {}", route_class(index)), &Path::open(line));
            }
            let mut taken = Taken::default();
            let ends: Vec<_> = choices.iter().map(|choice| choice.route.clone()).collect();
            sheet.ends(drawing, &mut taken, &ends);
            // On a phone the numbers need the room; there the key above the map must do.
            if sheet.frame == Frame::Wide {
                for (index, route) in drawn.iter().enumerate() {
                    sheet.name(drawing, &mut taken, index, route.name());
                }
            }
            for (choice, line) in choices.iter().zip(courses) {
                number(sheet, drawing, &mut taken, choice.number, line);
            }
        },
    )
}

/// How far a course goes to either side, in words.
fn describe(choice: &Choice<'_>) -> String {
    let latitudes_deg: Vec<f64> = points(choice.route)
        .iter()
        .map(|at| at.latitude_deg().round())
        .collect();
    let north = latitudes_deg
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let south = latitudes_deg.iter().copied().fold(f64::INFINITY, f64::min);
    format!(
        "{}: {} nm, between {} and {}.",
        choice.route.name(),
        grouped(choice.passage.distance_nm),
        degrees(north, ["N", "S"]),
        degrees(south, ["N", "S"])
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
