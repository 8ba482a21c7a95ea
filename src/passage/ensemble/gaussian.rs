//! Standard Gaussians from 32 random bits by a table of quantiles.
//!
//! Inversion (Devroye, Non-Uniform Random Variate Generation, 1986, chapter II.2; from memory):
//! one bit is the sign, ten choose one of 1,024 slices of equal chance of the half Gaussian, the
//! rest the place within the slice. The quantile is taken as straight within a slice; the last
//! slice, 3.30 standard deviations and beyond, is given the length that makes the variance one.

use statrs::distribution::{ContinuousCDF as _, Normal};

const SLICES: usize = 1024;
const PLACE_BITS: u32 = 21;
const PLACE_STEP: f32 = 1.0 / (1_u32 << PLACE_BITS) as f32;

/// Each slice's low end and length.
#[derive(Debug, Clone)]
pub(super) struct GaussianTable([[f32; 2]; SLICES]);

impl GaussianTable {
    pub(super) fn new() -> Self {
        let normal = Normal::standard();
        let ends: Vec<f64> = (0..SLICES)
            .map(|slice| normal.inverse_cdf(0.5 + 0.5 * slice as f64 / SLICES as f64))
            .collect();
        // The mean square over a straight slice from a to b is (a² + ab + b²) / 3.
        let mean_square = |a: f64, b: f64| (a * a + a * b + b * b) / 3.0;
        let inner: f64 = ends
            .windows(2)
            .map(|ends| mean_square(ends[0], ends[1]))
            .sum();
        let (low, wanted) = (ends[SLICES - 1], SLICES as f64 - inner);
        let high = 0.5 * (-low + (12.0 * wanted - 3.0 * low * low).sqrt());

        let mut table = [[0.0; 2]; SLICES];
        for (slice, entry) in table.iter_mut().enumerate() {
            let end = ends.get(slice + 1).copied().unwrap_or(high);
            *entry = [ends[slice] as f32, (end - ends[slice]) as f32];
        }
        Self(table)
    }

    #[inline(always)]
    pub(super) fn gaussian(&self, bits: u32) -> f32 {
        let [low, length] = self.0[(bits >> PLACE_BITS) as usize & (SLICES - 1)];
        let place = (bits & ((1 << PLACE_BITS) - 1)) as f32 * PLACE_STEP;
        let magnitude = low + length * place;
        f32::from_bits(magnitude.to_bits() | (bits & 0x8000_0000))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::Xoshiro128PlusPlus;
    use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};

    #[test]
    fn the_sample_is_gaussian_by_kolmogorov_and_smirnov() {
        const COUNT: usize = 200_000;
        /// Exceeded by a true sample once in a thousand: 1.949 / sqrt(n) (from memory).
        const CRITICAL: f64 = 1.949;
        let table = GaussianTable::new();
        let mut bits = Xoshiro128PlusPlus::seed_from_u64(3);
        let mut sample: Vec<f64> = (0..COUNT)
            .map(|_| f64::from(table.gaussian(bits.next_u32())))
            .collect();
        sample.sort_by(f64::total_cmp);
        let normal = Normal::standard();
        let worst = sample
            .iter()
            .enumerate()
            .map(|(index, z)| {
                let (below, share) = (index as f64 / COUNT as f64, normal.cdf(*z));
                (share - below)
                    .abs()
                    .max((share - below - 1.0 / COUNT as f64).abs())
            })
            .fold(0.0, f64::max);
        assert!(
            worst < CRITICAL / (COUNT as f64).sqrt(),
            "largest distance {worst}"
        );
    }

    #[test]
    fn the_variance_is_one_and_the_fourth_moment_three() {
        let table = GaussianTable::new();
        // Every slice at 64 places, sign by sign: the whole distribution, not a sample.
        let (mut second, mut fourth) = (0.0_f64, 0.0_f64);
        for slice in 0..SLICES as u32 {
            for place in 0..64_u32 {
                let bits =
                    slice << PLACE_BITS | (place << (PLACE_BITS - 6)) | 1 << (PLACE_BITS - 7);
                let z = f64::from(table.gaussian(bits));
                second += z * z;
                fourth += z.powi(4);
            }
        }
        let count = (SLICES * 64) as f64;
        approx::assert_abs_diff_eq!(second / count, 1.0, epsilon = 1e-5);
        approx::assert_abs_diff_eq!(fourth / count, 3.0, epsilon = 0.01);
    }
}
