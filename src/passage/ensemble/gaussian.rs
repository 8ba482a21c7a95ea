//! Pairs of standard Gaussians from random bits by a table of quantiles.
//!
//! Inversion (Devroye, Non-Uniform Random Variate Generation, 1986, chapter II.2; from memory):
//! twelve bits choose one of 4,096 slices of equal chance, and the slice's own mean stands for it.
//! What is lost within the slices' width is put back by one factor that makes the variance one.
//!
//! One look-up gives both Gaussians of a pair: the first by slice i, the second by slice g i of the
//! same slices. The points (i, g i) are a lattice of good quality (Korobov; Niederreiter, Random
//! Number Generation and Quasi-Monte Carlo Methods, 1992, chapter 5; from memory), spread evenly
//! over the square. The winds are sums of many such draws, each a fraction of a standard deviation,
//! so the table's grain and its end near 3.6 are not seen in them.

use statrs::distribution::{Continuous as _, ContinuousCDF as _, Normal};

const BITS: u32 = 12;
const SLICES: usize = 1 << BITS;
/// Takes a slice to the one of its partner. Odd, so that every slice is a partner once; of the odd
/// numbers from 1001 to 3099 the one whose points are nearest to Gaussian in speed and in angle.
const PARTNER: usize = 2547;
/// Puts the lattice in the middle, so that it is the same seen from either end.
const PARTNER_SHIFT: usize = (PARTNER - 1) / 2;

/// A pair is two whole numbers of 16 bits in one word, in steps of 1/8192.
const STEPS: f64 = 8192.0;
/// What the numbers of [`GaussianTable::pair`] are counted in.
pub(super) const PAIR_UNIT: f32 = 1.0 / (65_536.0 * STEPS as f32);

/// Each slice's pair.
#[derive(Debug, Clone)]
pub(super) struct GaussianTable(Box<[u32; SLICES]>);

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
        let means: Vec<f64> = (0..SLICES)
            .map(|slice| SLICES as f64 * (density(slice) - density(slice + 1)))
            .collect();
        let variance = means.iter().map(|mean| mean * mean).sum::<f64>() / SLICES as f64;
        let scale = STEPS / variance.sqrt();
        let packed = |slice: usize| u32::from((scale * means[slice]).round() as i16 as u16);
        let mut table = Box::new([0; SLICES]);
        for (slice, entry) in table.iter_mut().enumerate() {
            let partner = (slice * PARTNER + PARTNER_SHIFT) % SLICES;
            *entry = packed(slice) << 16 | packed(partner);
        }
        Self(table)
    }

    /// The word of two Gaussians from the low bits of `bits`, for [`GaussianTable::pair`].
    #[inline(always)]
    pub(super) fn word(&self, bits: u16) -> u32 {
        self.0[usize::from(bits) & (SLICES - 1)]
    }

    /// The two Gaussians in a word, in [`PAIR_UNIT`]s.
    #[inline(always)]
    pub(super) fn pair(word: u32) -> [f32; 2] {
        [word & 0xffff_0000, word << 16].map(|part| part as i32 as f32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::Xoshiro128PlusPlus;
    use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};

    /// Exceeded by a true sample once in a thousand: 1.949 / sqrt(n) (from memory).
    const CRITICAL: f64 = 1.949;

    /// The two Gaussians that the low bits of `bits` choose.
    fn drawn(table: &GaussianTable, bits: u32) -> [f32; 2] {
        GaussianTable::pair(table.word(bits as u16)).map(|part| part * PAIR_UNIT)
    }

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
        let pairs = (0..PAIRS).flat_map(|_| drawn(&table, bits.next_u32()));
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
            let [fresh, _] = drawn(&table, bits.next_u32());
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
        for part in 0..2 {
            let moment = |power| {
                let slices = 0..SLICES as u32;
                slices
                    .map(|slice| f64::from(drawn(&table, slice)[part]).powi(power))
                    .sum::<f64>()
                    / SLICES as f64
            };
            approx::assert_abs_diff_eq!(moment(1), 0.0, epsilon = 1e-6);
            approx::assert_abs_diff_eq!(moment(2), 1.0, epsilon = 1e-6);
            approx::assert_abs_diff_eq!(moment(4), 3.0, epsilon = 0.03);
        }
    }

    /// The speed of a pair has a Rayleigh distribution, 1 - exp(-r²/2), and its angle is even.
    #[test]
    fn the_two_of_a_pair_are_independent() {
        /// How far the share of points in a region may be from the region's chance.
        const SHARE: f64 = 0.002;
        let table = GaussianTable::new();
        let points: Vec<[f64; 2]> = (0..SLICES as u32)
            .map(|slice| drawn(&table, slice).map(f64::from))
            .collect();
        let mean = |value: &dyn Fn(&[f64; 2]) -> f64| {
            points.iter().map(value).sum::<f64>() / SLICES as f64
        };
        approx::assert_abs_diff_eq!(mean(&|[x, y]| x * y), 0.0, epsilon = 0.003);
        approx::assert_abs_diff_eq!(mean(&|[x, y]| x * x * y * y), 1.0, epsilon = 0.01);
        for tenth in 1..35 {
            let radius = f64::from(tenth) / 10.0;
            let within = mean(&|[x, y]| f64::from(u8::from(x.hypot(*y) < radius)));
            let chance = 1.0 - (-radius * radius / 2.0).exp();
            approx::assert_abs_diff_eq!(within, chance, epsilon = SHARE);
        }
        for degrees in (5..360).step_by(5) {
            let turn = f64::from(degrees);
            let within = mean(&|[x, y]| {
                let angle = y.atan2(*x).to_degrees().rem_euclid(360.0);
                f64::from(u8::from(angle < turn))
            });
            approx::assert_abs_diff_eq!(within, turn / 360.0, epsilon = SHARE);
        }
    }
}
