//! Quantiles of a sample.

/// The quantile of type 7 (Hyndman and Fan, The American Statistician 50, 1996; from memory):
/// linear between the order statistics, the one that spreadsheets and NumPy use.
///
/// `sorted` is in rising order; `share` is 0 to 1. None for an empty sample. Where the quantile
/// falls on or next to an infinite value, which stands for a passage that does not arrive, it is
/// infinite.
pub fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let below = place.floor();
    let part = place - below;
    let index = below as usize;
    let low = sorted[index];
    if part == 0.0 {
        return Some(low);
    }
    let high = sorted[index + 1];
    Some(if high.is_infinite() {
        high
    } else {
        low + part * (high - low)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn type_7_as_defined() {
        // numpy.quantile([1, 2, 4, 8], [0, .1, .25, .5, .9, 1]), NumPy 2.4.6, method "linear".
        let sample = [1.0, 2.0, 4.0, 8.0];
        let expected = [
            (0.0, 1.0),
            (0.1, 1.3),
            (0.25, 1.75),
            (0.5, 3.0),
            (0.9, 6.8),
            (1.0, 8.0),
        ];
        for (share, value) in expected {
            approx::assert_abs_diff_eq!(quantile(&sample, share).unwrap(), value, epsilon = 1e-12);
        }
        assert_eq!(quantile(&[], 0.5), None);
        assert_eq!(quantile(&[3.0], 0.9), Some(3.0));
    }

    #[test]
    fn a_passage_without_end_is_not_averaged_away() {
        let sample = [1.0, 2.0, f64::INFINITY];
        assert_eq!(quantile(&sample, 0.5), Some(2.0));
        assert_eq!(quantile(&sample, 0.6), Some(f64::INFINITY));
    }
}
