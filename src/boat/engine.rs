//! The engine: speed under power and what it burns.

use schemars::JsonSchema;
use serde::Serialize;

use super::error::BoatError;
use super::ranges::{FUEL, FUEL_RATE, MOTOR_SPEED};

/// The engine and the fuel carried for moving the boat.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Engine {
    /// Speed under power along the course, knots.
    motor_speed_kn: f64,
    /// Fuel burnt at that speed, litres an hour.
    litres_per_hour: f64,
    /// Fuel there is to burn: what tanks and cans give, litres.
    fuel_litres: f64,
}

impl Engine {
    /// An engine that makes `motor_speed_kn` along the course and then burns `litres_per_hour`,
    /// with `fuel_litres` to burn.
    ///
    /// # Errors
    /// A figure outside 0.5 to 30 kn, 0.05 to 200 litres/h or 0 to 50 000 litres.
    pub fn new(
        motor_speed_kn: f64,
        litres_per_hour: f64,
        fuel_litres: f64,
    ) -> Result<Self, BoatError> {
        Ok(Self {
            motor_speed_kn: MOTOR_SPEED.check(motor_speed_kn)?,
            litres_per_hour: FUEL_RATE.check(litres_per_hour)?,
            fuel_litres: FUEL.check(fuel_litres)?,
        })
    }

    /// Speed under power along the course, kn.
    pub fn motor_speed_kn(&self) -> f64 {
        self.motor_speed_kn
    }

    /// Fuel burnt at that speed, litres an hour.
    pub fn litres_per_hour(&self) -> f64 {
        self.litres_per_hour
    }

    /// Fuel carried for moving the boat, litres.
    pub fn fuel_litres(&self) -> f64 {
        self.fuel_litres
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_out_of_range_are_named() {
        let message = |result: Result<Engine, BoatError>| result.unwrap_err().to_string();
        assert_eq!(
            message(Engine::new(0.0, 3.0, 200.0)),
            "speed under power is 0 kn; allowed: 0.5 to 30 kn"
        );
        assert_eq!(
            message(Engine::new(5.5, f64::NAN, 200.0)),
            "fuel burnt under power is NaN litres/h; allowed: 0.05 to 200 litres/h"
        );
        assert_eq!(
            message(Engine::new(5.5, 3.0, -1.0)),
            "fuel carried is -1 litres; allowed: 0 to 50000 litres"
        );
    }
}
