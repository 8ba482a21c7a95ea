//! The factor on a polar that the crew's own log shows.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::error::BoatError;
use super::logbook::{LogEntry, Logbook};
use super::point_factors::{BEATING_BELOW_DEG, RUNNING_ABOVE_DEG};
use super::polar::Polar;
use super::ranges::POLAR_FACTOR;
use crate::units::{Range, quantile};

/// Fewer entries than this give no estimate (common practice, no source).
const FEWEST_ENTRIES: usize = 20;
/// Below this polar speed a log's rounding is most of the ratio.
pub(super) const SLOWEST_POLAR_KN: f64 = 0.5;
/// Logged over polar speed outside this is a slip of the pen, not sailing.
pub(super) const RATIO: Range = Range::new("logged over polar speed", "", 0.2, 2.5);
/// Makes the median absolute deviation of Gaussian data their standard deviation (textbook).
const SD_PER_MEDIAN_DEVIATION: f64 = 1.4826;

/// How a log compares with a polar: the factor on it, for all entries and by point of sailing.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Calibration {
    /// The log's file name.
    pub file: String,
    /// Where the log's boat speed comes from.
    pub speed_source: SpeedSource,
    /// The factor over all entries used.
    pub overall: FactorEstimate,
    /// The factor by point of sailing: upwind, reaching, running.
    pub by_point_of_sailing: [PointOfSailingFactor; 3],
    /// Entries compared, stretches where the speed is between fixes.
    pub entries_read: usize,
    /// Entries left out, by reason; reasons without any are not listed.
    pub dropped: Vec<DroppedEntries>,
}

/// Where a log's boat speed comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SpeedSource {
    /// Logged: speed through the water.
    Logged,
    /// From the distance between fixes: speed over the ground, any current included.
    BetweenFixes,
}

/// A factor on a polar and how surely the log shows it.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct FactorEstimate {
    /// Median of logged over polar speed.
    pub factor: f64,
    /// Robust standard deviation of the ratio from entry to entry: 1.4826 times the median
    /// absolute deviation.
    pub standard_deviation: f64,
    /// The ratio that 10 per cent of the entries are below (type 7 quantile).
    pub p10: f64,
    /// The ratio that 90 per cent of the entries are below (type 7 quantile).
    pub p90: f64,
    /// Entries used.
    pub entries: usize,
}

/// The factor on one point of sailing.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct PointOfSailingFactor {
    /// Which.
    pub point_of_sailing: PointOfSailing,
    /// Entries on it.
    pub entries: usize,
    /// The estimate; none with fewer than 20 entries.
    pub estimate: Option<FactorEstimate>,
}

/// Where the wind comes from, in the three classes a polar tends to be wrong in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PointOfSailing {
    /// Less than 60 degrees off the wind.
    Upwind,
    /// From 60 to 110 degrees.
    Reaching,
    /// More than 110 degrees.
    Running,
}

/// How many entries were left out for one reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
pub struct DroppedEntries {
    /// The reason.
    pub reason: DropReason,
    /// How many.
    pub entries: usize,
}

/// Why an entry says nothing about the polar; the first that applies is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum DropReason {
    /// The engine was driving her.
    UnderPower,
    /// No boat speed was logged, or none can be had from fixes.
    NoBoatSpeed,
    /// Wind speed or angle was not logged.
    NoWind,
    /// Fixes more than 30 hours apart.
    FixesFarApart,
    /// Less wind than the polar's lowest wind speed.
    WindBelowPolar,
    /// More wind than the polar's highest wind speed.
    WindAbovePolar,
    /// The polar gives less than 0.5 kn there.
    PolarTooSlow,
    /// Logged speed below 0.2 or above 2.5 times the polar's.
    UnlikelyRatio,
}

impl DropReason {
    const ALL: [Self; 8] = [
        Self::UnderPower,
        Self::NoBoatSpeed,
        Self::NoWind,
        Self::FixesFarApart,
        Self::WindBelowPolar,
        Self::WindAbovePolar,
        Self::PolarTooSlow,
        Self::UnlikelyRatio,
    ];
}

impl fmt::Display for DropReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::UnderPower => "under power",
            Self::NoBoatSpeed => "no boat speed",
            Self::NoWind => "no wind speed or angle",
            Self::FixesFarApart => "fixes more than 30 hours apart",
            Self::WindBelowPolar => "less wind than the polar's lowest",
            Self::WindAbovePolar => "more wind than the polar's highest",
            Self::PolarTooSlow => "polar below 0.5 kn",
            Self::UnlikelyRatio => "speed below 0.2 or above 2.5 times the polar's",
        })
    }
}

impl fmt::Display for PointOfSailing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Upwind => "upwind",
            Self::Reaching => "reaching",
            Self::Running => "running",
        })
    }
}

impl Calibration {
    /// Compares a log with a polar.
    ///
    /// The factor is the median over the entries of logged speed over polar speed, which a few
    /// wrong entries hardly move. Where no entry has a boat speed, the speed between fixes is
    /// taken; see [`Logbook::between_fixes`].
    ///
    /// # Errors
    /// Fewer than 20 entries that can be compared; a factor outside 0.3 to 1.5; positions whose
    /// distance cannot be computed.
    pub fn new(logbook: &Logbook, polar: &Polar) -> Result<Self, BoatError> {
        let logged = logbook
            .entries()
            .iter()
            .any(|entry| entry.boat_speed_kn.is_some());
        if logged {
            Self::with_speed_from(SpeedSource::Logged, logbook, polar)
        } else {
            Self::with_speed_from(SpeedSource::BetweenFixes, &logbook.between_fixes()?, polar)
        }
    }

    fn with_speed_from(
        speed_source: SpeedSource,
        logbook: &Logbook,
        polar: &Polar,
    ) -> Result<Self, BoatError> {
        let mut ratios: Vec<(PointOfSailing, f64)> = Vec::new();
        let mut reasons: Vec<DropReason> = Vec::new();
        for entry in logbook.entries() {
            match ratio(entry, polar) {
                Ok(ratio) => ratios.push(ratio),
                Err(reason) => reasons.push(reason),
            }
        }
        let dropped = count(&reasons);
        let file = logbook.file().to_owned();
        let all: Vec<f64> = ratios.iter().map(|&(_, ratio)| ratio).collect();
        let overall = FactorEstimate::of(all).ok_or_else(|| BoatError::TooFewEntries {
            file: file.clone(),
            used: ratios.len(),
            read: logbook.entries().len(),
            needed: FEWEST_ENTRIES,
            left_out: in_words(&dropped),
        })?;
        if let Err(source) = POLAR_FACTOR.check(to_thousandths(overall.factor)) {
            return Err(BoatError::UnlikelyFactor { file, source });
        }
        let points = [
            PointOfSailing::Upwind,
            PointOfSailing::Reaching,
            PointOfSailing::Running,
        ];
        let by_point_of_sailing = points.map(|point_of_sailing| {
            let on_it = ratios
                .iter()
                .filter(|(point, _)| *point == point_of_sailing);
            let on_it: Vec<f64> = on_it.map(|&(_, ratio)| ratio).collect();
            PointOfSailingFactor {
                point_of_sailing,
                entries: on_it.len(),
                estimate: FactorEstimate::of(on_it),
            }
        });
        Ok(Self {
            file,
            speed_source,
            overall,
            by_point_of_sailing,
            entries_read: logbook.entries().len(),
            dropped,
        })
    }
}

impl FactorEstimate {
    fn of(mut ratios: Vec<f64>) -> Option<Self> {
        if ratios.len() < FEWEST_ENTRIES {
            return None;
        }
        ratios.sort_by(f64::total_cmp);
        let factor = quantile(&ratios, 0.5)?;
        let mut deviations: Vec<f64> = ratios.iter().map(|ratio| (ratio - factor).abs()).collect();
        deviations.sort_by(f64::total_cmp);
        Some(Self {
            factor,
            standard_deviation: SD_PER_MEDIAN_DEVIATION * quantile(&deviations, 0.5)?,
            p10: quantile(&ratios, 0.1)?,
            p90: quantile(&ratios, 0.9)?,
            entries: ratios.len(),
        })
    }
}

/// Logged over polar speed, and the point of sailing; or why there is none.
fn ratio(entry: &LogEntry, polar: &Polar) -> Result<(PointOfSailing, f64), DropReason> {
    if entry.under_power {
        return Err(DropReason::UnderPower);
    }
    let logged_kn = entry.boat_speed_kn.ok_or(DropReason::NoBoatSpeed)?;
    let wind_kn = entry.true_wind_speed_kn.ok_or(DropReason::NoWind)?;
    let angle_deg = entry.true_wind_angle_deg.ok_or(DropReason::NoWind)?;
    let winds_kn = polar.true_wind_speeds_kn();
    // The first is 0: below the second, the polar is a line drawn to nothing.
    if wind_kn < winds_kn[1] {
        return Err(DropReason::WindBelowPolar);
    }
    if wind_kn > winds_kn[winds_kn.len() - 1] {
        return Err(DropReason::WindAbovePolar);
    }
    let polar_kn = polar.speed_kn(wind_kn, angle_deg);
    if polar_kn < SLOWEST_POLAR_KN {
        return Err(DropReason::PolarTooSlow);
    }
    let point_of_sailing = if angle_deg < BEATING_BELOW_DEG {
        PointOfSailing::Upwind
    } else if angle_deg > RUNNING_ABOVE_DEG {
        PointOfSailing::Running
    } else {
        PointOfSailing::Reaching
    };
    let ratio = RATIO.check(logged_kn / polar_kn);
    Ok((
        point_of_sailing,
        ratio.map_err(|_| DropReason::UnlikelyRatio)?,
    ))
}

/// As it is told: more decimals say nothing.
pub(super) fn to_thousandths(factor: f64) -> f64 {
    (factor * 1000.0).round() / 1000.0
}

pub(super) fn count(reasons: &[DropReason]) -> Vec<DroppedEntries> {
    DropReason::ALL
        .into_iter()
        .map(|reason| DroppedEntries {
            reason,
            entries: reasons.iter().filter(|&&other| other == reason).count(),
        })
        .filter(|dropped| dropped.entries > 0)
        .collect()
}

pub(super) fn in_words(dropped: &[DroppedEntries]) -> String {
    if dropped.is_empty() {
        return String::new();
    }
    let reasons = dropped
        .iter()
        .map(|dropped| format!("{} {}", dropped.entries, dropped.reason));
    format!(" (left out: {})", reasons.collect::<Vec<_>>().join(", "))
}
