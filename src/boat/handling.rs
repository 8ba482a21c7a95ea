//! How the crew handles the boat: when she heaves to, when the engine is started.

use schemars::JsonSchema;
use serde::Serialize;

use super::error::BoatError;
use super::ranges::{HEAVE_TO, MOTOR_BELOW};

/// When the crew heaves to and when it starts the engine.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Handling {
    /// True wind speed at and above which she makes no progress, knots.
    heave_to_kn: f64,
    /// Progress under sail below which the engine is started, knots; none for never.
    motor_below_kn: Option<f64>,
}

impl Handling {
    /// Heaving to at or above `heave_to_kn` of true wind; motoring where progress under sail falls
    /// below `motor_below_kn`, or never.
    ///
    /// # Errors
    /// A figure outside 15 to 100 kn or 0 to 15 kn.
    pub fn new(heave_to_kn: f64, motor_below_kn: Option<f64>) -> Result<Self, BoatError> {
        Ok(Self {
            heave_to_kn: HEAVE_TO.check(heave_to_kn)?,
            motor_below_kn: motor_below_kn
                .map(|progress_kn| MOTOR_BELOW.check(progress_kn))
                .transpose()?,
        })
    }

    /// True wind speed at and above which she makes no progress, kn.
    pub fn heave_to_kn(&self) -> f64 {
        self.heave_to_kn
    }

    /// Progress under sail below which the engine is started, kn.
    pub fn motor_below_kn(&self) -> Option<f64> {
        self.motor_below_kn
    }
}

impl Default for Handling {
    /// Heaving to at 45 kn (common practice, no source), never motoring.
    fn default() -> Self {
        Self {
            heave_to_kn: 45.0,
            motor_below_kn: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_out_of_range_are_named() {
        let message = |result: Result<Handling, BoatError>| result.unwrap_err().to_string();
        assert_eq!(
            message(Handling::new(5.0, None)),
            "wind speed at which to heave to is 5 kn; allowed: 15 to 100 kn"
        );
        assert_eq!(
            message(Handling::new(45.0, Some(f64::INFINITY))),
            "progress below which to motor is inf kn; allowed: 0 to 15 kn"
        );
    }
}
