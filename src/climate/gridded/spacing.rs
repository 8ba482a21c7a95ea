//! Whether a grid's coordinates stand as far apart as a grid's do.

use crate::units::wrap_180_deg;

/// Steps that differ by less than this share are taken for one.
const ROUNDING: f64 = 0.01;

/// A grid is meant to be even where this share of its steps is the median one.
const EVEN_SHARE: f64 = 0.75;

/// In an even grid a step may miss the median by this share of it, for coordinates may be rounded.
const MOST_OFF: f64 = 0.25;

/// The outermost steps may miss it by more: beside a pole there may be half a step.
const MOST_OFF_AT_THE_ENDS: f64 = 0.55;

/// Fewer steps say nothing of what was meant.
const LEAST_STEPS: usize = 4;

/// Steps that differ by more than this factor are worth a word.
const UNEVEN: f64 = 1.5;

/// What is wrong with coordinates of an even grid of which some stand elsewhere, as a damaged file
/// has them; `None` where nothing is.
pub(super) fn jump(values_deg: &[f64]) -> Option<String> {
    let steps_deg = steps_deg(values_deg);
    if steps_deg.len() < LEAST_STEPS {
        return None;
    }
    let mut sorted_deg = steps_deg.clone();
    sorted_deg.sort_by(f64::total_cmp);
    let median_deg = sorted_deg[sorted_deg.len() / 2];
    let off = |step_deg: f64| (step_deg - median_deg).abs() / median_deg;
    let even = steps_deg.iter().filter(|&&step| off(step) < ROUNDING);
    if (even.count() as f64) < EVEN_SHARE * steps_deg.len() as f64 {
        return None;
    }
    let jumps = |&(at, &step_deg): &(usize, &f64)| {
        let at_an_end = at == 0 || at + 1 == steps_deg.len();
        off(step_deg)
            > if at_an_end {
                MOST_OFF_AT_THE_ENDS
            } else {
                MOST_OFF
            }
    };
    let (at, _) = steps_deg.iter().enumerate().find(jumps)?;
    Some(format!(
        "jumps from {} to {} degrees where most steps are {median_deg:.3}; expected an even grid",
        values_deg[at],
        values_deg[at + 1]
    ))
}

/// What is to be said of the spacing of `what`; `None` where it is even or nearly so.
pub(super) fn note(what: &str, values_deg: &[f64]) -> Option<String> {
    let steps_deg = steps_deg(values_deg);
    let least_deg = steps_deg.iter().copied().fold(f64::INFINITY, f64::min);
    let most_deg = steps_deg.iter().copied().fold(0.0, f64::max);
    (most_deg > UNEVEN * least_deg).then(|| {
        format!("the {what} are unevenly spaced, {least_deg:.3} to {most_deg:.3} degrees apart")
    })
}

fn steps_deg(values_deg: &[f64]) -> Vec<f64> {
    let pairs = values_deg.windows(2);
    pairs
        .map(|pair| wrap_180_deg(pair[1] - pair[0]).abs())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even() -> Vec<f64> {
        (0..20).map(|row| -38.0 + 4.0 * f64::from(row)).collect()
    }

    #[test]
    fn a_node_out_of_its_row_is_a_jump() {
        assert_eq!(jump(&even()), None);
        for (node, off_deg) in [(7, 1.1), (7, -3.9), (0, -12.0), (19, 9.0)] {
            let mut spoilt = even();
            spoilt[node] += off_deg;
            assert!(jump(&spoilt).is_some(), "{node} {off_deg}");
        }
        let mut missing = even();
        missing.remove(6);
        assert_eq!(
            jump(&missing).as_deref(),
            Some("jumps from -18 to -10 degrees where most steps are 4.000; expected an even grid")
        );
    }

    #[test]
    fn grids_as_they_are_made_do_not_jump() {
        // Over the seam, half a step at the poles, Gaussian, Mercator, and chosen by hand.
        let over_the_seam: Vec<f64> = (0..36).map(|i| wrap_180_deg(10.0 * f64::from(i))).collect();
        let poles = [-89.5, -88.0, -86.0, -84.0, -82.0, -80.0, -78.0];
        let gaussian = [88.542, 86.653, 84.753, 82.851, 80.947, 79.043];
        let mercator: Vec<f64> = (0..40)
            .map(|row| (0.05 * f64::from(row)).sinh().atan().to_degrees())
            .collect();
        let chosen = [-60.0, -52.0, -45.0, -30.0, -28.0];
        for values in [&over_the_seam[..], &poles, &gaussian, &mercator, &chosen] {
            assert_eq!(jump(values), None, "{values:?}");
        }
        assert_eq!(note("latitudes", &gaussian), None);
        assert_eq!(
            note("latitudes", &chosen).as_deref(),
            Some("the latitudes are unevenly spaced, 2.000 to 15.000 degrees apart")
        );
        assert_eq!(note("latitudes", &[3.0]), None);
    }
}
