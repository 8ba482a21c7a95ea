//! The outlines sorted into cells of a degree, so that those near a place are found at once.

use std::sync::LazyLock;

use super::outlines::{Outlines, QUANTA_PER_DEG};
use crate::geodesy::Position;

const COLUMNS: i32 = 360;
const ROWS: i32 = 180;
/// A whole turn, in quanta.
pub(super) const TURN: f64 = (COLUMNS * QUANTA_PER_DEG) as f64;

static NATURAL_EARTH: LazyLock<Land> = LazyLock::new(Land::load);

/// Outlines of the world's land. Between corners they run straight in longitude and latitude.
pub struct Land {
    corners: Vec<[i32; 2]>,
    /// Where each cell's edges begin in `edges`; cells go northward, then eastward.
    starts: Vec<u32>,
    /// An edge by the number of the corner it leaves.
    edges: Vec<u32>,
}

/// A place on the plane of longitude and latitude, in quanta.
pub(super) type Place = [f64; 2];

impl Land {
    /// The outlines carried in the program, loaded on the first call and kept.
    pub fn natural_earth() -> &'static Self {
        &NATURAL_EARTH
    }

    /// Loads the outlines carried in the program anew; [`Land::natural_earth`] does so only once.
    pub fn load() -> Self {
        Self::new(Outlines::embedded().expect("a test reads the outlines in the program"))
    }

    fn new(outlines: Outlines) -> Self {
        let Outlines { corners, goes_on } = outlines;
        let mut starts = vec![0u32; (COLUMNS * ROWS + 1) as usize];
        each_in_its_cells(&corners, &goes_on, |cell, _| starts[cell + 1] += 1);
        for cell in 1..starts.len() {
            starts[cell] += starts[cell - 1];
        }
        let mut next = starts.clone();
        let mut edges = vec![0u32; starts[starts.len() - 1] as usize];
        each_in_its_cells(&corners, &goes_on, |cell, edge| {
            edges[next[cell] as usize] = edge;
            next[cell] += 1;
        });
        Self {
            corners,
            starts,
            edges,
        }
    }

    /// Whether a place is on land.
    pub fn covers(&self, position: Position) -> bool {
        self.covers_place(place(position))
    }

    /// As [`Land::covers`]; the longitude may be up to a turn outside its usual range.
    ///
    /// Counts the outlines due north of the place: the north pole is sea, and each outline between
    /// changes land for sea.
    pub(super) fn covers_place(&self, [x, y]: Place) -> bool {
        let x = (x + TURN / 2.0).rem_euclid(TURN) - TURN / 2.0;
        let column = column(x.floor() as i32);
        let mut on_land = false;
        for row in row(y.floor() as i32)..ROWS {
            for edge in self.cell(column, row) {
                let [[x0, y0], [x1, y1]] = self.ends(edge);
                if (x0 > x) == (x1 > x) {
                    continue;
                }
                let crossed = (y0 + (y1 - y0) * (x - x0) / (x1 - x0)).clamp(y0.min(y1), y0.max(y1));
                // An edge stands in several cells of the column: it counts where it is crossed.
                if crossed > y && self::row(crossed.floor() as i32) == row {
                    on_land = !on_land;
                }
            }
        }
        on_land
    }

    /// Adds to `cuts` the shares of the way from `a` to `b` at which an outline is crossed, in no
    /// order, some twice. Whether any outline is near at all: if none is, land or sea stays as it is.
    pub(super) fn cuts(&self, a: Place, b: Place, cuts: &mut Vec<f64>) -> bool {
        let mut near = self.cuts_within(a, b, cuts);
        let (west, east) = (a[0].min(b[0]), a[0].max(b[0]));
        for (beyond, turn) in [(west <= -TURN / 2.0, TURN), (east >= TURN / 2.0, -TURN)] {
            if beyond {
                let turned = |[x, y]: Place| [x + turn, y];
                near |= self.cuts_within(turned(a), turned(b), cuts);
            }
        }
        near
    }

    fn cuts_within(&self, a: Place, b: Place, cuts: &mut Vec<f64>) -> bool {
        let lowest = |axis: usize| a[axis].min(b[axis]).floor() as i32;
        let highest = |axis: usize| a[axis].max(b[axis]).floor() as i32;
        let mut near = false;
        for column in column(lowest(0))..=column(highest(0)) {
            for row in row(lowest(1))..=row(highest(1)) {
                for edge in self.cell(column, row) {
                    near = true;
                    cuts.extend(crossing(a, b, self.ends(edge)));
                }
            }
        }
        near
    }

    pub(super) fn cell(&self, column: i32, row: i32) -> impl Iterator<Item = u32> {
        let cell = cell(column, row);
        let range = self.starts[cell] as usize..self.starts[cell + 1] as usize;
        self.edges[range].iter().copied()
    }

    pub(super) fn ends(&self, edge: u32) -> [Place; 2] {
        let edge = edge as usize;
        [self.corners[edge], self.corners[edge + 1]].map(|corner| corner.map(f64::from))
    }
}

/// Puts every edge into each cell that it may touch.
fn each_in_its_cells(corners: &[[i32; 2]], goes_on: &[bool], mut put: impl FnMut(usize, u32)) {
    for (index, (ends, _)) in corners
        .windows(2)
        .zip(goes_on)
        .enumerate()
        .filter(|(_, (_, on))| **on)
    {
        let [[x0, y0], [x1, y1]] = [ends[0], ends[1]];
        for column in column(x0.min(x1))..=column(x0.max(x1)) {
            for row in row(y0.min(y1))..=row(y0.max(y1)) {
                put(cell(column, row), index as u32);
            }
        }
    }
}

/// A position on the plane of the outlines.
pub(super) fn place(position: Position) -> Place {
    [position.longitude_deg(), position.latitude_deg()].map(|deg| deg * f64::from(QUANTA_PER_DEG))
}

/// `to` on the same plane as `from`, the shorter way round the Earth, even beyond the antimeridian.
pub(super) fn beside(from: Place, to: Place) -> Place {
    let turns = ((to[0] - from[0]) / TURN).round();
    [to[0] - turns * TURN, to[1]]
}

pub(super) fn column(x: i32) -> i32 {
    (x.div_euclid(QUANTA_PER_DEG) + COLUMNS / 2).clamp(0, COLUMNS - 1)
}

pub(super) fn row(y: i32) -> i32 {
    (y.div_euclid(QUANTA_PER_DEG) + ROWS / 2).clamp(0, ROWS - 1)
}

fn cell(column: i32, row: i32) -> usize {
    (column * ROWS + row) as usize
}

/// The share of the way from `a` to `b` at which it crosses an edge; none where it does not, or
/// where the two are parallel.
fn crossing(a: Place, b: Place, [c, d]: [Place; 2]) -> Option<f64> {
    let (way, edge) = ([b[0] - a[0], b[1] - a[1]], [d[0] - c[0], d[1] - c[1]]);
    let between = [c[0] - a[0], c[1] - a[1]];
    let across = |p: Place, q: Place| p[0] * q[1] - p[1] * q[0];
    let turn = across(way, edge);
    if turn == 0.0 {
        return None;
    }
    let (on_way, on_edge) = (across(between, edge) / turn, across(between, way) / turn);
    let on = |share: f64| (0.0..=1.0).contains(&share);
    (on(on_way) && on(on_edge)).then_some(on_way)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn covers(latitude_deg: f64, longitude_deg: f64) -> bool {
        Land::natural_earth().covers(Position::new(latitude_deg, longitude_deg).unwrap())
    }

    #[test]
    fn well_known_places_are_land_or_sea() {
        // Read off any atlas; from memory.
        for (place, latitude_deg, longitude_deg, land) in [
            ("Alice Springs", -23.7, 133.9, true),
            ("Madagascar", -19.0, 47.0, true),
            ("the south pole", -90.0, 0.0, true),
            ("the south pole by another name", -90.0, 180.0, true),
            ("Antarctica on the antimeridian", -86.0, 180.0, true),
            ("the Ross Sea on the antimeridian", -75.0, 180.0, false),
            ("Chukotka on the antimeridian", 67.5, 180.0, true),
            ("Chukotka west of it", 67.5, 179.9, true),
            ("Chukotka east of it", 67.5, -179.9, true),
            ("the north pole", 90.0, 0.0, false),
            ("the Bering Sea on the antimeridian", 58.0, 180.0, false),
            ("the Tasman Sea", -38.0, 162.0, false),
            ("the Indian Ocean", -31.0, 75.0, false),
            ("the Caspian Sea", 42.0, 50.5, false),
            ("Greenwich", 51.48, -0.01, true),
            ("the Gulf of Guinea", 0.0, 0.0, false),
        ] {
            assert_eq!(covers(latitude_deg, longitude_deg), land, "{place}");
        }
    }

    #[test]
    fn a_place_has_the_same_answer_from_either_side_of_the_antimeridian() {
        for tenth in -895..895 {
            let latitude_deg = f64::from(tenth) / 10.0;
            let [x, y] = [180.0, latitude_deg].map(|deg| deg * f64::from(QUANTA_PER_DEG));
            let land = Land::natural_earth();
            assert_eq!(
                land.covers_place([x, y]),
                land.covers_place([-x, y]),
                "{latitude_deg}"
            );
        }
    }
}
