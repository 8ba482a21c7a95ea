//! The wind climate as JSON: knots, degrees true, shares from 0 to 1, `null` where there is none.

use serde::Serialize;

use super::Survey;
use super::cautions::CAUTIONS;
use super::document::{PositionRecord, written};
use super::wind_figures::WindFigures;

#[derive(Serialize)]
struct Document<'a> {
    route: Option<&'a str>,
    climate: &'a str,
    places: Vec<PlaceRecord>,
    notes: &'a [String],
    cautions: [&'static str; CAUTIONS.len()],
}

#[derive(Serialize)]
struct PlaceRecord {
    position: PositionRecord,
    distance_nm: Option<f64>,
    /// 1 to 12.
    month: u8,
    wind: Option<WindFigures>,
    air_temperature_c: Option<f64>,
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
        cautions: CAUTIONS,
    })
}
