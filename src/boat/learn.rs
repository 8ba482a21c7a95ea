//! A polar learned from what a boat made in the winds her crew logged.
//!
//! The polar is a prior one times the exponential of a smooth surface over wind speed and angle,
//! whose values have a Gaussian prior: where entries are few it stays near the prior polar, by the
//! factor of the boat as a whole. The speed expected of an observation is the mean over the true
//! winds it may have been made in (`true_winds`) of the polar's speed on the heading, or of the course
//! made good between fixes, where headings may have been mixed. The values are those that fit best, by
//! Gauss and Newton's method with weights: an observation's variance is that of its speed over those
//! winds and of the boat from entry to entry, which is found with the rest; far off ones weigh less
//! (Huber 1964); and the weight of all is lowered by what consecutive residuals share.

use schemars::JsonSchema;
use serde::Serialize;

use super::calibration::{
    DropReason, DroppedEntries, RATIO, SLOWEST_POLAR_KN, SpeedSource, count, in_words,
    to_thousandths,
};
use super::error::BoatError;
use super::factor_surface::{PARTS, bent, part_bounds};
use super::logbook::Logbook;
use super::observation::{SpeedObservation, observations};
use super::polar::Polar;
use super::ranges::{FACTOR_UNCERTAINTY, POLAR_FACTOR, WIND_DIRECTION_ERROR, WIND_SPEED_ERROR};
use super::speed_lattice::{Lattice, Residual};
use super::surface_fit::{Fit, Solved, independent_share};
use super::true_winds::{LoggedWind, logged_winds, true_winds};
use super::vessel::OWN_LOG_UNCERTAINTY;

/// Fewer logged speeds, or stretches between fixes, say too little for a polar of many parts
/// (common practice, no source).
const FEWEST_LOGGED: usize = 100;
const FEWEST_STRETCHES: usize = 50;
/// A speed is a slip of the pen only beside what it may be in winds so many standard deviations off.
const SLIP_SDS: f64 = 2.0;

/// How far off logged winds are, as standard deviations.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct WindErrors {
    /// Of a logged wind speed, knots.
    pub speed_kn: f64,
    /// Of a logged wind direction or angle, degrees.
    pub direction_deg: f64,
}

impl WindErrors {
    /// A single report of a ship: 2.1 m/s (Kent, Challenor and Taylor 1999, J. Atmos. Oceanic
    /// Technol. 16, 905), and 15 degrees (common practice, no source).
    pub const SHIP_REPORT: Self = Self {
        speed_kn: 4.1,
        direction_deg: 15.0,
    };
}

impl Default for WindErrors {
    /// A yacht's own instruments read into a log: 2 kn and 10 degrees (common practice, no source;
    /// half and two thirds of a ship's report).
    fn default() -> Self {
        Self {
            speed_kn: 2.0,
            direction_deg: 10.0,
        }
    }
}

/// A polar learned from logs, with how surely they show it.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct LearnedPolar {
    /// The polar, the sea included: it takes no factor and no brake.
    pub polar: Polar,
    /// What stands behind each part of it: by wind speed, and for each by angle.
    pub parts: Vec<LearnedPart>,
    /// The factor on the prior polar over all entries, each part by its entries.
    pub overall_factor: f64,
    /// The root mean square of the parts' standard errors, each part by its entries.
    pub standard_error: f64,
    /// The boat's own standard deviation from entry to entry, as a share of her speed, beyond what
    /// the errors of the winds explain.
    pub residual_spread: f64,
    /// The correlation between the residuals of consecutive entries.
    pub residual_correlation: f64,
    /// Entries used that are speeds logged on a heading.
    pub logged_speeds: usize,
    /// Entries used that are stretches between fixes.
    pub stretches: usize,
    /// As many independent entries would say as much.
    pub independent_entries: f64,
    /// How far off the logged winds were taken to be.
    pub wind_errors: WindErrors,
    /// The uncertainty of the factor to write in the voyage file: that of a factor from the crew's
    /// own log, and the standard error, in quadrature, rounded up.
    pub factor_uncertainty: f64,
    /// Entries or stretches read.
    pub entries_read: usize,
    /// Entries left out, by reason; reasons without any are not listed.
    pub dropped: Vec<DroppedEntries>,
}

/// A part of a learned polar.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct LearnedPart {
    /// Logged true wind speed from which it holds, knots.
    pub from_wind_kn: f64,
    /// Logged true wind speed up to which it holds, knots; none for the strongest.
    pub to_wind_kn: Option<f64>,
    /// Angle off the heading, or off the course made good, from which it holds, degrees.
    pub from_angle_deg: f64,
    /// Angle up to which it holds, degrees.
    pub to_angle_deg: f64,
    /// Entries in it.
    pub entries: usize,
    /// The factor on the prior polar.
    pub factor: f64,
    /// Its standard error, as a share of it; without entries how far it is held to be off at all.
    pub standard_error: f64,
}

/// Learns a polar from logs of one boat.
///
/// # Errors
/// Logs of different columns; one without any wind, or with neither speeds nor fixes; and what
/// [`learn`] refuses.
pub fn learn_from_logs(
    logs: &[Logbook],
    prior: &Polar,
    errors: &WindErrors,
) -> Result<LearnedPolar, BoatError> {
    if let Some((first, others)) = logs.split_first() {
        for other in others {
            if other.columns() != first.columns() {
                return Err(BoatError::ColumnsDiffer {
                    file: other.file().to_owned(),
                    columns: other.columns().join(", "),
                    first: first.file().to_owned(),
                    first_columns: first.columns().join(", "),
                });
            }
        }
    }
    let (mut all, mut dropped) = (Vec::new(), Vec::new());
    for log in logs {
        let (kept, left_out) = observations(log)?;
        all.extend(kept);
        dropped.extend(left_out);
    }
    learn_beside(&all, dropped, prior, errors)
}

/// Learns a polar from observations of one boat, in the order of time on each passage.
///
/// `prior` is the polar held before, with the sea's brake in it.
///
/// # Errors
/// Fewer than 100 that can be used, or 50 between fixes; winds that vary no more than their error;
/// a factor outside 0.3 to 1.5 on the whole of the prior polar; a figure out of its range.
pub fn learn(
    observations: &[SpeedObservation],
    prior: &Polar,
    errors: &WindErrors,
) -> Result<LearnedPolar, BoatError> {
    learn_beside(observations, Vec::new(), prior, errors)
}

fn learn_beside(
    observations: &[SpeedObservation],
    mut reasons: Vec<DropReason>,
    prior: &Polar,
    errors: &WindErrors,
) -> Result<LearnedPolar, BoatError> {
    WIND_SPEED_ERROR.check(errors.speed_kn)?;
    WIND_DIRECTION_ERROR.check(errors.direction_deg)?;
    let read = observations.len() + reasons.len();
    let too_few = |used: usize, needed: usize, reasons: &[DropReason]| BoatError::TooFewToLearn {
        used,
        read,
        needed,
        left_out: in_words(&count(reasons)),
    };
    let mut usable = Vec::with_capacity(observations.len());
    let mut gap = false;
    for observation in observations {
        match observation.check()? {
            Some(reason) => {
                reasons.push(reason);
                gap = true;
            }
            None => {
                usable.push(SpeedObservation {
                    follows: observation.follows && !gap,
                    ..observation.clone()
                });
                gap = false;
            }
        }
    }
    let observations = &usable[..];
    let mut sources = observations.iter().map(|observation| observation.source);
    let least = if sources.any(|source| source == SpeedSource::Logged) {
        FEWEST_LOGGED
    } else {
        FEWEST_STRETCHES
    };
    // Before the winds are looked at: too few of them look alike.
    if observations.len() < least {
        return Err(too_few(observations.len(), least, &reasons));
    }
    let logged = logged_winds(observations, errors)?;
    let lattice = Lattice::of(prior, observations);
    let winds = true_winds(observations, &logged, lattice.rows - 1);
    let before = lattice.speeds_kn(prior);
    let mut fit = Fit::default();
    for ((observation, logged), winds) in observations.iter().zip(logged).zip(winds) {
        let expected = before.residual(observation.source, observation.speed_kn, &winds);
        match reason_against(&logged, &expected, prior) {
            Some(reason) => {
                reasons.push(reason);
                fit.gap = true;
            }
            None => fit.add(observation, logged, winds),
        }
    }
    if fit.entries.len() < least {
        return Err(too_few(fit.entries.len(), least, &reasons));
    }
    let solved = fit.solve(prior, &lattice);
    LearnedPolar::from_fit(&fit, solved, prior, errors, read, &reasons)
}

/// Why an observation says nothing about the polar; by the logged wind and the prior polar's speeds in
/// the winds it may stand for. By their mean alone light airs would lose just the slow entries.
fn reason_against(logged: &LoggedWind, residual: &Residual, prior: &Polar) -> Option<DropReason> {
    let winds_kn = prior.true_wind_speeds_kn();
    let speed_kn = residual.expected_kn + residual.off_kn;
    let allowed_kn = SLIP_SDS * residual.winds_variance.sqrt();
    let (low_kn, high_kn) = (
        RATIO.min * (residual.expected_kn - allowed_kn),
        RATIO.max * (residual.expected_kn + allowed_kn),
    );
    if logged.speed_kn < winds_kn[1] {
        Some(DropReason::WindBelowPolar)
    } else if logged.speed_kn > winds_kn[winds_kn.len() - 1] {
        Some(DropReason::WindAbovePolar)
    } else if residual.expected_kn < SLOWEST_POLAR_KN {
        Some(DropReason::PolarTooSlow)
    } else if speed_kn < low_kn || speed_kn > high_kn {
        Some(DropReason::UnlikelyRatio)
    } else {
        None
    }
}

impl LearnedPolar {
    fn from_fit(
        fit: &Fit,
        solved: Solved,
        prior: &Polar,
        errors: &WindErrors,
        read: usize,
        reasons: &[DropReason],
    ) -> Result<Self, BoatError> {
        let used = fit.entries.len();
        let in_part = |part: usize| {
            let entries = fit.entries.iter();
            entries.filter(|entry| entry.part == part).count()
        };
        let parts = (0..PARTS).map(|part| {
            let bounds = part_bounds(part);
            LearnedPart {
                from_wind_kn: bounds.winds_kn.0,
                to_wind_kn: bounds.winds_kn.1,
                from_angle_deg: bounds.angles_deg.0,
                to_angle_deg: bounds.angles_deg.1,
                entries: in_part(part),
                factor: solved.log_factors[part].exp(),
                standard_error: solved.covariance[(part, part)].sqrt(),
            }
        });
        let parts: Vec<LearnedPart> = parts.collect();
        let by_entries = |of: &dyn Fn(&LearnedPart) -> f64| {
            let sum: f64 = parts
                .iter()
                .map(|part| part.entries as f64 * of(part))
                .sum();
            sum / used as f64
        };
        let overall_factor = by_entries(&|part| part.factor.ln()).exp();
        POLAR_FACTOR
            .check(to_thousandths(overall_factor))
            .map_err(|source| BoatError::UnlikelyPolar { source })?;
        let standard_error = by_entries(&|part| part.standard_error.powi(2)).sqrt();
        let uncertainty = OWN_LOG_UNCERTAINTY.hypot(standard_error);
        let logged = fit.entries.iter();
        let logged = logged.filter(|entry| entry.source == SpeedSource::Logged);
        let logged_speeds = logged.count();
        Ok(Self {
            polar: bent(prior, &solved.log_factors),
            overall_factor,
            standard_error,
            residual_spread: solved.residual_spread,
            residual_correlation: solved.residual_correlation,
            logged_speeds,
            stretches: used - logged_speeds,
            independent_entries: used as f64 * independent_share(solved.residual_correlation),
            wind_errors: *errors,
            factor_uncertainty: ((uncertainty * 100.0).ceil() / 100.0).min(FACTOR_UNCERTAINTY.max),
            entries_read: read,
            dropped: count(reasons),
            parts,
        })
    }
}
