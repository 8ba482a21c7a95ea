//! Standard Gaussians from random bits by a table of quantiles.
//!
//! Inversion (Devroye, Non-Uniform Random Variate Generation, 1986, chapter II.2; from memory):
//! twelve bits choose one of 4,096 slices of equal chance, and the slice's own mean stands for it,
//! so that no step costs more than a look-up. What is lost within the slices' width is put back by
//! one factor that makes the variance one. The winds are sums of many such draws, each a fraction
//! of a standard deviation, so the table's grain and its end near 3.6 are not seen in them.

use statrs::distribution::{Continuous as _, ContinuousCDF as _, Normal};

const BITS: u32 = 12;
const SLICES: usize = 1 << BITS;

/// Each slice's mean.
#[derive(Debug, Clone)]
pub(super) struct GaussianTable(Box<[f32; SLICES]>);

impl GaussianTable {
    pub(super) fn new() -> Self {
        let normal = Normal::standard();
        // The mean of a slice is the fall of the density over it, divided by its chance.
        let density = |slice: usize| {
            let share = slice as f64 / SLICES as f64;
            if slice.is_multiple_of(SLICES) {
                0.0
            } else {
                normal.pdf(normal.inverse_cdf(share))
            }
        };
        let mean = |slice: usize| SLICES as f64 * (density(slice) - density(slice + 1));
        let variance = (0..SLICES).map(|slice| mean(slice).powi(2)).sum::<f64>() / SLICES as f64;
        let scale = variance.sqrt().recip();
        let mut table = Box::new([0.0; SLICES]);
        for (slice, entry) in table.iter_mut().enumerate() {
            *entry = (scale * mean(slice)) as f32;
        }
        Self(table)
    }

    /// Two Gaussians from 32 random bits.
    #[inline(always)]
    pub(super) fn pair(&self, bits: u32) -> [f32; 2] {
        [bits >> (32 - BITS), bits >> (16 - BITS)].map(|bits| self.0[bits as usize & (SLICES - 1)])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::Xoshiro128PlusPlus;
    use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};

    /// Exceeded by a true sample once in a thousand: 1.949 / sqrt(n) (from memory).
    const CRITICAL: f64 = 1.949;

    /// The largest distance between a sample's distribution and the standard Gaussian's.
    fn distance(mut sample: Vec<f64>) -> f64 {
        sample.sort_by(f64::total_cmp);
        let normal = Normal::standard();
        let count = sample.len() as f64;
        let distances = sample.iter().enumerate().map(|(index, z)| {
            let (below, share) = (index as f64 / count, normal.cdf(*z));
            (share - below)
                .abs()
                .max((share - below - 1.0 / count).abs())
        });
        distances.fold(0.0, f64::max)
    }

    #[test]
    fn a_sample_is_gaussian_by_kolmogorov_and_smirnov() {
        const PAIRS: usize = 100_000;
        let table = GaussianTable::new();
        let mut bits = Xoshiro128PlusPlus::seed_from_u64(3);
        let pairs = (0..PAIRS).flat_map(|_| table.pair(bits.next_u32()));
        let worst = distance(pairs.map(f64::from).collect());
        assert!(
            worst < CRITICAL / (2.0 * PAIRS as f64).sqrt(),
            "largest distance {worst}"
        );
    }

    #[test]
    fn a_persistent_wind_is_gaussian_far_out_too() {
        const COUNT: usize = 40_000;
        const MEMORY: f64 = 0.92;
        let table = GaussianTable::new();
        let mut bits = Xoshiro128PlusPlus::seed_from_u64(4);
        let (mut z, mut sample) = (0.0, Vec::new());
        // A value every hundred steps, which are as good as independent: 0.92^100 is 0.0002.
        for step in 0..COUNT * 100 {
            let [fresh, _] = table.pair(bits.next_u32());
            z = MEMORY * z + (1.0 - MEMORY * MEMORY).sqrt() * f64::from(fresh);
            if step % 100 == 99 {
                sample.push(z);
            }
        }
        let beyond = sample.iter().filter(|z| z.abs() > 3.0).count() as f64 / COUNT as f64;
        // 0.0027 of a Gaussian lies beyond three standard deviations (from memory).
        approx::assert_abs_diff_eq!(beyond, 0.0027, epsilon = 0.001);
        let worst = distance(sample);
        assert!(
            worst < CRITICAL / (COUNT as f64).sqrt(),
            "largest distance {worst}"
        );
    }

    #[test]
    fn the_variance_is_one_and_the_fourth_moment_near_three() {
        let table = GaussianTable::new();
        let moment = |power| {
            table
                .0
                .iter()
                .map(|z| f64::from(*z).powi(power))
                .sum::<f64>()
                / SLICES as f64
        };
        approx::assert_abs_diff_eq!(moment(1), 0.0, epsilon = 1e-6);
        approx::assert_abs_diff_eq!(moment(2), 1.0, epsilon = 1e-6);
        approx::assert_abs_diff_eq!(moment(4), 3.0, epsilon = 0.03);
    }
}
