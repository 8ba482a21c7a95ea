//! All stores tables of a voyage file at once.

use super::{crew, food, power, reserve, service, water};
use crate::stores::{EngineSettings, StoresSettings, WaterSettings};
use crate::units::OutputUnits;
use crate::voyage::Voyage;
use crate::voyage_file::{Problem, Table, VoyageError};

/// The tables that mean nothing without a `[crew]`.
const WITH_CREW: [&str; 8] = [
    "reserve", "resupply", "water", "power", "food", "service", "watches", "output",
];
const OUTPUT: &[&str] = &["units"];

/// What a voyage file says of its stores.
///
/// # Errors
/// No `[crew]`; any key unknown, missing or out of range, named with its line.
pub fn read_settings(voyage: &Voyage) -> Result<StoresSettings, VoyageError> {
    voyage.text.decode(|top| decode(top, voyage))
}

/// What a voyage file says of its stores, if it says anything: none without any of their tables.
///
/// # Errors
/// As [`read_settings`], where one of the tables is there.
pub fn read_settings_if_any(voyage: &Voyage) -> Result<Option<StoresSettings>, VoyageError> {
    voyage.text.decode(|top| {
        if top.has("crew") || WITH_CREW.iter().any(|table| top.has(table)) {
            decode(top, voyage).map(Some)
        } else {
            Ok(None)
        }
    })
}

fn decode(top: &Table<'_>, voyage: &Voyage) -> Result<StoresSettings, VoyageError> {
    let Some(crew) = top.table("crew", crew::CREW)? else {
        let write = crew::LEAST;
        return Err(top.error("crew", Problem::MissingTable { write }));
    };
    let mut settings = StoresSettings::new(
        crew::decode(&crew)?,
        match top.table("water", water::WATER)? {
            Some(table) => water::decode(&table)?,
            None => WaterSettings::new(None),
        },
    );
    let mut arrival_hours = None;
    if let Some(table) = top.table("reserve", reserve::RESERVE)? {
        settings.reserve = reserve::decode_reserve(&table)?;
        arrival_hours = reserve::arrival_hours(&table)?;
    }
    if let Some(table) = top.table("resupply", reserve::RESUPPLY)? {
        settings.resupply = reserve::decode_resupply(&table)?;
    }
    let mut charging_litres_per_hour = None;
    if let Some(table) = top.table("power", power::POWER)? {
        let (power, alternator) = power::decode(&table)?;
        if let (Some(alternator), None) = (&alternator, voyage.engine_room) {
            let reason = "there is no [boat.engine] to turn it";
            return Err(alternator.error("", Problem::OutOfPlace { reason }));
        }
        if let Some(alternator) = alternator {
            charging_litres_per_hour = power::charging_litres_per_hour(&alternator)?;
        }
        settings.power = Some(power);
    }
    settings.engine = voyage.engine_room.map(|room| EngineSettings {
        burn: room.burn,
        charging_litres_per_hour,
        supply: room.supply,
        arrival_hours,
    });
    if let Some(table) = top.table("food", food::FOOD)? {
        settings.food = food::decode(&table)?;
    }
    if let Some(table) = top.table("service", service::SERVICE)? {
        settings.service = service::decode(&table)?;
    }
    if let Some(table) = top.table("watches", crew::WATCHES)? {
        settings.watches = crew::decode_watches(&table)?;
    }
    Ok(settings)
}

/// The units that amounts are shown in.
///
/// # Errors
/// Another key in `[output]`, or another word.
pub fn read_output(top: &Table<'_>) -> Result<OutputUnits, VoyageError> {
    let Some(table) = top.table("output", OUTPUT)? else {
        return Ok(OutputUnits::default());
    };
    let units = table.choice("units", "\"metric\" or \"us\"", |word| match word {
        "metric" => Some(OutputUnits::Metric),
        "us" => Some(OutputUnits::Us),
        _ => None,
    })?;
    Ok(units.map_or_else(OutputUnits::default, |entry| entry.value))
}
