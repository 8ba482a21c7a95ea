//! Fixed nodes that stand for a two-dimensional Gaussian wind, for means over what a boat does.

use std::f64::consts::PI;

/// How many nodes stand in each quarter of the plane.
const QUARTER: usize = 1024;

/// Standardised wind nodes of equal weight: (toward east, toward north) in standard deviations.
///
/// A sunflower spiral: node i of n stands at the golden angle times i and at the radius inside
/// which the Gaussian has the share (i + 1/2) / n (Vogel, Mathematical Biosciences 44, 1979, for
/// the spiral; the radius is the inverse of the Rayleigh distribution; both from memory). Equal
/// weights and no direction favoured, so that steps such as the motoring threshold are met evenly.
/// The spiral is laid four times, a quarter turn apart, which makes the first moments and the
/// cross moment nil and the two variances equal.
#[derive(Debug, Clone)]
pub(super) struct WindNodes(Vec<(f64, f64)>);

impl WindNodes {
    pub(super) fn new() -> Self {
        let golden_angle = PI * (3.0 - 5.0_f64.sqrt());
        let quarters = |index: usize| {
            let share = (index as f64 + 0.5) / QUARTER as f64;
            let radius = (-2.0 * (-share).ln_1p()).sqrt();
            let (sin, cos) = (golden_angle * index as f64).sin_cos();
            let (x, y) = (radius * cos, radius * sin);
            [(x, y), (-y, x), (-x, -y), (y, -x)]
        };
        Self((0..QUARTER).flat_map(quarters).collect())
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// The mean of `f` over the nodes.
    pub(super) fn mean(&self, mut f: impl FnMut(f64, f64) -> f64) -> f64 {
        self.0.iter().map(|&(x, y)| f(x, y)).sum::<f64>() / self.0.len() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_nodes_have_a_gaussians_moments() {
        let nodes = WindNodes::new();
        assert_abs_diff_eq!(nodes.mean(|x, _| x), 0.0, epsilon = 1e-3);
        assert_abs_diff_eq!(nodes.mean(|_, y| y), 0.0, epsilon = 1e-3);
        assert_abs_diff_eq!(nodes.mean(|x, _| x * x), 1.0, epsilon = 1e-3);
        assert_abs_diff_eq!(nodes.mean(|_, y| y * y), 1.0, epsilon = 1e-3);
        assert_abs_diff_eq!(nodes.mean(|x, y| x * y), 0.0, epsilon = 1e-3);
        // sqrt(pi / 2), the mean of a Rayleigh distribution.
        assert_abs_diff_eq!(nodes.mean(f64::hypot), 1.253_314, epsilon = 1e-3);
    }

    #[test]
    fn a_half_plane_holds_its_share_whatever_its_direction() {
        let nodes = WindNodes::new();
        // The standard normal distribution below 0.5: 0.691462 (from memory, and scipy agrees).
        for degrees in (0..360).step_by(7) {
            let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
            let share = nodes.mean(|x, y| f64::from(u8::from(x * cos + y * sin < 0.5)));
            assert_abs_diff_eq!(share, 0.691_462, epsilon = 2e-3);
        }
    }
}
