//! `[service]`: parts and fluids changed by the engine's hours or by the water made.

use super::lists::{List, number_or};
use crate::stores::service::{
    ENGINE_INTERVAL, IN_HAND, ONE_IN_HAND, PER_CHANGE, SINCE, WATER_INTERVAL,
};
use crate::stores::{Interval, ServiceItem, ServiceSettings};
use crate::units::{Kind, Unit};
use crate::voyage_file::{Problem, Table, VoyageError};

pub(super) const SERVICE: &[&str] = &["item", "only_listed"];

/// What an item is changed by, and what a change takes: one of each two.
const INTERVALS: [&str; 2] = ["every_engine_hours", "every_water_litres"];
const AMOUNTS: [&str; 2] = ["pieces", "fluid"];

const ITEMS: List<ServiceItem> = List {
    key: "item",
    keys: &[
        "name",
        "every_engine_hours",
        "engine_hours_since",
        "every_water_litres",
        "water_litres_since",
        "pieces",
        "fluid",
        "in_hand",
    ],
    decode: decode_item,
    name: |item| &item.name,
};

pub(super) fn decode(table: &Table<'_>) -> Result<ServiceSettings, VoyageError> {
    Ok(ServiceSettings {
        items: ITEMS.over(ServiceSettings::default().items, table)?,
    })
}

fn decode_item(table: &Table<'_>, name: String) -> Result<ServiceItem, VoyageError> {
    let by_engine = table.number("every_engine_hours", &ENGINE_INTERVAL)?;
    let by_water = table.number("every_water_litres", &WATER_INTERVAL)?;
    let engine_since = table.number("engine_hours_since", &SINCE)?;
    let water_since = table.number("water_litres_since", &SINCE)?;
    let (interval, since, other_since) = match (by_engine, by_water) {
        (Some(hours), None) => (
            Interval::EngineHours(hours.value),
            engine_since,
            water_since,
        ),
        (None, Some(litres)) => (
            Interval::WaterLitres(litres.value),
            water_since,
            engine_since,
        ),
        (Some(_), Some(litres)) => {
            let found = "both";
            return Err(litres.error(Problem::OneOfTwo {
                found,
                keys: INTERVALS,
            }));
        }
        (None, None) => {
            let found = "neither";
            return Err(table.error(
                "",
                Problem::OneOfTwo {
                    found,
                    keys: INTERVALS,
                },
            ));
        }
    };
    if let Some(other) = other_since {
        let reason = "it is not what the item is changed by";
        return Err(other.error(Problem::OutOfPlace { reason }));
    }
    let pieces = table.number("pieces", &PER_CHANGE)?;
    let fluid = table.quantity("fluid", Kind::Volume, &PER_CHANGE)?;
    let (per_change, unit) = match (pieces, fluid) {
        (Some(pieces), None) => (pieces.value, Unit::Piece),
        (None, Some(fluid)) => (fluid.value, Unit::Litre),
        (Some(_), Some(fluid)) => {
            let found = "both";
            return Err(fluid.error(Problem::OneOfTwo {
                found,
                keys: AMOUNTS,
            }));
        }
        (None, None) => {
            let found = "neither";
            return Err(table.error(
                "",
                Problem::OneOfTwo {
                    found,
                    keys: AMOUNTS,
                },
            ));
        }
    };
    Ok(ServiceItem {
        name,
        interval,
        since_last: since.map_or(0.0, |entry| entry.value),
        per_change,
        unit,
        in_hand: number_or(table, "in_hand", &IN_HAND, ONE_IN_HAND.value)?,
    })
}
