//! `[service]`: parts and fluids changed by the engine's hours or by the water made.

use super::lists::{List, given};
use crate::stores::service::{ENGINE_INTERVAL, IN_HAND, PER_CHANGE, SINCE, WATER_INTERVAL};
use crate::stores::{Basis, Figure, Interval, ServiceItem, ServiceSettings};
use crate::units::{Kind, Unit};
use crate::voyage_file::{Problem, Table, VoyageError};

pub(super) const SERVICE: &[&str] = &["item", "only_listed"];

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
    let interval = table.one_of_two(
        ["every_engine_hours", "every_water_litres"],
        by_engine.map(|entry| Interval::EngineHours(entry.value)),
        by_water.map(|entry| Interval::WaterLitres(entry.value)),
    )?;
    let (since, other_since) = match interval {
        Interval::EngineHours(_) => (engine_since, water_since),
        Interval::WaterLitres(_) => (water_since, engine_since),
    };
    if let Some(other) = other_since {
        let reason = "it is not what the item is changed by";
        return Err(other.error(Problem::OutOfPlace { reason }));
    }
    let pieces = table.number("pieces", &PER_CHANGE)?;
    let fluid = table.quantity("fluid", Kind::Volume, &PER_CHANGE)?;
    let (per_change, unit) = table.one_of_two(
        ["pieces", "fluid"],
        pieces.map(|entry| (entry.value, Unit::Piece)),
        fluid.map(|entry| (entry.value, Unit::Litre)),
    )?;
    Ok(ServiceItem {
        name,
        interval,
        since_last: since.map_or(0.0, |entry| entry.value),
        per_change: Figure {
            value: per_change,
            basis: Basis::GIVEN,
        },
        unit,
        in_hand: given(table, "in_hand", &IN_HAND)?,
        basis: Basis::GIVEN,
    })
}
