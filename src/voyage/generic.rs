//! The boat's dimensions in a voyage file, for a crew without a polar.

use crate::boat::{GenericBoat, Keel, Polar, Rig, ranges};
use crate::units::Range;
use crate::voyage_file::{Table, VoyageError};

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
    let rigs = "\"sloop\", \"cutter\", \"ketch\" or \"gaff\"";
    let rig = table.choice("rig", rigs, |word| match word {
        "sloop" => Some(Rig::Sloop),
        "cutter" => Some(Rig::Cutter),
        "ketch" => Some(Rig::Ketch),
        "gaff" => Some(Rig::Gaff),
        _ => None,
    })?;
    let keels = "\"fin\", \"fin-and-skeg\" or \"long\"";
    let keel = table.choice("keel", keels, |word| match word {
        "fin" => Some(Keel::Fin),
        "fin-and-skeg" => Some(Keel::FinAndSkeg),
        "long" => Some(Keel::Long),
        _ => None,
    })?;
    let dimensions = GenericBoat {
        waterline_length_m: number("waterline_length_m", &ranges::WATERLINE_LENGTH)?,
        displacement_kg: number("displacement_kg", &ranges::DISPLACEMENT)?,
        sail_area_m2: number("sail_area_m2", &ranges::SAIL_AREA)?,
        rig: table.required("rig", rig)?.value,
        keel: table.required("keel", keel)?.value,
    };
    let polar = dimensions
        .polar()
        .map_err(|error| table.refuse("", error))?;
    Ok(Some((polar, dimensions)))
}
