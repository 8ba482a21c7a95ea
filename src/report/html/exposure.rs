//! What is met on the way: shares of time against the days out.

use super::frame::{Frame, Panel, Scale, mark, route_class, spread_apart};
use super::labels::fitted;
use super::svg::{Anchor, Drawing, Path, Point};
use crate::passage::{ExpectedPassage, Exposure, Walk};
use crate::report::Study;
use crate::report::wording::percent;

/// One kind of exposure: its name, its share, and the least share the axis reaches up to.
type Kind = (&'static str, fn(&Exposure) -> f64, f64);

const KINDS: [Kind; 3] = [
    (
        "Headwind: under 60° off the course",
        |share| share.headwind,
        0.2,
    ),
    ("Light air: under 6 kn", |share| share.light_air, 0.1),
    ("Gale: 34 kn or more", |share| share.gale, 0.02),
];

/// A route that arrives.
struct Arriving<'a> {
    index: usize,
    name: &'a str,
    passage: &'a ExpectedPassage,
}

/// The picture in both sizes; empty where no route arrives.
pub(super) fn exposure(study: &Study<'_>) -> String {
    let routes = study.voyage.routes.iter().zip(study.walks).enumerate();
    let arriving: Vec<Arriving<'_>> = routes
        .filter_map(|(index, (route, walk))| match walk {
            Walk::Arrives(passage) => Some(Arriving {
                index,
                name: route.name(),
                passage,
            }),
            Walk::Stalls(_) => None,
        })
        .collect();
    if arriving.is_empty() {
        return String::new();
    }
    let said: Vec<String> = arriving.iter().map(describe).collect();
    Frame::both(
        "exposure",
        "Headwind, light air and gale along the track",
        &said.join(" "),
        |frame| draw(&arriving, frame),
    )
}

/// Where each kind is worst.
fn describe(route: &Arriving<'_>) -> String {
    let worst = KINDS.map(|(name, share, _)| {
        let segments = route.passage.segments.iter();
        let (most, day) = segments.fold((0.0, 0.0), |(most, day), segment| {
            let here = share(&segment.exposure);
            if here > most {
                (here, middle_days(segment))
            } else {
                (most, day)
            }
        });
        let kind = name.split(':').next().unwrap_or(name).to_lowercase();
        format!(
            "{kind} at most {} of the time, on day {day:.0}",
            percent(most)
        )
    });
    format!("{}: {}.", route.name, worst.join("; "))
}

fn middle_days(segment: &crate::passage::ExpectedSegment) -> f64 {
    (segment.start_hours + segment.hours / 2.0) / 24.0
}

fn draw(routes: &[Arriving<'_>], frame: Frame) -> Drawing {
    let longest_days = routes
        .iter()
        .map(|route| route.passage.days())
        .fold(0.0, f64::max);
    let (left, right) = (42.0, frame.width() - frame.pick(110.0, 14.0));
    let (head, height, gap) = (24.0, frame.pick(96.0, 88.0), 16.0);
    let x = Scale::new([0.0, longest_days], [left, right]);
    let whole = KINDS.len() as f64 * (head + height + gap) + 26.0;
    let mut drawing = Drawing::new(frame.width(), whole);
    let days: Vec<(f64, String)> = x
        .ticks(frame.pick(8.0, 5.0))
        .into_iter()
        .map(|day| (day, crate::report::wording::short(day)))
        .collect();
    let mut top = 0.0;
    for (number, (name, share, least)) in KINDS.into_iter().enumerate() {
        let highest = routes
            .iter()
            .flat_map(|route| &route.passage.segments)
            .map(|segment| share(&segment.exposure))
            .fold(least, f64::max);
        let (panel_top, bottom) = (top + head, top + head + height);
        let panel = Panel {
            x,
            y: Scale::new([0.0, highest], [bottom, panel_top]),
            left,
            right,
            bottom,
        };
        drawing.text("panel", [0.0, top + 14.0], Anchor::Start, name);
        panel.levels(&mut drawing, 4.0, 100.0, " %");
        lines(&mut drawing, routes, &panel, share, frame);
        let last = number + 1 == KINDS.len();
        panel.foot(&mut drawing, if last { &days } else { &[] });
        if last {
            let place = [(left + right) / 2.0, bottom + 34.0];
            drawing.text("tick", place, Anchor::Middle, "days out");
        }
        top = bottom + gap;
    }
    drawing
}

fn lines(
    drawing: &mut Drawing,
    routes: &[Arriving<'_>],
    panel: &Panel,
    share: fn(&Exposure) -> f64,
    frame: Frame,
) {
    let mut ends = Vec::new();
    for (place, route) in routes.iter().enumerate() {
        let points: Vec<Point> = route
            .passage
            .segments
            .iter()
            .map(|segment| panel.point(middle_days(segment), share(&segment.exposure)))
            .collect();
        drawing.path(
            &format!("line {}", route_class(route.index)),
            &Path::open(&points),
        );
        // Marks every few days, so that a line is known where lines cross.
        let marks = frame.pick(6, 4);
        for number in 1..=marks {
            let at = points[(points.len() - 1) * number / marks];
            let class = format!("mark m{}", route.index % 4);
            drawing.path(&class, &mark(route.index, at, 3.6));
        }
        if let Some(last) = points.last() {
            ends.push((last[1], place));
        }
    }
    // On a phone there is no room beside the lines: there the key above the picture must do.
    if frame == Frame::Narrow {
        return;
    }
    let ends_x: Vec<f64> = routes
        .iter()
        .map(|route| panel.x.at(route.passage.days()))
        .collect();
    spread_apart(&mut ends, 14.0, panel.bottom);
    let beyond = ends_x.iter().copied().fold(0.0, f64::max) + 8.0;
    let start = beyond + 14.0;
    let names: Vec<Option<String>> = routes
        .iter()
        .map(|route| fitted(route.name, frame.width() - start))
        .collect();
    for (y, place) in ends {
        let route = &routes[place];
        let class = format!("mark m{}", route.index % 4);
        drawing.path(&class, &mark(route.index, [beyond + 4.0, y], 4.0));
        // A name of which no more is left than of another says nothing the mark does not.
        let alike = names.iter().filter(|name| **name == names[place]).count();
        if let (Some(name), 1) = (&names[place], alike) {
            drawing.text("route-name", [start, y + 4.0], Anchor::Start, name);
        }
    }
}
