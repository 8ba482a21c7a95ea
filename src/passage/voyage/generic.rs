//! The boat's dimensions in a voyage file, for a crew without a polar.

use serde::Deserialize;
use serde::de::IntoDeserializer as _;

use crate::boat::{GenericBoat, Polar, ranges};
use crate::units::Range;
use crate::voyage_file::{Problem, Table, VoyageError};

const KEYS: &[&str] = &[
    "waterline_length_m",
    "displacement_kg",
    "sail_area_m2",
    "rig",
    "keel",
];

/// The dimensions under `generic` of the boat's table, and the polar made from them.
pub(super) fn decode(boat: &Table<'_>) -> Result<Option<(Polar, GenericBoat)>, VoyageError> {
    let Some(table) = boat.table("generic", KEYS)? else {
        return Ok(None);
    };
    let number = |key, range: &Range| {
        Ok::<f64, VoyageError>(table.required(key, table.number(key, range)?)?.value)
    };
    let dimensions = GenericBoat {
        waterline_length_m: number("waterline_length_m", &ranges::WATERLINE_LENGTH)?,
        displacement_kg: number("displacement_kg", &ranges::DISPLACEMENT)?,
        sail_area_m2: number("sail_area_m2", &ranges::SAIL_AREA)?,
        rig: choice(
            &table,
            "rig",
            "\"sloop\", \"cutter\", \"ketch\" or \"gaff\"",
        )?,
        keel: choice(&table, "keel", "\"fin\", \"fin-and-skeg\" or \"long\"")?,
    };
    let polar = dimensions
        .polar()
        .map_err(|error| table.refuse("", error))?;
    Ok(Some((polar, dimensions)))
}

/// One of a type's names; `wanted` lists them.
fn choice<'t, T: Deserialize<'t>>(
    table: &Table<'t>,
    key: &str,
    wanted: &'static str,
) -> Result<T, VoyageError> {
    let entry = table.required(key, table.text(key)?)?;
    let name: serde::de::value::StrDeserializer<'t, serde::de::value::Error> =
        entry.value.into_deserializer();
    T::deserialize(name).map_err(|_| {
        let found = format!("\"{}\"", entry.value);
        entry.error(Problem::WrongKind { found, wanted })
    })
}
