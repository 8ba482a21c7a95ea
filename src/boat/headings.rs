//! The headings at which a polar curve is sampled.

use super::polar::{Polar, bracket};

/// Between the table's angles boat speed is linear in the angle, so the curve is a spiral. At this
/// step its chords stay within r h^2 / 8 + k h^2 / 4 of it: 0.00001 kn for an even 8 kn, 0.001 kn
/// where speed climbs by a fierce 6 kn in one degree.
const STEP_DEG: f64 = 0.2;

/// Headings from 0 to 180 degrees, the table's own angles among them.
pub(super) struct Headings {
    headings: Vec<Heading>,
}

struct Heading {
    angle_deg: f64,
    cos: f64,
    sin: f64,
    cell: usize,
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
            let (cell, share) = bracket(table_deg, angle_deg);
            let (sin, cos) = sin_cos(angle_deg);
            Heading {
                angle_deg,
                cos,
                sin,
                cell,
                share,
            }
        };
        Self {
            headings: angles_deg.into_iter().map(heading).collect(),
        }
    }

    /// Each heading's angle off the wind, degrees, and the velocity it gives, for the boat speeds
    /// at the table's angles in one wind.
    pub(super) fn velocities<'a>(
        &'a self,
        table_speeds_kn: &'a [f64],
    ) -> impl Iterator<Item = (f64, Velocity)> + 'a {
        self.headings.iter().map(|heading| {
            let (low, high) = (
                table_speeds_kn[heading.cell],
                table_speeds_kn[heading.cell + 1],
            );
            let speed_kn = low + heading.share * (high - low);
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
