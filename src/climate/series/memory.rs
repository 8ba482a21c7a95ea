//! The memory of the wind, fitted to how the daily means of one month go together.
//!
//! The model is that of the ensemble: a fast and a slow part, each an Ornstein-Uhlenbeck process of a
//! time constant of its own, that of the slow part given. What is counted are covariances of daily means
//! some days apart, both in the same month and about that month's own mean, so that differences between
//! years are not in them. A month's own mean takes some of the slow part away; what is expected of the
//! model is therefore worked out for a month of that length, and daily means for their averaging. Both
//! are sums over the exact correlations; no approximation is made.

use crate::climate::month::Month;
use crate::climate::wind::SLOW_HOURS;

/// How many days apart the pairs counted are.
pub const LAG_DAYS: [usize; 7] = [0, 1, 2, 3, 5, 7, 10];

/// The fast part's time constant lies between these, hours.
const FAST_HOURS: (f64, f64) = (2.0, 200.0);

/// One time constant alone may be as long as this, hours.
const MOST_HOURS: f64 = 1000.0;

/// From one time constant tried to the next.
const STEP: f64 = 1.01;

/// Of those only every so many are tried at first.
const COARSE: usize = 12;

/// Fewer days than this, or pairs at any lag, show no memory.
const FEWEST_DAYS: u32 = 56;
const FEWEST_PAIRS: u32 = 30;

const DAY_HOURS: f64 = 24.0;

/// What a day's value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DayValue {
    /// The mean over the day.
    Mean,
    /// The mean of so many values evenly through the day; of one, that value.
    Samples(usize),
}

impl DayValue {
    /// The covariance of two such values `days` apart, of an Ornstein-Uhlenbeck process of variance 1.
    fn covariance(self, hours: f64, days: usize) -> f64 {
        let (x, days) = (DAY_HOURS / hours, days as f64);
        match self {
            Self::Mean if days == 0.0 => 2.0 * (x + (-x).exp_m1()) / (x * x),
            Self::Mean => 2.0 * (x.cosh() - 1.0) * (-days * x).exp() / (x * x),
            Self::Samples(samples) => {
                let samples = samples as i64;
                let pairs = (1 - samples)..samples;
                let sum: f64 = pairs
                    .map(|apart| {
                        let lag = (days + apart as f64 / samples as f64).abs();
                        (samples - apart.abs()) as f64 * (-lag * x).exp()
                    })
                    .sum();
                sum / (samples * samples) as f64
            }
        }
    }
}

/// What a process of variance 1 and one time constant leads to expect of a month's days.
struct Expected {
    hours: f64,
    /// The covariance about the month's own mean, at each lag.
    within: [f64; LAG_DAYS.len()],
    /// The variance of the month's mean.
    of_mean: f64,
}

impl Expected {
    fn new(hours: f64, day: DayValue, month_days: usize) -> Self {
        let lagged: Vec<f64> = (0..month_days)
            .map(|days| day.covariance(hours, days))
            .collect();
        let days = month_days as f64;
        // The covariance of each day with the month's mean.
        let with_mean: Vec<f64> = (0..month_days)
            .map(|i| (0..month_days).map(|j| lagged[i.abs_diff(j)]).sum::<f64>() / days)
            .collect();
        let of_mean = with_mean.iter().sum::<f64>() / days;
        let within = LAG_DAYS.map(|lag| {
            let pairs = month_days - lag;
            let both: f64 = (0..pairs).map(|i| with_mean[i] + with_mean[i + lag]).sum();
            lagged[lag] - both / pairs as f64 + of_mean
        });
        Self {
            hours,
            within,
            of_mean,
        }
    }
}

/// Covariances of the two components' daily means, summed over both, about each month's own mean.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Lagged {
    /// Pairs by lag; for lag 0 days.
    pub(super) pairs: [u32; LAG_DAYS.len()],
    /// Sums of products by lag.
    pub(super) products: [f64; LAG_DAYS.len()],
    /// The part of the eastward component in the first of them.
    pub(super) eastward_squares: f64,
}

/// A memory that was fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Memory {
    /// The slow part's share of the variance, 0 to 1.
    pub(super) slow_share: f64,
    /// The fast part's time constant, hours.
    pub(super) fast_hours: f64,
    /// The time constant of one part alone, hours.
    pub(super) single_hours: f64,
    /// The variance of the month's mean that the weather leads to expect, both components together. It is
    /// that of the amplitudes without a bound: held above 0 the slow one would draw it up, and what is left
    /// for the years down.
    pub(super) variance_of_mean: f64,
}

/// Fits memories for the days of one month.
pub(super) struct MemoryFit {
    tried: Vec<Expected>,
    /// How many of them may be a fast part.
    fast: usize,
    slow: Expected,
}

/// The amplitudes that fit best at one time constant, and what is left of the squares.
#[derive(Clone, Copy)]
struct Fitted {
    place: usize,
    fast: f64,
    slow: f64,
    left: f64,
}

impl MemoryFit {
    /// For a month whose days have such values.
    pub(super) fn new(month: Month, day: DayValue) -> Self {
        let days = month.days().floor() as usize;
        let steps = ((MOST_HOURS / FAST_HOURS.0).ln() / STEP.ln()).floor() as i32;
        let tried: Vec<Expected> = (0..=steps)
            .map(|step| Expected::new(FAST_HOURS.0 * STEP.powi(step), day, days))
            .collect();
        Self {
            fast: tried.partition_point(|one| one.hours <= FAST_HOURS.1),
            slow: Expected::new(SLOW_HOURS, day, days),
            tried,
        }
    }

    /// The memory that fits the covariances counted, by least squares at equal weights; none where
    /// there are too few days, or where they do not vary.
    pub(super) fn fit(&self, lagged: &Lagged) -> Option<Memory> {
        let enough = lagged.pairs[0] >= FEWEST_DAYS
            && lagged.pairs.iter().all(|&pairs| pairs >= FEWEST_PAIRS);
        if !enough || lagged.products[0] <= 0.0 {
            return None;
        }
        let counted: [f64; LAG_DAYS.len()] =
            std::array::from_fn(|lag| lagged.products[lag] / f64::from(lagged.pairs[lag]));
        let both = self.best(self.fast, |place| self.two_parts(&counted, place));
        let free = self.best(self.fast, |place| self.two_free_parts(&counted, place));
        let single = self.best(self.tried.len(), |place| self.one_part(&counted, place));
        let fast = &self.tried[both.place];
        let variance = both.fast + both.slow;
        (variance > 0.0).then(|| Memory {
            slow_share: both.slow / variance,
            fast_hours: fast.hours,
            single_hours: self.tried[single.place].hours,
            variance_of_mean: free.fast * self.tried[free.place].of_mean
                + free.slow * self.slow.of_mean,
        })
    }

    /// The best of the first `count` time constants: every so many first, then those about the best.
    fn best(&self, count: usize, fit: impl Fn(usize) -> Fitted) -> Fitted {
        let better = |a: Fitted, b: Fitted| if b.left < a.left { b } else { a };
        let coarse = (0..count).step_by(COARSE).map(&fit).reduce(better);
        let about = coarse.map_or(0, |fitted| fitted.place);
        let near = about.saturating_sub(COARSE)..(about + COARSE + 1).min(count);
        near.map(&fit).reduce(better).unwrap_or_else(|| fit(about))
    }

    fn one_part(&self, counted: &[f64; LAG_DAYS.len()], place: usize) -> Fitted {
        let within = &self.tried[place].within;
        let fast = (dot(counted, within) / dot(within, within)).max(0.0);
        Fitted {
            place,
            fast,
            slow: 0.0,
            left: left(counted, within, fast, &self.slow.within, 0.0),
        }
    }

    /// Least squares for two amplitudes.
    fn two_free_parts(&self, counted: &[f64; LAG_DAYS.len()], place: usize) -> Fitted {
        let (f, s) = (&self.tried[place].within, &self.slow.within);
        let (ff, fs, ss) = (dot(f, f), dot(f, s), dot(s, s));
        let (fc, sc) = (dot(f, counted), dot(s, counted));
        let determinant = ff * ss - fs * fs;
        let fast = (fc * ss - sc * fs) / determinant;
        let slow = (sc * ff - fc * fs) / determinant;
        Fitted {
            place,
            fast,
            slow,
            left: left(counted, f, fast, s, slow),
        }
    }

    /// The same, neither below zero.
    fn two_parts(&self, counted: &[f64; LAG_DAYS.len()], place: usize) -> Fitted {
        let free = self.two_free_parts(counted, place);
        let (f, s) = (&self.tried[place].within, &self.slow.within);
        let (fast, slow) = if free.slow < 0.0 {
            ((dot(f, counted) / dot(f, f)).max(0.0), 0.0)
        } else if free.fast < 0.0 {
            (0.0, (dot(s, counted) / dot(s, s)).max(0.0))
        } else {
            return free;
        };
        Fitted {
            place,
            fast,
            slow,
            left: left(counted, f, fast, s, slow),
        }
    }
}

fn dot(a: &[f64; LAG_DAYS.len()], b: &[f64; LAG_DAYS.len()]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The sum of squares that two parts leave.
fn left(
    counted: &[f64; LAG_DAYS.len()],
    f: &[f64; LAG_DAYS.len()],
    fast: f64,
    s: &[f64; LAG_DAYS.len()],
    slow: f64,
) -> f64 {
    (0..LAG_DAYS.len())
        .map(|lag| (counted[lag] - fast * f[lag] - slow * s[lag]).powi(2))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The daily winds of all moorings near the equator, counted by NumPy as the heading of the rows says,
    /// against the memory that was fitted to them by another way (about a mean over a year, and together with
    /// ships' winds): 0.24 slow to 0.02, and 24 hours to 3.
    #[test]
    fn the_moorings_counted_by_numpy_have_the_memory_of_the_ensemble() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/fixtures/reference/climate/mooring-lags.csv"
        );
        let mut rows = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(path)
            .expect("the reference rows");
        let mut all = Lagged::default();
        for row in rows.deserialize() {
            let row: Vec<f64> = row.expect("a row of numbers");
            for lag in 0..LAG_DAYS.len() {
                all.pairs[lag] += row[3 + lag] as u32;
                all.products[lag] += row[3 + LAG_DAYS.len() + lag];
            }
        }
        assert!(all.pairs[0] > 80_000, "{:?}", all.pairs);
        // April: thirty days, as months have on average.
        let memory = MemoryFit::new(Month::ALL[3], DayValue::Mean)
            .fit(&all)
            .unwrap();
        assert!((memory.slow_share - 0.24).abs() < 0.02, "{memory:?}");
        assert!((memory.fast_hours - 24.0).abs() < 3.0, "{memory:?}");
    }

    #[test]
    fn many_samples_through_a_day_are_its_mean() {
        for hours in [5.0, 24.0, 300.0] {
            for days in [0, 1, 4] {
                let mean = DayValue::Mean.covariance(hours, days);
                let samples = DayValue::Samples(2000).covariance(hours, days);
                assert!((mean - samples).abs() < 1e-5, "{hours} {days}");
            }
            assert_eq!(DayValue::Samples(1).covariance(hours, 0), 1.0);
        }
    }

    fn counted(share: f64, hours: f64, fit: &MemoryFit, day: DayValue) -> Lagged {
        let fast = Expected::new(hours, day, 31);
        let mut lagged = Lagged::default();
        for lag in 0..LAG_DAYS.len() {
            lagged.pairs[lag] = 900;
            let covariance = (1.0 - share) * fast.within[lag] + share * fit.slow.within[lag];
            lagged.products[lag] = 900.0 * 18.0 * covariance;
        }
        lagged
    }

    #[test]
    fn what_the_model_leads_to_expect_is_fitted_by_it() {
        for day in [DayValue::Mean, DayValue::Samples(4), DayValue::Samples(1)] {
            let fit = MemoryFit::new(Month::ALL[0], day);
            for (share, hours) in [(0.24, 24.0), (0.0, 36.0), (0.5, 12.0), (0.1, 60.0)] {
                let memory = fit.fit(&counted(share, hours, &fit, day)).unwrap();
                assert!((memory.slow_share - share).abs() < 0.01, "{memory:?}");
                assert!((memory.fast_hours / hours - 1.0).abs() < 0.02, "{memory:?}");
                if share == 0.0 {
                    assert!((memory.single_hours / hours - 1.0).abs() < 0.01);
                }
            }
        }
    }

    #[test]
    fn few_days_or_a_calm_have_no_memory() {
        let fit = MemoryFit::new(Month::ALL[0], DayValue::Mean);
        let mut few = counted(0.2, 24.0, &fit, DayValue::Mean);
        few.pairs[6] = FEWEST_PAIRS - 1;
        assert_eq!(fit.fit(&few), None);
        let mut calm = counted(0.2, 24.0, &fit, DayValue::Mean);
        calm.products = [0.0; LAG_DAYS.len()];
        assert_eq!(fit.fit(&calm), None);
    }
}
