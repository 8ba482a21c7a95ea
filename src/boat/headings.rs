//! The headings at which a polar curve is sampled, and the best of them up and down the wind.

use schemars::JsonSchema;
use serde::Serialize;

use super::polar::{Polar, bracket};

/// Between the table's angles boat speed is linear in the angle, so the curve is a spiral. At this
/// step its chords stay within r h^2 / 8 + k h^2 / 4 of it: 0.00001 kn for an even 8 kn, 0.001 kn
/// where speed climbs by a steep 6 kn in one degree.
const STEP_DEG: f64 = 0.2;

/// Headings from 0 to 180 degrees, the table's own angles among them.
pub(super) struct Headings {
    headings: Vec<Heading>,
}

struct Heading {
    angle_deg: f64,
    cos: f64,
    sin: f64,
    interval: usize,
    share: f64,
}

/// Where one heading takes the boat in an hour: `to_windward_kn` against the wind,
/// `across_kn` across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Velocity {
    pub(super) to_windward_kn: f64,
    pub(super) across_kn: f64,
}

impl Headings {
    pub(super) fn of(polar: &Polar) -> Self {
        let table_deg = polar.true_wind_angles_deg();
        let mut angles_deg = vec![table_deg[0]];
        for pair in table_deg.windows(2) {
            let steps = ((pair[1] - pair[0]) / STEP_DEG).ceil();
            let inner =
                (1..steps as usize).map(|i| pair[0] + (pair[1] - pair[0]) * i as f64 / steps);
            angles_deg.extend(inner);
            angles_deg.push(pair[1]);
        }
        let heading = |angle_deg: f64| {
            let (interval, share) = bracket(table_deg, angle_deg);
            let (sin, cos) = sin_cos(angle_deg);
            Heading {
                angle_deg,
                cos,
                sin,
                interval,
                share,
            }
        };
        Self {
            headings: angles_deg.into_iter().map(heading).collect(),
        }
    }

    /// Each heading's angle off the wind, degrees, and the velocity it gives, for the boat speeds
    /// at the table's angles in one wind and what is left of a speed on a heading.
    pub(super) fn velocities<'a>(
        &'a self,
        table_speeds_kn: &'a [f64],
        left_kn: impl Fn(f64, f64) -> f64 + 'a,
    ) -> impl Iterator<Item = (f64, Velocity)> + 'a {
        self.headings.iter().map(move |heading| {
            let (low, high) = (
                table_speeds_kn[heading.interval],
                table_speeds_kn[heading.interval + 1],
            );
            let speed_kn = left_kn(heading.angle_deg, low + heading.share * (high - low));
            let velocity = Velocity {
                to_windward_kn: speed_kn * heading.cos,
                across_kn: speed_kn * heading.sin,
            };
            (heading.angle_deg, velocity)
        })
    }
}

/// Sine and cosine with the right angles exact, so that a boat dead before the wind makes no
/// way across it.
pub(super) fn sin_cos(angle_deg: f64) -> (f64, f64) {
    match angle_deg {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        _ => angle_deg.to_radians().sin_cos(),
    }
}

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
            .velocities(&table_speeds_kn, |_, speed_kn| speed_kn)
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
