//! The engine's table: how fast she goes under power, what that burns, and the diesel aboard.

use crate::boat::{Burn, Engine, FuelSupply, PowerCurve, ranges};
use crate::units::Kind;
use crate::voyage_file::{Problem, Table, VoyageError};

pub(super) const ENGINE: &[&str] = &[
    "motor_speed_kn",
    "litres_per_hour",
    "power_kw",
    "power_speed_kn",
    "specific_consumption_g_per_kwh",
    "density_kg_per_litre",
    "fuel_litres",
    "fuel",
    "usable_share",
    "cans",
];

/// What the voyage file says of the engine's burn and of its diesel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EngineRoom {
    /// What an hour under power burns.
    pub burn: Burn,
    /// The diesel in tanks and cans.
    pub supply: FuelSupply,
}

/// Decodes `[boat.engine]`. The engine of the passage burns what tanks and cans give it.
pub(super) fn decode_engine(table: &Table<'_>) -> Result<(Engine, EngineRoom), VoyageError> {
    let speed = table.number("motor_speed_kn", &ranges::MOTOR_SPEED)?;
    let motor_speed_kn = table.required("motor_speed_kn", speed)?.value;
    let room = EngineRoom {
        burn: decode_burn(table, motor_speed_kn)?,
        supply: decode_supply(table)?,
    };
    let engine = Engine::new(
        motor_speed_kn,
        room.burn.litres_per_hour(),
        room.supply.usable_litres(),
    );
    Ok((engine.map_err(|error| table.refuse("", error))?, room))
}

fn decode_burn(table: &Table<'_>, cruising_kn: f64) -> Result<Burn, VoyageError> {
    let litres = table.number("litres_per_hour", &ranges::FUEL_RATE)?;
    let power = table.number("power_kw", &ranges::SHAFT_POWER)?;
    let speed = table.number("power_speed_kn", &ranges::MOTOR_SPEED)?;
    let consumption = table.number(
        "specific_consumption_g_per_kwh",
        &ranges::SPECIFIC_CONSUMPTION,
    )?;
    let density = table.number("density_kg_per_litre", &ranges::DENSITY)?;
    if let Some(litres) = litres {
        let of_power = [&power, &speed, &consumption, &density];
        return match of_power.into_iter().flatten().next() {
            None => Ok(Burn::LitresPerHour(litres.value)),
            Some(entry) => {
                let reason = "litres_per_hour already says what an hour under power burns; keep \
                              one of the two";
                Err(entry.error(Problem::OutOfPlace { reason }))
            }
        };
    }
    let Some(power) = power else {
        return Err(table.error("litres_per_hour", Problem::Missing));
    };
    let speed = table.required("power_speed_kn", speed)?;
    if speed.value < cruising_kn {
        let reason = "below motor_speed_kn; give the power at that speed or a higher one, since \
                      the propeller law understates the power above it";
        return Err(speed.error(Problem::OutOfPlace { reason }));
    }
    Ok(Burn::FromPower(PowerCurve {
        power_kw: power.value,
        speed_kn: speed.value,
        cruising_kn,
        specific_consumption_g_per_kwh: consumption.map(|entry| entry.value),
        density_kg_per_litre: density.map(|entry| entry.value),
    }))
}

fn decode_supply(table: &Table<'_>) -> Result<FuelSupply, VoyageError> {
    let in_litres = table.number("fuel_litres", &ranges::FUEL)?;
    let with_unit = table.quantity("fuel", Kind::Volume, &ranges::FUEL)?;
    let fuel = table.one_of_two(["fuel_litres", "fuel"], in_litres, with_unit)?;
    let usable = table.number("usable_share", &ranges::USABLE_SHARE)?;
    let cans = table.quantity("cans", Kind::Volume, &ranges::FUEL)?;
    Ok(FuelSupply {
        tank_litres: fuel.value,
        usable_share: usable.map(|entry| entry.value),
        can_litres: cans.map_or(0.0, |entry| entry.value),
    })
}
