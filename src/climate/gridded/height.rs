//! Winds of another height than 10 m.

use crate::climate::grid::HeightScaling;
use crate::climate::source::SourceOptions;
use crate::units::OutOfRange;

/// The height a wind is taken for where nothing is said.
pub(in crate::climate) const STANDARD_HEIGHT_M: f64 = 10.0;

/// Roughness length of the open sea, m (common practice, no source).
const ROUGHNESS_M: f64 = 0.0002;

/// What brings winds of a height to 10 m; `None` where they are of it already.
pub(in crate::climate) fn scaling_from(height_m: f64) -> Result<Option<HeightScaling>, OutOfRange> {
    let height_m = SourceOptions::WIND_HEIGHT.check(height_m)?;
    Ok((height_m != STANDARD_HEIGHT_M).then(|| HeightScaling {
        from_height_m: height_m,
        factor: factor_to_10_m(height_m),
    }))
}

/// The neutral logarithmic profile: ln(10 m / z0) / ln(z / z0) (common practice, no source).
fn factor_to_10_m(height_m: f64) -> f64 {
    (STANDARD_HEIGHT_M / ROUGHNESS_M).ln() / (height_m / ROUGHNESS_M).ln()
}

/// What to say about a wind that was brought to 10 m.
pub(in crate::climate) fn height_note(variable: &str, scaling: HeightScaling) -> String {
    let HeightScaling {
        from_height_m,
        factor,
    } = scaling;
    format!(
        "'{variable}' is for {from_height_m} m; brought to 10 m by the factor {factor:.3} (neutral \
         logarithmic profile)"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twenty_metres_to_ten_is_0_940() {
        assert!((factor_to_10_m(20.0) - 0.940).abs() < 5e-4);
        assert_eq!(factor_to_10_m(10.0), 1.0);
    }
}
