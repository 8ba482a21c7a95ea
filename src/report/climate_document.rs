//! The wind climate as JSON: knots, degrees true, shares from 0 to 1, `null` where there is none.

use schemars::JsonSchema;
use serde::Serialize;

use super::Survey;
use super::cautions::CAUTIONS;
use super::document::{PositionRecord, written};
use super::wind_figures::WindFigures;

/// The winds of a place through the months, or along a route.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'a> {
    /// The route's name; none for one place.
    route: Option<&'a str>,
    /// Where the winds come from: the file, and its title where it has one.
    climate: &'a str,
    /// The place month by month, or the route's places in order.
    places: Vec<PlaceRecord>,
    /// What was assumed or changed about the winds, a sentence each.
    notes: &'a [String],
    /// What to know before trusting the figures, a sentence each.
    cautions: &'static [&'static str],
}

/// One place in one month.
#[derive(JsonSchema, Serialize)]
struct PlaceRecord {
    /// Where.
    position: PositionRecord,
    /// How far along the route, nautical miles; none off a route.
    distance_nm: Option<f64>,
    /// The month, 1 to 12.
    month: u8,
    /// The wind; none without wind data there and then.
    wind: Option<WindFigures>,
    /// Mean air temperature, degrees Celsius; none where the climate has none.
    air_temperature_c: Option<f64>,
    /// Share of these figures that rests on replaced wind data, 0 to 1; none where the climate does
    /// not say.
    replaced_data: Option<f64>,
}

/// The survey as JSON, indented.
pub fn climate_json(survey: &Survey<'_>) -> String {
    written(&Document {
        route: survey.route,
        climate: survey.climate.label(),
        places: survey
            .places
            .iter()
            .map(|place| PlaceRecord {
                position: place.position.into(),
                distance_nm: place.run_nm,
                month: place.month.number(),
                wind: place.climate.map(|local| WindFigures::of(&local.wind)),
                air_temperature_c: place.climate.and_then(|local| local.air_temperature_c),
                replaced_data: place.climate.and_then(|local| local.replaced_share),
            })
            .collect(),
        notes: survey.climate.notes(),
        cautions: &CAUTIONS,
    })
}
