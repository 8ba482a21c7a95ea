//! The trade-off: every course's days against its share of one hardship.

use super::frame::{Frame, Panel, Scale, route_mark};
use super::labels::{FIGURE_SIZE, NAME_SIZE, Taken, fitted, width};
use super::svg::{Anchor, Drawing, Path, Point};
use crate::passage::ExpectedPassage;
use crate::report::shaped::capital;
use crate::report::wording::{percent, short};
use crate::shaping::Hardship;
use crate::study::{Comparison, TradeOff};

/// The least span of days and of shares the picture shows, so that the figures along its axes, with
/// one decimal, differ.
const LEAST_SPAN_DAYS: f64 = 0.5;
const LEAST_SHARE: f64 = 0.005;
/// Room beside the outermost marks, as a part of the span of days.
const ROOM: f64 = 0.07;
/// The radius of a course's mark, and the size of a route's, in the drawing's units.
const DOT: f64 = 3.6;
const ROUTE_MARK: f64 = 8.0;
/// How far from its mark a word may stand, in the drawing's units; farther than the first it is
/// tied to it by a line.
const AWAY: [f64; 5] = [5.0, 14.0, 26.0, 40.0, 58.0];
/// The directions in which a word is tried, in degrees counter-clockwise from the right: away from
/// the curve first.
const DIRECTIONS_DEG: [f64; 12] = [
    45.0, 0.0, 90.0, 20.0, 70.0, 225.0, 270.0, 180.0, 250.0, 200.0, 135.0, 315.0,
];

/// A mark on the picture.
struct Spot<'a> {
    /// The name or number beside it.
    label: String,
    name: &'a str,
    days: f64,
    /// 0 to 1.
    share: f64,
    /// Its place among the voyage's routes, for a route; none for a course of the trade-off.
    route: Option<usize>,
}

impl<'a> Spot<'a> {
    fn new(
        name: &'a str,
        label: String,
        passage: &ExpectedPassage,
        hardship: Hardship,
        route: Option<usize>,
    ) -> Self {
        Self {
            label,
            name,
            days: passage.days,
            share: hardship.share(&passage.exposure),
            route,
        }
    }
}

/// The picture in both sizes; empty where no course arrives.
pub(super) fn choice(comparison: &Comparison, trade_off: &TradeOff) -> String {
    let hardship = trade_off.hardship;
    let courses = trade_off.courses.iter();
    let courses: Vec<Spot<'_>> = courses
        .map(|course| {
            let number = course.number.to_string();
            Spot::new(&course.name, number, &course.expected, hardship, None)
        })
        .collect();
    if courses.is_empty() {
        return String::new();
    }
    let routes = comparison.routes.iter().enumerate();
    let routes: Vec<Spot<'_>> = routes
        .filter_map(|(index, route)| {
            let passage = route.expected.as_ref()?;
            let label = route.name.clone();
            Some(Spot::new(
                &route.name,
                label,
                passage,
                hardship,
                Some(index),
            ))
        })
        .collect();
    let said: Vec<String> = courses.iter().chain(&routes).map(describe).collect();
    Frame::both(
        "choice",
        &format!("Days against the share of time with {hardship}"),
        &said.join(" "),
        |frame| draw(&courses, &routes, hardship, frame),
    )
}

fn describe(spot: &Spot<'_>) -> String {
    format!(
        "{}: {:.1} days, {}.",
        spot.name,
        spot.days,
        percent(spot.share)
    )
}

fn draw(courses: &[Spot<'_>], routes: &[Spot<'_>], hardship: Hardship, frame: Frame) -> Drawing {
    let spots = || courses.iter().chain(routes);
    let (quickest, slowest) = spots().fold((f64::INFINITY, 0.0), |(least, most), spot| {
        (f64::min(least, spot.days), f64::max(most, spot.days))
    });
    let worst = spots().map(|spot| spot.share).fold(LEAST_SHARE, f64::max);
    let span = slowest - quickest;
    let room = (ROOM * span).max((LEAST_SPAN_DAYS - span) / 2.0);
    let (left, right) = (42.0, frame.width() - 8.0);
    let (top, bottom) = (30.0, frame.pick(350.0, 290.0));
    let panel = Panel {
        x: Scale::new([quickest - room, slowest + room], [left, right]),
        y: Scale::new([0.0, 1.08 * worst], [bottom, top]),
        left,
        right,
        bottom,
    };
    let mut drawing = Drawing::new(frame.width(), bottom + 42.0);
    let name = format!("{}: share of the time", capital(hardship.name()));
    drawing.text("panel", [0.0, 14.0], Anchor::Start, &name);
    panel.levels(&mut drawing, 6.0, 100.0, " %");
    let days: Vec<(f64, String)> = panel
        .x
        .ticks(frame.pick(9.0, 5.0))
        .into_iter()
        .map(|days| (days, short(days)))
        .collect();
    panel.foot(&mut drawing, &days);
    let foot = [(left + right) / 2.0, bottom + 35.0];
    drawing.text("tick", foot, Anchor::Middle, "days on the mean wind");

    let place = |spot: &Spot<'_>| panel.point(spot.days, spot.share);
    let curve: Vec<Point> = courses.iter().map(place).collect();
    drawing.path("course", &Path::open(&curve));
    let mut taken = Taken::default();
    for at in along(&curve) {
        taken.block(at, 2.0);
    }
    for spot in routes {
        let index = spot.route.unwrap_or_default();
        drawing.titled(&describe(spot), |drawing| {
            route_mark(drawing, index, place(spot), ROUTE_MARK);
        });
        taken.block(place(spot), ROUTE_MARK);
    }
    for (course, at) in courses.iter().zip(&curve) {
        drawing.titled(&describe(course), |drawing| drawing.circle("dot", *at, DOT));
        taken.block(*at, DOT);
    }
    // Long words are harder to place than numbers.
    for spot in routes.iter().chain(courses) {
        label(&mut drawing, &mut taken, &panel, top, spot);
    }
    drawing
}

/// Points close to one another along lines.
fn along(line: &[Point]) -> impl Iterator<Item = Point> {
    const APART: f64 = 4.0;
    line.windows(2).flat_map(|ends| {
        let step = [0, 1].map(|axis| ends[1][axis] - ends[0][axis]);
        let parts = (step[0].hypot(step[1]) / APART).ceil().max(1.0) as u32;
        let from = ends[0];
        (0..=parts).map(move |part| {
            let share = f64::from(part) / f64::from(parts);
            [0, 1].map(|axis| from[axis] + share * step[axis])
        })
    })
}

/// The name or number of a mark, as near to it as there is room.
fn label(drawing: &mut Drawing, taken: &mut Taken, panel: &Panel, top: f64, spot: &Spot<'_>) {
    let (size, class, radius) = match spot.route {
        Some(_) => (NAME_SIZE, "route-name", ROUTE_MARK),
        None => (FIGURE_SIZE, "figure", DOT),
    };
    let Some(text) = fitted(&spot.label, (panel.right - panel.left) / 2.0) else {
        return;
    };
    let [x, y] = panel.point(spot.days, spot.share);
    let half = width(&text, size) / 2.0;
    let candidates = AWAY.iter().flat_map(|away| {
        DIRECTIONS_DEG.iter().map(move |direction_deg| {
            let (sine, cosine) = direction_deg.to_radians().sin_cos();
            let reach = radius + away;
            let at = [x + cosine * (reach + half), y - sine * (reach + 0.5 * size)];
            (*away, at)
        })
    });
    let inside = |[x, y]: Point| {
        (panel.left + half + 2.0..=panel.right - half).contains(&x)
            && (top..=panel.bottom - size).contains(&y)
    };
    let free = candidates
        .filter(|(_, at)| inside(*at))
        .find(|(_, at)| taken.take(*at, &text, size));
    let Some((away, at)) = free else { return };
    if away > AWAY[0] {
        let length = (at[0] - x).hypot(at[1] - y).max(1e-9);
        let towards = [(at[0] - x) / length, (at[1] - y) / length];
        let to = length - half.min(size);
        drawing.line(
            "axis",
            [x + radius * towards[0], y + radius * towards[1]],
            [x + to * towards[0], y + to * towards[1]],
        );
    }
    drawing.text(class, [at[0], at[1] + 4.0], Anchor::Middle, &text);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(number: usize, days: f64, share: f64) -> Spot<'static> {
        Spot {
            label: number.to_string(),
            name: "",
            days,
            share,
            route: None,
        }
    }

    #[test]
    fn courses_that_lie_on_one_another_are_all_numbered() {
        let courses: Vec<Spot<'_>> = (1..=12)
            .map(|number| {
                spot(
                    number,
                    43.0 + 0.01 * number as f64,
                    0.4 - 0.001 * number as f64,
                )
            })
            .chain([spot(13, 47.0, 0.05)])
            .collect();
        for frame in Frame::BOTH {
            let drawing = draw(&courses, &[], Hardship::Headwind, frame);
            let svg = drawing.finish("x", "", "", "");
            for number in 1..=13 {
                assert!(svg.contains(&format!(">{number}</text>")), "{number}");
            }
            assert_eq!(svg.matches("class=\"dot\"").count(), 13);
        }
    }

    #[test]
    fn one_course_alone_is_shown() {
        let svg = draw(&[spot(1, 43.2, 0.0)], &[], Hardship::Gale, Frame::Narrow);
        let svg = svg.finish("x", "", "", "");
        assert!(svg.contains(">1</text>") && !svg.contains("NaN"), "{svg}");
        for figure in ["43.1", "43.2", "0.1 %", "0.2 %"] {
            let times = svg.matches(&format!(">{figure}</text>")).count();
            assert_eq!(times, 1, "{figure}");
        }
    }
}
