//! A map's sheet: which part of the Earth it shows, over coast and graticule, and the lines on it.

use super::coast::{Window, land_path};
use super::frame::Frame;
use super::projection::Projection;
use super::svg::{Drawing, Point};
use crate::geodesy::Position;
use crate::route::Route;

/// Points along a route are drawn no farther apart than this, in nautical miles.
const SPACING_NM: f64 = 30.0;

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
    pub(super) fn both(
        id: &str,
        title: &str,
        description: &str,
        lines: &[Vec<Position>],
        draw: impl Fn(&Self, &mut Drawing),
    ) -> String {
        let projection = Projection::centred_on(lines.iter().flatten().copied())
            .or_else(|| Projection::centred_on(lines.iter().flatten().copied().take(1)));
        let Some(projection) = projection else {
            return String::new();
        };
        Frame::both(id, title, description, |frame| {
            Self::new(frame, projection, lines).draw(&draw)
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
            (most[0] - least[0]).max(0.01) * frame.pick(1.16, 1.2),
            (most[1] - least[1]).max(0.01) * frame.pick(1.3, 1.3),
        );
        let height = (width * high / wide).clamp(
            width * frame.pick(0.52, 0.85),
            width * frame.pick(0.85, 1.3),
        );
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

    fn draw(&self, content: impl Fn(&Self, &mut Drawing)) -> Drawing {
        let window = &self.window;
        let height = window.top + window.height + 20.0;
        let mut drawing = Drawing::new(self.frame.width(), height);
        let corner = [window.left, window.top];
        drawing.rectangle("sea", corner, window.width, window.height);
        let labels = self.graticule_labels();
        drawing.window(corner, window.width, window.height, |drawing| {
            drawing.path("land", &land_path(&self.projection, window));
            drawing.path("graticule", &self.graticule());
            content(self, drawing);
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

/// Degrees with a letter, or bare where there is no side to name.
pub(super) fn degrees(value: f64, [positive, negative]: [&str; 2]) -> String {
    let letter = match value {
        0.0 | -180.0 => "",
        v if v < 0.0 => negative,
        _ => positive,
    };
    format!("{:.0}°{letter}", value.abs())
}
