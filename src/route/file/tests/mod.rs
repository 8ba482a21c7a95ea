//! Route files good and bad, out and in again: what holds for every format.

mod csv;
mod geojson;
mod gpx;

use super::*;
use crate::geodesy::{LegKind, LegTrack, Position};
use crate::route::{Route, Waypoint};

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

fn route(name: &str, kind: LegKind, places: &[(&str, f64, f64)]) -> Route {
    let waypoints = places
        .iter()
        .map(|(name, latitude_deg, longitude_deg)| Waypoint {
            name: (*name).to_owned(),
            position: at(*latitude_deg, *longitude_deg),
            reached_by: kind,
            stop: None,
        });
    Route::new(name, waypoints.collect()).unwrap()
}

/// What reading `text` from a file called `name` gives.
fn read_bytes(name: &str, bytes: &[u8]) -> Result<RouteFile, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    RouteFile::read(&path).map_err(|error| {
        let message = error.to_string();
        let start = message.find(name).expect("the file is named");
        message[start..].to_owned()
    })
}

fn read(name: &str, text: &str) -> RouteFile {
    read_bytes(name, text.as_bytes()).unwrap()
}

fn complaint(name: &str, text: &str) -> String {
    read_bytes(name, text.as_bytes()).unwrap_err()
}

const NASTY: &str = r#"Tom & "Jerry's" <script>alert(1)</script> ]]> é"#;

fn round_tripped(file: &str, write: fn(&[Route]) -> String) -> String {
    let out = route(
        NASTY,
        LegKind::Rhumb,
        &[
            (NASTY, -17.0, 178.0),
            ("=2+5", -17.0, -179.0),
            ("C", -17.0, -170.0),
        ],
    );
    let text = write(std::slice::from_ref(&out));
    let back = read(file, &text).route("Back", Some(NASTY), None).unwrap();
    let names: Vec<&str> = back
        .waypoints()
        .iter()
        .map(|waypoint| waypoint.name.as_str())
        .collect();
    let named: Vec<&str> = names
        .iter()
        .copied()
        .filter(|name| !name.starts_with("Point"))
        .collect();
    assert_eq!(named, [NASTY, "=2+5", "C"], "{text}");
    approx::assert_abs_diff_eq!(back.length_nm(), out.length_nm(), epsilon = 0.02);
    for waypoint in out.waypoints() {
        assert!(
            back.waypoints()
                .iter()
                .any(|found| found.name == waypoint.name
                    && (found.position.latitude_deg() - waypoint.position.latitude_deg()).abs()
                        < 1e-7
                    && (found.position.longitude_deg() - waypoint.position.longitude_deg()).abs()
                        < 1e-7),
            "{waypoint:?}"
        );
    }
    text
}

#[test]
fn every_format_gives_back_what_was_written() {
    let gpx = round_tripped("a.gpx", gpx_text);
    assert!(!gpx.contains("<script>") && !gpx.contains("]]>"), "{gpx}");
    round_tripped("a.GeoJSON", geojson_text);
    round_tripped("a.csv", waypoints_csv);
}

#[test]
fn files_that_are_no_route_files_are_refused() {
    assert!(complaint("route.kml", "").contains(".gpx, .geojson, .json, .csv"));
    assert!(complaint("route", "").contains(".gpx, .geojson, .json, .csv"));
    assert_eq!(
        read_bytes("a.gpx", &[0xff, 0xfe, 0x00]).unwrap_err(),
        "a.gpx: cannot be read: it is not UTF-8 text"
    );
    let error = RouteFile::read(std::path::Path::new("no such.gpx")).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("no such.gpx: cannot be read: ")
    );
    assert_eq!(
        read_bytes("big.csv", &vec![b'x'; 20_000_001]).unwrap_err(),
        "big.csv: cannot be read: it is longer than 20 MB, the most that is read"
    );
    let rows: String = (0..2001)
        .map(|n| format!("{},0\n", f64::from(n) / 100.0))
        .collect();
    let many = read("many.csv", &format!("latitude_deg,longitude_deg\n{rows}"));
    let refusal = many.route("R", None, None).unwrap_err().to_string();
    assert!(
        refusal.ends_with("route 'R' has 2001 waypoints; allowed: 2 to 2000"),
        "{refusal}"
    );
}
