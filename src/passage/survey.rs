//! The climate of a place through the months, and of a route from end to end.

use schemars::JsonSchema;
use serde::Serialize;

use super::PassageError;
use crate::climate::{Climate, ClimateGap, LocalClimate, Month};
use crate::geodesy::Position;
use crate::route::Route;

/// How far apart a route's places are, in nautical miles: five degrees of arc.
const SPACING_NM: f64 = 300.0;
/// A place this near the route's end is left to the end, in nautical miles.
const END_ROOM_NM: f64 = 30.0;

/// One place in one month.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct SurveyedPlace {
    /// How far along the route, in nautical miles; none off a route.
    pub run_nm: Option<f64>,
    /// Where.
    pub position: Position,
    /// The month.
    pub month: Month,
    /// Its climate; none without wind data there and then.
    pub climate: Option<LocalClimate>,
}

/// The climate of a place in some months.
///
/// # Errors
/// A place without wind data in all of the months.
pub fn survey_place(
    climate: &Climate,
    position: Position,
    months: &[Month],
) -> Result<Vec<SurveyedPlace>, PassageError> {
    let places: Vec<SurveyedPlace> = months
        .iter()
        .map(|&month| surveyed(climate, None, position, month))
        .collect();
    if places.iter().all(|place| place.climate.is_none()) {
        return Err(PassageError::no_winds(position, months));
    }
    Ok(places)
}

/// The climate along a route in one month: its start, every 300 nm, and its end.
///
/// # Errors
/// A route without wind data in all of its places.
pub fn survey_route(
    climate: &Climate,
    route: &Route,
    month: Month,
) -> Result<Vec<SurveyedPlace>, PassageError> {
    let length_nm = route.length_nm();
    let runs_nm = (0..)
        .map(|step| f64::from(step) * SPACING_NM)
        .take_while(|&run_nm| run_nm < length_nm - END_ROOM_NM);
    let on_the_way = runs_nm.filter_map(|run_nm| {
        let (_, point) = route.at_nm(run_nm)?;
        Some((run_nm, point.position))
    });
    let end = route.legs().last().map(|leg| (length_nm, leg.track.to()));
    let places: Vec<SurveyedPlace> = on_the_way
        .chain(end)
        .map(|(run_nm, position)| surveyed(climate, Some(run_nm), position, month))
        .collect();
    if let Some(first) = places.first()
        && places.iter().all(|place| place.climate.is_none())
    {
        return Err(PassageError::Gap {
            route: route.name().to_owned(),
            run_nm: 0.0,
            gap: ClimateGap::NoData {
                place: first.position,
                month,
            },
        });
    }
    Ok(places)
}

fn surveyed(
    climate: &Climate,
    run_nm: Option<f64>,
    position: Position,
    month: Month,
) -> SurveyedPlace {
    SurveyedPlace {
        run_nm,
        position,
        month,
        climate: climate.month_at(position, month),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voyage::Voyage;

    const DISTANCE_TOLERANCE_NM: f64 = 1e-6;

    #[test]
    fn a_route_is_surveyed_from_end_to_end() {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        for route in &voyage.routes {
            let places = survey_route(&climate, route, Month::ALL[4]).unwrap();
            let ends = [places[0], places[places.len() - 1]].map(|place| place.position);
            let waypoints = route.waypoints();
            assert_eq!(ends[0], waypoints[0].position);
            assert_eq!(ends[1], waypoints[waypoints.len() - 1].position);
            let runs_nm: Vec<f64> = places.iter().filter_map(|place| place.run_nm).collect();
            let steps_nm: Vec<f64> = runs_nm.windows(2).map(|pair| pair[1] - pair[0]).collect();
            let (last_nm, others_nm) = steps_nm.split_last().unwrap();
            assert!((END_ROOM_NM..=SPACING_NM + END_ROOM_NM).contains(last_nm));
            for step_nm in others_nm {
                assert!((step_nm - SPACING_NM).abs() < DISTANCE_TOLERANCE_NM);
            }
            assert!(places.iter().all(|place| place.climate.is_some()));
        }
    }

    #[test]
    fn a_place_on_land_is_an_error_that_says_when() {
        let climate = Climate::ship_winds(&crate::climate::Region::world()).unwrap();
        let alice_springs = Position::new(-23.7, 133.9).unwrap();
        let message = |months: &[Month]| {
            let error = survey_place(&climate, alice_springs, months).unwrap_err();
            error.to_string()
        };
        assert_eq!(
            message(&Month::ALL),
            "no wind data around 23°42.0'S 133°54.0'E in any month; it may be land or ice, or a \
             part of the sea without reports"
        );
        assert!(message(&Month::ALL[4..5]).contains("in May;"));
    }
}
