//! The wind of one place and time, as a climate knows it: a mean vector and a standard deviation about it.

use std::ops::{Mul, Neg, Sub};

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Course, WindFrom};

use super::rice;

/// The time constant of the slow part of the wind's departures from its mean, hours: that which moorings
/// show (see DEVELOPERS, "Ensemble").
pub const SLOW_HOURS: f64 = 400.0;

/// A wind whose two components are independent Gaussians with one common standard deviation.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Wind {
    /// Mean component toward the east, m/s.
    pub u_ms: f64,
    /// Mean component toward the north, m/s.
    pub v_ms: f64,
    /// Standard deviation of each component, m/s.
    pub s_ms: f64,
}

impl Wind {
    /// The direction the mean vector comes from, degrees true.
    pub fn direction(&self) -> WindFrom {
        WindFrom::from_components(self.u_ms, self.v_ms)
    }

    /// The mean from ahead and from abeam for a boat on `course`, m/s; from abeam, it is positive
    /// from port. The standard deviation of either is the wind's own.
    pub fn along(&self, course: Course) -> [f64; 2] {
        let (east, north) = course.deg().to_radians().sin_cos();
        turned_along([self.u_ms, self.v_ms], [east, north])
    }

    /// The size of the mean vector, m/s. Winds from opposite sides cancel in it.
    pub fn vector_mean_speed_ms(&self) -> f64 {
        self.u_ms.hypot(self.v_ms)
    }

    /// The mean of the speed whatever the direction, m/s: the mean of the Rice distribution
    /// (Rice, 1945, Bell System Technical Journal 24; from memory).
    pub fn mean_speed_ms(&self) -> f64 {
        rice::mean_speed_ms(self.vector_mean_speed_ms(), self.s_ms)
    }

    /// The vector mean over the scalar mean, 0 to 1: 1 for a wind that never changes, near 0 for
    /// one from anywhere. `None` where the wind is always nil.
    pub fn steadiness(&self) -> Option<f64> {
        let mean_speed_ms = self.mean_speed_ms();
        (mean_speed_ms > 0.0).then(|| (self.vector_mean_speed_ms() / mean_speed_ms).min(1.0))
    }

    /// The mean of the speed squared, (m/s)^2: m^2 + 2 s^2.
    pub fn mean_square_speed_ms2(&self) -> f64 {
        self.u_ms * self.u_ms + self.v_ms * self.v_ms + 2.0 * self.s_ms * self.s_ms
    }
}

/// The parts from ahead and from abeam of a wind that blows with these parts toward the east and
/// the north, in its own unit, for a boat on a course of this sine (toward the east) and cosine.
#[inline]
pub fn turned_along<T>([u, v]: [T; 2], [east, north]: [T; 2]) -> [T; 2]
where
    T: Copy + Mul<Output = T> + Sub<Output = T> + Neg<Output = T>,
{
    // A wind comes from the way opposite to its components.
    [-(u * east) - v * north, u * north - v * east]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wind_is_ahead_abeam_or_astern_of_a_course() {
        let easterly = wind(-5.0, 0.0, 2.0);
        for (course_deg, ahead_ms, abeam_ms) in [
            (90.0, 5.0, 0.0),
            (270.0, -5.0, 0.0),
            (0.0, 0.0, -5.0),
            (180.0, 0.0, 5.0),
        ] {
            let [ahead, abeam] = easterly.along(Course::from_deg(course_deg));
            assert!((ahead - ahead_ms).abs() < 1e-12, "{course_deg}: {ahead}");
            assert!((abeam - abeam_ms).abs() < 1e-12, "{course_deg}: {abeam}");
        }
    }

    fn wind(u_ms: f64, v_ms: f64, s_ms: f64) -> Wind {
        Wind { u_ms, v_ms, s_ms }
    }

    #[test]
    fn a_south_easterly_comes_from_the_south_east() {
        assert!((wind(-5.0, 5.0, 2.0).direction().deg() - 135.0).abs() < 1e-12);
    }

    /// Closed forms computed once in double precision; printed to a hundredth of a per cent.
    #[test]
    fn steadiness_matches_the_closed_form() {
        for (m, s, expected) in [(7.0, 2.0, 0.9599), (4.0, 6.0, 0.4800), (8.0, 4.0, 0.8801)] {
            let got = wind(m, 0.0, s).steadiness().expect("some wind");
            assert!((got - expected).abs() < 5e-5, "{got}, expected {expected}");
        }
    }

    #[test]
    fn a_wind_that_is_always_nil_has_no_steadiness() {
        assert_eq!(wind(0.0, 0.0, 0.0).steadiness(), None);
        assert_eq!(wind(0.0, 0.0, 3.0).steadiness(), Some(0.0));
    }

    #[test]
    fn the_mean_square_adds_the_variance_of_both_components() {
        assert_eq!(wind(3.0, 4.0, 2.0).mean_square_speed_ms2(), 33.0);
    }
}
