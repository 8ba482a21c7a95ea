//! What chance decides: a member's stream of winds, and her boat's factor.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};
use statrs::distribution::{ContinuousCDF as _, Normal};

/// How many radii and how many directions a Gaussian pair may have: 2^20 pairs, each as likely as
/// the next, for 20 random bits and three loads.
const BITS: u32 = 10;
const COUNT: usize = 1 << BITS;
/// The bits a pair takes.
pub(super) const PAIR_BITS: u32 = 2 * BITS;

/// Pairs of independent standard Gaussians in polar form: the radius has a Rayleigh distribution and
/// the direction is even (Box and Muller, Annals of Mathematical Statistics 29, 1958). A radius
/// stands for the share of one in 1,024 about it, and is scaled so that the variance is 1.
pub(super) struct GaussianPairs {
    radii: [f32; COUNT],
    directions: [[f32; 2]; COUNT],
}

impl GaussianPairs {
    pub(super) fn new() -> Self {
        let share = |index: usize| (index as f64 + 0.5) / COUNT as f64;
        let radius = |index: usize| (-2.0 * (-share(index)).ln_1p()).sqrt();
        let mean_square = (0..COUNT).map(|index| radius(index).powi(2)).sum::<f64>() / COUNT as f64;
        let scale = (2.0 / mean_square).sqrt();
        Self {
            radii: std::array::from_fn(|index| (scale * radius(index)) as f32),
            directions: std::array::from_fn(|index| {
                let (sin, cos) = (std::f64::consts::TAU * share(index)).sin_cos();
                [cos as f32, sin as f32]
            }),
        }
    }

    /// The pair that the low 20 of some random bits stand for.
    #[inline(always)]
    pub(super) fn pair(&self, bits: u64) -> [f32; 2] {
        let radius = self.radii[bits as usize % COUNT];
        let [cos, sin] = self.directions[(bits >> BITS) as usize % COUNT];
        [radius * cos, radius * sin]
    }
}

/// Who a stream of winds belongs to. A member's stream depends on nothing else.
#[derive(Debug, Clone, Copy)]
pub(super) struct StreamKey<'a> {
    pub seed: u64,
    pub route: &'a str,
    /// Days from any fixed day.
    pub departure_day: i64,
}

impl StreamKey<'_> {
    /// The stream of a member's winds.
    pub(super) fn stream(&self, member: u64) -> Winds {
        self.stream_of(&[member])
    }

    /// The stream of the errors of the forecast that a member looks at when she has waited for so many
    /// days before a stage.
    pub(super) fn forecast_errors(&self, member: u64, stage: usize, waited_days: usize) -> Winds {
        self.stream_of(&[member, stage as u64, waited_days as u64])
    }

    fn stream_of(&self, words: &[u64]) -> Winds {
        let mut mix = self.seed;
        let mut absorb = |word: u64| {
            mix = Xoshiro256PlusPlus::seed_from_u64(mix ^ word).next_u64();
        };
        for chunk in self.route.as_bytes().chunks(7) {
            absorb(
                chunk
                    .iter()
                    .fold(1, |word, byte| word << 8 | u64::from(*byte)),
            );
        }
        absorb(self.departure_day as u64);
        for word in words {
            absorb(*word);
        }
        Winds(Xoshiro256PlusPlus::seed_from_u64(mix))
    }
}

/// A member's stream of random bits.
#[derive(Debug, Clone)]
pub(super) struct Winds(Xoshiro256PlusPlus);

impl Winds {
    /// The next 64 bits: enough for three pairs.
    #[inline(always)]
    pub(super) fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }
}

/// Bounds of a boat factor, as multiples of the boat's own.
const FACTORS: [f64; 2] = [0.5, 1.5];

/// The factor on a member's boat: normal about 1, one for the whole passage, the same on every route.
///
/// The members' factors are spread evenly over the distribution (a Weyl sequence with the golden
/// ratio, from memory), which leaves the percentiles of days less to chance than independent draws.
pub(super) fn boat_factor(seed: u64, member: u64, standard_deviation: f64) -> f64 {
    if standard_deviation <= 0.0 {
        return 1.0;
    }
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let start = Xoshiro256PlusPlus::seed_from_u64(seed).next_u64() >> 11;
    let start = start as f64 / (1_u64 << 53) as f64;
    let share = (start + GOLDEN * (member as f64 + 1.0)).fract();
    let normal = Normal::standard();
    let deviation = normal.inverse_cdf(share.clamp(1e-9, 1.0 - 1e-9));
    (1.0 + standard_deviation * deviation).clamp(FACTORS[0], FACTORS[1])
}

/// Puts factors in another order, the same for the same seed and name (Fisher and Yates, from memory).
pub(super) fn deal(factors: &mut [f64], seed: u64, name: &str) {
    let key = StreamKey {
        seed,
        route: name,
        departure_day: 0,
    };
    let mut stream = key.stream(u64::MAX);
    for last in (1..factors.len()).rev() {
        let share = u128::from(stream.bits()) * (last as u128 + 1);
        factors.swap(last, (share >> 64) as usize);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_are_dealt_anew_by_name_and_none_is_lost() {
        let drawn: Vec<f64> = (0..2000)
            .map(|member| boat_factor(1, member, 0.11))
            .collect();
        let dealt = |name: &str| {
            let mut factors = drawn.clone();
            deal(&mut factors, 1, name);
            factors
        };
        let (one, other) = (dealt("Petrel"), dealt("Gannet"));
        assert_eq!(one, dealt("Petrel"));
        let sorted = |mut factors: Vec<f64>| {
            factors.sort_by(f64::total_cmp);
            factors
        };
        assert_eq!(sorted(one.clone()), sorted(drawn.clone()));
        // Of 2,000 pairs that have nothing to do with one another the correlation has a standard error
        // of 0.022; four of them.
        let correlation = |a: &[f64], b: &[f64]| {
            let pairs = a.iter().zip(b);
            pairs.map(|(a, b)| (a - 1.0) * (b - 1.0)).sum::<f64>() / (2000.0 * 0.11 * 0.11)
        };
        assert!(correlation(&one, &other).abs() < 0.09);
        assert!(correlation(&one, &drawn).abs() < 0.09);
    }

    #[test]
    fn pairs_have_a_gaussians_moments_and_tails() {
        let pairs = GaussianPairs::new();
        let mut winds = StreamKey {
            seed: 3,
            route: "Trades",
            departure_day: 7,
        }
        .stream(0);
        const DRAWS: usize = 400_000;
        let (mut sum, mut square, mut fourth, mut cross, mut beyond) = (0.0, 0.0, 0.0, 0.0, 0);
        for _ in 0..DRAWS {
            let [x, y] = pairs.pair(winds.bits()).map(f64::from);
            sum += x;
            square += x * x;
            fourth += x.powi(4);
            cross += x * y;
            beyond += usize::from(x > 2.0);
        }
        let mean = |sum: f64| sum / DRAWS as f64;
        // Four standard errors each; a Gaussian's fourth moment is 3, and 2.275 % lie beyond 2.
        approx::assert_abs_diff_eq!(mean(sum), 0.0, epsilon = 0.007);
        approx::assert_abs_diff_eq!(mean(square), 1.0, epsilon = 0.009);
        approx::assert_abs_diff_eq!(mean(fourth), 3.0, epsilon = 0.07);
        approx::assert_abs_diff_eq!(mean(cross), 0.0, epsilon = 0.007);
        approx::assert_abs_diff_eq!(mean(beyond as f64), 0.02275, epsilon = 0.001);
    }

    #[test]
    fn streams_differ_by_seed_route_departure_and_member() {
        let first = |seed, route, departure_day, member| {
            let key = StreamKey {
                seed,
                route,
                departure_day,
            };
            key.stream(member).bits()
        };
        let one = first(1, "Trades", 10, 0);
        assert_eq!(one, first(1, "Trades", 10, 0));
        for other in [
            first(2, "Trades", 10, 0),
            first(1, "Direct", 10, 0),
            first(1, "Trades", 11, 0),
            first(1, "Trades", 10, 1),
        ] {
            assert_ne!(one, other);
        }
    }

    #[test]
    fn forecasts_err_by_themselves() {
        let key = StreamKey {
            seed: 1,
            route: "Trades",
            departure_day: 10,
        };
        let mut firsts = vec![key.stream(0).bits(), key.stream(1).bits()];
        for (member, stage, waited_days) in [(0, 0, 0), (0, 0, 1), (0, 1, 0), (1, 0, 0)] {
            firsts.push(key.forecast_errors(member, stage, waited_days).bits());
        }
        let before = firsts.len();
        firsts.sort_unstable();
        firsts.dedup();
        assert_eq!(firsts.len(), before);
    }

    #[test]
    fn factors_are_normal_about_one_and_the_same_whatever_the_count() {
        let factors: Vec<f64> = (0..2000)
            .map(|member| boat_factor(1, member, 0.11))
            .collect();
        let mean = factors.iter().sum::<f64>() / 2000.0;
        let square = factors
            .iter()
            .map(|factor| (factor - mean).powi(2))
            .sum::<f64>()
            / 2000.0;
        approx::assert_abs_diff_eq!(mean, 1.0, epsilon = 1e-3);
        approx::assert_abs_diff_eq!(square.sqrt(), 0.11, epsilon = 1e-3);
        assert_eq!(boat_factor(1, 5, 0.0), 1.0);
        assert!(factors.iter().all(|factor| (0.5..=1.5).contains(factor)));
    }
}
