//! `[power]`: what uses electricity, what makes it and what keeps it.

use super::lists::{List, given};
use crate::boat::ranges::FUEL_RATE;
use crate::stores::outcome::WIND;
use crate::stores::power_sources::{
    BATTERY_ENERGY, BatteryKind, ELECTRIC_POWER, PART, RATED_WIND, SOURCE_POWER,
};
use crate::stores::watermaker::HOURS_A_DAY;
use crate::stores::{
    Alternator, Basis, Battery, Load, PowerSettings, Running, Solar, WindGenerator,
};
use crate::units::{Kind, Range};
use crate::voyage_file::{Table, VoyageError};

pub(super) const POWER: &[&str] = &[
    "load",
    "only_listed",
    "battery",
    "solar",
    "wind",
    "alternator",
];
const BATTERY: &[&str] = &["kind", "size", "volts", "usable_share"];
const SOLAR: &[&str] = &["peak", "clearness", "in_use_share"];
const WIND_GENERATOR: &[&str] = &["rated", "rated_wind_ms", "starts_at_ms", "wind_share"];
const ALTERNATOR: &[&str] = &["net", "charge_efficiency", "litres_per_hour"];

const VOLTS: Range = Range::new("the battery's voltage", "V", 6.0, 1000.0);

const LOADS: List<Load> = List {
    key: "load",
    keys: &["name", "power", "when", "hours_per_day"],
    decode: decode_load,
    name: |load| &load.name,
};

/// The settings, and the alternator's table for what it says of the engine.
pub(super) fn decode<'t>(
    table: &Table<'t>,
) -> Result<(PowerSettings, Option<Table<'t>>), VoyageError> {
    let alternator_table = table.table("alternator", ALTERNATOR)?;
    let settings = PowerSettings {
        loads: LOADS.over(PowerSettings::default().loads, table)?,
        battery: table
            .table("battery", BATTERY)?
            .map(|battery| decode_battery(&battery))
            .transpose()?,
        solar: table
            .table("solar", SOLAR)?
            .map(|solar| decode_solar(&solar))
            .transpose()?,
        wind: table
            .table("wind", WIND_GENERATOR)?
            .map(|wind| decode_wind(&wind))
            .transpose()?,
        alternator: alternator_table
            .as_ref()
            .map(decode_alternator)
            .transpose()?,
    };
    Ok((settings, alternator_table))
}

fn decode_load(table: &Table<'_>, name: String) -> Result<Load, VoyageError> {
    let power = table.quantity("power", Kind::Power, &ELECTRIC_POWER)?;
    let when = table.choice("when", "\"always\" or \"dark\"", |word| match word {
        "always" => Some(Running::AllDay),
        "dark" => Some(Running::Dark),
        _ => None,
    })?;
    let hours = table.number("hours_per_day", &HOURS_A_DAY)?;
    let running = table.one_of_two(
        ["when", "hours_per_day"],
        when.map(|entry| entry.value),
        hours.map(|entry| Running::Hours(entry.value)),
    )?;
    Ok(Load {
        name,
        watts: table.required("power", power)?.value,
        running,
        basis: Basis::GIVEN,
    })
}

fn decode_battery(table: &Table<'_>) -> Result<Battery, VoyageError> {
    let size = table.required("size", table.battery_size("size")?)?;
    let volts = table.number("volts", &VOLTS)?;
    let watt_hours = match size.value.unit.kind() {
        Kind::Charge => size.value.in_base() * table.required("volts", volts)?.value,
        _ => size.value.in_base(),
    };
    BATTERY_ENERGY
        .check(watt_hours)
        .map_err(|breach| size.error(breach.into()))?;
    let kind = table.choice("kind", "\"lead\" or \"lithium\"", |word| match word {
        "lead" => Some(BatteryKind::Lead),
        "lithium" => Some(BatteryKind::Lithium),
        _ => None,
    })?;
    Ok(Battery {
        kind: table.required("kind", kind)?.value,
        watt_hours,
        usable_share: given(table, "usable_share", &PART)?,
    })
}

fn decode_solar(table: &Table<'_>) -> Result<Solar, VoyageError> {
    let peak = table.quantity("peak", Kind::Power, &SOURCE_POWER)?;
    Ok(Solar {
        peak_watts: table.required("peak", peak)?.value,
        clearness: given(table, "clearness", &PART)?,
        in_use_share: given(table, "in_use_share", &PART)?,
    })
}

fn decode_wind(table: &Table<'_>) -> Result<WindGenerator, VoyageError> {
    let rated = table.quantity("rated", Kind::Power, &SOURCE_POWER)?;
    let rated_wind = table.number("rated_wind_ms", &RATED_WIND)?;
    let starts_at = table.number("starts_at_ms", &WIND)?;
    Ok(WindGenerator {
        rated_watts: table.required("rated", rated)?.value,
        rated_wind_ms: table.required("rated_wind_ms", rated_wind)?.value,
        starts_at_ms: table.required("starts_at_ms", starts_at)?.value,
        wind_share: given(table, "wind_share", &PART)?,
    })
}

fn decode_alternator(table: &Table<'_>) -> Result<Alternator, VoyageError> {
    let net = table.quantity("net", Kind::Power, &SOURCE_POWER)?;
    Ok(Alternator {
        net_watts: table.required("net", net)?.value,
        charge_efficiency: given(table, "charge_efficiency", &PART)?,
    })
}

/// What an hour of charging at rest burns, where the file says.
pub(super) fn charging_litres_per_hour(alternator: &Table<'_>) -> Result<Option<f64>, VoyageError> {
    given(alternator, "litres_per_hour", &FUEL_RATE)
}
