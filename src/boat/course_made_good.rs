//! Course made good as a table, for reading in the inner loops.

use super::at_sea::AtSea;
use super::convex_hull::ConvexHull;
use super::headings::{Headings, sin_cos};
use super::polar::Polar;
use crate::units::wrap_180_deg;

/// The finest spacing the table may take between angles, and the coarsest as a multiple of it.
/// All are binary fractions of a degree, so that an angle's interval is exact.
const FINEST_ANGLE_DEG: f64 = 1.0 / 16.0;
const COARSEST_STRIDE: usize = 16;
/// An interval is halved while its middle is out by more than this. Where a kink falls beside the
/// middle the error is at most twice what the middle shows, and the two axes add up to less than
/// 0.02 kn.
const ANGLE_TOLERANCE_KN: f64 = 0.005;
const WIND_TOLERANCE_KN: f64 = 0.005;
const FINEST_WIND_KN: f64 = 1.0 / 64.0;
const BINS_PER_KN: f64 = 2.0;

/// The largest progress along a course (kn) over true wind speed and the angle between wind and
/// course, tacking or gybing where that pays.
///
/// A table of the exact [`course_made_good_kn`](super::course_made_good_kn), within 0.02 kn of it
/// for a boat that makes way both up and down the wind. Its wind speeds are the polar's own and as many between as
/// that takes.
#[derive(Debug, Clone)]
pub struct CourseMadeGood {
    wind_nodes_kn: Vec<f64>,
    /// For each half knot of wind speed, the last node at or below its start.
    node_of_bin: Vec<u32>,
    angles_per_deg: f64,
    angle_count: usize,
    /// One row for each wind node, one value for each angle from 0 to 180.
    progress_kn: Vec<f32>,
}

impl CourseMadeGood {
    /// Builds the table for a polar.
    pub fn new(polar: &Polar, at_sea: &AtSea) -> Self {
        let headings = Headings::of(polar);
        let stride = angle_stride(polar, at_sea, &headings);
        let courses = courses(stride);
        let row_at = |wind_kn: f64| row_kn(polar, at_sea, &headings, wind_kn, &courses);

        let mut nodes: Vec<(f64, Vec<f64>)> = Vec::new();
        for &wind_kn in polar.true_wind_speeds_kn() {
            let row = row_at(wind_kn);
            if let Some((below_kn, below)) = nodes.last().cloned() {
                refine((below_kn, &below), (wind_kn, &row), &row_at, &mut nodes);
            }
            nodes.push((wind_kn, row));
        }
        let (wind_nodes_kn, rows): (Vec<f64>, Vec<Vec<f64>>) = nodes.into_iter().unzip();
        Self {
            node_of_bin: node_of_bin(&wind_nodes_kn),
            wind_nodes_kn,
            angles_per_deg: 1.0 / (FINEST_ANGLE_DEG * stride as f64),
            angle_count: courses.len(),
            progress_kn: rows.into_iter().flatten().map(|kn| kn as f32).collect(),
        }
    }

    /// Progress along the course, kn.
    ///
    /// `true_wind_speed_kn` is 0 or more; `angle_off_course_deg` is the angle between the wind and
    /// the course, 0 for a course straight into the wind and 180 for one dead before it, either
    /// side the same.
    pub fn progress_kn(&self, true_wind_speed_kn: f64, angle_off_course_deg: f64) -> f64 {
        let place = wrap_180_deg(angle_off_course_deg).abs() * self.angles_per_deg;
        let angle = (place as usize).min(self.angle_count - 2);
        let share = place - angle as f64;
        let in_node = |node: usize| {
            let at = node * self.angle_count + angle;
            let (low, high) = (self.progress_kn[at], self.progress_kn[at + 1]);
            f64::from(low) + share * f64::from(high - low)
        };
        let last = self.wind_nodes_kn.len() - 1;
        if true_wind_speed_kn >= self.wind_nodes_kn[last] {
            return in_node(last);
        }
        let mut node = self.node_of_bin[(true_wind_speed_kn * BINS_PER_KN) as usize] as usize;
        while self.wind_nodes_kn[node + 1] <= true_wind_speed_kn {
            node += 1;
        }
        let (below_kn, above_kn) = (self.wind_nodes_kn[node], self.wind_nodes_kn[node + 1]);
        let (below, above) = (in_node(node), in_node(node + 1));
        below + (true_wind_speed_kn - below_kn) / (above_kn - below_kn) * (above - below)
    }
}

/// Sines and cosines of the courses 0 to 180 degrees off the wind, at a multiple of the finest
/// spacing.
fn courses(stride: usize) -> Vec<(f64, f64)> {
    let count = (180.0 / FINEST_ANGLE_DEG) as usize / stride + 1;
    let spacing_deg = FINEST_ANGLE_DEG * stride as f64;
    (0..count)
        .map(|i| sin_cos(i as f64 * spacing_deg))
        .collect()
}

fn row_kn(
    polar: &Polar,
    at_sea: &AtSea,
    headings: &Headings,
    wind_kn: f64,
    courses: &[(f64, f64)],
) -> Vec<f64> {
    let left_kn = |angle_deg, speed_kn| at_sea.speed_kn(wind_kn, angle_deg, speed_kn);
    let hull = ConvexHull::new(headings, &polar.speeds_at_wind_kn(wind_kn), left_kn);
    let mut turn = hull.turn();
    courses
        .iter()
        .map(|&course| turn.progress_kn(course))
        .collect()
}

/// The widest spacing of angles that keeps to the tolerance in each of the polar's own winds.
fn angle_stride(polar: &Polar, at_sea: &AtSea, headings: &Headings) -> usize {
    let fits = |stride: usize| {
        let halved = courses(stride / 2);
        polar.true_wind_speeds_kn().iter().all(|&wind_kn| {
            let row = row_kn(polar, at_sea, headings, wind_kn, &halved);
            (0..row.len() - 2).step_by(2).all(|i| {
                let middle = (row[i] + row[i + 2]) / 2.0;
                (row[i + 1] - middle).abs() <= ANGLE_TOLERANCE_KN
            })
        })
    };
    let mut stride = COARSEST_STRIDE;
    while stride > 1 && !fits(stride) {
        stride /= 2;
    }
    stride
}

/// Adds the nodes needed between two winds, in rising order.
fn refine(
    (below_kn, below): (f64, &[f64]),
    (above_kn, above): (f64, &[f64]),
    row_at: &impl Fn(f64) -> Vec<f64>,
    nodes: &mut Vec<(f64, Vec<f64>)>,
) {
    if above_kn - below_kn < 2.0 * FINEST_WIND_KN {
        return;
    }
    let middle_kn = (below_kn + above_kn) / 2.0;
    let middle = row_at(middle_kn);
    let ends = below.iter().zip(above);
    let straight = ends
        .zip(&middle)
        .all(|((low, high), exact)| ((low + high) / 2.0 - exact).abs() <= WIND_TOLERANCE_KN);
    if straight {
        return;
    }
    refine((below_kn, below), (middle_kn, &middle), row_at, nodes);
    nodes.push((middle_kn, middle.clone()));
    refine((middle_kn, &middle), (above_kn, above), row_at, nodes);
}

fn node_of_bin(wind_nodes_kn: &[f64]) -> Vec<u32> {
    let last_kn = wind_nodes_kn[wind_nodes_kn.len() - 1];
    let bins = (last_kn * BINS_PER_KN).ceil() as usize + 1;
    (0..bins)
        .map(|bin| {
            let start_kn = bin as f64 / BINS_PER_KN;
            let node = wind_nodes_kn.partition_point(|&node_kn| node_kn <= start_kn) - 1;
            node.min(wind_nodes_kn.len() - 2) as u32
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE_ERROR_KN: f64 = 0.02;

    /// The largest difference between table and hull over a mesh that shares no spacing with it.
    fn largest_error_kn(polar: &Polar) -> f64 {
        let table = CourseMadeGood::new(polar, &AtSea::NONE);
        let headings = Headings::of(polar);
        let angles_deg: Vec<f64> = (0..=2465)
            .map(|i| f64::from(i) * 0.073)
            .chain([180.0])
            .collect();
        let courses: Vec<_> = angles_deg.iter().map(|&deg| sin_cos(deg)).collect();
        let mut largest_kn = 0.0_f64;
        for wind in 0..=600 {
            let wind_kn = f64::from(wind) * 0.0737;
            let exact = row_kn(polar, &AtSea::NONE, &headings, wind_kn, &courses);
            for (&angle_deg, exact_kn) in angles_deg.iter().zip(exact) {
                let error_kn = (table.progress_kn(wind_kn, angle_deg) - exact_kn).abs();
                largest_kn = largest_kn.max(error_kn);
            }
        }
        largest_kn
    }

    fn demo() -> Polar {
        Polar::parse(include_str!("../../fixtures/demo/cutter-12m.csv"), "demo").unwrap()
    }

    fn assert_close(name: &str, polar: &Polar) {
        let error_kn = largest_error_kn(polar);
        assert!(error_kn < TABLE_ERROR_KN, "{name}: {error_kn} kn");
    }

    #[test]
    fn demo_polar_is_tabulated_to_the_tolerance() {
        assert_close("demo", &demo());
    }

    #[test]
    fn plain_shapes_are_tabulated_to_the_tolerance() {
        let winds = [5.0, 15.0, 40.0];
        let circle = Polar::tabulate(&winds, &[0.0, 90.0, 180.0], |wind, _| winds[wind].sqrt());
        assert_close("circle", &circle);
        let wedge = Polar::tabulate(&winds, &[45.0, 90.0, 180.0], |wind, _| winds[wind].sqrt());
        assert_close("wedge", &wedge);
    }

    #[test]
    fn irregular_polars_are_tabulated_to_the_tolerance() {
        let winds = [6.0, 12.0, 18.0, 30.0];
        let angles: Vec<f64> = (3..=18).map(|i| f64::from(i) * 10.0).collect();
        let spiky = Polar::tabulate(&winds, &angles, |wind, angle| {
            if (wind + angle) % 2 == 0 { 11.0 } else { 2.0 }
        });
        assert_close("spiky", &spiky);
        let needle = Polar::tabulate(&winds, &[45.0, 90.0, 170.0, 180.0], |wind, angle| {
            if angle == 3 {
                5.0 + 2.0 * wind as f64
            } else {
                1.0
            }
        });
        assert_close("needle", &needle);
    }
}
