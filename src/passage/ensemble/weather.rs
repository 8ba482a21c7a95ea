//! The wind's departure from its mean, as a member meets it: an Ornstein-Uhlenbeck process in two parts.

use super::draws::{GaussianPairs, PAIR_BITS, Winds};
use super::options::EnsembleOptions;
use super::steps::DAY_STEPS;

/// How much of each part of the wind is left after its step, and how much is fresh then.
#[derive(Debug, Clone, Copy)]
pub(super) struct Memory {
    /// Of the fast part after three hours, where the climate has not measured it.
    fast: [f32; 2],
    /// Of the slow part after a day.
    slow: [f32; 2],
}

impl Memory {
    pub fn new(options: &EnsembleOptions) -> Self {
        let slow = (-24.0 / options.slow_hours).exp() as f32;
        Self {
            fast: options.kept_and_fresh(f64::NAN),
            slow: [slow, (1.0 - slow * slow).sqrt()],
        }
    }
}

/// A wind's departure from its mean, and the stream that changes it.
#[derive(Debug, Clone)]
pub(super) struct Weather {
    winds: Winds,
    bits: u64,
    /// The fast and the slow part, toward the east and the north, in standard deviations.
    pub fast: [f32; 2],
    pub slow: [f32; 2],
    /// How much of the fast part is left after this step, and how much is fresh then.
    pub kept: [f32; 2],
}

impl Weather {
    /// Any weather, for a first step that begins a day.
    pub fn new(mut winds: Winds, pairs: &GaussianPairs, memory: Memory) -> Self {
        let bits = winds.bits();
        Self {
            fast: pairs.pair(bits),
            slow: pairs.pair(bits >> PAIR_BITS),
            kept: memory.fast,
            winds,
            bits,
        }
    }

    /// Any weather, for a first step at any time of the day.
    pub fn at_any_step(winds: Winds, pairs: &GaussianPairs, memory: Memory) -> Self {
        let mut weather = Self::new(winds, pairs, memory);
        weather.bits = weather.winds.bits();
        weather
    }

    /// Weather that remembers nothing of this one.
    pub fn anew(&self, pairs: &GaussianPairs, memory: Memory) -> Self {
        Self::at_any_step(self.winds.clone(), pairs, memory)
    }

    /// The next step: what is left of it, and a fresh part. `step` is its number in its day.
    #[inline(always)]
    pub fn change(&mut self, step: usize, pairs: &GaussianPairs, memory: Memory) {
        // One draw is enough for three pairs: nine a day.
        if step.is_multiple_of(3) {
            self.bits = self.winds.bits();
        }
        let pair = pairs.pair(self.bits);
        step_wind(&mut self.fast, self.kept, pair);
        self.bits >>= PAIR_BITS;
        if step == DAY_STEPS - 1 {
            let pair = pairs.pair(self.bits);
            step_wind(&mut self.slow, memory.slow, pair);
        }
    }

    /// A day in harbour, from the step with this number.
    pub fn change_for_a_day(&mut self, step: usize, pairs: &GaussianPairs, memory: Memory) {
        for step in step..step + DAY_STEPS {
            self.change(step % DAY_STEPS, pairs, memory);
        }
    }

    /// This weather as a forecast of some skill (correlation) has it, whose own error is `error`.
    pub fn forecast(&self, skill: f32, error: &Self) -> [[f32; 2]; 2] {
        let wrong = (1.0 - skill * skill).sqrt();
        let mixed = |truth: [f32; 2], error: [f32; 2]| {
            [0, 1].map(|part| skill * truth[part] + wrong * error[part])
        };
        [mixed(self.fast, error.fast), mixed(self.slow, error.slow)]
    }
}

/// An Ornstein-Uhlenbeck process in two independent components: z(t + dt) = k z(t) + sqrt(1 - k²) e.
#[inline(always)]
fn step_wind(parts: &mut [f32; 2], [kept, fresh]: [f32; 2], pair: [f32; 2]) {
    parts[0] = kept * parts[0] + fresh * pair[0];
    parts[1] = kept * parts[1] + fresh * pair[1];
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::passage::ensemble::draws::StreamKey;

    #[test]
    fn a_forecast_has_the_correlation_it_is_given_and_scatters_as_the_wind_does() {
        let pairs = GaussianPairs::new();
        let memory = Memory::new(&EnsembleOptions::default());
        let key = StreamKey {
            seed: 5,
            route: "Trades",
            departure_day: 9,
        };
        let mut truth = Weather::new(key.stream(0), &pairs, memory);
        let mut error = Weather::at_any_step(key.forecast_errors(0, 0, 0), &pairs, memory);
        const SKILL: f32 = 0.7;
        const DAYS: usize = 20_000;
        let (mut cross, mut square) = (0.0, 0.0);
        for _ in 0..DAYS {
            truth.change_for_a_day(0, &pairs, memory);
            error.change_for_a_day(0, &pairs, memory);
            let [fast, _] = truth.forecast(SKILL, &error);
            for part in [0, 1] {
                cross += f64::from(truth.fast[part] * fast[part]);
                square += f64::from(fast[part] * fast[part]);
            }
        }
        let count = 2.0 * DAYS as f64;
        // Three standard errors and more: a day keeps exp(-1) of the wind.
        approx::assert_abs_diff_eq!(cross / count, f64::from(SKILL), epsilon = 0.03);
        approx::assert_abs_diff_eq!(square / count, 1.0, epsilon = 0.03);
        assert_eq!(truth.forecast(1.0, &error), [truth.fast, truth.slow]);
    }
}
