//! What a wind is worth along a course on the average: progress and hardship, as one table over
//! the mean wind from ahead, the mean wind from abeam and the spread; and what a current does to it.

use rayon::prelude::*;

use super::hardship::Hardship;
use super::waters::Met;
use crate::boat::{Boat, CourseCurrent, CourseWind};

/// Mean progress with fuel in the tanks, in knots.
pub(super) const FUELLED: usize = 0;
/// Mean progress under sail alone, in knots.
pub(super) const UNDER_SAIL: usize = 1;
/// How many figures the table holds for each wind: two speeds and the shares of time.
pub(super) const FIGURES: usize = 2 + Hardship::ALL.len();

/// The figures of one wind along one course.
pub(super) type Pace = [f32; FIGURES];

/// What a current across the course does to the two mean speeds: for each the slope and the
/// curvature in the current that sets to port, in knots a knot and knots a square knot.
type Drift = [f32; 4];

/// Spacing of the table in all three directions, in knots.
const SPACING_KN: f64 = 1.0;
/// Side of the cells over which the boat's figures are averaged before the wind's spread is laid
/// over them, in knots, and the places looked at across a cell.
const CELL_KN: f64 = 1.0;
const PLACES_ACROSS: usize = 8;
/// The same for what a current does, which is smoother.
const DRIFT_PLACES_ACROSS: usize = 4;
/// The current across at which its effect is looked at, either way, in knots. A current is stronger
/// nowhere but in the great streams; for those the parabola through this and none goes on.
const PROBE_KN: f64 = 1.0;
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
    /// The greatest mean speed among them, in knots.
    most_kn: f32,
    /// The same of the drifts, for wind from port; none without currents, and then none are reckoned
    /// with.
    drifts: Vec<Drift>,
}

/// What a table must hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MetRange {
    /// The greatest mean vector, in knots.
    pub greatest_mean_kn: f64,
    /// The least and the greatest spread of a component, in knots.
    pub spreads_kn: (f64, f64),
    /// Whether there are any currents.
    pub currents: bool,
}

impl PaceTable {
    pub(super) fn new(boat: &Boat, range: &MetRange) -> Self {
        let ahead_half = (range.greatest_mean_kn / SPACING_KN).ceil() as usize + 1;
        let (least, greatest) = range.spreads_kn;
        let least = least.max(LEAST_SPREAD_KN);
        let greatest = greatest.max(least);
        let spreads = ((greatest - least) / SPACING_KN).ceil() as usize + 2;
        let cells = Cells::new(
            boat,
            (range.greatest_mean_kn + TAIL_SPREADS * greatest + CELL_KN).min(MOST_KN),
            range.currents,
        );
        let (ahead_nodes, abeam_nodes) = (2 * ahead_half + 1, ahead_half + 1);
        let reach_kn = ahead_half as f64 * SPACING_KN;
        let nodes = (ahead_nodes, abeam_nodes);
        let layers: Vec<(Vec<Pace>, Vec<Drift>)> = (0..spreads)
            .into_par_iter()
            .map(|index| {
                let spread_kn = least + index as f64 * SPACING_KN;
                let drifts = if range.currents {
                    // A slope changes its sign with the side of the wind.
                    let mirror = [-1.0, -1.0, 1.0, 1.0];
                    cells.under_spread(&cells.drifts, mirror, spread_kn, reach_kn, nodes)
                } else {
                    Vec::new()
                };
                let mirror = [1.0; FIGURES];
                let paces = cells.under_spread(&cells.figures, mirror, spread_kn, reach_kn, nodes);
                (paces, drifts)
            })
            .collect();
        let (paces, drifts): (Vec<_>, Vec<_>) = layers.into_iter().unzip();
        let paces = paces.concat();
        let speeds_kn = paces.iter().map(|pace| pace[FUELLED].max(pace[UNDER_SAIL]));
        let most_kn = speeds_kn.fold(0.0, f32::max);
        Self {
            ahead_nodes,
            abeam_nodes,
            reach_kn,
            spreads,
            least_spread_kn: least,
            paces,
            most_kn,
            drifts: drifts.concat(),
        }
    }

    /// The same table for waters without a current.
    pub(super) fn in_still_water(&self) -> Self {
        Self {
            drifts: Vec::new(),
            ..self.clone()
        }
    }

    /// The figures for a mean wind from ahead (negative from astern) and from port (negative from
    /// starboard), a spread, and a current along the course and across it to port, all in knots;
    /// trilinear in the wind, and held at the table's edges.
    #[inline]
    pub(super) fn at(
        &self,
        [ahead_kn, port_kn]: [f32; 2],
        spread_kn: f32,
        [along_kn, across_kn]: [f32; 2],
    ) -> Pace {
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
        let (abeam, y) = split(port_kn.abs() * PER_KN, self.abeam_nodes);
        let corner = (spread * self.ahead_nodes + ahead) * self.abeam_nodes + abeam;
        let layer = self.ahead_nodes * self.abeam_nodes;
        let corners = [
            (corner, (1.0 - s) * (1.0 - x)),
            (corner + self.abeam_nodes, (1.0 - s) * x),
            (corner + layer, s * (1.0 - x)),
            (corner + layer + self.abeam_nodes, s * x),
        ];
        let mut pace = between(&self.paces, &corners, y);
        if !self.drifts.is_empty() {
            let [slope, sail_slope, curve, sail_curve] = between(&self.drifts, &corners, y);
            // The table has the wind to port.
            let across_kn = across_kn * port_kn.signum();
            // Through the water she goes no faster than she ever does: what holds the course against
            // a current is gone along it, and where that is all, she stalls.
            let room_kn = (self.most_kn * self.most_kn - across_kn * across_kn).max(0.0);
            let room_kn = room_kn.sqrt();
            for (figure, slope, curve) in [
                (FUELLED, slope, curve),
                (UNDER_SAIL, sail_slope, sail_curve),
            ] {
                let water_kn = pace[figure] + across_kn * (slope + across_kn * curve);
                pace[figure] = water_kn.min(room_kn) + along_kn;
            }
        }
        pace
    }

    /// A bound above the progress that any of these winds gives with its current on any course, in
    /// knots: the greatest among the nodes of the table about each. A current of c knots adds, with
    /// its part d across the course, sqrt(c² - d²) + slope d + curve d², which is no more than
    /// c sqrt(1 + slope²) + curve c².
    pub(super) fn greatest_kn(&self, all: impl Iterator<Item = Met>) -> f64 {
        let means = self.abeam_nodes + 1;
        // For each mean and spread the strongest current met with it.
        let mut strongest_kn: Vec<Option<f32>> = vec![None; means * self.spreads];
        let node = |kn: f64| (kn.max(0.0) / SPACING_KN) as usize;
        for [u_kn, v_kn, s_kn, _, east_kn, north_kn] in all {
            let mean = node(f64::from(u_kn.hypot(v_kn))).min(means - 1);
            let spread = node(f64::from(s_kn) - self.least_spread_kn).min(self.spreads - 1);
            let strongest = &mut strongest_kn[spread * means + mean];
            let current_kn = east_kn.hypot(north_kn);
            *strongest = Some(strongest.map_or(current_kn, |kn| kn.max(current_kn)));
        }
        let layer = self.ahead_nodes * self.abeam_nodes;
        let mut greatest = 0.0_f32;
        for (index, pace) in self.paces.iter().enumerate() {
            let spread = index / layer;
            let ahead_kn = (index % layer / self.abeam_nodes) as f64 * SPACING_KN - self.reach_kn;
            let abeam_kn = (index % self.abeam_nodes) as f64 * SPACING_KN;
            let mean = node(ahead_kn.hypot(abeam_kn)).min(means - 1);
            // A corner of a cell of the table is within two nodes of any mean in the cell.
            let current_kn = (spread.saturating_sub(1)..=(spread + 1).min(self.spreads - 1))
                .flat_map(|s| {
                    let about = mean.saturating_sub(2)..=(mean + 2).min(means - 1);
                    about.map(move |m| s * means + m)
                })
                .filter_map(|bin| strongest_kn[bin])
                .reduce(f32::max);
            let Some(current_kn) = current_kn else {
                continue;
            };
            let drift = self.drifts.get(index).copied().unwrap_or_default();
            for figure in [FUELLED, UNDER_SAIL] {
                let (slope, curve) = (drift[figure], drift[2 + figure].max(0.0));
                let carried_kn = current_kn * (slope.hypot(1.0) + curve * current_kn);
                greatest = greatest.max(pace[figure] + carried_kn);
            }
        }
        f64::from(greatest)
    }
}

/// The figures between the corners of a cell of a table, each given with its weight and with its
/// neighbour one on, of which `y` counts.
#[inline]
fn between<const N: usize>(table: &[[f32; N]], corners: &[(usize, f32); 4], y: f32) -> [f32; N] {
    let mut figures = [0.0; N];
    for &(corner, weight) in corners {
        let (near, far) = (&table[corner], &table[corner + 1]);
        for (sum, (near, far)) in figures.iter_mut().zip(near.iter().zip(far)) {
            *sum += weight * (near + y * (far - near));
        }
    }
    figures
}

/// The boat's figures averaged over square cells of wind, from ahead and from abeam.
struct Cells {
    /// Cells from `-reach` ahead to `reach`.
    ahead: usize,
    /// Cells from 0 abeam to `reach`.
    abeam: usize,
    reach_kn: f64,
    figures: Vec<Pace>,
    /// Wind from port; none without currents.
    drifts: Vec<Drift>,
}

impl Cells {
    fn new(boat: &Boat, reach_kn: f64, currents: bool) -> Self {
        let abeam = (reach_kn / CELL_KN).ceil() as usize;
        let ahead = 2 * abeam;
        let reach_kn = abeam as f64 * CELL_KN;
        let corner_kn = |index: usize| {
            (
                (index / abeam) as f64 * CELL_KN - reach_kn,
                (index % abeam) as f64 * CELL_KN,
            )
        };
        let cells = (0..ahead * abeam).into_par_iter();
        let drifts = if currents {
            let cells = cells.clone();
            cells
                .map(|index| drift_means(boat, corner_kn(index)))
                .collect()
        } else {
            Vec::new()
        };
        let figures = cells
            .map(|index| cell_means(boat, corner_kn(index)))
            .collect();
        Self {
            ahead,
            abeam,
            reach_kn,
            figures,
            drifts,
        }
    }

    fn middle_kn(&self, cell: usize) -> f64 {
        (cell as f64 + 0.5) * CELL_KN - self.reach_kn
    }

    /// One layer of a table of the figures of each cell, of which those with the wind on the other
    /// side are `mirror` times as great.
    fn under_spread<const N: usize>(
        &self,
        figures: &[[f32; N]],
        mirror: [f32; N],
        spread_kn: f64,
        reach_kn: f64,
        (ahead_nodes, abeam_nodes): (usize, usize),
    ) -> Vec<[f32; N]> {
        let spread_kn = (spread_kn * spread_kn - CELL_KN * CELL_KN / 12.0).sqrt();
        // Along the wind from ahead, for every row of cells abeam.
        let mut rows = vec![[0.0; N]; ahead_nodes * self.abeam];
        for node in 0..ahead_nodes {
            let mean_kn = node as f64 * SPACING_KN - reach_kn;
            let row = &mut rows[node * self.abeam..][..self.abeam];
            for (cell, weight) in self.weights(mean_kn, spread_kn) {
                let cells = &figures[cell * self.abeam..][..self.abeam];
                for (sum, figures) in row.iter_mut().zip(cells) {
                    add(sum, figures, [weight; N]);
                }
            }
        }
        // Along the wind from abeam, one side the mirror of the other.
        let mut layer = vec![[0.0; N]; ahead_nodes * abeam_nodes];
        for abeam in 0..abeam_nodes {
            let weights = self.weights(abeam as f64 * SPACING_KN, spread_kn);
            for ahead in 0..ahead_nodes {
                let row = &rows[ahead * self.abeam..][..self.abeam];
                let sum = &mut layer[ahead * abeam_nodes + abeam];
                for &(cell, weight) in &weights {
                    if cell >= self.abeam {
                        add(sum, &row[cell - self.abeam], [weight; N]);
                    } else {
                        let weights = mirror.map(|mirror| mirror * weight);
                        add(sum, &row[self.abeam - 1 - cell], weights);
                    }
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

fn add<const N: usize>(sum: &mut [f32; N], figures: &[f32; N], weights: [f32; N]) {
    for ((sum, figure), weight) in sum.iter_mut().zip(figures).zip(weights) {
        *sum += weight * figure;
    }
}

/// What a current across does in the cell of wind that begins at `corner_kn` from ahead and from
/// port, on the mean: from the boat with it to starboard, without it and with it to port.
fn drift_means(boat: &Boat, corner_kn: (f64, f64)) -> Drift {
    let place = |index: usize| (index as f64 + 0.5) / DRIFT_PLACES_ACROSS as f64 * CELL_KN;
    let mut sums = [0.0_f64; 4];
    for x in 0..DRIFT_PLACES_ACROSS {
        for y in 0..DRIFT_PLACES_ACROSS {
            let wind = CourseWind::from_parts(corner_kn.0 + place(x), corner_kn.1 + place(y));
            let speeds_kn = [-PROBE_KN, 0.0, PROBE_KN].map(|across_kn| {
                let current = CourseCurrent {
                    along_kn: 0.0,
                    across_kn,
                };
                let water_kn = boat.under_sail_kn(wind, across_kn);
                [true, false].map(|fuelled| {
                    let progress = boat.progress_from(water_kn, wind, current, fuelled);
                    progress.made_good_kn
                })
            });
            for figure in [FUELLED, UNDER_SAIL] {
                let [starboard, still, port] = speeds_kn.map(|speeds_kn| speeds_kn[figure]);
                sums[figure] += (port - starboard) / (2.0 * PROBE_KN);
                sums[2 + figure] += (port + starboard - 2.0 * still) / (2.0 * PROBE_KN * PROBE_KN);
            }
        }
    }
    sums.map(|sum| (sum / (DRIFT_PLACES_ACROSS * DRIFT_PLACES_ACROSS) as f64) as f32)
}

/// The means over the cell of wind that begins at `corner_kn` from ahead and from abeam.
fn cell_means(boat: &Boat, corner_kn: (f64, f64)) -> Pace {
    let place = |index: usize| (index as f64 + 0.5) / PLACES_ACROSS as f64 * CELL_KN;
    let mut sums = [0.0_f64; FIGURES];
    for x in 0..PLACES_ACROSS {
        for y in 0..PLACES_ACROSS {
            let (ahead_kn, abeam_kn) = (corner_kn.0 + place(x), corner_kn.1 + place(y));
            let wind = CourseWind::from_parts(ahead_kn, abeam_kn);
            let still = CourseCurrent::default();
            let water_kn = boat.under_sail_kn(wind, still.across_kn);
            let fuelled = boat.progress_from(water_kn, wind, still, true);
            sums[FUELLED] += fuelled.made_good_kn;
            sums[UNDER_SAIL] += boat
                .progress_from(water_kn, wind, still, false)
                .made_good_kn;
            for hardship in Hardship::ALL {
                let met = match hardship {
                    Hardship::Engine => fuelled.under_power,
                    hardship => hardship.kind().applies(wind.speed_kn, wind.off_deg),
                };
                sums[hardship.figure()] += f64::from(u8::from(met));
            }
        }
    }
    sums.map(|sum| (sum / (PLACES_ACROSS * PLACES_ACROSS) as f64) as f32)
}

#[cfg(test)]
mod tests;
