//! Where the engine's burn comes from, and what it may be.

use crate::boat::{Burn, DIESEL_KG_PER_LITRE, SPECIFIC_CONSUMPTION_G_PER_KWH, ranges};

use super::basis::{Basis, Known};
use super::error::{StoresError, check, check_given};
use super::fuel::litres;
use super::line::Line;

/// The default specific consumption; small marine diesels lie between 210 and 270.
const DEFAULT_SPECIFIC_CONSUMPTION: Known = Known::new(
    "specific consumption of a small marine diesel",
    SPECIFIC_CONSUMPTION_G_PER_KWH,
    "g/kWh",
    Basis::from_memory("engine makers' sheets, 210 to 270 g/kWh"),
);
/// The default density.
const DEFAULT_DENSITY: Known = Known::new(
    "density of diesel at 15 degrees C",
    DIESEL_KG_PER_LITRE,
    "kg/L",
    Basis::from_memory("EN 590, 0.82 to 0.845 kg/L"),
);
/// The origin of the propeller law.
const PROPELLER_BASIS: Basis =
    Basis::from_memory("propeller law, power as the cube of speed below hull speed");

/// Where the figure comes from.
pub(super) fn burn_basis(burn: &Burn) -> Basis {
    match burn {
        Burn::LitresPerHour(_) => Basis::GIVEN,
        Burn::FromPower(_) => PROPELLER_BASIS,
    }
}

/// How a burn that is reckoned from power comes about; none where it is given outright.
pub(super) fn list_burn(burn: &Burn) -> Option<Line> {
    let Burn::FromPower(curve) = burn else {
        return None;
    };
    let consumption =
        DEFAULT_SPECIFIC_CONSUMPTION.unless_given(curve.specific_consumption_g_per_kwh);
    let density = DEFAULT_DENSITY.unless_given(curve.density_kg_per_litre);
    let rule = format!(
        "{} kW at {} kn x ({} / {})^3 x {} g/kWh ({}) / {} kg/L ({})",
        curve.power_kw,
        curve.speed_kn,
        curve.cruising_kn,
        curve.speed_kn,
        consumption.value,
        consumption.basis,
        density.value,
        density.basis
    );
    let item = "burnt in an hour under power";
    Some(litres(item, burn.litres_per_hour(), rule, burn_basis(burn)))
}

/// Checks every number, under the names of the voyage file.
///
/// # Errors
/// A number out of range, or a cruising speed above the speed the power is given at.
pub(super) fn validate_burn(burn: &Burn) -> Result<(), StoresError> {
    match burn {
        Burn::LitresPerHour(litres) => {
            check("boat.engine.litres_per_hour", &ranges::FUEL_RATE, *litres)?;
        }
        Burn::FromPower(curve) => {
            let (speed_kn, cruising_kn) = (curve.speed_kn, curve.cruising_kn);
            let speed = &ranges::MOTOR_SPEED;
            check("boat.engine.power_kw", &ranges::SHAFT_POWER, curve.power_kw)?;
            check("boat.engine.power_speed_kn", speed, speed_kn)?;
            check("boat.engine.motor_speed_kn", speed, cruising_kn)?;
            let consumption = curve.specific_consumption_g_per_kwh;
            let field = "boat.engine.specific_consumption_g_per_kwh";
            check_given(field, &ranges::SPECIFIC_CONSUMPTION, consumption)?;
            let density = curve.density_kg_per_litre;
            check_given(
                "boat.engine.density_kg_per_litre",
                &ranges::DENSITY,
                density,
            )?;
            if cruising_kn > speed_kn {
                return Err(StoresError::Conflict {
                    field: "boat.engine.motor_speed_kn".to_owned(),
                    found: format!("{cruising_kn} kn"),
                    allowed: format!(
                        "at most boat.engine.power_speed_kn, {speed_kn} kn: above it the cube law understates the power"
                    ),
                });
            }
        }
    }
    Ok(())
}
