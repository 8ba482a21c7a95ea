//! Boat speed from the fixes of a log that has no speed of its own.

use super::error::BoatError;
use super::logbook::{LogEntry, Logbook};
use crate::geodesy::{Earth, GreatCircle, Position};

/// Fixes further apart say little about the wind between them (common practice, no source).
const LONGEST_HOURS: f64 = 6.0;
const SECONDS_PER_HOUR: f64 = 3600.0;

impl Logbook {
    /// The log of the stretches between its fixes, for a log without boat speed.
    ///
    /// Each entry but the first becomes the stretch since the entry before it: speed is the
    /// geodesic distance between the two over the hours between them, the wind the mean of both,
    /// under power if either was. Fixes more than 6 hours apart give no speed, and neither does an
    /// entry without a position. This is speed over the ground: a current is in it, and what a
    /// boat loses by not sailing straight between fixes.
    ///
    /// # Errors
    /// Positions whose distance cannot be computed.
    pub fn between_fixes(&self) -> Result<Self, BoatError> {
        let stretches = self
            .entries()
            .windows(2)
            .map(|pair| stretch(&pair[0], &pair[1]));
        let stretches = stretches.collect::<Result<Vec<_>, _>>()?;
        Ok(Self::from_entries(self.file().to_owned(), stretches))
    }
}

fn stretch(from: &LogEntry, to: &LogEntry) -> Result<LogEntry, BoatError> {
    let hours = to.time.duration_since(from.time).as_secs_f64() / SECONDS_PER_HOUR;
    let boat_speed_kn = match (from.position, to.position) {
        (Some(start), Some(end)) if hours <= LONGEST_HOURS => {
            Some(distance_nm(start, end)? / hours)
        }
        _ => None,
    };
    let mean = |a: Option<f64>, b: Option<f64>| Some((a? + b?) / 2.0);
    Ok(LogEntry {
        time: to.time,
        boat_speed_kn,
        position: to.position,
        true_wind_speed_kn: mean(from.true_wind_speed_kn, to.true_wind_speed_kn),
        true_wind_angle_deg: mean(from.true_wind_angle_deg, to.true_wind_angle_deg),
        under_power: from.under_power || to.under_power,
    })
}

fn distance_nm(from: Position, to: Position) -> Result<f64, BoatError> {
    if from == to {
        return Ok(0.0); // the line between needs two places
    }
    Ok(GreatCircle::between(Earth::WGS84, from, to)?.length_nm())
}
