//! Percentiles of the simulated passages.

/// One quantity over all simulated passages: the values known, and how many lie beyond any
/// value known, such as the days of a passage that never arrives.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Samples {
    sorted: Vec<f64>,
    beyond: usize,
}

impl Samples {
    pub(crate) fn new(values: impl IntoIterator<Item = f64>, beyond: usize) -> Self {
        let mut sorted: Vec<f64> = values.into_iter().collect();
        sorted.sort_by(f64::total_cmp);
        Self { sorted, beyond }
    }

    /// The value at `percent` by the type 7 rule: linear between order statistics, the first at
    /// 0 % and the last at 100 %. `None` where that reaches the values that lie beyond.
    ///
    /// Hyndman & Fan (1996), The American Statistician 50:361-365, definition 7 (from memory).
    pub(crate) fn at(&self, percent: f64) -> Option<f64> {
        let count = self.sorted.len() + self.beyond;
        let rank = (count.checked_sub(1)? as f64) * percent / 100.0;
        let below = rank.floor();
        let share = rank - below;
        let lower = *self.sorted.get(below as usize)?;
        if share == 0.0 {
            return Some(lower);
        }
        let upper = *self.sorted.get(below as usize + 1)?;
        Some(lower + share * (upper - lower))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn type_7_is_linear_between_order_statistics() {
        let samples = Samples::new([4.0, 1.0, 3.0, 2.0], 0);
        assert_eq!(samples.at(50.0), Some(2.5));
        assert_eq!(samples.at(0.0), Some(1.0));
        assert_eq!(samples.at(100.0), Some(4.0));
        assert!((samples.at(90.0).unwrap() - 3.7).abs() < 1e-12);
    }

    #[test]
    fn values_beyond_push_the_percentile_out_of_reach() {
        let samples = Samples::new([1.0, 2.0, 3.0, 4.0], 1);
        assert_eq!(samples.at(75.0), Some(4.0));
        assert_eq!(samples.at(76.0), None);
        assert_eq!(Samples::new([], 0).at(50.0), None);
    }
}
