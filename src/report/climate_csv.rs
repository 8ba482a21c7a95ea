//! The wind climate as CSV: a row a place and month; an empty cell where there is no figure.

use super::Survey;
use super::csv::{number, optional, written};
use super::wind_figures::{SECTORS, WindFigures};

/// Columns of the wind before those by direction.
const WIND: [&str; 10] = [
    "wind_from_deg",
    "wind_mean_speed_kn",
    "wind_vector_mean_speed_kn",
    "wind_spread_kn",
    "steadiness",
    "beaufort_force",
    "calm_share",
    "light_air_share",
    "strong_share",
    "gale_share",
];

/// The survey, a row a place and month. Shares are from 0 to 1.
pub fn climate_csv(survey: &Survey<'_>) -> String {
    let place = ["latitude_deg", "longitude_deg", "distance_nm", "month"];
    let air_and_origin = ["air_temperature_c", "replaced_data_share"];
    let mut heading: Vec<String> = [&place[..], &WIND, &air_and_origin]
        .concat()
        .into_iter()
        .map(str::to_owned)
        .collect();
    for sector in SECTORS.map(str::to_lowercase) {
        heading.push(format!("from_{sector}_share"));
        heading.push(format!("from_{sector}_mean_speed_kn"));
    }
    let rows = survey.places.iter().map(|place| {
        let mut row = vec![
            number(place.position.latitude_deg()),
            number(place.position.longitude_deg()),
            optional(place.run_nm),
            place.month.number().to_string(),
        ];
        let Some(local) = place.climate else {
            row.resize(heading.len(), String::new());
            return row;
        };
        let wind = WindFigures::of(&local.wind);
        row.extend([
            optional(wind.from_deg),
            number(wind.mean_speed_kn),
            number(wind.vector_mean_speed_kn),
            number(wind.spread_kn),
            optional(wind.steadiness),
            wind.force.number.to_string(),
        ]);
        let share = wind.share;
        row.extend([share.calm, share.light_air, share.strong, share.gale].map(number));
        row.extend([local.air_temperature_c, local.replaced_share].map(optional));
        for sector in wind.rose {
            row.extend([number(sector.share), optional(sector.mean_speed_kn)]);
        }
        row
    });
    let heading: Vec<&str> = heading.iter().map(String::as_str).collect();
    written(&heading, rows)
}
