//! Many xoshiro128++ generators side by side, one a member.
//!
//! Blackman and Vigna, "Scrambled linear pseudorandom number generators", ACM Transactions on
//! Mathematical Software 47, 2021. The recurrence stands here, and not in a call to the rand
//! family, so that the compiler can run lanes of it at once; a test holds it to `rand_xoshiro`.

/// The four words of state of `LANES` generators, word by word.
#[derive(Debug, Clone)]
pub(super) struct Generators<const LANES: usize>([[u32; LANES]; 4]);

/// Who a stream belongs to. A member's stream depends on nothing else.
#[derive(Debug, Clone, Copy)]
pub(super) struct StreamKey<'a> {
    pub seed: u64,
    pub route: &'a str,
    /// Days from 1 January of year 1 or any other fixed day.
    pub departure_day: i64,
}

impl StreamKey<'_> {
    /// The member's four words, never all zero.
    pub(super) fn words(&self, member: u32) -> [u32; 4] {
        let mut mix = self.seed;
        let mut absorb = |word: u64| mix = split_mix(mix ^ word);
        for byte in self.route.bytes() {
            absorb(u64::from(byte) + 1);
        }
        absorb(self.departure_day as u64);
        absorb(u64::from(member));
        let (first, second) = (split_mix(mix), split_mix(mix ^ 0x5851_f42d_4c95_7f2d));
        [
            first as u32,
            (first >> 32) as u32,
            second as u32 | 1,
            (second >> 32) as u32,
        ]
    }
}

/// One step of `SplitMix64` (Steele, Lea and Flood, OOPSLA 2014), which spreads keys that differ
/// little over all 64 bits.
fn split_mix(word: u64) -> u64 {
    let mut z = word.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

impl<const LANES: usize> Generators<LANES> {
    pub(super) fn new() -> Self {
        Self([[1; LANES]; 4])
    }

    pub(super) fn set(&mut self, lane: usize, words: [u32; 4]) {
        for (state, word) in self.0.iter_mut().zip(words) {
            state[lane] = word;
        }
    }

    /// Gives lane `to` the state of lane `from`.
    pub(super) fn move_lane(&mut self, from: usize, to: usize) {
        for state in &mut self.0 {
            state[to] = state[from];
        }
    }

    /// The next 32 bits of every lane below `count`.
    #[inline(always)]
    pub(super) fn fill(&mut self, bits: &mut [u32; LANES], count: usize) {
        let [s0, s1, s2, s3] = &mut self.0;
        for lane in 0..count.min(LANES) {
            let (a, b, c, d) = (s0[lane], s1[lane], s2[lane], s3[lane]);
            bits[lane] = a.wrapping_add(d).rotate_left(7).wrapping_add(a);
            let c = c ^ a;
            let d = d ^ b;
            s1[lane] = b ^ c;
            s0[lane] = a ^ d;
            s2[lane] = c ^ (b << 9);
            s3[lane] = d.rotate_left(11);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::Xoshiro128PlusPlus;
    use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};

    #[test]
    fn every_lane_is_xoshiro128_plus_plus() {
        let key = StreamKey {
            seed: 7,
            route: "Trades",
            departure_day: 20_000,
        };
        let mut lanes = Generators::<8>::new();
        let mut published: Vec<_> = (0..8)
            .map(|member| {
                let words = key.words(member);
                lanes.set(member as usize, words);
                let mut seed = [0; 16];
                for (bytes, word) in seed.chunks_exact_mut(4).zip(words) {
                    bytes.copy_from_slice(&word.to_le_bytes());
                }
                Xoshiro128PlusPlus::from_seed(seed)
            })
            .collect();
        let mut bits = [0; 8];
        for _ in 0..1000 {
            lanes.fill(&mut bits, 8);
            let expected: Vec<u32> = published.iter_mut().map(|lane| lane.next_u32()).collect();
            assert_eq!(bits.as_slice(), expected);
        }
    }

    #[test]
    fn each_part_of_the_key_changes_the_stream() {
        let key = StreamKey {
            seed: 1,
            route: "A",
            departure_day: 5,
        };
        let words = key.words(3);
        assert_ne!(words, key.words(4));
        assert_ne!(words, StreamKey { seed: 2, ..key }.words(3));
        assert_ne!(words, StreamKey { route: "B", ..key }.words(3));
        assert_ne!(
            words,
            StreamKey {
                departure_day: 6,
                ..key
            }
            .words(3)
        );
    }
}
