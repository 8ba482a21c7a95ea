//! The grid as the search sees it: arcs that take as long as the season there makes them.

use std::sync::Arc as Shared;
use std::sync::atomic::{AtomicU8, Ordering};

use super::clock::SeasonClock;
use super::grid::{Arc, Ends, Grid};
use super::ground::{Ground, SeasonLimits};
use super::hardship::{Hardship, Prices};
use super::search::{Arcs, Label};
use super::waters::Waters;
use super::way::WayMaker;
use crate::geodesy::Position;

/// The least radius of curvature of the WGS84 ellipsoid, along the meridian at the equator:
/// a (1 - e²), in nautical miles. On a sphere of it every line is shorter than on the Earth.
const LEAST_RADIUS_NM: f64 = 6_335_439.0 / 1852.0;

/// Whether an arc is open whatever the season, found out on the first asking.
const UNKNOWN: u8 = 0;
const OPEN: u8 = 1;
const SHUT: u8 = 2;

/// A grid with its ends, and what is known of its arcs.
pub(super) struct Net {
    pub grid: Shared<Grid>,
    pub ends: Ends,
    /// For each node of the grid, its arc to the end: a place in `ends.arriving`, and 1 more.
    arriving: Vec<u32>,
    to: Position,
}

/// For each arc of a net, what has been found out about its ground under some limits.
pub(super) struct Known(Vec<AtomicU8>);

/// A net at a season, for a boat, under limits.
pub(super) struct Timed<'a> {
    pub net: &'a Net,
    pub known: &'a Known,
    pub waters: &'a Waters,
    pub way: &'a WayMaker,
    pub clock: &'a SeasonClock,
    pub ground: &'a Ground<'a>,
    pub season: SeasonLimits,
    pub prices: Prices,
    /// The nodes to search among; all where there is none.
    pub among: Option<&'a [bool]>,
    /// No progress over the ground is better than this anywhere, in knots.
    pub best_kn: f64,
}

/// An arc with where it begins.
struct Placed<'a> {
    arc: &'a Arc,
    /// The lattice column and the longitude it counts on from.
    from: (i32, f64),
}

impl Net {
    pub(super) fn new(grid: Shared<Grid>, ends: Ends, to: Position) -> Self {
        let mut arriving = vec![0; grid.nodes()];
        for (index, (node, _)) in ends.arriving.iter().enumerate() {
            arriving[*node] = index as u32 + 1;
        }
        Self {
            grid,
            ends,
            arriving,
            to,
        }
    }

    /// A net for searches from a start to all of its nodes, and to no end.
    pub(super) fn of_start(grid: Shared<Grid>, mut ends: Ends, from: Position) -> Self {
        let count = grid.nodes();
        ends.arriving.clear();
        ends.leaving.retain(|(node, _)| *node < count);
        Self::new(grid, ends, from)
    }

    /// The nodes from which an arc leads to the end.
    pub(super) fn before_end(&self) -> impl Iterator<Item = usize> {
        let direct = self
            .ends
            .leaving
            .iter()
            .any(|(node, _)| *node == self.end());
        let start = direct.then(|| self.start());
        let arriving = self.ends.arriving.iter().map(|(node, _)| *node);
        start.into_iter().chain(arriving)
    }

    pub(super) fn nothing_known(&self) -> Known {
        let arcs = self.grid.nodes() * self.grid.most_arcs + self.ends.leaving.len();
        Known((0..arcs).map(|_| AtomicU8::new(UNKNOWN)).collect())
    }

    /// The places of a path's nodes, between the ends given.
    pub(super) fn corners(&self, nodes: &[usize], ends: [Position; 2]) -> Vec<Position> {
        let place = |node: &usize| match *node {
            node if node == self.start() => ends[0],
            node if node == self.end() => ends[1],
            node => self.grid.position(node),
        };
        nodes.iter().map(place).collect()
    }

    /// The number of the passage's start among the nodes.
    pub(super) fn start(&self) -> usize {
        self.grid.nodes()
    }

    /// The number of the passage's end among the nodes.
    pub(super) fn end(&self) -> usize {
        self.grid.nodes() + 1
    }

    fn placed(&self, node: usize, arc: usize) -> Placed<'_> {
        const AS_COUNTED: (i32, f64) = (0, 0.0);
        if node == self.start() {
            return Placed {
                arc: &self.ends.leaving[arc].1,
                from: AS_COUNTED,
            };
        }
        match self.grid.arcs(node).get(arc) {
            Some(arc) => Placed {
                arc,
                from: self.grid.column_of(node),
            },
            None => Placed {
                arc: &self.ends.arriving[self.arriving[node] as usize - 1].1,
                from: AS_COUNTED,
            },
        }
    }
}

impl Timed<'_> {
    /// Whether the places of an arc are open at the times the boat passes them.
    fn in_season(&self, placed: &Placed<'_>, entered: Label, left: Label) -> bool {
        if !self.season.any() {
            return true;
        }
        let spacing_deg = self.net.grid.step_deg / f64::from(self.net.grid.spacings);
        let places = &placed.arc.places;
        let per_place = (left.hours - entered.hours) / (places.len() - 1) as f64;
        places
            .iter()
            .enumerate()
            .all(|(index, (latitude_deg, east_deg))| {
                let row = (latitude_deg / spacing_deg).round() as i32;
                let column = (east_deg / spacing_deg).round() as i32 + placed.from.0;
                let hours = entered.hours + index as f64 * per_place;
                let (Some(cell), Some(slot)) =
                    (self.waters.cell(row, column), self.clock.at(hours))
                else {
                    return false;
                };
                let met = self.waters.met(cell, slot.months, slot.later_share);
                let storms = || self.waters.storm_days_a_day(cell, self.clock.day(hours));
                self.season.allow(&met, storms, || {
                    // The share of gale is the same on any course.
                    f64::from(self.way.pace(met, (0.0, 1.0))[Hardship::Gale.figure()])
                })
            })
    }

    fn on_open_ground(&self, placed: &Placed<'_>) -> bool {
        let places: Vec<Position> = placed
            .arc
            .places
            .iter()
            .map(|(latitude_deg, east_deg)| super::place(*latitude_deg, placed.from.1 + east_deg))
            .collect();
        self.ground.is_open(placed.arc.band_deg, &places)
    }
}

impl Arcs for Timed<'_> {
    fn nodes(&self) -> usize {
        self.net.grid.nodes() + 2
    }

    fn arcs_from(&self, node: usize) -> usize {
        if node == self.net.start() {
            self.net.ends.leaving.len()
        } else {
            let arriving = usize::from(self.net.arriving[node] > 0);
            self.net.grid.arcs(node).len() + arriving
        }
    }

    fn head(&self, node: usize, arc: usize) -> Option<usize> {
        let net = self.net;
        let head = if node == net.start() {
            net.ends.leaving[arc].0
        } else {
            match net.grid.arcs(node).get(arc) {
                Some(arc) => net.grid.head(node, arc)?,
                None => return Some(net.end()),
            }
        };
        let among = head == net.end() || self.among.is_none_or(|among| among[head]);
        among.then_some(head)
    }

    fn least_cost_hours(&self, node: usize, arc: usize) -> f64 {
        self.net.placed(node, arc).arc.length_nm / self.best_kn
    }

    fn follow(&self, node: usize, arc: usize, label: Label) -> Option<Label> {
        let Placed { arc, from } = self.net.placed(node, arc);
        let mut label = label;
        for stretch in &arc.stretches {
            let slot = self.clock.at(label.hours)?;
            let cell = self.waters.cell(stretch.row, stretch.column + from.0)?;
            let met = self.waters.met(cell, slot.months, slot.later_share);
            let pace = self.way.pace(met, stretch.course);
            label = self.way.sail(&pace, arc.stretch_nm, &self.prices, label)?;
        }
        Some(label)
    }

    fn is_open(&self, node: usize, arc: usize, entered: Label, left: Label) -> bool {
        let net = self.net;
        let placed = net.placed(node, arc);
        let known = &self.known.0[node * net.grid.most_arcs + arc];
        let open = match known.load(Ordering::Relaxed) {
            UNKNOWN => {
                let open = self.on_open_ground(&placed);
                known.store(if open { OPEN } else { SHUT }, Ordering::Relaxed);
                open
            }
            state => state == OPEN,
        };
        open && self.in_season(&placed, entered, left)
    }

    fn rest_hours(&self, node: usize) -> f64 {
        if node == self.net.end() {
            return 0.0;
        }
        let here = if node == self.net.start() {
            self.ground.ends[0]
        } else {
            self.net.grid.position(node)
        };
        arc_nm(here, self.net.to) / self.best_kn
    }
}

/// A distance no greater than that between two places, in nautical miles: on the sphere of the
/// least curvature, by haversines (textbook).
pub(super) fn arc_nm(a: Position, b: Position) -> f64 {
    let half = |a_deg: f64, b_deg: f64| (0.5 * (b_deg - a_deg).to_radians()).sin().powi(2);
    let cosines = a.latitude_deg().to_radians().cos() * b.latitude_deg().to_radians().cos();
    let square = half(a.latitude_deg(), b.latitude_deg())
        + cosines * half(a.longitude_deg(), b.longitude_deg());
    2.0 * LEAST_RADIUS_NM * square.sqrt().min(1.0).asin()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::ground::distance_nm_between;
    use super::*;

    proptest! {
        #[test]
        fn the_bound_is_below_the_distance(
            (a, b) in ((-80.0..80.0f64, -180.0..180.0f64), (-80.0..80.0f64, -180.0..180.0f64)),
        ) {
            let place = |(lat, lon)| Position::new(lat, lon).unwrap();
            let (a, b) = (place(a), place(b));
            prop_assert!(arc_nm(a, b) <= distance_nm_between(a, b) + 1e-9);
        }
    }
}
