//! Quantiles of a sample.
//!
//! Ours because the crates at hand do not fit: statrs 0.19 gives type 8, and NaN for the median of
//! 1, 2 and infinity; ndarray-stats 0.7 is right but brings five more crates, a second generator of
//! random numbers among them.

/// The quantile of type 7 (Hyndman and Fan, The American Statistician 50, 1996; from memory):
/// linear between the order statistics, the one that spreadsheets and NumPy use.
///
/// `sorted` is in rising order; `share` is 0 to 1. None for an empty sample. Where the quantile
/// falls on or next to an infinite value, which stands for a passage that does not arrive, it is
/// infinite.
pub fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let (index, part) = place(sorted.len(), share)?;
    Some(between(sorted[index], sorted.get(index + 1), part))
}

/// The same of a sample in any order, whose values are moved about. It is quicker than to put all
/// of them in order for one quantile.
pub fn quantile_of_unsorted(values: &mut [f64], share: f64) -> Option<f64> {
    let (index, part) = place(values.len(), share)?;
    let (_, low, above) = values.select_nth_unstable_by(index, f64::total_cmp);
    let high = above.iter().min_by(|a, b| a.total_cmp(b));
    Some(between(*low, high, part))
}

/// The value below a quantile, and the part of the way from there to the next.
fn place(count: usize, share: f64) -> Option<(usize, f64)> {
    let last = count.checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    Some((place.floor() as usize, place.fract()))
}

fn between(low: f64, high: Option<&f64>, part: f64) -> f64 {
    match high {
        Some(high) if part > 0.0 && high.is_infinite() => *high,
        Some(high) if part > 0.0 => low + part * (high - low),
        _ => low,
    }
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
            let mut mixed = [4.0, 1.0, 8.0, 2.0];
            assert_eq!(
                quantile_of_unsorted(&mut mixed, share),
                quantile(&sample, share)
            );
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
