//! From sums to what was measured at a node in one calendar month.

use super::catalogue::Catalogue;
use super::memory::{DayValue, LAG_DAYS, Lagged, MemoryFit};
use super::spacing::Spacing;
use super::sums::{Moments, YearMean};
use crate::climate::month::Month;

/// What was measured at one node in one calendar month; NaN where something is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Measured {
    /// Steps in all years.
    pub(super) steps: u32,
    pub(super) u_ms: f32,
    pub(super) v_ms: f32,
    pub(super) speed_ms: f32,
    /// Variances about the mean of all years, (m/s)^2.
    pub(super) u_variance: f32,
    pub(super) v_variance: f32,
    pub(super) uv_covariance: f32,
    pub(super) gale_share: f32,
    pub(super) calm_share: f32,
    /// The memory fitted.
    pub(super) slow_share: f32,
    pub(super) fast_hours: f32,
    pub(super) single_hours: f32,
    /// The correlation of daily means about their own month's, by lag.
    pub(super) lag_correlation: [f32; LAG_DAYS.len() - 1],
    /// The variance of the month's mean from year to year, (m/s)^2; below 0 where the weather within months
    /// leads to expect more than there is.
    pub(super) u_year_variance: f32,
    pub(super) v_year_variance: f32,
}

/// The variance of a month's mean from year to year, as it was counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct YearSums {
    /// Of u and v; none where fewer than two years have the month.
    variance: Option<[f64; 2]>,
}

impl YearSums {
    /// Of each year's mean; the variance is the unbiased one.
    pub(super) fn of(years: impl Iterator<Item = YearMean> + Clone) -> Self {
        let known = years.filter(|mean| !mean[0].is_nan());
        let count = known.clone().count() as f64;
        let variance = |component: usize| {
            let values = known.clone().map(move |mean| f64::from(mean[component]));
            let mean = values.clone().sum::<f64>() / count;
            values.map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0)
        };
        Self {
            variance: (count >= 2.0).then(|| [variance(0), variance(1)]),
        }
    }
}

/// Turns sums into figures.
pub(super) struct Measurer {
    /// A fit for each calendar month; none where days are not known.
    fits: Option<Vec<MemoryFit>>,
}

impl Measurer {
    pub(super) fn new(catalogue: &Catalogue) -> Self {
        let day = match (catalogue.spacing, catalogue.is_mean) {
            (Spacing::Monthly, _) => None,
            (Spacing::Daily, Some(false)) => Some(DayValue::Samples(1)),
            // A daily value is a day's mean unless the file says otherwise.
            (Spacing::Daily, _) => Some(DayValue::Mean),
            (Spacing::PartDay { .. }, Some(true)) => Some(DayValue::Mean),
            (Spacing::PartDay { per_day }, _) => Some(DayValue::Samples(per_day)),
        };
        let of_month = |day| Month::ALL.map(|month| MemoryFit::new(month, day)).into();
        Self {
            fits: day.map(of_month),
        }
    }

    pub(super) fn measure(
        &self,
        month: usize,
        moments: &Moments,
        lagged: Option<&Lagged>,
        years: YearSums,
    ) -> Measured {
        let single = |value: Option<f64>| value.map_or(f32::NAN, |value| value as f32);
        let pair = |pair: Option<[f64; 2]>| {
            [
                single(pair.map(|pair| pair[0])),
                single(pair.map(|pair| pair[1])),
            ]
        };
        let [u_ms, v_ms] = pair(moments.mean());
        let fit = self.fits.as_ref().map(|fits| &fits[month]);
        // Of monthly means the variance is not the wind's, and a mean's size says nothing of gales.
        let (second, shares) = match fit {
            Some(_) => (moments.second(), moments.gale_and_calm()),
            None => (None, None),
        };
        let [gale_share, calm_share] = pair(shares);
        let memory = fit.zip(lagged).and_then(|(fit, lagged)| fit.fit(lagged));
        let year_variance = match (years.variance, fit, lagged, memory) {
            // Monthly means: nothing is known that could be taken off.
            (Some(variance), None, ..) => Some(variance),
            (Some([u, v]), Some(_), Some(lagged), Some(memory)) => {
                let eastward = lagged.eastward_squares / lagged.products[0];
                let of_weather = memory.variance_of_mean;
                // Sampling noise may leave less than nothing at a node: cut off there, means over many
                // nodes would come out too large.
                Some([u - eastward * of_weather, v - (1.0 - eastward) * of_weather])
            }
            _ => None,
        };
        let [u_year_variance, v_year_variance] = pair(year_variance);
        Measured {
            steps: moments.steps,
            u_ms,
            v_ms,
            speed_ms: single(moments.mean_speed()),
            u_variance: single(second.map(|second| second[0])),
            v_variance: single(second.map(|second| second[1])),
            uv_covariance: single(second.map(|second| second[2])),
            gale_share,
            calm_share,
            slow_share: single(memory.map(|memory| memory.slow_share)),
            fast_hours: single(memory.map(|memory| memory.fast_hours)),
            single_hours: single(memory.map(|memory| memory.single_hours)),
            lag_correlation: correlations(lagged),
            u_year_variance,
            v_year_variance,
        }
    }
}

/// The correlation at each lag but 0: the mean product over the mean square; NaN without pairs.
fn correlations(lagged: Option<&Lagged>) -> [f32; LAG_DAYS.len() - 1] {
    let mean = |lagged: &Lagged, place: usize| {
        (lagged.pairs[place] > 0).then(|| lagged.products[place] / f64::from(lagged.pairs[place]))
    };
    std::array::from_fn(|place| {
        let of_lag = lagged.and_then(|lagged| {
            let variance = mean(lagged, 0).filter(|variance| *variance > 0.0)?;
            Some(mean(lagged, place + 1)? / variance)
        });
        of_lag.map_or(f32::NAN, |correlation| correlation as f32)
    })
}
