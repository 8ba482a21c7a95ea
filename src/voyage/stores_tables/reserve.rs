//! `[reserve]` and `[resupply]`: how sure to be, how much to add, and what waits at the other end.

use super::lists::given;
use crate::stores::days::{CONFIDENCE, PRICE_RATIO, RESERVE_SHARE, RESUPPLY_DAYS};
use crate::stores::outcome::PASSAGE_HOURS;
use crate::stores::{ReserveSettings, ResupplySettings, Supply};
use crate::voyage_file::{Table, VoyageError};

pub(super) const RESERVE: &[&str] = &[
    "confidence_percent",
    "food_share",
    "water_share",
    "arrival_engine_hours",
];
pub(super) const RESUPPLY: &[&str] = &["days", "price_ratio", "sold_there"];

pub(super) fn decode_reserve(table: &Table<'_>) -> Result<ReserveSettings, VoyageError> {
    Ok(ReserveSettings {
        confidence_percent: given(table, "confidence_percent", &CONFIDENCE)?,
        food_share: given(table, "food_share", &RESERVE_SHARE)?,
        water_share: given(table, "water_share", &RESERVE_SHARE)?,
    })
}

/// Engine hours kept for the arrival, where the file says.
pub(super) fn arrival_hours(table: &Table<'_>) -> Result<Option<f64>, VoyageError> {
    given(table, "arrival_engine_hours", &PASSAGE_HOURS)
}

pub(super) fn decode_resupply(table: &Table<'_>) -> Result<ResupplySettings, VoyageError> {
    let goods = "a list of \"diesel\", \"water\", \"food\" and \"spares\"";
    let sold_there = table.choices("sold_there", goods, |word| match word {
        "diesel" => Some(Supply::Diesel),
        "water" => Some(Supply::Water),
        "food" => Some(Supply::Food),
        "spares" => Some(Supply::Spares),
        _ => None,
    })?;
    Ok(ResupplySettings {
        days: given(table, "days", &RESUPPLY_DAYS)?,
        price_ratio: given(table, "price_ratio", &PRICE_RATIO)?,
        sold_there: sold_there.map(|entry| entry.value),
    })
}
