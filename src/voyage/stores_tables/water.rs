//! `[water]`: tanks, uses and the watermaker.

use super::lists::List;
use crate::stores::water::{EMERGENCY, PERSON_WATER, TANK};
use crate::stores::watermaker::{HOURS_A_DAY, MADE_PER_HOUR, WATERMAKER_POWER};
use crate::stores::{Basis, WaterSettings, WaterUse, Watermaker};
use crate::units::Kind;
use crate::voyage_file::{Problem, Table, VoyageError};

pub(super) const WATER: &[&str] = &[
    "tank",
    "bottled",
    "use",
    "only_listed",
    "heat_per_person_day",
    "ration_per_person_day",
    "emergency_per_person",
    "watermaker",
];
const WATERMAKER: &[&str] = &["per_hour", "power", "hours_per_day"];

const USES: List<WaterUse> = List {
    key: "use",
    keys: &["name", "per_person_day"],
    decode: decode_use,
    name: |water_use| water_use.purpose.name(),
};

pub(super) fn decode(table: &Table<'_>) -> Result<WaterSettings, VoyageError> {
    let volume = |key, range| {
        let entry = table.quantity(key, Kind::Volume, range)?;
        Ok::<Option<f64>, VoyageError>(entry.map(|entry| entry.value))
    };
    let mut water = WaterSettings::new(volume("tank", &TANK)?);
    water.uses = USES.over(water.uses, table)?;
    if let Some(litres) = volume("bottled", &TANK)? {
        water.bottled_litres = litres;
    }
    water.heat_litres_per_person_day = volume("heat_per_person_day", &PERSON_WATER)?;
    water.ration_litres_per_person_day = volume("ration_per_person_day", &PERSON_WATER)?;
    water.emergency_litres_per_person = volume("emergency_per_person", &EMERGENCY)?;
    if let Some(maker) = table.table("watermaker", WATERMAKER)? {
        if water.tank_litres.is_none() {
            // What is left when it fails is what the tanks hold.
            return Err(table.error("tank", Problem::Missing));
        }
        let per_hour = maker.quantity("per_hour", Kind::Volume, &MADE_PER_HOUR)?;
        let power = maker.quantity("power", Kind::Power, &WATERMAKER_POWER)?;
        let hours = maker.number("hours_per_day", &HOURS_A_DAY)?;
        water.watermaker = Some(Watermaker {
            litres_per_hour: maker.required("per_hour", per_hour)?.value,
            watts: maker.required("power", power)?.value,
            hours_per_day: hours.map(|entry| entry.value),
        });
    }
    water.validate().map_err(|error| table.refuse("", error))?;
    Ok(water)
}

fn decode_use(table: &Table<'_>, name: String) -> Result<WaterUse, VoyageError> {
    let amount = table.quantity("per_person_day", Kind::Volume, &PERSON_WATER)?;
    Ok(WaterUse {
        purpose: name.into(),
        litres_per_person_day: table.required("per_person_day", amount)?.value,
        basis: Basis::GIVEN,
    })
}
