//! What a polar of smooth water leaves out: the sea's brake, slatting sails, and a crew that does not
//! beat into a gale.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::point_factors::BEATING_BELOW_DEG;
use super::sail_drive::apparent_speed_kn;

/// Share of boat speed lost to the sea for each knot of true wind above [`BRAKED_FROM_KN`], and the
/// most that is lost, with the wind ahead (common practice, no source: no published coefficient for
/// yachts was found).
const BRAKE_PER_KN: f64 = 0.012;
const BRAKED_FROM_KN: f64 = 8.0;
const MOST_BRAKE: f64 = 0.30;
/// The whole brake holds up to this angle off the wind, and none of it from the second on; between
/// them it is linear, so that 40 per cent of it is left abeam (common practice, no source).
const WHOLE_BRAKE_DEG: f64 = 60.0;
const NO_BRAKE_DEG: f64 = 110.0;
/// Over so many knots below the limit progress to windward falls to none (common practice, no
/// source).
const BEAT_FADES_OVER_KN: f64 = 8.0;
/// With less apparent wind than this the sails slat (common practice, no source).
const SLAT_BELOW_KN: f64 = 4.0;
/// From this wind on there is no beating (common practice, no source).
const BEAT_UNTIL_KN: f64 = 38.0;

/// Where the speeds of a polar are from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, JsonSchema, Serialize, Deserialize)]
pub enum PolarFrom {
    /// Smooth water: a designer's figures, or dimensions.
    #[default]
    #[serde(rename = "smooth water")]
    SmoothWater,
    /// Logs kept at sea, which have its brake and the slatting in them.
    #[serde(rename = "sea")]
    Sea,
}

impl PolarFrom {
    /// What is taken off such speeds.
    pub fn at_sea(self) -> AtSea {
        match self {
            Self::SmoothWater => AtSea::SMOOTH_WATER,
            Self::Sea => AtSea {
                beat_until_kn: Some(BEAT_UNTIL_KN),
                ..AtSea::NONE
            },
        }
    }
}

/// What the sea and the crew take off a polar's speeds.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct AtSea {
    /// The sea's brake, as a multiple of the usual one: 1 for a polar of smooth water, 0 for none.
    pub sea_brake: f64,
    /// Apparent wind below which the sails slat and she does not sail, knots; none for never.
    pub slat_below_kn: Option<f64>,
    /// True wind from which she makes nothing good to windward, knots; none for no such limit.
    pub beat_until_kn: Option<f64>,
}

impl AtSea {
    /// Nothing taken off at all.
    pub const NONE: Self = Self {
        sea_brake: 0.0,
        slat_below_kn: None,
        beat_until_kn: None,
    };

    /// What is taken off speeds in smooth water.
    pub const SMOOTH_WATER: Self = Self {
        sea_brake: 1.0,
        slat_below_kn: Some(SLAT_BELOW_KN),
        beat_until_kn: Some(BEAT_UNTIL_KN),
    };

    /// What is left of `speed_kn` on a heading with the wind `angle_deg` (0 to 180) off it.
    pub(super) fn speed_kn(&self, true_wind_speed_kn: f64, angle_deg: f64, speed_kn: f64) -> f64 {
        let into_it = (NO_BRAKE_DEG - angle_deg) / (NO_BRAKE_DEG - WHOLE_BRAKE_DEG);
        let brake = (BRAKE_PER_KN * (true_wind_speed_kn - BRAKED_FROM_KN)).clamp(0.0, MOST_BRAKE);
        let left_kn = speed_kn * (1.0 - self.sea_brake * brake * into_it.clamp(0.0, 1.0)).max(0.0);
        let slats = self.slat_below_kn.is_some_and(|slat_below_kn| {
            // The wind felt is never less than the difference of the two speeds.
            true_wind_speed_kn - left_kn < slat_below_kn
                && apparent_speed_kn(true_wind_speed_kn, angle_deg, left_kn) < slat_below_kn
        });
        if slats { 0.0 } else { left_kn }
    }

    /// The share of progress that the crew still makes with the wind `off_deg` (0 to 180) off the
    /// course.
    pub(super) fn share_beaten(&self, true_wind_speed_kn: f64, off_deg: f64) -> f64 {
        match self.beat_until_kn {
            Some(until_kn) if off_deg < BEATING_BELOW_DEG => {
                ((until_kn - true_wind_speed_kn) / BEAT_FADES_OVER_KN).clamp(0.0, 1.0)
            }
            _ => 1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_brake_grows_with_the_wind_and_fades_off_the_beam() {
        let left = |wind_kn, angle_deg| AtSea::SMOOTH_WATER.speed_kn(wind_kn, angle_deg, 6.0) / 6.0;
        approx::assert_abs_diff_eq!(left(8.0, 45.0), 1.0);
        approx::assert_abs_diff_eq!(left(18.0, 45.0), 0.88, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(left(50.0, 45.0), 0.70, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(left(18.0, 90.0), 1.0 - 0.4 * 0.12, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(left(18.0, 110.0), 1.0);
        assert_eq!(AtSea::NONE.speed_kn(30.0, 45.0, 6.0), 6.0);
    }

    #[test]
    fn sails_slat_dead_before_a_light_wind_and_not_across_it() {
        let sails = |angle_deg| AtSea::SMOOTH_WATER.speed_kn(6.0, angle_deg, 2.5) > 0.0;
        assert!(!sails(180.0), "3.5 kn of apparent wind");
        assert!(sails(90.0), "6.5 kn of apparent wind");
    }

    #[test]
    fn a_crew_stops_beating_before_it_stops_running() {
        let share = |wind_kn, off_deg| AtSea::SMOOTH_WATER.share_beaten(wind_kn, off_deg);
        assert_eq!(
            [30.0, 34.0, 38.0, 42.0].map(|kn| share(kn, 40.0)),
            [1.0, 0.5, 0.0, 0.0]
        );
        assert_eq!(share(42.0, 60.0), 1.0);
        assert_eq!(AtSea::NONE.share_beaten(42.0, 0.0), 1.0);
    }
}
