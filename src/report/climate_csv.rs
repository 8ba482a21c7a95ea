//! The winds of a place through the months or along a route as CSV; an empty cell where there is no
//! figure.

use super::csv::{optional, written};
use super::wind_figures::{COUNTED, Figure, SECTOR, SHARES, WIND};
use super::wording::{heads, number};
use crate::study::{PlaceWinds, SECTORS, SurveyedWinds};

/// The winds, a row for each place and month. Shares are from 0 to 1.
pub fn climate_csv(winds: &SurveyedWinds) -> String {
    let figures = || WIND.iter().chain(&SHARES).chain(&COUNTED);
    let mut heading = heads(&["latitude_deg", "longitude_deg", "distance_nm", "month"]);
    heading.extend(figures().map(|figure| figure.id.to_owned()));
    heading.extend(SECTORS.iter().flat_map(|from| {
        let of_sector =
            move |figure: &Figure<_>| format!("from_{}_{}", from.to_lowercase(), figure.id);
        SECTOR.iter().map(of_sector)
    }));
    let row = |place: &PlaceWinds| {
        let mut row = vec![
            number(place.position.latitude_deg()),
            number(place.position.longitude_deg()),
            optional(place.distance_nm),
            place.month.number().to_string(),
        ];
        row.extend(figures().map(|figure| figure.csv(place)));
        let sectors = place.wind.iter().flat_map(|wind| &wind.rose);
        row.extend(sectors.flat_map(|sector| SECTOR.iter().map(|figure| figure.csv(sector))));
        row.resize(heading.len(), String::new());
        row
    };
    written(&heading, winds.places.iter().map(row))
}
