//! Diesel aboard: what tanks and cans hold, and how much of it the engine can burn.

use schemars::JsonSchema;
use serde::Serialize;

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
