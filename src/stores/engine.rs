//! Where the engine's burn comes from, and what it may be.

use crate::boat::{Burn, DIESEL_KG_PER_LITRE, SPECIFIC_CONSUMPTION_G_PER_KWH, ranges};

use super::basis::{Basis, Known};
use super::error::{StoresError, check};

/// The default specific consumption; small marine diesels lie between 210 and 270.
pub const DEFAULT_SPECIFIC_CONSUMPTION: Known = Known::new(
    "specific consumption of a small marine diesel",
    SPECIFIC_CONSUMPTION_G_PER_KWH,
    "g/kWh",
    Basis::from_memory("engine makers' sheets, 210 to 270 g/kWh"),
);
/// The default density.
pub const DEFAULT_DENSITY: Known = Known::new(
    "density of diesel at 15 degrees C",
    DIESEL_KG_PER_LITRE,
    "kg/L",
    Basis::from_memory("EN 590, 0.82 to 0.845 kg/L"),
);
/// The origin of the propeller law.
pub const PROPELLER_BASIS: Basis =
    Basis::from_memory("propeller law, power as the cube of speed below hull speed");

/// Where the figure comes from.
pub(super) fn burn_basis(burn: &Burn) -> Basis {
    match burn {
        Burn::LitresPerHour(_) => Basis::GIVEN,
        Burn::FromPower(_) => PROPELLER_BASIS,
    }
}

/// Checks every number, under the name `engine`.
///
/// # Errors
/// A number out of range, or a cruising speed above the speed the power is given at.
pub(super) fn validate_burn(burn: &Burn) -> Result<(), StoresError> {
    match burn {
        Burn::LitresPerHour(litres) => {
            check("engine.litres_per_hour", &ranges::FUEL_RATE, *litres)?;
        }
        Burn::FromPower(curve) => {
            check("engine.power_kw", &ranges::SHAFT_POWER, curve.power_kw)?;
            check("engine.speed_kn", &ranges::MOTOR_SPEED, curve.speed_kn)?;
            let cruising_kn = curve.cruising_kn;
            check("engine.cruising_kn", &ranges::MOTOR_SPEED, cruising_kn)?;
            let consumption = curve.specific_consumption_g_per_kwh;
            let field = "engine.specific_consumption_g_per_kwh";
            check(field, &ranges::SPECIFIC_CONSUMPTION, consumption)?;
            let density = curve.density_kg_per_litre;
            check("engine.density_kg_per_litre", &ranges::DENSITY, density)?;
            if cruising_kn > curve.speed_kn {
                return Err(StoresError::Conflict {
                    field: "engine.cruising_kn".to_owned(),
                    found: format!("{cruising_kn} kn"),
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
