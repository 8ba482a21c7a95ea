//! The settings of prices, in any one money.

use schemars::JsonSchema;
use serde::Deserialize;

use super::values::{Line, amounts};
use crate::stores::PRICE;

amounts! {
    Price: Number(PRICE);
}

/// `[prices]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PricesTable {
    /// Of a litre of diesel, where nothing else is said.
    pub diesel_per_litre: Option<Price>,
    /// Of a litre of water; this or `water_per_m3`.
    pub water_per_litre: Option<Price>,
    /// Of a cubic metre of water; this or `water_per_litre`.
    pub water_per_m3: Option<Price>,
    /// Of one person's food for a day.
    pub food_per_person_day: Option<Price>,
    /// Of a day in harbour.
    pub harbour_per_day: Option<Price>,
    /// What is otherwise at one place.
    #[serde(default)]
    pub at: Vec<PlacePricesTable>,
}

/// `[[prices.at]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PlacePricesTable {
    /// The name of a waypoint with a stop, or at an end of a route.
    pub place: Line,
    /// Of a litre of diesel there.
    pub diesel_per_litre: Option<Price>,
    /// Of a litre of water there; this or `water_per_m3`.
    pub water_per_litre: Option<Price>,
    /// Of a cubic metre of water there; this or `water_per_litre`.
    pub water_per_m3: Option<Price>,
    /// Of one person's food for a day there.
    pub food_per_person_day: Option<Price>,
    /// Of a day in that harbour.
    pub harbour_per_day: Option<Price>,
}
