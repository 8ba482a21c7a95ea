//! The true winds behind those logged.
//!
//! A logged wind is the true one with an error, so the strongest winds logged are more often
//! over-stated than the strongest sailed in: speeds sorted by logged wind make a polar flat. Here each
//! logged wind is replaced by the distribution of the true wind it may stand for, and the speed
//! expected is the mean over that (regression calibration: Carroll, Ruppert, Stefanski and
//! Crainiceanu, Measurement Error in Nonlinear Models; from memory).
//!
//! **Speed.** With a log's true winds of mean `m` and variance `s2` (the logged variance less the
//! error's) that hold on to one another as `exp(-hours / 36)`, and `n` winds logged with errors of
//! variance `e2` in a stretch, the true wind at any time in it has the mean
//! `m + k (mean logged - m)`, `k = s2 c / (s2 a + e2 / n)`, and the variance `s2 - k s2 c`: `a` is the
//! mean correlation among the times logged, `c` that between them and all times of the stretch. The
//! distribution is taken for Gaussian. For one entry `a = c = 1` and it is `k = s2 / (s2 + e2)`; then
//! the Gaussian is the first guess only, and the true winds' distribution is found from those logged
//! by Richardson's and Lucy's iteration (Richardson 1972, Lucy 1974; from memory), since winds are
//! skewed and never below nothing.
//!
//! **Angle.** The angles she was sailed at are found from those logged in the same way, so that an
//! angle nobody can sail is not blamed on the polar. Between fixes all angles off the course are held
//! alike likely, and the wind's own swing is in their error.

use super::calibration::SpeedSource;
use super::error::BoatError;
use super::learn::WindErrors;
use super::observation::SpeedObservation;

/// How long winds hold on: over a day as much as the two parts of the ensemble's winds together do
/// near the tropics, of which 0.76 have a time of 24 hours and 0.24 one of 400.
const WIND_MEMORY_HOURS: f64 = 36.0;
/// A wind direction is as sure as its speed against this at least, kn.
const LEAST_STEADY_KN: f64 = 5.0;
/// Less cannot be told on the lattice.
const SMALLEST_SPEED_SD_KN: f64 = 0.5;
const SMALLEST_ANGLE_SD_DEG: f64 = 2.5;
/// More is as good as no direction at all, degrees.
const LARGEST_ANGLE_SD_DEG: f64 = 60.0;
/// Nodes of the Gaussian of the true speed, in standard deviations.
const SPEED_NODES: [f64; 9] = [-3.0, -2.25, -1.5, -0.75, 0.0, 0.75, 1.5, 2.25, 3.0];
/// Richardson's and Lucy's iterations: few, so that the shares stay smooth (common practice, no
/// source).
const ITERATIONS: usize = 20;
/// Weights below this are left out.
const LEAST_WEIGHT: f64 = 1e-6;

/// The lattice of winds on which speeds are worked out: every knot, every 5 degrees.
pub(super) const ANGLES: usize = 37;
pub(super) const ANGLE_STEP_DEG: f64 = 5.0;

/// The true winds an observation may have been made in.
pub(super) struct TrueWinds {
    /// Row of the lattice, in knots of true wind speed, and its weight.
    pub(super) speeds: Vec<(usize, f64)>,
    /// Column of the lattice and its weight.
    pub(super) angles: Vec<(usize, f64)>,
}

/// A wind as it was logged, mean over the stretch, and how well it is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct LoggedWind {
    pub(super) speed_kn: f64,
    /// 0 to 180 degrees.
    pub(super) off_deg: f64,
    error_kn: f64,
    true_mean_kn: f64,
    true_sd_kn: f64,
    /// Of all true winds of the log.
    all_mean_kn: f64,
    all_sd_kn: f64,
    angle_sd_deg: f64,
}

/// How the winds of a log vary.
struct Spread {
    mean_kn: f64,
    true_variance: f64,
}

/// The winds of the observations.
///
/// # Errors
/// Logged winds that vary no more than their error.
pub(super) fn logged_winds(
    observations: &[SpeedObservation],
    errors: &WindErrors,
) -> Result<Vec<LoggedWind>, BoatError> {
    let winds = observations
        .iter()
        .flat_map(|observation| &observation.winds);
    let speeds_kn: Vec<f64> = winds.map(|wind| wind.speed_kn).collect();
    let count = speeds_kn.len() as f64;
    let mean_kn = speeds_kn.iter().sum::<f64>() / count;
    let squares = speeds_kn.iter().map(|kn| (kn - mean_kn).powi(2));
    let logged_variance = squares.sum::<f64>() / count;
    let true_variance = logged_variance - errors.speed_kn.powi(2);
    if true_variance <= 0.0 {
        return Err(BoatError::WindsTooAlike {
            sd_kn: logged_variance.sqrt(),
            error_kn: errors.speed_kn,
        });
    }
    let spread = Spread {
        mean_kn,
        true_variance,
    };
    let of = |observation| spread.logged_wind(observation, errors);
    Ok(observations.iter().map(of).collect())
}

impl Spread {
    fn logged_wind(&self, observation: &SpeedObservation, errors: &WindErrors) -> LoggedWind {
        let winds = &observation.winds;
        let count = winds.len() as f64;
        let speed_kn = winds.iter().map(|wind| wind.speed_kn).sum::<f64>() / count;
        let (mut ahead, mut across) = (0.0, 0.0);
        for wind in winds {
            let (sin, cos) = wind.off_deg.to_radians().sin_cos();
            // A calm has a direction all the same.
            let weight = wind.speed_kn.max(1.0);
            (ahead, across) = (ahead + weight * cos, across + weight * sin);
        }
        let among = winds.iter().flat_map(|one| {
            let others = winds.iter();
            others.map(move |other| correlation(one.at_hours - other.at_hours))
        });
        let among = among.sum::<f64>() / (count * count);
        let with_all = winds
            .iter()
            .map(|wind| mean_correlation(wind.at_hours, observation.hours));
        let with_all = with_all.sum::<f64>() / count;

        let mean_error = errors.speed_kn.powi(2) / count;
        let covariance = self.true_variance * with_all;
        let share = covariance / (self.true_variance * among + mean_error);
        let true_variance = (self.true_variance - share * covariance).max(0.0);
        // How far the wind at a time is from the mean of those at the times logged.
        let varied = self.true_variance * (1.0 - 2.0 * with_all + among).max(0.0);
        let varied_deg = (varied.sqrt() / speed_kn.max(LEAST_STEADY_KN)).to_degrees();
        LoggedWind {
            speed_kn,
            off_deg: across.atan2(ahead).to_degrees().abs(),
            error_kn: errors.speed_kn,
            all_mean_kn: self.mean_kn,
            all_sd_kn: self.true_variance.sqrt(),
            true_mean_kn: self.mean_kn + share * (speed_kn - self.mean_kn),
            true_sd_kn: true_variance.sqrt(),
            angle_sd_deg: (errors.direction_deg / count.sqrt())
                .hypot(varied_deg)
                .clamp(SMALLEST_ANGLE_SD_DEG, LARGEST_ANGLE_SD_DEG),
        }
    }
}

fn correlation(hours: f64) -> f64 {
    (-hours.abs() / WIND_MEMORY_HOURS).exp()
}

/// The mean correlation of the wind at a time with those of a stretch.
fn mean_correlation(at_hours: f64, hours: f64) -> f64 {
    if hours <= 0.0 {
        return 1.0;
    }
    let after = (hours - at_hours).max(0.0);
    WIND_MEMORY_HOURS / hours * (2.0 - correlation(at_hours) - correlation(after))
}

/// The true winds behind those logged, on the lattice's rows up to `last_row`, beyond which speeds do
/// not change.
pub(super) fn true_winds(
    observations: &[SpeedObservation],
    logged: &[LoggedWind],
    last_row: usize,
) -> Vec<TrueWinds> {
    let on_heading = |observation: &SpeedObservation| observation.source == SpeedSource::Logged;
    let angles: Vec<Vec<f64>> = logged.iter().map(angle_likelihood).collect();
    let at_once = logged.iter().zip(observations);
    let at_once = at_once.filter(|(_, observation)| on_heading(observation));
    let speeds = SpeedsSailed::of(&at_once.map(|(wind, _)| *wind).collect::<Vec<_>>());
    let of_headings = angles.iter().zip(observations);
    let of_headings = of_headings.filter(|(_, observation)| on_heading(observation));
    let of_headings: Vec<&[f64]> = of_headings.map(|(angles, _)| &angles[..]).collect();
    let sailed = found_again(vec![1.0; ANGLES], &of_headings);
    let all = observations.iter().zip(logged).zip(&angles);
    all.map(|((observation, wind), angles)| {
        let (speeds, angles) = if on_heading(observation) {
            (speeds.behind(wind), times(&sailed, angles))
        } else {
            (gaussian(wind), normalised(angles.clone()))
        };
        TrueWinds {
            speeds: on_rows(&speeds, last_row),
            angles: weighty(&angles),
        }
    })
    .collect()
}

/// The true wind speeds of the entries, found from those logged.
struct SpeedsSailed {
    /// The share of each knot.
    shares: Vec<f64>,
}

impl SpeedsSailed {
    fn of(logged: &[LoggedWind]) -> Self {
        let Some(first) = logged.first() else {
            return Self { shares: Vec::new() };
        };
        let above_kn = |wind: &LoggedWind| wind.speed_kn + 3.0 * wind.error_kn;
        let highest_kn = logged.iter().map(above_kn).fold(0.0, f64::max);
        let rows = highest_kn.ceil() as usize + 2;
        let from_start = |row: usize| {
            let off = (row as f64 - first.all_mean_kn) / first.all_sd_kn;
            (-off * off / 2.0).exp()
        };
        let likelihoods: Vec<Vec<f64>> = logged
            .iter()
            .map(|wind| speed_likelihood(wind, rows))
            .collect();
        let likelihoods: Vec<&[f64]> = likelihoods.iter().map(|all| &all[..]).collect();
        Self {
            shares: found_again((0..rows).map(from_start).collect(), &likelihoods),
        }
    }

    /// The true speeds that a logged one may stand for: knots and weights.
    fn behind(&self, wind: &LoggedWind) -> Vec<(f64, f64)> {
        let weights = times(&self.shares, &speed_likelihood(wind, self.shares.len()));
        let weights = weights.into_iter().enumerate();
        weights.map(|(row, weight)| (row as f64, weight)).collect()
    }
}

/// How likely each knot of true speed is to be logged so.
fn speed_likelihood(wind: &LoggedWind, rows: usize) -> Vec<f64> {
    let sd_kn = wind.error_kn.max(SMALLEST_SPEED_SD_KN);
    let off = |row: usize| (row as f64 - wind.speed_kn) / sd_kn;
    (0..rows)
        .map(|row| (-off(row).powi(2) / 2.0).exp())
        .collect()
}

/// The true speeds of a stretch: knots and weights.
fn gaussian(wind: &LoggedWind) -> Vec<(f64, f64)> {
    let nodes = SPEED_NODES.iter().map(|node| {
        let speed_kn = wind.true_mean_kn + node * wind.true_sd_kn;
        (speed_kn, (-node * node / 2.0).exp())
    });
    nodes.filter(|(speed_kn, _)| *speed_kn >= 0.0).collect()
}

/// Weights of true speeds on the lattice's rows, which end where speeds do not change any more.
fn on_rows(speeds: &[(f64, f64)], last_row: usize) -> Vec<(usize, f64)> {
    let mut weights = vec![0.0; last_row + 1];
    for &(speed_kn, weight) in speeds {
        let place = speed_kn.min(last_row as f64);
        let row = (place as usize).min(last_row - 1);
        let share = place - row as f64;
        weights[row] += weight * (1.0 - share);
        weights[row + 1] += weight * share;
    }
    weighty(&normalised(weights))
}

/// How likely each angle of the lattice is to be logged so; either side of the bow is the same.
fn angle_likelihood(wind: &LoggedWind) -> Vec<f64> {
    let density = |off_deg: f64| (-(off_deg / wind.angle_sd_deg).powi(2) / 2.0).exp();
    let likelihood = |column: usize| {
        let angle_deg = column as f64 * ANGLE_STEP_DEG;
        let mirrored = angle_deg + wind.off_deg;
        density(angle_deg - wind.off_deg) + density(mirrored) + density(360.0 - mirrored)
    };
    (0..ANGLES).map(likelihood).collect()
}

/// The shares of the values of a quantity, from how likely each is behind what was observed, by
/// Richardson's and Lucy's iteration from a first guess.
fn found_again(first_guess: Vec<f64>, likelihoods: &[&[f64]]) -> Vec<f64> {
    let mut shares = normalised(first_guess);
    if likelihoods.is_empty() {
        return shares;
    }
    for _ in 0..ITERATIONS {
        let mut sums = vec![0.0; shares.len()];
        for likelihood in likelihoods {
            for (sum, weight) in sums.iter_mut().zip(times(&shares, likelihood)) {
                *sum += weight;
            }
        }
        shares = normalised(sums);
    }
    shares
}

fn times(one: &[f64], other: &[f64]) -> Vec<f64> {
    normalised(one.iter().zip(other).map(|(a, b)| a * b).collect())
}

fn normalised(mut weights: Vec<f64>) -> Vec<f64> {
    let whole: f64 = weights.iter().sum();
    for weight in &mut weights {
        *weight /= whole;
    }
    weights
}

/// The weights that count, with their places.
fn weighty(weights: &[f64]) -> Vec<(usize, f64)> {
    let weights = weights.iter().copied().enumerate();
    weights
        .filter(|&(_, weight)| weight > LEAST_WEIGHT)
        .collect()
}
