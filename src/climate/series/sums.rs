//! Sums over the steps of one node: of a month while it is read, of a calendar month over the years.
//!
//! Steps come in the order of time, whatever files they are in, and every sum is taken in that order in
//! double precision: the order and the split of the files change no bit.

use super::memory::{LAG_DAYS, Lagged};
use crate::climate::LOWER_BOUNDS_KN;
use crate::units::MS_PER_KN;

/// Days in the longest month.
const MOST_DAYS: usize = 31;

/// The share of a day's or a month's steps that must be there for its mean to count (common practice, no
/// source).
const ENOUGH: f64 = 0.75;

/// Whether so many of the expected steps are enough for a mean.
pub(super) fn enough(found: usize, expected: usize) -> bool {
    found as f64 >= ENOUGH * expected as f64
}

/// Sums over steps.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Moments {
    pub(super) steps: u32,
    pub(super) speeds: u32,
    gales: u32,
    calms: u32,
    u: f64,
    v: f64,
    uu: f64,
    vv: f64,
    uv: f64,
    speed: f64,
}

impl Moments {
    /// Adds a step; `speed_ms` is NaN where it is not known.
    #[inline]
    fn add(&mut self, u_ms: f64, v_ms: f64, speed_ms: f64) {
        const CALM_MS: f64 = LOWER_BOUNDS_KN[0] * MS_PER_KN;
        const GALE_MS: f64 = LOWER_BOUNDS_KN[7] * MS_PER_KN;
        self.steps += 1;
        self.u += u_ms;
        self.v += v_ms;
        self.uu += u_ms * u_ms;
        self.vv += v_ms * v_ms;
        self.uv += u_ms * v_ms;
        if !speed_ms.is_nan() {
            self.speeds += 1;
            self.speed += speed_ms;
            self.gales += u32::from(speed_ms >= GALE_MS);
            self.calms += u32::from(speed_ms < CALM_MS);
        }
    }

    /// Their mean u, v and speed as a month of one year; NaN where it has too few of the steps expected.
    pub(super) fn year_mean(&self, expected: usize) -> YearMean {
        match (self.mean(), enough(self.steps as usize, expected)) {
            (Some([u, v]), true) => {
                let speed = self.mean_speed().unwrap_or(f64::NAN);
                [u as f32, v as f32, speed as f32]
            }
            _ => [f32::NAN; 3],
        }
    }

    /// Adds the sums of another.
    pub(super) fn add_all(&mut self, other: &Self) {
        self.steps += other.steps;
        self.speeds += other.speeds;
        self.gales += other.gales;
        self.calms += other.calms;
        self.u += other.u;
        self.v += other.v;
        self.uu += other.uu;
        self.vv += other.vv;
        self.uv += other.uv;
        self.speed += other.speed;
    }

    fn over(sum: f64, count: u32) -> Option<f64> {
        (count > 0).then(|| sum / f64::from(count))
    }

    /// Mean u and v, m/s.
    pub(super) fn mean(&self) -> Option<[f64; 2]> {
        Some([
            Self::over(self.u, self.steps)?,
            Self::over(self.v, self.steps)?,
        ])
    }

    /// Mean speed, m/s.
    pub(super) fn mean_speed(&self) -> Option<f64> {
        Self::over(self.speed, self.speeds)
    }

    /// Shares of gale and of calm.
    pub(super) fn gale_and_calm(&self) -> Option<[f64; 2]> {
        Some([
            Self::over(f64::from(self.gales), self.speeds)?,
            Self::over(f64::from(self.calms), self.speeds)?,
        ])
    }

    /// Variances of u and of v and their covariance, (m/s)^2, about the mean of all steps.
    pub(super) fn second(&self) -> Option<[f64; 3]> {
        let [u, v] = self.mean()?;
        let mean = |sum: f64| sum / f64::from(self.steps);
        // A rounding below zero is none.
        Some([
            (mean(self.uu) - u * u).max(0.0),
            (mean(self.vv) - v * v).max(0.0),
            mean(self.uv) - u * v,
        ])
    }
}

/// One node in the month that is being read.
#[derive(Debug, Clone)]
pub(super) struct RunningMonth {
    moments: Moments,
    /// The day being added up, counted from the month's first, and its steps.
    day: u8,
    day_steps: u16,
    day_sum: [f64; 2],
    /// Daily means of u and v; NaN where there is none.
    days: [[f32; 2]; MOST_DAYS],
}

impl RunningMonth {
    pub(super) fn new() -> Self {
        Self {
            moments: Moments::default(),
            day: 0,
            day_steps: 0,
            day_sum: [0.0; 2],
            days: [[f32::NAN; 2]; MOST_DAYS],
        }
    }

    /// Adds a step of the day numbered `day` from 0; nothing where a component is NaN.
    #[inline]
    pub(super) fn add(&mut self, day: u8, u_ms: f32, v_ms: f32, speed_ms: f32, per_day: usize) {
        if day != self.day {
            self.close_day(per_day);
            self.day = day;
        }
        let (u, v) = (f64::from(u_ms), f64::from(v_ms));
        if u.is_nan() || v.is_nan() {
            return;
        }
        self.moments.add(u, v, f64::from(speed_ms));
        self.day_steps += 1;
        self.day_sum[0] += u;
        self.day_sum[1] += v;
    }

    fn close_day(&mut self, per_day: usize) {
        if enough(usize::from(self.day_steps), per_day) && self.day_steps > 0 {
            let steps = f64::from(self.day_steps);
            self.days[usize::from(self.day)] = self.day_sum.map(|sum| (sum / steps) as f32);
        }
        self.day_steps = 0;
        self.day_sum = [0.0; 2];
    }

    /// Ends the month: hands over its sums, and its days' products to `lagged` where they count.
    pub(super) fn close(&mut self, per_day: usize, lagged: Option<&mut Lagged>) -> Moments {
        if let Some(lagged) = lagged {
            self.close_day(per_day);
            self.add_products(lagged);
        }
        let moments = self.moments;
        *self = Self::new();
        moments
    }

    /// Products of the daily means' departures from the month's own, by lag.
    fn add_products(&self, lagged: &mut Lagged) {
        let known = self.days.iter().filter(|day| !day[0].is_nan());
        let (mut count, mut sum) = (0u32, [0.0; 2]);
        for day in known {
            count += 1;
            sum = [sum[0] + f64::from(day[0]), sum[1] + f64::from(day[1])];
        }
        if count == 0 {
            return;
        }
        let mean = sum.map(|sum| sum / f64::from(count));
        let departures = self
            .days
            .map(|[u, v]| [f64::from(u) - mean[0], f64::from(v) - mean[1]]);
        for (place, &lag) in LAG_DAYS.iter().enumerate() {
            for (a, b) in departures.iter().zip(&departures[lag..]) {
                let (eastward, northward) = (a[0] * b[0], a[1] * b[1]);
                if eastward.is_nan() || northward.is_nan() {
                    continue;
                }
                lagged.pairs[place] += 1;
                lagged.products[place] += eastward + northward;
                if lag == 0 {
                    lagged.eastward_squares += eastward;
                }
            }
        }
    }
}

/// A sum and its count, of a quantity besides the wind.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Mean {
    count: u32,
    sum: f64,
}

impl Mean {
    pub(super) fn add(&mut self, value: f32) {
        if !value.is_nan() {
            self.count += 1;
            self.sum += f64::from(value);
        }
    }

    /// The mean; NaN of nothing.
    pub(super) fn value(&self) -> f32 {
        Moments::over(self.sum, self.count).map_or(f32::NAN, |mean| mean as f32)
    }
}

/// One month's mean u, v and speed in one year; NaN where it has too few steps.
pub(super) type YearMean = [f32; 3];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_of_a_few_steps() {
        let mut moments = Moments::default();
        // 34 kn and a bit, a flat calm, and one whose speed is not known.
        moments.add(17.6, 0.0, 17.6);
        moments.add(0.0, 0.2, 0.2);
        moments.add(1.0, 1.0, f64::NAN);
        assert_eq!(moments.gale_and_calm(), Some([0.5, 0.5]));
        assert_eq!(moments.mean_speed(), Some(8.9));
        let [var_u, var_v, cov] = moments.second().unwrap();
        // numpy.cov([17.6, 0, 1], [0, 0.2, 1], bias=True), numpy 2.4.6.
        assert!((var_u - 65.146667).abs() < 1e-6, "{var_u}");
        assert!((var_v - 0.186667).abs() < 1e-6, "{var_v}");
        assert!((cov + 2.146667).abs() < 1e-6, "{cov}");
    }

    #[test]
    fn nothing_has_no_mean() {
        assert_eq!(Moments::default().mean(), None);
        assert_eq!(Moments::default().second(), None);
        assert!(Mean::default().value().is_nan());
    }

    /// A day with too few steps makes no pair.
    #[test]
    fn products_are_about_the_months_own_mean() {
        let mut month = RunningMonth::new();
        for (day, u_ms) in [
            (0, 1.0),
            (0, 3.0),
            (1, 4.0),
            (1, 4.0),
            (2, 9.0),
            (3, 6.0),
            (3, 6.0),
        ] {
            month.add(day, u_ms, 0.0, f32::NAN, 2);
        }
        month.add(4, f32::NAN, 1.0, 1.0, 2);
        let mut lagged = Lagged::default();
        let moments = month.close(2, Some(&mut lagged));
        assert_eq!(moments.steps, 7);
        // Days of 2, 4, none and 6 about 4.
        assert_eq!(lagged.pairs[..4], [3, 1, 1, 1]);
        assert_eq!(lagged.products[..4], [8.0, 0.0, 0.0, -4.0]);
        assert_eq!(lagged.eastward_squares, 8.0);
    }
}
