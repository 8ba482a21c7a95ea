//! Land on the map: the outlines, projected and cut to the map's window.

use super::projection::Projection;
use super::svg::{Path, Point};
use crate::geodesy::Position;
use crate::route::Land;

/// Beyond this distance from the centre, of the 2 radii at which the whole Earth ends in one point,
/// outlines run along the rim.
const RIM_RADII: f64 = 1.98;
/// The greatest stretch of an outline drawn straight, in degrees.
const STRETCH_DEG: f64 = 1.0;
/// Along the rim the outlines turn by so much at a time.
const RIM_TURN_RAD: f64 = 0.2;
/// Corners nearer to each other than this are drawn as one, in the drawing's units.
const FINEST: f64 = 0.45;
/// Outlines are cut this far outside the window, so that their cut edges are out of sight.
const MARGIN: f64 = 4.0;

/// The part of the drawing the map fills, and how it is scaled.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
    /// Where the projection's centre lies on the drawing.
    pub centre: Point,
    /// Units of the drawing to a radius of the Earth.
    pub scale: f64,
}

impl Window {
    /// From the projection to the drawing.
    pub(super) fn on_drawing(&self, [x, y]: Point) -> Point {
        [
            self.centre[0] + self.scale * x,
            self.centre[1] + self.scale * y,
        ]
    }

    /// From the drawing to the projection.
    pub(super) fn on_map(&self, [x, y]: Point) -> Point {
        [
            (x - self.centre[0]) / self.scale,
            (y - self.centre[1]) / self.scale,
        ]
    }

    pub(super) fn holds(&self, [x, y]: Point) -> bool {
        (self.left..=self.left + self.width).contains(&x)
            && (self.top..=self.top + self.height).contains(&y)
    }
}

/// All land in the window, as one path to be filled by the even-odd rule.
pub(super) fn land_path(projection: &Projection, window: &Window) -> Path {
    let mut path = Path::default();
    for outline in land_outlines(projection, window) {
        path.add(&outline, true);
    }
    path
}

/// The outlines in the window; land lies within an odd number of them.
fn land_outlines(projection: &Projection, window: &Window) -> Vec<Vec<Point>> {
    let mut outlines = Vec::new();
    let mut at_centre = false;
    for ring in Land::rings() {
        let outline = project(&ring, projection);
        at_centre ^= encloses(&outline, [0.0, 0.0]);
        let drawn: Vec<Point> = outline.iter().map(|at| window.on_drawing(*at)).collect();
        let cut = thinned(&cut_to(window, drawn));
        if cut.len() > 2 {
            outlines.push(cut);
        }
    }
    // A ring that goes round the far side of the Earth comes out as its outside: then land and sea
    // are the wrong way about, and the whole window turns them round again.
    let (latitude_deg, longitude_deg) = projection.place([0.0, 0.0]).unwrap_or_default();
    let centre = Position::new(latitude_deg, crate::units::wrap_180_deg(longitude_deg));
    let is_land = centre.is_ok_and(|centre| Land::natural_earth().covers(centre));
    if at_centre != is_land {
        outlines.push(corners(window).to_vec());
    }
    outlines
}

fn corners(window: &Window) -> [Point; 4] {
    let (left, top) = (window.left - MARGIN, window.top - MARGIN);
    let right = window.left + window.width + MARGIN;
    let bottom = window.top + window.height + MARGIN;
    [[left, top], [right, top], [right, bottom], [left, bottom]]
}

/// A ring on the map, its long stretches bent as they must be and kept within the rim.
fn project(ring: &[Position], projection: &Projection) -> Vec<Point> {
    let mut outline: Vec<Point> = Vec::with_capacity(ring.len());
    let mut before = None;
    for corner in ring.iter().chain(ring.first()) {
        let (latitude_deg, mut longitude_deg) = (corner.latitude_deg(), corner.longitude_deg());
        if let Some((from_lat, from_lon)) = before {
            longitude_deg = from_lon + crate::units::wrap_180_deg(longitude_deg - from_lon);
            let span_deg = f64::max(
                f64::abs(latitude_deg - from_lat),
                f64::abs(longitude_deg - from_lon),
            );
            let parts = (span_deg / STRETCH_DEG).ceil().max(1.0) as u32;
            for part in 1..=parts {
                let share = f64::from(part) / f64::from(parts);
                let at = projection.point(
                    from_lat + share * (latitude_deg - from_lat),
                    from_lon + share * (longitude_deg - from_lon),
                );
                push_within_rim(&mut outline, at);
            }
        } else {
            push_within_rim(&mut outline, projection.point(latitude_deg, longitude_deg));
        }
        before = Some((latitude_deg, longitude_deg));
    }
    outline
}

fn push_within_rim(outline: &mut Vec<Point>, [x, y]: Point) {
    let from_centre = x.hypot(y);
    if from_centre <= RIM_RADII {
        outline.push([x, y]);
        return;
    }
    let on_rim = |angle: f64| [RIM_RADII * angle.cos(), RIM_RADII * angle.sin()];
    let to = y.atan2(x);
    if let Some(&[last_x, last_y]) = outline.last()
        && last_x.hypot(last_y) > RIM_RADII - RIM_TURN_RAD
    {
        let from = last_y.atan2(last_x);
        let turn = (to - from + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU)
            - std::f64::consts::PI;
        let parts = (turn.abs() / RIM_TURN_RAD).floor() as u32;
        for part in 1..=parts {
            outline.push(on_rim(from + turn * f64::from(part) / f64::from(parts + 1)));
        }
    }
    outline.push(on_rim(to));
}

/// Whether a point lies within an outline: whether a line from it to the right crosses the outline
/// an odd number of times.
fn encloses(outline: &[Point], [x, y]: Point) -> bool {
    let mut inside = false;
    for (index, [x1, y1]) in outline.iter().enumerate() {
        let [x0, y0] = outline[(index + outline.len() - 1) % outline.len()];
        if (y0 > y) != (*y1 > y) && x0 + (x1 - x0) * (y - y0) / (y1 - y0) > x {
            inside = !inside;
        }
    }
    inside
}

/// Cuts an outline to the window, one edge after the other.
///
/// Source: I. E. Sutherland and G. W. Hodgman, Reentrant polygon clipping, Communications of the
/// ACM 17, 1974; from memory.
fn cut_to(window: &Window, outline: Vec<Point>) -> Vec<Point> {
    let [[left, top], _, [right, bottom], _] = corners(window);
    let mut outline = outline;
    for (axis, edge, keep_above) in [
        (0, left, true),
        (0, right, false),
        (1, top, true),
        (1, bottom, false),
    ] {
        let inside = |at: &Point| (at[axis] >= edge) == keep_above || at[axis] == edge;
        let mut kept = Vec::with_capacity(outline.len());
        for (index, to) in outline.iter().enumerate() {
            let from = &outline[(index + outline.len() - 1) % outline.len()];
            if inside(from) != inside(to) {
                let share = (edge - from[axis]) / (to[axis] - from[axis]);
                kept.push([0, 1].map(|i| from[i] + share * (to[i] - from[i])));
            }
            if inside(to) {
                kept.push(*to);
            }
        }
        outline = kept;
    }
    outline
}

/// Leaves out corners too near the last one kept to be told apart.
fn thinned(outline: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for at in outline {
        let near = kept
            .last()
            .is_some_and(|last| (at[0] - last[0]).hypot(at[1] - last[1]) < FINEST);
        if !near {
            kept.push(*at);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(scale: f64) -> Window {
        Window {
            left: 0.0,
            top: 0.0,
            width: 200.0,
            height: 100.0,
            centre: [100.0, 50.0],
            scale,
        }
    }

    #[test]
    fn an_outline_is_cut_to_the_window() {
        let wide = [[-500.0, 20.0], [500.0, 20.0], [500.0, 60.0], [-500.0, 60.0]];
        let cut = cut_to(&window(1.0), wide.to_vec());
        assert_eq!(cut.len(), 4);
        for [x, _] in cut {
            assert!(x == -MARGIN || x == 200.0 + MARGIN);
        }
        assert!(cut_to(&window(1.0), vec![[300.0, 0.0], [310.0, 0.0], [310.0, 9.0]]).is_empty());
    }

    /// The picture's outlines against the look-up of land, on a lattice of points. Corners are
    /// thinned to half a unit, so a few points by a coast may differ.
    #[test]
    fn land_is_filled_and_sea_is_not_wherever_the_map_is_centred() {
        const MAY_DIFFER: f64 = 0.02;
        for (latitude_deg, longitude_deg) in [
            (-30.0, 75.0),
            (-25.0, 135.0),
            (40.0, -40.0),
            (50.0, 100.0),
            (0.0, -150.0),
            (-89.0, 0.0),
            (88.0, 0.0),
        ] {
            let place = Position::new(latitude_deg, longitude_deg).unwrap();
            let projection = Projection::centred_on([place]).unwrap();
            let window = window(120.0);
            let outlines = land_outlines(&projection, &window);
            let (mut points, mut differ) = (0.0, 0.0);
            for (column, row) in (0..40).flat_map(|x| (0..20).map(move |y| (x, y))) {
                let at = [5.0 * f64::from(column) + 2.3, 5.0 * f64::from(row) + 2.7];
                let (lat, lon) = projection.place(window.on_map(at)).unwrap();
                let here = Position::new(lat, crate::units::wrap_180_deg(lon)).unwrap();
                let filled = outlines.iter().filter(|outline| encloses(outline, at));
                points += 1.0;
                if (filled.count() % 2 == 1) != Land::natural_earth().covers(here) {
                    differ += 1.0;
                }
            }
            assert!(
                differ <= MAY_DIFFER * points,
                "{differ} of {points} about {latitude_deg} {longitude_deg}"
            );
        }
    }
}
