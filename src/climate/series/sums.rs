//! Sums over the steps of one node: of a month of one year, and of a calendar month over the years.
//!
//! Those of a calendar month are kept as plain numbers, [`Layout`] says in which order; a year's are added
//! to them in the order of time, whatever files they are in.

use super::memory::{LAG_DAYS, Lagged};

/// The share of a day's or a month's steps that must be there for its mean to count (common practice, no
/// source).
const ENOUGH: f64 = 0.75;

/// Whether so many of the expected steps are enough for a mean.
pub(super) fn enough(found: usize, expected: usize) -> bool {
    found as f64 >= ENOUGH * expected as f64
}

/// One month's mean u, v and speed in one year; NaN where it has too few steps.
pub(super) type YearMean = [f32; 3];

/// Sums over steps.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Moments {
    pub(super) steps: u32,
    pub(super) speeds: u32,
    pub(super) gales: u32,
    pub(super) calms: u32,
    pub(super) u: f64,
    pub(super) v: f64,
    pub(super) uu: f64,
    pub(super) vv: f64,
    pub(super) uv: f64,
    pub(super) speed: f64,
}

impl Moments {
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

    fn numbers(&self) -> [f64; MOMENTS] {
        let counts = [self.steps, self.speeds, self.gales, self.calms].map(f64::from);
        let [steps, speeds, gales, calms] = counts;
        let (u, v, uu, vv, uv, speed) = (self.u, self.v, self.uu, self.vv, self.uv, self.speed);
        [steps, speeds, gales, calms, u, v, uu, vv, uv, speed]
    }
}

/// Numbers of [`Moments`] and of [`Lagged`].
const MOMENTS: usize = 10;
const LAGGED: usize = 2 * LAG_DAYS.len() + 1;

/// Which numbers are kept of a node and a calendar month, in order: the wind's sums, products of days where
/// days are known, and sum and count of each other quantity.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layout {
    pub(super) with_days: bool,
    /// Quantities besides the wind's components.
    pub(super) others: usize,
}

impl Layout {
    /// How many numbers there are.
    pub(super) fn len(self) -> usize {
        MOMENTS + if self.with_days { LAGGED } else { 0 } + 2 * self.others
    }

    /// Adds what one year had.
    pub(super) fn add(
        self,
        to: &mut [f64],
        moments: &Moments,
        lagged: Option<&Lagged>,
        others: &[Mean],
    ) {
        let mut to = to.iter_mut();
        let mut add = |number: f64| {
            if let Some(to) = to.next() {
                *to += number;
            }
        };
        moments.numbers().into_iter().for_each(&mut add);
        if let Some(lagged) = lagged {
            lagged.pairs.iter().for_each(|&pairs| add(f64::from(pairs)));
            lagged.products.into_iter().for_each(&mut add);
            add(lagged.eastward_squares);
        }
        for other in others {
            add(other.sum);
            add(f64::from(other.count));
        }
    }

    /// The wind's sums.
    pub(super) fn moments(self, of: &[f64]) -> Moments {
        let count = |place: usize| of[place] as u32;
        Moments {
            steps: count(0),
            speeds: count(1),
            gales: count(2),
            calms: count(3),
            u: of[4],
            v: of[5],
            uu: of[6],
            vv: of[7],
            uv: of[8],
            speed: of[9],
        }
    }

    /// The products of days.
    pub(super) fn lagged(self, of: &[f64]) -> Option<Lagged> {
        let of = of
            .get(MOMENTS..MOMENTS + LAGGED)
            .filter(|_| self.with_days)?;
        let (pairs, rest) = of.split_at(LAG_DAYS.len());
        Some(Lagged {
            pairs: std::array::from_fn(|lag| pairs[lag] as u32),
            products: std::array::from_fn(|lag| rest[lag]),
            eastward_squares: rest[LAG_DAYS.len()],
        })
    }

    /// The mean of another quantity.
    pub(super) fn other(self, of: &[f64], number: usize) -> f32 {
        let at = self.len() - 2 * (self.others - number);
        Mean {
            sum: of[at],
            count: of[at + 1] as u32,
        }
        .value()
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
    fn value(&self) -> f32 {
        Moments::over(self.sum, self.count).map_or(f32::NAN, |mean| mean as f32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_has_no_mean() {
        assert_eq!(Moments::default().mean(), None);
        assert_eq!(Moments::default().second(), None);
        assert!(Mean::default().value().is_nan());
    }

    #[test]
    fn what_is_added_is_found_again() {
        let moments = Moments {
            steps: 3,
            speeds: 2,
            gales: 1,
            calms: 1,
            u: 18.6,
            v: 1.2,
            uu: 310.76,
            vv: 1.04,
            uv: 1.0,
            speed: 17.8,
        };
        let lagged = Lagged {
            pairs: [9, 8, 7, 6, 5, 4, 3],
            products: [1.5, 2.5, 3.5, 4.5, 5.5, 6.5, 7.5],
            eastward_squares: 0.75,
        };
        let mut air = [Mean::default(); 2];
        air[1].add(21.0);
        air[1].add(22.0);
        air[1].add(f32::NAN);
        let layout = Layout {
            with_days: true,
            others: 2,
        };
        let mut numbers = vec![0.0; layout.len()];
        layout.add(&mut numbers, &moments, Some(&lagged), &air);
        assert_eq!(layout.moments(&numbers), moments);
        assert_eq!(layout.lagged(&numbers), Some(lagged));
        assert!(layout.other(&numbers, 0).is_nan());
        assert_eq!(layout.other(&numbers, 1), 21.5);
        layout.add(&mut numbers, &moments, Some(&lagged), &air);
        assert_eq!(layout.moments(&numbers).steps, 6);
        assert_eq!(layout.other(&numbers, 1), 21.5);

        let plain = Layout {
            with_days: false,
            others: 0,
        };
        let mut numbers = vec![0.0; plain.len()];
        plain.add(&mut numbers, &moments, None, &[]);
        assert_eq!(plain.moments(&numbers), moments);
        assert_eq!(plain.lagged(&numbers), None);
    }
}
