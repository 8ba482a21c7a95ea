//! What a wind is worth along a course on the average: progress and hardship, as one table over
//! the mean wind from ahead, the mean wind from abeam and the spread.

use rayon::prelude::*;

use super::hardship::Hardship;
use super::waters::SeaWind;
use crate::boat::{Boat, Progress};

/// Mean progress with fuel in the tanks, in knots.
pub(super) const FUELLED: usize = 0;
/// Mean progress under sail alone, in knots.
pub(super) const UNDER_SAIL: usize = 1;
/// How many figures the table holds for each wind: two speeds and the shares of time.
pub(super) const FIGURES: usize = 2 + Hardship::ALL.len();

/// The figures of one wind along one course.
pub(super) type Pace = [f32; FIGURES];

/// Spacing of the table in all three directions, in knots.
const SPACING_KN: f64 = 1.0;
/// Side of the cells over which the boat's figures are averaged before the wind's spread is laid
/// over them, in knots, and the places looked at across a cell.
const CELL_KN: f64 = 1.0;
const PLACES_ACROSS: usize = 8;
/// The wind's distribution is cut off this many standard deviations from its mean.
const TAIL_SPREADS: f64 = 4.5;
/// The table's least spread, in knots: a little below the least a climate has, 0.5 m/s.
const LEAST_SPREAD_KN: f64 = 0.9;
/// Winds beyond this are left out, in knots.
const MOST_KN: f64 = 120.0;

/// Means over the Gaussian wind of what the boat does in each wind.
///
/// The mean over an isotropic Gaussian is a convolution, one axis after the other. The boat's
/// figures are averaged over cells first, which by itself spreads a wind by the variance of a cell,
/// h²/12 along each axis; that much is taken off the Gaussian's (Sheppard's correction, textbook).
#[derive(Debug, Clone)]
pub(super) struct PaceTable {
    ahead_nodes: usize,
    abeam_nodes: usize,
    reach_kn: f64,
    spreads: usize,
    least_spread_kn: f64,
    /// By spread, then by the wind from ahead, then from abeam.
    paces: Vec<Pace>,
}

/// Which winds a table must hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WindRange {
    /// The greatest mean vector, in knots.
    pub greatest_mean_kn: f64,
    /// The least and the greatest spread of a component, in knots.
    pub spreads_kn: (f64, f64),
}

impl PaceTable {
    pub(super) fn new(boat: &Boat, range: &WindRange) -> Self {
        let ahead_half = (range.greatest_mean_kn / SPACING_KN).ceil() as usize + 1;
        let (least, greatest) = range.spreads_kn;
        let least = least.max(LEAST_SPREAD_KN);
        let greatest = greatest.max(least);
        let spreads = ((greatest - least) / SPACING_KN).ceil() as usize + 2;
        let cells = Cells::new(
            boat,
            (range.greatest_mean_kn + TAIL_SPREADS * greatest + CELL_KN).min(MOST_KN),
        );
        let (ahead_nodes, abeam_nodes) = (2 * ahead_half + 1, ahead_half + 1);
        let reach_kn = ahead_half as f64 * SPACING_KN;
        let layers: Vec<Vec<Pace>> = (0..spreads)
            .into_par_iter()
            .map(|index| {
                let spread_kn = least + index as f64 * SPACING_KN;
                cells.under_spread(spread_kn, reach_kn, ahead_nodes, abeam_nodes)
            })
            .collect();
        Self {
            ahead_nodes,
            abeam_nodes,
            reach_kn,
            spreads,
            least_spread_kn: least,
            paces: layers.concat(),
        }
    }

    /// The figures for a mean wind from ahead (negative from astern), from abeam (either side) and
    /// a spread, all in knots; trilinear, and held at the table's edges.
    #[inline]
    pub(super) fn at(&self, ahead_kn: f32, abeam_kn: f32, spread_kn: f32) -> Pace {
        const PER_KN: f32 = (1.0 / SPACING_KN) as f32;
        let split = |value: f32, nodes: usize| {
            let value = value.clamp(0.0, (nodes - 1) as f32);
            let low = (value as usize).min(nodes - 2);
            (low, value - low as f32)
        };
        let (spread, s) = split(
            (spread_kn - self.least_spread_kn as f32) * PER_KN,
            self.spreads,
        );
        let (ahead, x) = split((ahead_kn + self.reach_kn as f32) * PER_KN, self.ahead_nodes);
        let (abeam, y) = split(abeam_kn.abs() * PER_KN, self.abeam_nodes);
        let corner = (spread * self.ahead_nodes + ahead) * self.abeam_nodes + abeam;
        let layer = self.ahead_nodes * self.abeam_nodes;
        let mut pace = [0.0; FIGURES];
        for (offset, weight) in [
            (0, (1.0 - s) * (1.0 - x)),
            (self.abeam_nodes, (1.0 - s) * x),
            (layer, s * (1.0 - x)),
            (layer + self.abeam_nodes, s * x),
        ] {
            let near = &self.paces[corner + offset];
            let far = &self.paces[corner + offset + 1];
            for (sum, (near, far)) in pace.iter_mut().zip(near.iter().zip(far)) {
                *sum += weight * (near + y * (far - near));
            }
        }
        pace
    }

    /// A bound above the progress that any of these winds gives on any course, in knots: the
    /// greatest among the nodes of the table about each.
    pub(super) fn greatest_kn(&self, winds: impl Iterator<Item = SeaWind>) -> f64 {
        let means = self.abeam_nodes + 1;
        let mut met = vec![false; means * self.spreads];
        let node = |kn: f64| (kn.max(0.0) / SPACING_KN) as usize;
        for [u_kn, v_kn, s_kn, _] in winds {
            let mean = node(f64::from(u_kn.hypot(v_kn))).min(means - 1);
            let spread = node(f64::from(s_kn) - self.least_spread_kn).min(self.spreads - 1);
            met[spread * means + mean] = true;
        }
        let layer = self.ahead_nodes * self.abeam_nodes;
        let mut greatest = 0.0_f32;
        for (index, pace) in self.paces.iter().enumerate() {
            let spread = index / layer;
            let ahead_kn = (index % layer / self.abeam_nodes) as f64 * SPACING_KN - self.reach_kn;
            let abeam_kn = (index % self.abeam_nodes) as f64 * SPACING_KN;
            let mean = node(ahead_kn.hypot(abeam_kn)).min(means - 1);
            // A corner of a cell of the table is within two nodes of any mean in the cell.
            let about = (spread.saturating_sub(1)..=(spread + 1).min(self.spreads - 1)).any(|s| {
                (mean.saturating_sub(2)..=(mean + 2).min(means - 1)).any(|m| met[s * means + m])
            });
            if about {
                greatest = greatest.max(pace[FUELLED]).max(pace[UNDER_SAIL]);
            }
        }
        f64::from(greatest)
    }
}

/// The boat's figures averaged over square cells of wind, from ahead and from abeam.
struct Cells {
    /// Cells from `-reach` ahead to `reach`.
    ahead: usize,
    /// Cells from 0 abeam to `reach`.
    abeam: usize,
    reach_kn: f64,
    figures: Vec<Pace>,
}

impl Cells {
    fn new(boat: &Boat, reach_kn: f64) -> Self {
        let abeam = (reach_kn / CELL_KN).ceil() as usize;
        let ahead = 2 * abeam;
        let reach_kn = abeam as f64 * CELL_KN;
        let figures = (0..ahead * abeam)
            .into_par_iter()
            .map(|index| {
                let corner_kn = (
                    (index / abeam) as f64 * CELL_KN - reach_kn,
                    (index % abeam) as f64 * CELL_KN,
                );
                cell_means(boat, corner_kn)
            })
            .collect();
        Self {
            ahead,
            abeam,
            reach_kn,
            figures,
        }
    }

    fn middle_kn(&self, cell: usize) -> f64 {
        (cell as f64 + 0.5) * CELL_KN - self.reach_kn
    }

    /// One layer of the table.
    fn under_spread(
        &self,
        spread_kn: f64,
        reach_kn: f64,
        ahead_nodes: usize,
        abeam_nodes: usize,
    ) -> Vec<Pace> {
        let spread_kn = (spread_kn * spread_kn - CELL_KN * CELL_KN / 12.0).sqrt();
        // Along the wind from ahead, for every row of cells abeam.
        let mut rows = vec![[0.0; FIGURES]; ahead_nodes * self.abeam];
        for node in 0..ahead_nodes {
            let mean_kn = node as f64 * SPACING_KN - reach_kn;
            let row = &mut rows[node * self.abeam..][..self.abeam];
            for (cell, weight) in self.weights(mean_kn, spread_kn) {
                let cells = &self.figures[cell * self.abeam..][..self.abeam];
                for (sum, figures) in row.iter_mut().zip(cells) {
                    add(sum, figures, weight);
                }
            }
        }
        // Along the wind from abeam, both sides alike.
        let mut layer = vec![[0.0; FIGURES]; ahead_nodes * abeam_nodes];
        for abeam in 0..abeam_nodes {
            let weights = self.weights(abeam as f64 * SPACING_KN, spread_kn);
            for ahead in 0..ahead_nodes {
                let row = &rows[ahead * self.abeam..][..self.abeam];
                let sum = &mut layer[ahead * abeam_nodes + abeam];
                for &(cell, weight) in &weights {
                    let mirrored = if cell >= self.abeam {
                        cell - self.abeam
                    } else {
                        self.abeam - 1 - cell
                    };
                    add(sum, &row[mirrored], weight);
                }
            }
        }
        layer
    }

    /// The cells that a Gaussian along one axis falls on, with its share in each.
    fn weights(&self, mean_kn: f64, spread_kn: f64) -> Vec<(usize, f32)> {
        let within = TAIL_SPREADS * spread_kn;
        let cell_of = |at_kn: f64| {
            ((at_kn + self.reach_kn) / CELL_KN)
                .floor()
                .clamp(0.0, (self.ahead - 1) as f64) as usize
        };
        let density = |cell: usize| {
            let off = (self.middle_kn(cell) - mean_kn) / spread_kn;
            (-0.5 * off * off).exp()
        };
        let cells = cell_of(mean_kn - within)..=cell_of(mean_kn + within);
        let total: f64 = cells.clone().map(density).sum();
        cells
            .map(|cell| (cell, (density(cell) / total) as f32))
            .collect()
    }
}

fn add(sum: &mut Pace, figures: &Pace, weight: f32) {
    for (sum, figure) in sum.iter_mut().zip(figures) {
        *sum += weight * figure;
    }
}

/// The means over the cell of wind that begins at `corner_kn` from ahead and from abeam.
fn cell_means(boat: &Boat, corner_kn: (f64, f64)) -> Pace {
    let place = |index: usize| (index as f64 + 0.5) / PLACES_ACROSS as f64 * CELL_KN;
    let mut sums = [0.0_f64; FIGURES];
    for x in 0..PLACES_ACROSS {
        for y in 0..PLACES_ACROSS {
            let (ahead_kn, abeam_kn) = (corner_kn.0 + place(x), corner_kn.1 + place(y));
            let speed_kn = ahead_kn.hypot(abeam_kn);
            let off_deg = abeam_kn.atan2(ahead_kn).to_degrees();
            let fuelled = boat.progress(speed_kn, off_deg);
            sums[FUELLED] += fuelled.made_good_kn();
            sums[UNDER_SAIL] += boat.progress_under_sail(speed_kn, off_deg).made_good_kn();
            for hardship in Hardship::ALL {
                let met = match hardship {
                    Hardship::Engine => matches!(fuelled, Progress::Motoring(_)),
                    hardship => hardship.kind().applies(speed_kn, off_deg),
                };
                sums[hardship.figure()] += f64::from(u8::from(met));
            }
        }
    }
    sums.map(|sum| (sum / (PLACES_ACROSS * PLACES_ACROSS) as f64) as f32)
}

#[cfg(test)]
mod tests;
