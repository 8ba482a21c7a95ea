//! The Rice distribution: the speed of a wind whose two components are Gaussian.
//!
//! With mean components of size m and one standard deviation s in each, the mean speed is
//!
//! W = s sqrt(pi/2) exp(-y) [(1 + 2 y) I0(y) + 2 y I1(y)],  y = m^2 / (4 s^2)
//!
//! (Rice, 1945, Bell System Technical Journal 24; from memory).

use std::f64::consts::FRAC_PI_2;

use super::bessel::{i0_i1_scaled, i0_scaled};

/// The standard deviation given where the data leave none: the reported mean speed is not above the vector
/// mean (noise of few reports), or it would come out smaller than this.
pub(super) const LEAST_DEVIATION_MS: f64 = 0.5;

/// The relative step at which the search for the standard deviation stops. Newton's method squares the error
/// at each step, so the error left is far below it.
const LAST_STEP: f64 = 1e-7;

/// Newton steps allowed; four are enough from the start used here.
const MOST_STEPS: usize = 30;

/// The mean speed, m/s, of a wind whose mean vector has size `vector_mean_ms` and whose components
/// each have standard deviation `s_ms`.
pub(super) fn mean_speed_ms(vector_mean_ms: f64, s_ms: f64) -> f64 {
    if s_ms <= 0.0 {
        return vector_mean_ms;
    }
    let ratio = vector_mean_ms / s_ms;
    let y = 0.25 * ratio * ratio;
    let (i0, i1) = i0_i1_scaled(y);
    s_ms * FRAC_PI_2.sqrt() * ((1.0 + 2.0 * y) * i0 + 2.0 * y * i1)
}

/// The standard deviation of each component, m/s, that gives a wind of mean vector
/// `vector_mean_ms` the mean speed `mean_speed`; `None` where none does, or where it would be
/// below [`LEAST_DEVIATION_MS`].
pub(super) fn deviation_ms(mean_speed: f64, vector_mean_ms: f64) -> Option<f64> {
    if mean_speed <= mean_speed_ms(vector_mean_ms, LEAST_DEVIATION_MS) {
        return None;
    }
    // Exact at no vector mean (s^2 = 2/pi W^2) and in the limit of a steady wind (s^2 = W^2 - m^2).
    let steadiness = vector_mean_ms / mean_speed;
    let share = FRAC_PI_2.recip() + (1.0 - FRAC_PI_2.recip()) * steadiness * steadiness;
    let excess = (mean_speed - vector_mean_ms) * (mean_speed + vector_mean_ms);
    let mut s_ms = (share * excess).sqrt();
    // The mean speed rises with the standard deviation and is convex in it, so that every step but the first
    // comes from above and cannot overshoot.
    for _ in 0..MOST_STEPS {
        let ratio = vector_mean_ms / s_ms;
        let y = 0.25 * ratio * ratio;
        let slope = FRAC_PI_2.sqrt() * i0_scaled(y);
        let step = (mean_speed_ms(vector_mean_ms, s_ms) - mean_speed) / slope;
        s_ms = (s_ms - step).max(LEAST_DEVIATION_MS);
        if step.abs() <= LAST_STEP * s_ms {
            break;
        }
    }
    Some(s_ms)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Closed forms computed once in double precision; printed to six decimals.
    const TOLERANCE_MS: f64 = 1e-6;

    #[test]
    fn mean_speed_over_s_matches_the_closed_form() {
        for (ratio, expected) in [
            (0.0, 1.253314),
            (1.0, 1.548572),
            (2.0, 2.272383),
            (3.0, 3.172577),
        ] {
            let got = mean_speed_ms(ratio, 1.0);
            assert!(
                (got - expected).abs() < TOLERANCE_MS,
                "{ratio}: {got}, expected {expected}"
            );
        }
    }

    #[test]
    fn mean_speed_matches_the_closed_form_in_ms() {
        for (mean, s, expected) in [
            (6.0, 3.0, 6.817150),
            (7.0, 2.0, 7.292596),
            (4.0, 6.0, 8.333049),
            (8.0, 4.0, 9.089534),
        ] {
            let got = mean_speed_ms(mean, s);
            assert!(
                (got - expected).abs() < TOLERANCE_MS,
                "{mean}, {s}: {got}, expected {expected}"
            );
        }
    }

    /// The rows say how they were made; the last place is lost where the standard deviation is a small part.
    #[test]
    fn standard_deviations_agree_with_scipy() {
        const TOLERANCE_MS: f64 = 1e-9;
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/fixtures/reference/climate/rice.csv"
        );
        let mut rows = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(path)
            .expect("the reference rows");
        for row in rows.deserialize() {
            let (mean, speed, expected, kind): (f64, f64, f64, String) = row.expect("a row");
            let got = deviation_ms(speed, mean);
            match kind.as_str() {
                "floor" => assert_eq!(got, None, "{mean} {speed}"),
                // Printed rounding may put a root at the least standard deviation to either side of it.
                _ => {
                    let got = got.unwrap_or(LEAST_DEVIATION_MS);
                    assert!(
                        (got - expected).abs() < TOLERANCE_MS,
                        "{mean} {speed}: {got}, expected {expected}"
                    );
                }
            }
        }
    }

    #[test]
    fn no_standard_deviation_is_found_where_the_mean_speed_leaves_none() {
        assert_eq!(deviation_ms(5.0, 5.0), None);
        assert_eq!(deviation_ms(4.0, 5.0), None);
        assert_eq!(deviation_ms(5.0 + 1e-4, 5.0), None);
        assert_eq!(deviation_ms(0.0, 0.0), None);
    }

    proptest! {
        #[test]
        fn the_standard_deviation_found_gives_the_mean_speed_back(
            ratio in 0.0..40.0f64,
            s in 0.5001..25.0f64,
        ) {
            let mean = ratio * s;
            let speed = mean_speed_ms(mean, s);
            let found = deviation_ms(speed, mean).expect("one above the least");
            prop_assert!((found - s).abs() < 1e-9 * (1.0 + ratio * ratio) * s,
                "{found}, expected {s}");
        }

        #[test]
        fn the_mean_speed_is_never_below_the_vector_mean(
            mean in 0.0..50.0f64, s in 0.01..25.0f64,
        ) {
            prop_assert!(mean_speed_ms(mean, s) >= mean * (1.0 - 1e-11));
        }
    }
}
