//! A boat's speed and the winds logged with it: what a polar is learned from.

use super::calibration::{DropReason, SpeedSource};
use super::error::BoatError;
use super::logbook::{LogEntry, Logbook, hours_between};
use super::ranges::{BOAT_SPEED, TRUE_WIND_SPEED};
use crate::geodesy::{Earth, GreatCircle, Position};
use crate::units::{Course, OutOfRange, Range, WindFrom, wrap_180_deg};

/// Fixes further apart say too little about the wind between them: a day from noon to noon, and
/// what the ship's clock is put on or back (common practice, no source).
const LONGEST_STRETCH_HOURS: f64 = 30.0;
const STRETCH: Range = Range::new("time between fixes", "hours", 0.01, LONGEST_STRETCH_HOURS);
const STRETCH_PART: Range = Range::new("hours of a stretch", "", 0.0, LONGEST_STRETCH_HOURS);
const OFF: Range = Range::new("where the wind comes from", "deg", -360.0, 360.0);

/// A speed that was logged or made good, and the winds logged with it.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedObservation {
    /// On a heading, or made good between two fixes.
    pub source: SpeedSource,
    /// The speed, kn.
    pub speed_kn: f64,
    /// How long it was made, hours; 0 for an entry's speed.
    pub hours: f64,
    /// The winds logged meanwhile; at least one.
    pub winds: Vec<WindObservation>,
    /// Whether the observation before it is from just before, on the same passage.
    pub follows: bool,
}

/// A wind as it was logged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindObservation {
    /// Hours since the stretch began.
    pub at_hours: f64,
    /// Its true speed, kn.
    pub speed_kn: f64,
    /// Where it comes from, degrees off the heading or off the course made good, either side.
    pub off_deg: f64,
}

impl SpeedObservation {
    /// A speed through the water (kn) logged on a heading, in a true wind (kn, degrees off the bow).
    pub fn logged(speed_kn: f64, true_wind_speed_kn: f64, true_wind_angle_deg: f64) -> Self {
        Self {
            source: SpeedSource::Logged,
            speed_kn,
            hours: 0.0,
            winds: vec![WindObservation {
                at_hours: 0.0,
                speed_kn: true_wind_speed_kn,
                off_deg: true_wind_angle_deg,
            }],
            follows: false,
        }
    }

    /// Whether it can be learned from at all; the reason against it where it cannot.
    ///
    /// # Errors
    /// A figure that is not a number or out of its range.
    pub(super) fn check(&self) -> Result<Option<DropReason>, OutOfRange> {
        for wind in &self.winds {
            TRUE_WIND_SPEED.check(wind.speed_kn)?;
            OFF.check(wind.off_deg)?;
            STRETCH_PART.check(wind.at_hours)?;
        }
        STRETCH_PART.check(self.hours)?;
        if self.speed_kn > BOAT_SPEED.max {
            return Ok(Some(DropReason::UnlikelyRatio)); // a fix far out
        }
        BOAT_SPEED.check(self.speed_kn)?;
        Ok(self.winds.is_empty().then_some(DropReason::NoWind))
    }

    /// What was made good between two fixes `hours` apart, in winds of which each was logged so many
    /// hours after the first fix, with a speed (kn) and where it came from.
    ///
    /// # Errors
    /// Fixes at one place, or more than 30 hours apart.
    pub fn between_fixes(
        from: Position,
        to: Position,
        hours: f64,
        winds: &[(f64, f64, WindFrom)],
    ) -> Result<Self, BoatError> {
        STRETCH.check(hours)?;
        let line = GreatCircle::between(Earth::WGS84, from, to)?;
        let middle = line.at_nm(line.length_nm() / 2.0);
        let course = middle.map_or(Course::from_deg(0.0), |middle| middle.course);
        let wind = |&(at_hours, speed_kn, from): &(f64, f64, WindFrom)| WindObservation {
            at_hours,
            speed_kn,
            off_deg: wrap_180_deg(from.deg() - course.deg()),
        };
        Ok(Self {
            source: SpeedSource::BetweenFixes,
            speed_kn: line.length_nm() / hours,
            hours,
            winds: winds.iter().map(wind).collect(),
            follows: false,
        })
    }
}

/// What a log gives to learn from: an entry's speed where any was logged, otherwise what was made
/// good between fixes; and why the others give nothing.
pub(super) fn observations(
    logbook: &Logbook,
) -> Result<(Vec<SpeedObservation>, Vec<DropReason>), BoatError> {
    let entries = logbook.entries();
    let file = || logbook.file().to_owned();
    let has_wind = |entry: &LogEntry| entry.true_wind_speed_kn.is_some();
    if !entries.iter().any(has_wind) {
        return Err(BoatError::NoWinds { file: file() });
    }
    let logged = entries.iter().any(|entry| entry.boat_speed_kn.is_some());
    let fixes = entries.iter().filter(|entry| entry.position.is_some());
    if !logged && fixes.count() < 2 {
        return Err(BoatError::NoSpeedNorFixes { file: file() });
    }
    if !logged
        && !entries
            .iter()
            .any(|entry| entry.true_wind_from_deg.is_some())
    {
        return Err(BoatError::NoWindDirection { file: file() });
    }
    let found: Vec<Result<SpeedObservation, DropReason>> = if logged {
        entries.iter().map(of_entry).collect()
    } else {
        stretches(entries)?
    };
    let (mut kept, mut dropped) = (Vec::new(), Vec::new());
    let mut follows = false;
    for observation in found {
        match observation {
            Ok(observation) => {
                kept.push(SpeedObservation {
                    follows,
                    ..observation
                });
                follows = true;
            }
            Err(reason) => {
                dropped.push(reason);
                follows = false;
            }
        }
    }
    Ok((kept, dropped))
}

fn of_entry(entry: &LogEntry) -> Result<SpeedObservation, DropReason> {
    if entry.under_power {
        return Err(DropReason::UnderPower);
    }
    Ok(SpeedObservation::logged(
        entry.boat_speed_kn.ok_or(DropReason::NoBoatSpeed)?,
        entry.true_wind_speed_kn.ok_or(DropReason::NoWind)?,
        entry.true_wind_angle_deg.ok_or(DropReason::NoWind)?,
    ))
}

/// The stretches from one fix to the next.
fn stretches(entries: &[LogEntry]) -> Result<Vec<Result<SpeedObservation, DropReason>>, BoatError> {
    let fixed = entries.iter().enumerate();
    let fixed: Vec<(usize, Position)> = fixed
        .filter_map(|(index, entry)| Some((index, entry.position?)))
        .collect();
    let between = fixed.windows(2).map(|pair| {
        let [(first, from), (last, to)] = [pair[0], pair[1]];
        stretch(&entries[first..=last], from, to)
    });
    between.collect()
}

fn stretch(
    entries: &[LogEntry],
    from: Position,
    to: Position,
) -> Result<Result<SpeedObservation, DropReason>, BoatError> {
    let since = |entry: &LogEntry| hours_between(&entries[0], entry);
    let hours = since(&entries[entries.len() - 1]);
    let winds = entries.iter().filter_map(|entry| {
        let from = WindFrom::from_deg(entry.true_wind_from_deg?);
        Some((since(entry), entry.true_wind_speed_kn?, from))
    });
    let winds: Vec<(f64, f64, WindFrom)> = winds.collect();
    let reason = if entries.iter().any(|entry| entry.under_power) {
        DropReason::UnderPower
    } else if hours > LONGEST_STRETCH_HOURS {
        DropReason::FixesFarApart
    } else if winds.is_empty() {
        DropReason::NoWind
    } else if from == to {
        DropReason::NoBoatSpeed // no course between them
    } else {
        return SpeedObservation::between_fixes(from, to, hours, &winds).map(Ok);
    };
    Ok(Err(reason))
}
