//! What an hour under power burns, measured aboard or reckoned from the engine's power.

use schemars::JsonSchema;
use serde::Serialize;

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
    /// Reckoned from power.
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
