//! The fuel counted in time steps under power, the last of which it may not last through.

use super::block::STEP_HOURS;
use crate::boat::Engine;

/// Steps this near a whole number are taken for it: rounding of litres, shares and rates.
const ROUNDING_STEPS: f64 = 1e-9;

/// How long the fuel lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tank {
    /// Steps under power that the fuel begins; more than a passage has where it is ample.
    steps: u16,
    missing_share: f64,
}

impl Tank {
    pub(super) fn new(engine: &Engine) -> Self {
        let steps = engine.fuel_litres() / engine.litres_per_hour() / STEP_HOURS;
        let whole = steps.round();
        let steps = if (steps - whole).abs() < ROUNDING_STEPS {
            whole
        } else {
            steps
        };
        Self {
            steps: steps.ceil().min(f64::from(u16::MAX)) as u16,
            missing_share: steps.ceil() - steps,
        }
    }

    /// Steps under power that the fuel begins.
    pub(super) fn steps(self) -> u16 {
        self.steps
    }

    /// The share of the last step under power for which there is no fuel, from 0 to below 1.
    pub(super) fn missing_share(self) -> f64 {
        self.missing_share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tank(litres: f64, litres_per_hour: f64) -> (u16, f64) {
        let tank = Tank::new(&Engine::new(5.0, litres_per_hour, litres).unwrap());
        (tank.steps(), tank.missing_share())
    }

    #[test]
    fn a_tank_lasts_for_whole_steps_and_a_part_of_one() {
        assert_eq!(tank(240.0, 2.0), (40, 0.0));
        assert_eq!(tank(3.0, 2.0), (1, 0.5));
        assert_eq!(tank(63.0, 2.0), (11, 0.5));
        assert_eq!(tank(0.0, 2.0), (0, 0.0));
        let (steps, missing) = tank(61.0, 2.0);
        assert_eq!(steps, 11);
        // 30.5 hours are ten steps and half an hour of the eleventh.
        approx::assert_abs_diff_eq!(missing, 2.5 / 3.0, epsilon = 1e-12);
    }

    #[test]
    fn rounding_does_not_begin_another_step() {
        for litres in [6.0 * (1.0 + 1e-15), 6.0 * (1.0 - 1e-15)] {
            assert_eq!(tank(litres, 2.0), (1, 0.0));
        }
    }

    #[test]
    fn an_ample_tank_outlasts_any_passage() {
        assert_eq!(tank(50_000.0, 0.05).0, u16::MAX);
    }
}
