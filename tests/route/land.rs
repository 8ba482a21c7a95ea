//! Land against shapely on the same source, unsimplified: `scripts/reference/land_rows.py`.

use crate::rows::reference_rows;
use offing::geodesy::{LegKind, Position};
use offing::route::{Land, LandCheck, Route, Waypoint};
use serde::Deserialize;

/// How much longer or shorter a stretch on land may be than the shortest and longest that shapely
/// finds with its margin of 0.03 degree, in nautical miles: great circles are cut into other chords.
const LENGTH_TOLERANCE_NM: f64 = 0.5;

#[derive(Deserialize)]
struct PlaceRow {
    latitude_deg: f64,
    longitude_deg: f64,
    surface: String,
}

#[derive(Deserialize)]
struct LegRow {
    kind: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    crosses: String,
    at_least_nm: f64,
    at_most_nm: f64,
}

#[test]
fn places_are_land_or_sea_as_shapely_says() {
    let rows: Vec<PlaceRow> = reference_rows("land/places.csv");
    assert!(rows.len() >= 100);
    for row in &rows {
        let place = Position::new(row.latitude_deg, row.longitude_deg).unwrap();
        let found = if Land::natural_earth().covers(place) {
            "land"
        } else {
            "sea"
        };
        assert_eq!(found, row.surface, "{place}");
    }
}

#[test]
fn legs_cross_land_as_shapely_says() {
    let rows: Vec<LegRow> = reference_rows("land/legs.csv");
    assert!(rows.len() >= 100);
    for row in &rows {
        let kind = match row.kind.as_str() {
            "great-circle" => LegKind::GreatCircle,
            _ => LegKind::Rhumb,
        };
        let ends = [
            (row.from_latitude_deg, row.from_longitude_deg),
            (row.to_latitude_deg, row.to_longitude_deg),
        ];
        let waypoints = ends.map(|(latitude_deg, longitude_deg)| Waypoint {
            name: "W".to_owned(),
            position: Position::new(latitude_deg, longitude_deg).unwrap(),
            reached_by: kind,
            stop: None,
        });
        let route = Route::new("R", waypoints.to_vec()).unwrap();
        let check = LandCheck::of(&route, Land::natural_earth());
        let crossings = check.crossings.iter().map(|crossing| crossing.over_nm);
        let over_nm = crossings.sum::<f64>() + check.near_ends_nm;
        let allowed = row.at_least_nm - LENGTH_TOLERANCE_NM..=row.at_most_nm + LENGTH_TOLERANCE_NM;
        assert_eq!(
            over_nm > 0.0,
            row.crosses == "yes",
            "{ends:?}: {over_nm} nm"
        );
        assert!(
            allowed.contains(&over_nm),
            "{} from {:?} to {:?}: {over_nm} nm; allowed: {allowed:?}",
            row.kind,
            ends[0],
            ends[1]
        );
    }
}
