//! The engine: speed under power, what an hour of it burns, and the diesel aboard for it.

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

    /// How long she can motor on that fuel, hours.
    pub fn endurance_hours(&self) -> f64 {
        self.fuel_litres / self.litres_per_hour
    }

    /// How far she can motor on that fuel, nautical miles.
    pub fn range_nm(&self) -> f64 {
        self.endurance_hours() * self.motor_speed_kn
    }
}

/// The default specific consumption, g/kWh; small marine diesels lie between 210 and 270 (engine
/// makers' sheets, from memory).
pub const SPECIFIC_CONSUMPTION_G_PER_KWH: f64 = 250.0;
/// The default density of diesel at 15 degrees C, kg/L (EN 590, 0.82 to 0.845, from memory).
pub const DIESEL_KG_PER_LITRE: f64 = 0.84;
/// Power grows with the cube of speed while the boat is below its hull speed.
const PROPELLER_POWER: i32 = 3;

/// What an hour under power burns.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Burn {
    /// Litres an hour at cruising speed, as measured aboard: the better figure where there is one.
    LitresPerHour(f64),
    /// Computed from power.
    FromPower(PowerCurve),
}

/// Power and speed at one point of the propeller's curve, and the speed the boat cruises at.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct PowerCurve {
    /// Power at `speed_kn`, kW.
    pub power_kw: f64,
    /// The speed through the water that `power_kw` gives, knots.
    pub speed_kn: f64,
    /// Cruising speed under power, knots; not above `speed_kn`.
    pub cruising_kn: f64,
    /// Specific consumption, g/kWh; `None` takes [`SPECIFIC_CONSUMPTION_G_PER_KWH`].
    pub specific_consumption_g_per_kwh: Option<f64>,
    /// Diesel's density, kg/L; `None` takes [`DIESEL_KG_PER_LITRE`].
    pub density_kg_per_litre: Option<f64>,
}

impl PowerCurve {
    /// Power at a speed in knots, kW, by the propeller law `P / P0 = (V / V0)^3` (from memory;
    /// below hull speed).
    pub fn power_kw_at(&self, speed_kn: f64) -> f64 {
        self.power_kw * (speed_kn / self.speed_kn).powi(PROPELLER_POWER)
    }

    /// Litres of diesel for one kilowatt-hour at the shaft.
    pub fn litres_per_kwh(&self) -> f64 {
        let g_per_kwh = self
            .specific_consumption_g_per_kwh
            .unwrap_or(SPECIFIC_CONSUMPTION_G_PER_KWH);
        let kg_per_litre = self.density_kg_per_litre.unwrap_or(DIESEL_KG_PER_LITRE);
        g_per_kwh / 1000.0 / kg_per_litre
    }
}

impl Burn {
    /// Litres an hour at cruising speed.
    pub fn litres_per_hour(&self) -> f64 {
        match self {
            Self::LitresPerHour(litres) => *litres,
            Self::FromPower(curve) => curve.power_kw_at(curve.cruising_kn) * curve.litres_per_kwh(),
        }
    }
}

/// The share of a tank that the pump can reach where the voyage does not say (common practice, no
/// source).
pub const USABLE_SHARE: f64 = 0.9;

/// Diesel in tanks and cans.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct FuelSupply {
    /// What the tanks hold, litres.
    pub tank_litres: f64,
    /// The share of the tanks the pump can reach, 0.5 to 1; `None` takes [`USABLE_SHARE`].
    pub usable_share: Option<f64>,
    /// What cans hold, litres.
    pub can_litres: f64,
}

impl FuelSupply {
    /// What tanks and cans give the engine, litres.
    pub fn usable_litres(&self) -> f64 {
        self.tank_litres * self.usable_share.unwrap_or(USABLE_SHARE) + self.can_litres
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fuel_gives_hours_and_miles() {
        let engine = Engine::new(4.5, 2.0, 240.0).unwrap();
        assert_eq!(
            (engine.endurance_hours(), engine.range_nm()),
            (120.0, 540.0)
        );
    }

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
