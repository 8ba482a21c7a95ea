//! The surface of factors that fits observations best, by Gauss and Newton's method with weights.

use nalgebra::{DMatrix, DVector};

use super::calibration::SpeedSource;
use super::factor_surface::{PARTS, bent, part_of, prior_covariance};
use super::observation::SpeedObservation;
use super::polar::Polar;
use super::speed_lattice::{Lattice, LatticeSpeeds, Residual};
use super::true_winds::{LoggedWind, TrueWinds};
use crate::units::quantile_of_unsorted;

/// Residuals of more standard deviations weigh less (the rule: Huber 1964, from memory). In light airs
/// the speeds over the true winds are skewed, and a narrower bound would take the polar toward their
/// median (common practice, no source).
const HUBER: f64 = 2.5;
/// The median of the distance of Gaussian data from their mean, in standard deviations (textbook).
const MEDIAN_DEVIATION: f64 = 0.6745;
/// The boat's own spread from entry to entry is sought between these, as shares of her speed.
const SPREAD_BOUNDS: (f64, f64) = (0.01, 1.0);
const SPREAD_HALVINGS: usize = 20;
/// The most that consecutive residuals are taken to share.
const MOST_SHARED: f64 = 0.98;
const ITERATIONS: usize = 30;
const LARGEST_STEP: f64 = 0.5;
const CONVERGED: f64 = 1e-4;
/// Step of the differences that stand for derivatives by the surface's values.
const DIFFERENCE: f64 = 0.01;

/// The observations in use.
#[derive(Default)]
pub(super) struct Fit {
    pub(super) entries: Vec<Entry>,
    /// Whether one was left out since the last.
    pub(super) gap: bool,
}

pub(super) struct Entry {
    pub(super) source: SpeedSource,
    speed_kn: f64,
    pub(super) part: usize,
    winds: TrueWinds,
    follows: bool,
}

/// The surface that fits best.
pub(super) struct Solved {
    pub(super) log_factors: Vec<f64>,
    pub(super) covariance: DMatrix<f64>,
    pub(super) residual_spread: f64,
    pub(super) residual_correlation: f64,
}

impl Fit {
    pub(super) fn add(
        &mut self,
        observation: &SpeedObservation,
        logged: LoggedWind,
        winds: TrueWinds,
    ) {
        self.entries.push(Entry {
            source: observation.source,
            speed_kn: observation.speed_kn,
            part: part_of(logged.speed_kn, logged.off_deg),
            winds,
            follows: observation.follows && !self.gap,
        });
        self.gap = false;
    }

    pub(super) fn solve(&self, prior: &Polar, lattice: &Lattice) -> Solved {
        let precision = prior_covariance()
            .cholesky()
            .expect("a covariance that falls off exponentially is positive definite")
            .inverse();
        let mut solved = Solved {
            log_factors: vec![0.0; PARTS],
            covariance: prior_covariance(),
            residual_spread: SPREAD_BOUNDS.1,
            residual_correlation: 0.0,
        };
        for _ in 0..ITERATIONS {
            let at = |log_factors: &[f64]| lattice.speeds_kn(&bent(prior, log_factors));
            let here = at(&solved.log_factors);
            let beside: Vec<LatticeSpeeds> = (0..PARTS)
                .map(|part| {
                    let mut log_factors = solved.log_factors.clone();
                    log_factors[part] += DIFFERENCE;
                    at(&log_factors)
                })
                .collect();
            let residuals = self.residuals(&here);
            solved.residual_spread = spread(&residuals);
            let standardised: Vec<f64> = residuals
                .iter()
                .map(|residual| residual.off_kn / residual.sd_kn(solved.residual_spread))
                .collect();
            solved.residual_correlation = self.shared(&standardised);
            let share = independent_share(solved.residual_correlation);

            let values = DVector::from_column_slice(&solved.log_factors);
            let mut matrix = precision.clone();
            let mut gradient = -(&precision * values);
            for ((entry, residual), z) in self.entries.iter().zip(&residuals).zip(&standardised) {
                let huber = if z.abs() > HUBER {
                    HUBER / z.abs()
                } else {
                    1.0
                };
                let sd_kn = residual.sd_kn(solved.residual_spread);
                let weight = share * huber / (sd_kn * sd_kn);
                let slope = DVector::from_iterator(
                    PARTS,
                    beside.iter().map(|beside| {
                        let moved_kn = beside.mean_kn(entry.source, &entry.winds, |kn| kn);
                        (moved_kn - residual.expected_kn) / DIFFERENCE
                    }),
                );
                gradient.axpy(weight * residual.off_kn, &slope, 1.0);
                matrix.ger(weight, &slope, &slope, 1.0);
            }
            let factored = matrix
                .cholesky()
                .expect("a positive definite matrix and squares on top of it stay so");
            let step = factored.solve(&gradient);
            let largest = step.amax();
            let step = step * (LARGEST_STEP / largest).min(1.0);
            for (value, step) in solved.log_factors.iter_mut().zip(step.iter()) {
                *value += step;
            }
            solved.covariance = factored.inverse();
            if largest < CONVERGED {
                break;
            }
        }
        solved
    }

    fn residuals(&self, speeds: &LatticeSpeeds) -> Vec<Residual> {
        let entries = self.entries.iter();
        entries
            .map(|entry| speeds.residual(entry.source, entry.speed_kn, &entry.winds))
            .collect()
    }

    /// The correlation between consecutive residuals, far off ones brought in.
    fn shared(&self, standardised: &[f64]) -> f64 {
        let near = |z: f64| z.clamp(-HUBER, HUBER);
        let (mut products, mut squares) = (0.0, 0.0);
        let pairs = standardised.windows(2).zip(&self.entries[1..]);
        for (pair, _) in pairs.filter(|(_, entry)| entry.follows) {
            let (one, other) = (near(pair[0]), near(pair[1]));
            products += one * other;
            squares += (one * one + other * other) / 2.0;
        }
        if squares > 0.0 {
            (products / squares).clamp(0.0, MOST_SHARED)
        } else {
            0.0
        }
    }
}

/// The share of entries that would say as much if they were independent, of a series whose
/// neighbours have this correlation (first-order autoregression, textbook).
pub(super) fn independent_share(correlation: f64) -> f64 {
    (1.0 - correlation) / (1.0 + correlation)
}

/// The boat's own spread, as a share of her speed, with which the residuals have the median distance
/// from 0 that Gaussian ones have.
fn spread(residuals: &[Residual]) -> f64 {
    let too_small = |spread: f64| {
        let distances = residuals.iter();
        let distances = distances.map(|residual| residual.off_kn.abs() / residual.sd_kn(spread));
        let mut distances: Vec<f64> = distances.collect();
        quantile_of_unsorted(&mut distances, 0.5).is_some_and(|median| median > MEDIAN_DEVIATION)
    };
    let (mut low, mut high) = SPREAD_BOUNDS;
    for _ in 0..SPREAD_HALVINGS {
        let middle = (low + high) / 2.0;
        if too_small(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
