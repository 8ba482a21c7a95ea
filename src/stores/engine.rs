//! What the engine burns at cruising speed.

use crate::units::Range;

use super::basis::{Basis, Known};
use super::error::{StoresError, check};

/// Diesel burnt an hour.
pub const BURN: Range = Range::new("diesel burnt", "L/h", 0.05, 100.0);
/// Power at the shaft.
pub const SHAFT_POWER: Range = Range::new("engine power", "kW", 0.5, 500.0);
/// Speed under power.
pub const POWERED_SPEED: Range = Range::new("speed under power", "kn", 0.5, 20.0);
/// Mass of diesel for an hour at one kilowatt.
pub const SPECIFIC_CONSUMPTION: Range = Range::new("specific consumption", "g/kWh", 150.0, 500.0);
/// Diesel's density.
pub const DENSITY: Range = Range::new("diesel's density", "kg/L", 0.75, 0.95);

/// The default specific consumption; small marine diesels lie between 210 and 270.
pub const DEFAULT_SPECIFIC_CONSUMPTION: Known = Known::new(
    "specific consumption of a small marine diesel",
    250.0,
    "g/kWh",
    Basis::from_memory("engine makers' sheets, 210 to 270 g/kWh"),
);
/// The default density.
pub const DEFAULT_DENSITY: Known = Known::new(
    "density of diesel at 15 degrees C",
    0.84,
    "kg/L",
    Basis::from_memory("EN 590, 0.82 to 0.845 kg/L"),
);
/// Power grows with the cube of speed while the boat is below its hull speed.
pub const PROPELLER_POWER: i32 = 3;
/// The origin of the propeller law.
pub const PROPELLER_BASIS: Basis =
    Basis::from_memory("propeller law, power as the cube of speed below hull speed");

/// What an hour under power burns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Burn {
    /// Litres an hour at cruising speed, as measured aboard: the better figure where there is one.
    LitresPerHour(f64),
    /// Reckoned from power.
    FromPower(PowerCurve),
}

/// Power and speed at one point of the propeller's curve, and the speed the boat cruises at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerCurve {
    /// Power at `speed_kn`, kW.
    pub power_kw: f64,
    /// The speed through the water that `power_kw` gives, knots.
    pub speed_kn: f64,
    /// Cruising speed under power, knots; not above `speed_kn`.
    pub cruising_kn: f64,
    /// Specific consumption, g/kWh.
    pub specific_consumption_g_per_kwh: f64,
    /// Diesel's density, kg/L.
    pub density_kg_per_litre: f64,
}

impl PowerCurve {
    /// A curve with the default consumption and density.
    pub fn new(power_kw: f64, speed_kn: f64, cruising_kn: f64) -> Self {
        Self {
            power_kw,
            speed_kn,
            cruising_kn,
            specific_consumption_g_per_kwh: DEFAULT_SPECIFIC_CONSUMPTION.value,
            density_kg_per_litre: DEFAULT_DENSITY.value,
        }
    }

    /// Power at a speed in knots, kW, by the propeller law `P / P0 = (V / V0)^3`.
    pub fn power_kw_at(&self, speed_kn: f64) -> f64 {
        self.power_kw * (speed_kn / self.speed_kn).powi(PROPELLER_POWER)
    }

    /// Litres of diesel for one kilowatt-hour at the shaft.
    pub fn litres_per_kwh(&self) -> f64 {
        self.specific_consumption_g_per_kwh / 1000.0 / self.density_kg_per_litre
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

    /// Where the figure comes from.
    pub fn basis(&self) -> Basis {
        match self {
            Self::LitresPerHour(_) => Basis::GIVEN,
            Self::FromPower(_) => PROPELLER_BASIS,
        }
    }

    /// Checks every number, under the name `engine`.
    ///
    /// # Errors
    /// A number out of range, or a cruising speed above the speed the power is given at.
    pub fn validate(&self) -> Result<(), StoresError> {
        match self {
            Self::LitresPerHour(litres) => {
                check("engine.litres_per_hour", &BURN, *litres)?;
            }
            Self::FromPower(curve) => {
                check("engine.power_kw", &SHAFT_POWER, curve.power_kw)?;
                check("engine.speed_kn", &POWERED_SPEED, curve.speed_kn)?;
                check("engine.cruising_kn", &POWERED_SPEED, curve.cruising_kn)?;
                let consumption = curve.specific_consumption_g_per_kwh;
                let field = "engine.specific_consumption_g_per_kwh";
                check(field, &SPECIFIC_CONSUMPTION, consumption)?;
                let density = curve.density_kg_per_litre;
                check("engine.density_kg_per_litre", &DENSITY, density)?;
                if curve.cruising_kn > curve.speed_kn {
                    return Err(StoresError::Conflict {
                        field: "engine.cruising_kn".to_owned(),
                        found: format!("{} kn", curve.cruising_kn),
                        allowed: format!(
                            "at most engine.speed_kn, {} kn: above it the cube law understates the power",
                            curve.speed_kn
                        ),
                    });
                }
            }
        }
        Ok(())
    }
}
