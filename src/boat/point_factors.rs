//! Factors on a polar by point of sailing, on top of the one on all of it.

use schemars::JsonSchema;
use serde::Serialize;

use super::error::BoatError;
use super::polar::Polar;
use super::ranges::POLAR_FACTOR;

/// Beating is closer to the wind than the first, running further off it than the second, degrees.
pub(super) const BEATING_BELOW_DEG: f64 = 60.0;
pub(super) const RUNNING_ABOVE_DEG: f64 = 110.0;
/// From so far before a boundary to so far behind it one factor turns into the next, linear in the
/// angle, so that the polar has no step (common practice, no source).
const BLENDED_OVER_DEG: f64 = 10.0;

/// Factors on a polar by point of sailing, on top of the one on all of it.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct PointFactors {
    /// Less than 60 degrees off the wind.
    pub beating: f64,
    /// From 60 to 110 degrees.
    pub reaching: f64,
    /// More than 110 degrees.
    pub running: f64,
}

impl PointFactors {
    /// The same factor everywhere: none on top.
    pub const NONE: Self = Self {
        beating: 1.0,
        reaching: 1.0,
        running: 1.0,
    };

    /// The factor at an angle off the wind, degrees, 0 to 180.
    pub fn at(&self, true_wind_angle_deg: f64) -> f64 {
        let past = |boundary_deg: f64| {
            let from_deg = boundary_deg - BLENDED_OVER_DEG;
            ((true_wind_angle_deg - from_deg) / (2.0 * BLENDED_OVER_DEG)).clamp(0.0, 1.0)
        };
        self.beating
            + past(BEATING_BELOW_DEG) * (self.reaching - self.beating)
            + past(RUNNING_ABOVE_DEG) * (self.running - self.reaching)
    }

    pub(super) fn check(self) -> Result<Self, BoatError> {
        for factor in [self.beating, self.reaching, self.running] {
            POLAR_FACTOR.check(factor)?;
        }
        Ok(self)
    }
}

impl Default for PointFactors {
    fn default() -> Self {
        Self::NONE
    }
}

impl Polar {
    /// The same polar with its boat speeds multiplied by factors by point of sailing. Angles at
    /// which those bend are added to the table's.
    pub(super) fn with_factors(&self, factors: &PointFactors) -> Self {
        if *factors == PointFactors::NONE {
            return self.clone();
        }
        let bends_deg = [BEATING_BELOW_DEG, RUNNING_ABOVE_DEG].into_iter();
        let bends_deg: Vec<f64> = bends_deg
            .flat_map(|deg| [deg - BLENDED_OVER_DEG, deg + BLENDED_OVER_DEG])
            .collect();
        self.adjusted(&[], &bends_deg, |_, angle_deg, speed_kn| {
            speed_kn * factors.at(angle_deg)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FACTORS: PointFactors = PointFactors {
        beating: 0.8,
        reaching: 1.0,
        running: 1.1,
    };

    #[test]
    fn each_holds_on_its_point_of_sailing_and_they_blend_between() {
        let at = [0.0, 50.0, 60.0, 70.0, 100.0, 110.0, 120.0, 180.0].map(|deg| FACTORS.at(deg));
        let expected = [0.8, 0.8, 0.9, 1.0, 1.0, 1.05, 1.1, 1.1];
        for (found, expected) in at.into_iter().zip(expected) {
            approx::assert_abs_diff_eq!(found, expected, epsilon = 1e-12);
        }
    }

    #[test]
    fn the_polar_has_them_between_its_own_angles_too() {
        let polar = Polar::tabulate(&[10.0, 20.0], &[0.0, 90.0, 180.0], |_, _| 6.0);
        let slower = polar.with_factors(&FACTORS);
        for angle_deg in [20.0, 50.0, 56.0, 85.0, 104.0, 150.0] {
            let found_kn = slower.speed_kn(15.0, angle_deg);
            approx::assert_abs_diff_eq!(found_kn, 6.0 * FACTORS.at(angle_deg), epsilon = 1e-12);
        }
        assert_eq!(polar.with_factors(&PointFactors::NONE), polar);
    }
}
