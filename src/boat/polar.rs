//! The polar: boat speed through the water over true wind speed and true wind angle.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::wrap_180_deg;

/// Boat speed through the water (kn) over true wind speed (kn) and true wind angle (degrees).
///
/// A full rectangular table, read bilinearly. It is 0 at no wind, and at angle 0 unless that is
/// given; above the last wind speed the last column holds.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Polar {
    /// True wind speeds, knots, rising.
    true_wind_speeds_kn: Vec<f64>,
    /// True wind angles off the bow, degrees, rising.
    true_wind_angles_deg: Vec<f64>,
    /// Boat speeds, knots: for each wind speed in turn a speed for each angle.
    boat_speeds_kn: Vec<f64>,
}

impl Polar {
    /// A polar from its axes and the speed at each pair of them. The axes rise, the angles end at
    /// 180 degrees; a missing 0 on either axis is added with no boat speed.
    pub(crate) fn tabulate(
        true_wind_speeds_kn: &[f64],
        true_wind_angles_deg: &[f64],
        boat_speed_kn: impl Fn(usize, usize) -> f64,
    ) -> Self {
        let with_zero = |axis: &[f64]| -> (usize, Vec<f64>) {
            let added = usize::from(axis.first() != Some(&0.0));
            let zero = [0.0].into_iter().take(added);
            (added, zero.chain(axis.iter().copied()).collect())
        };
        let (winds_added, winds_kn) = with_zero(true_wind_speeds_kn);
        let (angles_added, angles_deg) = with_zero(true_wind_angles_deg);
        let mut boat_speeds_kn = Vec::with_capacity(winds_kn.len() * angles_deg.len());
        for wind in 0..winds_kn.len() {
            for angle in 0..angles_deg.len() {
                let implied = wind < winds_added || angle < angles_added;
                boat_speeds_kn.push(if implied {
                    0.0
                } else {
                    boat_speed_kn(wind - winds_added, angle - angles_added)
                });
            }
        }
        Self {
            true_wind_speeds_kn: winds_kn,
            true_wind_angles_deg: angles_deg,
            boat_speeds_kn,
        }
    }

    /// Boat speed through the water, kn.
    ///
    /// `true_wind_speed_kn` is 0 or more. `true_wind_angle_deg` is the heading's angle off the
    /// wind, 0 head to wind and 180 dead before it; either side is the same.
    pub fn speed_kn(&self, true_wind_speed_kn: f64, true_wind_angle_deg: f64) -> f64 {
        let angle_deg = wrap_180_deg(true_wind_angle_deg).abs();
        let (angle, share) = bracket(&self.true_wind_angles_deg, angle_deg);
        let (low, high, wind_share) = self.rows_around(true_wind_speed_kn);
        let at = |row: &[f64]| row[angle] + share * (row[angle + 1] - row[angle]);
        at(low) + wind_share * (at(high) - at(low))
    }

    /// The true wind speeds of the table, kn, rising from 0.
    pub fn true_wind_speeds_kn(&self) -> &[f64] {
        &self.true_wind_speeds_kn
    }

    /// The true wind angles of the table, degrees, rising from 0 to 180.
    pub fn true_wind_angles_deg(&self) -> &[f64] {
        &self.true_wind_angles_deg
    }

    /// The same polar with every boat speed multiplied by `factor`.
    pub fn scaled(&self, factor: f64) -> Self {
        let mut scaled = self.clone();
        for speed_kn in &mut scaled.boat_speeds_kn {
            *speed_kn *= factor;
        }
        scaled
    }

    /// The same polar with other speeds at its nodes and at others put between them: `adjust` is
    /// given wind speed (kn), angle (degrees) and boat speed (kn) and says the new boat speed. Nodes
    /// above the last wind speed or below the first angle are not put in.
    pub(super) fn adjusted(
        &self,
        more_winds_kn: &[f64],
        more_angles_deg: &[f64],
        adjust: impl Fn(f64, f64, f64) -> f64,
    ) -> Self {
        let with_more = |axis: &[f64], more: &[f64]| -> Vec<f64> {
            let within = axis[0]..=axis[axis.len() - 1];
            let more = more.iter().filter(|value| within.contains(value));
            let mut all: Vec<f64> = axis.iter().chain(more).copied().collect();
            all.sort_by(f64::total_cmp);
            all.dedup();
            all
        };
        let winds_kn = with_more(&self.true_wind_speeds_kn, more_winds_kn);
        let angles_deg = with_more(&self.true_wind_angles_deg, more_angles_deg);
        Self::tabulate(&winds_kn, &angles_deg, |wind, angle| {
            let (wind_kn, angle_deg) = (winds_kn[wind], angles_deg[angle]);
            adjust(wind_kn, angle_deg, self.speed_kn(wind_kn, angle_deg))
        })
    }

    /// The boat speeds at the table's angles in one wind, kn.
    pub(super) fn speeds_at_wind_kn(&self, true_wind_speed_kn: f64) -> Vec<f64> {
        let (low, high, share) = self.rows_around(true_wind_speed_kn);
        let pairs = low.iter().zip(high);
        pairs
            .map(|(low, high)| low + share * (high - low))
            .collect()
    }

    /// The table's rows below and above a wind speed, and how far it is from the one to the other.
    fn rows_around(&self, true_wind_speed_kn: f64) -> (&[f64], &[f64], f64) {
        let last = self.true_wind_speeds_kn.len() - 1;
        if true_wind_speed_kn >= self.true_wind_speeds_kn[last] {
            return (self.row(last), self.row(last), 0.0);
        }
        let (wind, share) = bracket(&self.true_wind_speeds_kn, true_wind_speed_kn);
        (self.row(wind), self.row(wind + 1), share)
    }

    fn row(&self, wind: usize) -> &[f64] {
        let width = self.true_wind_angles_deg.len();
        &self.boat_speeds_kn[wind * width..(wind + 1) * width]
    }
}

/// The interval of a rising axis that holds `value`, and how far through the interval it is.
pub(super) fn bracket(axis: &[f64], value: f64) -> (usize, f64) {
    let interval = axis[1..axis.len() - 1].partition_point(|&node| node <= value);
    (
        interval,
        (value - axis[interval]) / (axis[interval + 1] - axis[interval]),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two_winds() -> Polar {
        let speeds = [[3.0, 5.0, 4.0], [5.0, 7.0, 6.0]];
        Polar::tabulate(&[10.0, 20.0], &[50.0, 90.0, 180.0], |wind, angle| {
            speeds[wind][angle]
        })
    }

    #[test]
    fn nodes_are_kept_and_between_them_it_is_bilinear() {
        let polar = two_winds();
        assert_eq!(polar.speed_kn(10.0, 50.0), 3.0);
        assert_eq!(polar.speed_kn(20.0, 180.0), 6.0);
        assert_eq!(polar.speed_kn(15.0, 70.0), 5.0);
        assert_eq!(polar.speed_kn(12.5, 135.0), 5.0);
    }

    #[test]
    fn no_wind_and_head_to_wind_are_0_unless_given() {
        let polar = two_winds();
        assert_eq!(polar.true_wind_speeds_kn(), [0.0, 10.0, 20.0]);
        assert_eq!(polar.true_wind_angles_deg(), [0.0, 50.0, 90.0, 180.0]);
        assert_eq!(polar.speed_kn(0.0, 90.0), 0.0);
        assert_eq!(polar.speed_kn(5.0, 90.0), 2.5);
        assert_eq!(polar.speed_kn(15.0, 0.0), 0.0);
        assert_eq!(polar.speed_kn(10.0, 25.0), 1.5);
        let given = Polar::tabulate(&[0.0, 10.0], &[0.0, 90.0, 180.0], |_, _| 2.0);
        assert_eq!(given.speed_kn(0.0, 0.0), 2.0);
    }

    #[test]
    fn above_the_last_wind_speed_the_last_column_holds() {
        assert_eq!(two_winds().speed_kn(60.0, 90.0), 7.0);
    }

    #[test]
    fn both_sides_of_the_boat_are_alike() {
        let polar = two_winds();
        assert_eq!(polar.speed_kn(12.0, -70.0), polar.speed_kn(12.0, 70.0));
        assert_eq!(polar.speed_kn(12.0, 290.0), polar.speed_kn(12.0, 70.0));
        assert_eq!(polar.speed_kn(12.0, -180.0), polar.speed_kn(12.0, 180.0));
    }

    #[test]
    fn a_factor_scales_every_speed() {
        let polar = two_winds();
        assert_eq!(polar.scaled(0.5).speed_kn(15.0, 70.0), 2.5);
    }
}
