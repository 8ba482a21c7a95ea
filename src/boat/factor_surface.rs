//! Factors on a polar that bend smoothly over wind speed and angle.

use nalgebra::DMatrix;

use super::polar::{Polar, bracket};

/// Where the surface has a value of its own, one for each part of the polar; between them its
/// logarithm is bilinear, beyond them level.
const WIND_KNOTS_KN: [f64; 5] = [6.0, 10.0, 15.0, 21.0, 28.0];
const ANGLE_KNOTS_DEG: [f64; 4] = [45.0, 85.0, 130.0, 170.0];
/// The parts' bounds between the knots.
const WIND_BOUNDS_KN: [f64; 4] = [8.0, 13.0, 18.0, 24.0];
const ANGLE_BOUNDS_DEG: [f64; 3] = [60.0, 110.0, 150.0];
/// How many values it has.
pub(super) const PARTS: usize = WIND_KNOTS_KN.len() * ANGLE_KNOTS_DEG.len();

/// What is held of a factor before a log is read, as standard deviations of its logarithm: of the
/// boat as a whole, and of one part of the polar beside the whole. Neighbouring parts share
/// `exp(-1/2)` of the latter (common practice, no source).
const WHOLE_SD: f64 = 0.25;
const PART_SD: f64 = 0.15;
const STEPS_OF_MEMORY: f64 = 2.0;

/// The bounds of a part: wind speeds and angles, each from and to; the last wind class is open.
pub(super) struct PartBounds {
    pub(super) winds_kn: (f64, Option<f64>),
    pub(super) angles_deg: (f64, f64),
}

/// The bounds of the part that a value of the surface stands for.
pub(super) fn part_bounds(part: usize) -> PartBounds {
    let (wind, angle) = (part / ANGLE_KNOTS_DEG.len(), part % ANGLE_KNOTS_DEG.len());
    let from = |bounds: &[f64], at: usize| if at == 0 { 0.0 } else { bounds[at - 1] };
    PartBounds {
        winds_kn: (
            from(&WIND_BOUNDS_KN, wind),
            WIND_BOUNDS_KN.get(wind).copied(),
        ),
        angles_deg: (
            from(&ANGLE_BOUNDS_DEG, angle),
            *ANGLE_BOUNDS_DEG.get(angle).unwrap_or(&180.0),
        ),
    }
}

/// The part that a wind belongs to.
pub(super) fn part_of(true_wind_speed_kn: f64, true_wind_angle_deg: f64) -> usize {
    let wind = WIND_BOUNDS_KN.partition_point(|&bound| bound <= true_wind_speed_kn);
    let angle = ANGLE_BOUNDS_DEG.partition_point(|&bound| bound <= true_wind_angle_deg);
    wind * ANGLE_KNOTS_DEG.len() + angle
}

/// The polar with its speeds multiplied by the exponential of the surface.
pub(super) fn bent(prior: &Polar, log_factors: &[f64]) -> Polar {
    prior.adjusted(
        &WIND_KNOTS_KN,
        &ANGLE_KNOTS_DEG,
        |wind_kn, angle_deg, speed_kn| speed_kn * at(log_factors, wind_kn, angle_deg).exp(),
    )
}

fn at(log_factors: &[f64], wind_kn: f64, angle_deg: f64) -> f64 {
    let place =
        |knots: &[f64], value: f64| bracket(knots, value.clamp(knots[0], knots[knots.len() - 1]));
    let (wind, wind_share) = place(&WIND_KNOTS_KN, wind_kn);
    let (angle, share) = place(&ANGLE_KNOTS_DEG, angle_deg);
    let in_row = |row: usize| {
        let value = |column: usize| log_factors[row * ANGLE_KNOTS_DEG.len() + column];
        value(angle) + share * (value(angle + 1) - value(angle))
    };
    in_row(wind) + wind_share * (in_row(wind + 1) - in_row(wind))
}

/// The covariance of the surface's values before a log is read.
pub(super) fn prior_covariance() -> DMatrix<f64> {
    DMatrix::from_fn(PARTS, PARTS, |one, other| {
        let columns = ANGLE_KNOTS_DEG.len();
        let steps =
            (one / columns).abs_diff(other / columns) + (one % columns).abs_diff(other % columns);
        WHOLE_SD * WHOLE_SD + PART_SD * PART_SD * (-(steps as f64) / STEPS_OF_MEMORY).exp()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_knot_lies_in_its_own_part() {
        for part in 0..PARTS {
            let (wind, angle) = (part / ANGLE_KNOTS_DEG.len(), part % ANGLE_KNOTS_DEG.len());
            assert_eq!(part_of(WIND_KNOTS_KN[wind], ANGLE_KNOTS_DEG[angle]), part);
            let bounds = part_bounds(part);
            assert_eq!(part_of(bounds.winds_kn.0, bounds.angles_deg.0), part);
        }
    }

    #[test]
    fn the_surface_is_level_beyond_its_knots_and_bends_between() {
        let mut log_factors = [0.0; PARTS];
        log_factors[0] = 0.2;
        assert_eq!(at(&log_factors, 0.0, 20.0), 0.2);
        approx::assert_abs_diff_eq!(at(&log_factors, 8.0, 65.0), 0.05, epsilon = 1e-12);
        assert_eq!(at(&log_factors, 60.0, 180.0), 0.0);
    }
}
