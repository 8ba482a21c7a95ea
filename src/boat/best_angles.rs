//! The best angles to sail up and down the wind.

use schemars::JsonSchema;
use serde::Serialize;

use super::headings::{Headings, Velocity};
use super::polar::Polar;

/// The heading that makes most good along the wind's axis, and what it makes.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct MadeGood {
    /// The heading's angle off the wind, degrees: the angle to tack through is twice this upwind.
    pub true_wind_angle_deg: f64,
    /// Boat speed through the water on that heading, kn.
    pub boat_speed_kn: f64,
    /// Speed made good straight up or down the wind, kn.
    pub made_good_kn: f64,
}

impl Polar {
    /// The best angle for beating in a true wind speed (kn, 0 or more), to a fifth of a degree:
    /// where boat speed times the cosine of the angle is largest (plane geometry). `None` where
    /// she makes nothing good to windward.
    pub fn best_upwind(&self, true_wind_speed_kn: f64) -> Option<MadeGood> {
        self.best(true_wind_speed_kn, 1.0)
    }

    /// The best angle for running downwind in a true wind speed (kn, 0 or more), to a fifth of a
    /// degree. `None` where she makes nothing good downwind.
    pub fn best_downwind(&self, true_wind_speed_kn: f64) -> Option<MadeGood> {
        self.best(true_wind_speed_kn, -1.0)
    }

    fn best(&self, true_wind_speed_kn: f64, sense: f64) -> Option<MadeGood> {
        let table_speeds_kn = self.speeds_at_wind_kn(true_wind_speed_kn);
        let headings = Headings::of(self);
        let made_good = |&(_, velocity): &(f64, Velocity)| sense * velocity.to_windward_kn;
        headings
            .velocities(&table_speeds_kn)
            .max_by(|a, b| made_good(a).total_cmp(&made_good(b)))
            .filter(|best| made_good(best) > 0.0)
            .map(|best| MadeGood {
                true_wind_angle_deg: best.0,
                boat_speed_kn: self.speed_kn(true_wind_speed_kn, best.0),
                made_good_kn: made_good(&best),
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wedge_beats_at_its_edge_and_runs_dead_before_the_wind() {
        let wedge = Polar::tabulate(&[10.0, 20.0], &[45.0, 90.0, 180.0], |_, _| 6.0);
        let up = wedge.best_upwind(15.0).unwrap();
        assert_eq!((up.true_wind_angle_deg, up.boat_speed_kn), (45.0, 6.0));
        approx::assert_abs_diff_eq!(up.made_good_kn, 6.0 * 45_f64.to_radians().cos());
        let down = wedge.best_downwind(15.0).unwrap();
        assert_eq!((down.true_wind_angle_deg, down.made_good_kn), (180.0, 6.0));
    }

    #[test]
    fn in_a_calm_there_is_no_best_angle() {
        let wedge = Polar::tabulate(&[10.0, 20.0], &[45.0, 90.0, 180.0], |_, _| 6.0);
        assert_eq!(wedge.best_upwind(0.0), None);
        assert_eq!(wedge.best_downwind(0.0), None);
    }
}
