//! The map's parallels and meridians, and their degrees along its edges.

use std::ops::Range;

use super::coast::Window;
use super::labels::{FIGURE_SIZE, Taken};
use super::sheet::{Sheet, degrees};
use super::svg::{Anchor, Path, Point};
use crate::units::wrap_180_deg;

/// Meridians end short of the poles, where they would all meet.
const MERIDIANS_TO_DEG: i32 = 85;

/// A parallel or meridian: its degrees, and its points on the drawing.
type Line = (f64, Vec<Point>);

impl Sheet {
    /// Degrees between the lines of the graticule.
    fn graticule_deg(&self) -> f64 {
        let across_deg = (self.window.width / self.window.scale).to_degrees();
        let wanted = across_deg / self.frame.pick(8.0, 5.0);
        [1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0]
            .into_iter()
            .find(|step| *step >= wanted)
            .unwrap_or(30.0)
    }

    /// The parallels and meridians, each as points on the drawing with its degrees.
    fn graticule_lines(&self) -> [Vec<Line>; 2] {
        let step = self.graticule_deg();
        let count = (90.0 / step).ceil() as i32 - 1;
        let degrees = |n: i32| f64::from(n) * step;
        let parallels = (-count..=count)
            .map(|n| {
                // Begun opposite the centre, where a line is seldom in sight.
                let east = |part: i32| self.projection.centre_longitude_deg() + f64::from(part);
                let line = (-180..=180).map(|part| self.at(degrees(n), east(part)));
                (degrees(n), line.collect())
            })
            .collect();
        let meridians = (0..(360.0 / step) as i32)
            .map(|n| {
                let line = (-MERIDIANS_TO_DEG..=MERIDIANS_TO_DEG)
                    .map(|latitude_deg| self.at(f64::from(latitude_deg), degrees(n)));
                (degrees(n), line.collect())
            })
            .collect();
        [parallels, meridians]
    }

    pub(super) fn graticule(&self) -> Path {
        let [parallels, meridians] = self.graticule_lines();
        let mut path = Path::default();
        for (_, line) in parallels.iter().chain(&meridians) {
            for piece in in_sight(&self.window, line) {
                path.add(piece, false);
            }
        }
        path
    }

    /// Figures where parallels meet the left edge and meridians the foot.
    pub(super) fn graticule_labels(&self) -> Vec<(Point, Anchor, String)> {
        let window = &self.window;
        let bottom = window.top + window.height;
        let [parallels, meridians] = self.graticule_lines();
        let mut labels = Vec::new();
        // Toward a pole the lines crowd together.
        let mut taken = Taken::default();
        for (latitude_deg, line) in parallels {
            let in_sight = window.top + 6.0..bottom - 2.0;
            if let Some(y) = crossing(&line, 0, window.left, in_sight) {
                let text = degrees(latitude_deg, ["N", "S"]);
                if taken.take([window.left / 2.0, y], &text, FIGURE_SIZE) {
                    labels.push(([window.left - 5.0, y + 4.0], Anchor::End, text));
                }
            }
        }
        for (longitude_deg, line) in meridians {
            let longitude_deg = wrap_180_deg(longitude_deg);
            let in_sight = window.left + 10.0..window.left + window.width - 12.0;
            if let Some(x) = crossing(&line, 1, bottom, in_sight) {
                let text = degrees(longitude_deg, ["E", "W"]);
                // A letter's room between one and the next.
                if taken.take([x, bottom + 11.0], &format!("{text}m"), FIGURE_SIZE) {
                    labels.push(([x, bottom + 15.0], Anchor::Middle, text));
                }
            }
        }
        labels
    }
}

/// The pieces of a line that are in the window or next to it.
fn in_sight<'a>(window: &Window, line: &'a [Point]) -> Vec<&'a [Point]> {
    let seen = |index: usize| {
        let from = index.saturating_sub(1);
        line[from..(index + 2).min(line.len())]
            .iter()
            .any(|at| window.holds(*at))
    };
    let mut pieces = Vec::new();
    let mut start = None;
    for index in 0..line.len() {
        match (seen(index), start) {
            (true, None) => start = Some(index),
            (false, Some(from)) => {
                pieces.push(&line[from..index]);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        pieces.push(&line[from..]);
    }
    pieces
}

/// Where a line first crosses an edge within a stretch of it: the other coordinate there.
fn crossing(line: &[Point], axis: usize, edge: f64, stretch: Range<f64>) -> Option<f64> {
    line.windows(2).find_map(|ends| {
        let (from, to) = (ends[0], ends[1]);
        let crosses = (from[axis] > edge) != (to[axis] > edge);
        let share = (edge - from[axis]) / (to[axis] - from[axis]);
        let across = from[1 - axis] + share * (to[1 - axis] - from[1 - axis]);
        (crosses && stretch.contains(&across)).then_some(across)
    })
}
