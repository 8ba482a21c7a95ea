//! A map's sheet: which part of the Earth it shows, with coast, parallels and meridians, and the
//! lines on it.

use std::ops::Range;

use super::coast::{Window, land_path};
use super::frame::Frame;
use super::labels::{FIGURE_SIZE, Taken};
use super::projection::Projection;
use super::svg::{Anchor, Drawing, Path, Point};
use crate::geodesy::Position;
use crate::report::wording::grouped;
use crate::route::Route;
use crate::units::wrap_180_deg;

/// Points along a route are drawn no farther apart than this, in nautical miles.
const SPACING_NM: f64 = 30.0;
/// Meridians end short of the poles, where they would all meet.
const MERIDIANS_TO_DEG: i32 = 85;

/// A parallel or meridian: its degrees, and its points on the drawing.
type Line = (f64, Vec<Point>);

/// A map laid out in one size, before anything but its ground is drawn.
pub(super) struct Sheet {
    pub(super) frame: Frame,
    pub(super) projection: Projection,
    pub(super) window: Window,
    /// Each line's points on the drawing.
    pub(super) lines: Vec<Vec<Point>>,
}

impl Sheet {
    /// Draws a map of some lines in both sizes; nothing where they have no middle to look from.
    /// `ground` lies under the land, `draw` above it, where the figures of the parallels have taken
    /// their places.
    pub(super) fn both(
        id: &str,
        title: &str,
        description: &str,
        lines: &[Vec<Position>],
        ground: impl Fn(&Self, &mut Drawing),
        draw: impl Fn(&Self, &mut Drawing, &mut Taken),
    ) -> String {
        let projection = Projection::centred_on(lines.iter().flatten().copied())
            .or_else(|| Projection::centred_on(lines.iter().flatten().copied().take(1)));
        let Some(projection) = projection else {
            return String::new();
        };
        Frame::both(id, title, description, |frame| {
            Self::new(frame, projection, lines).draw(&ground, &draw)
        })
    }

    fn new(frame: Frame, projection: Projection, points: &[Vec<Position>]) -> Self {
        let projected: Vec<Vec<Point>> = points
            .iter()
            .map(|line| line.iter().map(|at| of(&projection, *at)).collect())
            .collect();
        let (mut least, mut most) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for at in projected.iter().flatten() {
            for axis in [0, 1] {
                least[axis] = least[axis].min(at[axis]);
                most[axis] = most[axis].max(at[axis]);
            }
        }
        // Room around the routes, and a window neither flat nor tall.
        let (left, top) = (frame.pick(38.0, 36.0), 4.0);
        let width = frame.width() - left - 2.0;
        let (wide, high) = (
            (most[0] - least[0]).max(0.01) * frame.pick(1.14, 1.18),
            (most[1] - least[1]).max(0.01) * frame.pick(1.4, 1.4),
        );
        // No taller than leaves the spread of days in the first screen.
        let height = (width * high / wide)
            .clamp(width * frame.pick(0.4, 0.6), width * frame.pick(0.58, 0.8));
        let scale = (width / wide).min(height / high);
        let centre = [
            left + width / 2.0 - scale * (least[0] + most[0]) / 2.0,
            top + height / 2.0 - scale * (least[1] + most[1]) / 2.0,
        ];
        let window = Window {
            left,
            top,
            width,
            height,
            centre,
            scale,
        };
        let lines = projected
            .into_iter()
            .map(|line| line.into_iter().map(|at| window.on_drawing(at)).collect())
            .collect();
        Self {
            frame,
            projection,
            window,
            lines,
        }
    }

    fn draw(
        &self,
        ground: impl Fn(&Self, &mut Drawing),
        content: impl Fn(&Self, &mut Drawing, &mut Taken),
    ) -> Drawing {
        let window = &self.window;
        let height = window.top + window.height + 20.0;
        let mut drawing = Drawing::new(self.frame.width(), height);
        let corner = [window.left, window.top];
        drawing.rectangle("sea", corner, window.width, window.height);
        let labels = self.graticule_labels();
        let mut taken = Taken::default();
        let latitudes = self.latitudes_within(&mut taken);
        drawing.window(corner, window.width, window.height, |drawing| {
            ground(self, drawing);
            drawing.path("land", &land_path(&self.projection, window));
            drawing.path("graticule", &self.graticule());
            content(self, drawing, &mut taken);
            for ([x, y], text) in latitudes {
                drawing.text("tick", [x, y + 4.0], Anchor::Middle, &text);
            }
        });
        drawing.rectangle("frame", corner, window.width, window.height);
        for (at, anchor, text) in labels {
            drawing.text("tick", at, anchor, &text);
        }
        drawing
    }

    pub(super) fn at(&self, latitude_deg: f64, longitude_deg: f64) -> Point {
        self.window
            .on_drawing(self.projection.point(latitude_deg, longitude_deg))
    }

    pub(super) fn place(&self, position: Position) -> Point {
        self.at(position.latitude_deg(), position.longitude_deg())
    }

    /// The distance from a point to the nearest of some lines.
    pub(super) fn clearance(&self, [x, y]: Point, among: impl Fn(usize) -> bool) -> f64 {
        let lines = self.lines.iter().enumerate();
        lines
            .filter(|(index, _)| among(*index))
            .flat_map(|(_, line)| line)
            .map(|at| (at[0] - x).hypot(at[1] - y))
            .fold(f64::INFINITY, f64::min)
    }
}

impl Sheet {
    /// Degrees between the lines of the graticule.
    fn graticule_deg(&self) -> f64 {
        let across_deg = (self.window.width / self.window.scale).to_degrees();
        let wanted = across_deg / self.frame.pick(11.0, 6.0);
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

    fn graticule(&self) -> Path {
        let [parallels, meridians] = self.graticule_lines();
        let mut path = Path::default();
        for (_, line) in parallels.iter().chain(&meridians) {
            for piece in in_sight(&self.window, line) {
                path.add(piece, false);
            }
        }
        path
    }

    /// Figures on the parallels within the window, for a parallel that bends stands elsewhere at the
    /// edge: near the middle, or else as near to it as is clear of the routes.
    fn latitudes_within(&self, taken: &mut Taken) -> Vec<(Point, String)> {
        const CLEAR: f64 = 24.0;
        const INSIDE: f64 = 30.0;
        let window = &self.window;
        let middle = window.left + window.width / 2.0;
        let [parallels, _] = self.graticule_lines();
        let labels = parallels.into_iter().filter_map(|(latitude_deg, line)| {
            let text = degrees(latitude_deg, ["N", "S"]);
            let mut places: Vec<Point> = line
                .into_iter()
                .filter(|[x, y]| {
                    (window.left + INSIDE..window.left + window.width - INSIDE).contains(x)
                        && (window.top + 12.0..window.top + window.height - 12.0).contains(y)
                })
                .collect();
            places.sort_by(|a, b| (a[0] - middle).abs().total_cmp(&(b[0] - middle).abs()));
            let at = places.into_iter().find(|at| {
                self.clearance(*at, |_| true) > CLEAR && taken.take(*at, &text, FIGURE_SIZE)
            })?;
            Some((at, text))
        });
        labels.collect()
    }

    /// Figures where parallels meet the left edge and meridians the foot.
    fn graticule_labels(&self) -> Vec<(Point, Anchor, String)> {
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

fn of(projection: &Projection, position: Position) -> Point {
    projection.point(position.latitude_deg(), position.longitude_deg())
}

/// Points along a route, its waypoints among them.
pub(super) fn points(route: &Route) -> Vec<Position> {
    let mut points = Vec::new();
    for leg in route.legs() {
        let length_nm = leg.track.length_nm();
        let parts = (length_nm / SPACING_NM).ceil().max(1.0) as u32;
        points.push(leg.track.from());
        points.extend((1..parts).filter_map(|part| {
            let run_nm = length_nm * f64::from(part) / f64::from(parts);
            Some(leg.track.at_nm(run_nm)?.position)
        }));
    }
    points.extend(route.legs().last().map(|leg| leg.track.to()));
    points
}

/// How long a route is and how far it goes to either side, in words.
pub(super) fn extent(route: &Route) -> String {
    let latitudes_deg = || {
        points(route)
            .into_iter()
            .map(|at| at.latitude_deg().round())
    };
    format!(
        "{} nm, between {} and {}",
        grouped(route.length_nm()),
        degrees(
            latitudes_deg().fold(f64::NEG_INFINITY, f64::max),
            ["N", "S"]
        ),
        degrees(latitudes_deg().fold(f64::INFINITY, f64::min), ["N", "S"])
    )
}

/// Degrees with a letter, or bare where there is no side to name.
pub(super) fn degrees(value: f64, [positive, negative]: [&str; 2]) -> String {
    let letter = match value {
        0.0 | -180.0 => "",
        v if v < 0.0 => negative,
        _ => positive,
    };
    format!("{:.0}°{letter}", value.abs())
}
