//! The grid a search runs on: nodes at whole steps of latitude and longitude, and from each the
//! geodesics to the nodes around it.
//!
//! From a node lead the arcs to all nodes up to [`REACH`] rows off and as many steps east or west,
//! those steps counted along the equator, that have no node on the straight line between. Seen from
//! a node, two neighbouring arcs are then never more than atan(1/5) = 11.3 degrees apart, whatever
//! the latitude: toward the pole atan(cos/5) is less, and toward east the farthest column is at
//! least five equatorial steps away. A course halfway between two arcs costs 1 / cos(5.65°), 0.49 %,
//! more by them than straight, where speed does not depend on direction; a test measures it with a
//! boat.
//!
//! Longitude changes nothing about an arc's shape, so that arcs are solved once for each row.

use crate::climate::Region;
use crate::geodesy::{LegKind, LegTrack, Position, Step};
use crate::units::wrap_180_deg;

/// How many rows an arc may cross.
const REACH: i32 = 5;
/// Places along an arc at which closures are looked for are no farther apart than this, in
/// nautical miles; between two of them an arc is taken as straight in longitude and latitude.
const CHORD_NM: f64 = 15.0;
/// An end of the passage is joined to all nodes within this many steps.
const END_REACH: f64 = 3.0;
/// The two ends are joined by an arc of their own if they are no farther apart than this, in steps.
const NEAR_ENDS: f64 = 6.0;

/// The shape of an arc, from a row of the grid or from one of the ends.
#[derive(Debug, Clone)]
pub(super) struct Arc {
    /// How many rows and columns on it leads.
    pub rows: i32,
    pub columns: i32,
    pub length_nm: f64,
    pub stretch_nm: f64,
    /// The southernmost and the northernmost latitude on it.
    pub band_deg: (f64, f64),
    pub stretches: Vec<Stretch>,
    /// Latitudes, and longitudes on from where the arc begins, of places along it, both ends
    /// included.
    pub places: Vec<(f64, f64)>,
}

/// A part of an arc on which one wind and one course stand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    /// The lattice row of its middle, and the column on from where the arc begins.
    pub row: i32,
    pub column: i32,
    /// Sine and cosine of its course.
    pub course: (f32, f32),
}

/// The nodes of a box of sea, and the arcs from each row.
pub(super) struct Grid {
    pub step_deg: f64,
    /// Lattice spacings in a step.
    pub spacings: i32,
    south_row: i32,
    west_column: i32,
    rows: usize,
    columns: usize,
    arcs: Vec<Vec<Arc>>,
    pub most_arcs: usize,
}

/// The arcs that join the ends of a passage to a grid.
pub(super) struct Ends {
    /// From the start, with the nodes they lead to; the last may lead to the end.
    pub leaving: Vec<(usize, Arc)>,
    /// To the end, with the nodes they come from, in the nodes' order.
    pub arriving: Vec<(usize, Arc)>,
}

impl Grid {
    /// The nodes of `region` at whole steps of `step_deg`, each a number of lattice `spacings`.
    pub(super) fn new(region: &Region, step_deg: f64, spacings: i32, sampling: Step) -> Self {
        let south_row = (region.south_deg / step_deg).ceil() as i32;
        let rows = (region.north_deg / step_deg).floor() as i32 - south_row + 1;
        let west_column = (region.west_deg / step_deg).ceil() as i32;
        let east_deg = region.west_deg + region.east_span_deg;
        let columns = (east_deg / step_deg).floor() as i32 - west_column + 1;
        let mut grid = Self {
            step_deg,
            spacings,
            south_row,
            west_column,
            rows: rows.max(0) as usize,
            columns: columns.max(0) as usize,
            arcs: Vec::new(),
            most_arcs: 0,
        };
        grid.arcs = (0..rows).map(|row| grid.arcs_of(row, sampling)).collect();
        // One more leads to the end.
        grid.most_arcs = grid.arcs.iter().map(Vec::len).max().unwrap_or(0) + 1;
        grid
    }

    pub(super) fn nodes(&self) -> usize {
        self.rows * self.columns
    }

    pub(super) fn arcs(&self, node: usize) -> &[Arc] {
        &self.arcs[node / self.columns]
    }

    /// The node an arc from `node` leads to; none off the grid.
    pub(super) fn head(&self, node: usize, arc: &Arc) -> Option<usize> {
        let row = (node / self.columns) as i32 + arc.rows;
        let column = usize::try_from((node % self.columns) as i32 + arc.columns).ok()?;
        let row = usize::try_from(row).ok()?;
        (row < self.rows && column < self.columns).then(|| row * self.columns + column)
    }

    /// The lattice column of a node, and its longitude as the region counts it.
    pub(super) fn column_of(&self, node: usize) -> (i32, f64) {
        let column = (node % self.columns) as i32 + self.west_column;
        (column * self.spacings, f64::from(column) * self.step_deg)
    }

    pub(super) fn position(&self, node: usize) -> Position {
        let row = (node / self.columns) as i32 + self.south_row;
        let (_, longitude_deg) = self.column_of(node);
        super::place(f64::from(row) * self.step_deg, longitude_deg)
    }

    /// The nodes within `reach_deg` of a place in latitude and, at its latitude, in longitude.
    pub(super) fn around(&self, place: Position, reach_deg: f64) -> Vec<usize> {
        let stretch = place.latitude_deg().to_radians().cos();
        let reach_rows = (reach_deg / self.step_deg).ceil() as i32;
        let reach_columns = (reach_deg / (self.step_deg * stretch)).ceil() as i32;
        let row = (place.latitude_deg() / self.step_deg).round() as i32 - self.south_row;
        let west_deg = f64::from(self.west_column) * self.step_deg;
        let middle_deg = west_deg + 0.5 * self.columns as f64 * self.step_deg;
        let longitude_deg = middle_deg + wrap_180_deg(place.longitude_deg() - middle_deg);
        let column = (longitude_deg / self.step_deg).round() as i32 - self.west_column;
        let inside = |index: i32, count: usize| usize::try_from(index).ok().filter(|&i| i < count);
        let mut nodes = Vec::new();
        for row in row - reach_rows..=row + reach_rows {
            let Some(row) = inside(row, self.rows) else {
                continue;
            };
            for column in column - reach_columns..=column + reach_columns {
                if let Some(column) = inside(column, self.columns) {
                    nodes.push(row * self.columns + column);
                }
            }
        }
        nodes
    }

    /// The arcs that join the two ends to the nodes around them.
    pub(super) fn ends(&self, from: Position, to: Position, sampling: Step) -> Ends {
        let spacing_deg = self.step_deg / f64::from(self.spacings);
        let arc = |a: Position, b: Position| {
            let track = LegTrack::new(a, b, LegKind::GreatCircle).ok()?;
            Some(self.shape(&track, (0, 0), None, spacing_deg, sampling))
        };
        let near_nm = END_REACH * self.step_deg * 60.0;
        let near = |place: Position| {
            let nodes = self.around(place, END_REACH * self.step_deg);
            nodes
                .into_iter()
                .map(move |node| (node, self.position(node)))
        };
        let mut leaving: Vec<(usize, Arc)> = near(from)
            .filter_map(|(node, place)| Some((node, arc(from, place)?)))
            .filter(|(_, arc)| arc.length_nm <= near_nm)
            .collect();
        let arriving = near(to)
            .filter_map(|(node, place)| Some((node, arc(place, to)?)))
            .filter(|(_, arc)| arc.length_nm <= near_nm)
            .collect();
        let straight =
            arc(from, to).filter(|arc| arc.length_nm <= NEAR_ENDS * self.step_deg * 60.0);
        leaving.extend(straight.map(|arc| (self.nodes() + 1, arc)));
        Ends { leaving, arriving }
    }

    /// The arcs from a row.
    fn arcs_of(&self, row: i32, sampling: Step) -> Vec<Arc> {
        let latitude_deg = f64::from(row + self.south_row) * self.step_deg;
        let from = super::place(latitude_deg, 0.0);
        let equatorial = latitude_deg.to_radians().cos();
        let reach_columns = (f64::from(REACH) / equatorial).ceil() as i32;
        let spacing_deg = self.step_deg / f64::from(self.spacings);
        let mut arcs = Vec::new();
        for rows in -REACH..=REACH {
            if !(0..self.rows as i32).contains(&(row + rows)) {
                continue;
            }
            for columns in -reach_columns..=reach_columns {
                if greatest_common_divisor(rows, columns) != 1 {
                    continue;
                }
                let to = super::place(
                    latitude_deg + f64::from(rows) * self.step_deg,
                    f64::from(columns) * self.step_deg,
                );
                if let Ok(track) = LegTrack::new(from, to, LegKind::GreatCircle) {
                    let shape =
                        self.shape(&track, (rows, columns), Some(0.0), spacing_deg, sampling);
                    arcs.push(shape);
                }
            }
        }
        arcs
    }

    /// The shape of a geodesic. Its longitudes count on from `from_deg`, or as the region counts
    /// them where there is none.
    fn shape(
        &self,
        track: &LegTrack,
        (rows, columns): (i32, i32),
        from_deg: Option<f64>,
        spacing_deg: f64,
        sampling: Step,
    ) -> Arc {
        let west_deg = f64::from(self.west_column) * self.step_deg;
        let middle_deg = from_deg.unwrap_or(west_deg + 0.5 * self.columns as f64 * self.step_deg);
        let east_deg =
            |place: Position| middle_deg + wrap_180_deg(place.longitude_deg() - middle_deg);
        let segments = track.segments(sampling);
        let stretches = segments
            .iter()
            .map(|segment| {
                let middle = segment.midpoint;
                let (sin, cos) = middle.course.deg().to_radians().sin_cos();
                Stretch {
                    row: (middle.position.latitude_deg() / spacing_deg).round() as i32,
                    column: (east_deg(middle.position) / spacing_deg).round() as i32,
                    course: (sin as f32, cos as f32),
                }
            })
            .collect();
        Arc {
            rows,
            columns,
            length_nm: track.length_nm(),
            stretch_nm: segments[0].length_nm,
            band_deg: band_deg(track),
            stretches,
            places: chords(track, CHORD_NM)
                .into_iter()
                .map(|place| (place.latitude_deg(), east_deg(place)))
                .collect(),
        }
    }
}

/// Places along a leg, both ends included, no more than `spacing_nm` apart.
pub(super) fn chords(track: &LegTrack, spacing_nm: f64) -> Vec<Position> {
    let count = (track.length_nm() / spacing_nm).ceil().max(1.0) as usize;
    let inner = (1..count).filter_map(|index| {
        let point = track.at_nm(track.length_nm() * index as f64 / count as f64)?;
        Some(point.position)
    });
    let mut places = vec![track.from()];
    places.extend(inner);
    places.push(track.to());
    places
}

/// The southernmost and the northernmost latitude of a leg.
pub(super) fn band_deg(track: &LegTrack) -> (f64, f64) {
    let vertex = track.vertex().filter(|vertex| vertex.on_leg);
    let latitudes = [Some(track.from()), Some(track.to())]
        .into_iter()
        .chain([vertex.map(|vertex| vertex.point.position)])
        .flatten()
        .map(|place| place.latitude_deg());
    latitudes.fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(south, north), here| (south.min(here), north.max(here)),
    )
}

fn greatest_common_divisor(a: i32, b: i32) -> i32 {
    if b == 0 {
        a.abs()
    } else {
        greatest_common_divisor(b, a % b)
    }
}

#[cfg(test)]
mod tests {
    use super::super::ground::distance_nm_between;
    use super::super::search::{Arcs, Label, least_cost};
    use super::*;

    /// What turning from one arc to the next may cost against the straight line.
    const DETOUR: f64 = 0.005;

    /// A grid whose arcs cost their length.
    struct Lengths(Grid);

    impl Arcs for Lengths {
        fn nodes(&self) -> usize {
            self.0.nodes()
        }
        fn arcs_from(&self, node: usize) -> usize {
            self.0.arcs(node).len()
        }
        fn head(&self, node: usize, arc: usize) -> Option<usize> {
            self.0.head(node, &self.0.arcs(node)[arc])
        }
        fn least_cost_hours(&self, node: usize, arc: usize) -> f64 {
            self.0.arcs(node)[arc].length_nm
        }
        fn follow(&self, node: usize, arc: usize, label: Label) -> Option<Label> {
            let cost_hours = label.cost_hours + self.least_cost_hours(node, arc);
            Some(Label {
                cost_hours,
                ..label
            })
        }
        fn is_open(&self, _: usize, _: usize, _: Label, _: Label) -> bool {
            true
        }
        fn rest_hours(&self, _: usize) -> f64 {
            0.0
        }
    }

    /// From the middle of a box to every node on its edge, at low, middle and high latitudes.
    #[test]
    fn no_course_costs_much_more_along_the_arcs_than_straight() {
        let mut worst = 0.0_f64;
        for (south_deg, north_deg, half_width_deg) in [
            (-12.0, 12.0, 12.0),
            (-46.0, -22.0, 14.0),
            (-64.0, -50.0, 14.0),
            (30.0, 50.0, 12.0),
        ] {
            let region = Region::between(south_deg, north_deg, -half_width_deg, half_width_deg);
            let lengths = Lengths(Grid::new(&region, 1.0, 4, Step::default()));
            let grid = &lengths.0;
            let (rows, columns) = (grid.rows, grid.columns);
            let middle = (rows / 2) * columns + columns / 2;
            for node in 0..grid.nodes() {
                let (row, column) = (node / columns, node % columns);
                if row % (rows - 1) != 0 && column % (columns - 1) != 0 {
                    continue;
                }
                let path = least_cost(&lengths, middle, node, Label::default()).unwrap();
                let straight_nm = distance_nm_between(grid.position(middle), grid.position(node));
                worst = worst.max(path.label.cost_hours / straight_nm - 1.0);
            }
        }
        assert!(worst < DETOUR, "{worst}");
    }

    #[test]
    fn a_band_holds_the_bulge_of_a_parallel_sailed_as_a_great_circle() {
        let (a, b) = (
            super::super::place(-40.0, 0.0),
            super::super::place(-40.0, 5.0),
        );
        let track = LegTrack::new(a, b, LegKind::GreatCircle).unwrap();
        let (south, north) = band_deg(&track);
        assert_eq!(north, -40.0);
        // On a sphere tan(vertex) = tan(40°) / cos(2.5°): 40.027°.
        assert!((south + 40.027).abs() < 0.001, "{south}");
    }
}
