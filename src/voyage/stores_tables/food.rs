//! `[food]`: allowances, and kinds of food.

use super::lists::{List, given};
use crate::stores::food::{ALLOWANCE, NO_COOK_DAYS};
use crate::stores::provisions::{BULK, ENERGY_DENSITY, KEEPING_DAYS, KIND_SHARE};
use crate::stores::{Basis, FoodKind, FoodSettings, Keeping};
use crate::voyage_file::{Table, VoyageError};

pub(super) const FOOD: &[&str] = &[
    "refrigerator",
    "cold_share",
    "heavy_weather_share",
    "spoilage_share",
    "least_no_cook_days",
    "pet_food_kcal_per_kg",
    "kind",
    "only_listed",
];

const KINDS: List<FoodKind> = List {
    key: "kind",
    keys: &[
        "name",
        "keeping",
        "share",
        "kcal_per_kg",
        "litres_per_kg",
        "keeps_days",
    ],
    decode: decode_kind,
    name: |kind| &kind.name,
};

pub(super) fn decode(table: &Table<'_>) -> Result<FoodSettings, VoyageError> {
    let usual = FoodSettings::default();
    let refrigerator = table.flag("refrigerator")?;
    let share = |key| given(table, key, &ALLOWANCE);
    let food = FoodSettings {
        refrigerator: refrigerator.map_or(usual.refrigerator, |entry| entry.value),
        cold_share: share("cold_share")?,
        heavy_weather_share: share("heavy_weather_share")?,
        spoilage_share: share("spoilage_share")?,
        least_no_cook_days: given(table, "least_no_cook_days", &NO_COOK_DAYS)?,
        pet_food_kcal_per_kg: given(table, "pet_food_kcal_per_kg", &ENERGY_DENSITY)?,
        kinds: KINDS.over(usual.kinds, table)?,
    };
    food.validate().map_err(|error| table.refuse("", error))?;
    Ok(food)
}

fn decode_kind(table: &Table<'_>, name: String) -> Result<FoodKind, VoyageError> {
    let words = "\"fresh\", \"chilled\", \"dry\" or \"no-cook\"";
    let keeping = table.choice("keeping", words, |word| match word {
        "fresh" => Some(Keeping::Fresh),
        "chilled" => Some(Keeping::Chilled),
        "dry" => Some(Keeping::Dry),
        "no-cook" => Some(Keeping::NoCook),
        _ => None,
    })?;
    let number = |key, range| {
        let entry = table.number(key, range)?;
        Ok::<f64, VoyageError>(table.required(key, entry)?.value)
    };
    Ok(FoodKind {
        name,
        keeping: table.required("keeping", keeping)?.value,
        share: number("share", &KIND_SHARE)?,
        kcal_per_kg: number("kcal_per_kg", &ENERGY_DENSITY)?,
        litres_per_kg: number("litres_per_kg", &BULK)?,
        keeps_days: number("keeps_days", &KEEPING_DAYS)?,
        basis: Basis::GIVEN,
    })
}
