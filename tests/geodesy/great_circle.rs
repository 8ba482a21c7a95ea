//! Great circles on WGS84 against published values and against GeodSolve of GeographicLib.

use crate::ground::{LENGTH_TOLERANCE_M, POSITION_TOLERANCE_M, apart_m, courses_agree, turn_deg};
use crate::rows::reference_rows;
use offing::geodesy::{Earth, GreatCircle, LegKind, LegTrack, Position};
use offing::units::{Course, METRES_PER_NM};
use serde::Deserialize;

#[derive(Deserialize)]
struct Published {
    id: String,
    problem: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    start_azimuth_deg: Option<f64>,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    end_azimuth_deg: Option<f64>,
    length_m: f64,
    angle_tolerance_deg: Option<f64>,
    length_tolerance_m: Option<f64>,
}

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

fn assert_angle(id: &str, what: &str, found_deg: f64, expected_deg: f64, tolerance_deg: f64) {
    let error_deg = turn_deg(found_deg, expected_deg);
    assert!(
        error_deg <= tolerance_deg,
        "{id}: {what} {found_deg}, expected {expected_deg}, error {error_deg:e} degrees"
    );
}

#[test]
fn published_inverse_problems() {
    let rows: Vec<Published> = reference_rows("geodesy/geodesic_published.csv");
    let mut checked = 0;
    for row in rows.iter().filter(|row| row.problem != "direct") {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let to = at(row.to_latitude_deg, row.to_longitude_deg);
        let leg = LegTrack::new(from, to, LegKind::GreatCircle).unwrap();
        let length_m = leg.length_nm() * METRES_PER_NM;
        let error_m = (length_m - row.length_m).abs();
        assert!(
            error_m <= row.length_tolerance_m.unwrap(),
            "{}: length {length_m}, expected {}, error {error_m:e} m",
            row.id,
            row.length_m
        );
        if let (Some(start_deg), Some(end_deg), Some(tolerance_deg)) = (
            row.start_azimuth_deg,
            row.end_azimuth_deg,
            row.angle_tolerance_deg,
        ) {
            let (start, end) = (leg.start().course.deg(), leg.end().course.deg());
            assert_angle(&row.id, "departure", start, start_deg, tolerance_deg);
            assert_angle(&row.id, "arrival", end, end_deg, tolerance_deg);
        }
        checked += 1;
    }
    assert_eq!(checked, 33);
}

#[test]
fn published_direct_problems() {
    let rows: Vec<Published> = reference_rows("geodesy/geodesic_published.csv");
    let mut checked = 0;
    for row in rows.iter().filter(|row| row.problem != "inverse") {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let course = Course::from_deg(row.start_azimuth_deg.unwrap());
        let length_nm = row.length_m / METRES_PER_NM;
        let line = GreatCircle::on_course(Earth::WGS84, from, course, length_nm).unwrap();
        let end = line.at_nm(length_nm).unwrap();
        let tolerance_deg = row.angle_tolerance_deg.unwrap();
        let (latitude_deg, longitude_deg) =
            (end.position.latitude_deg(), end.position.longitude_deg());
        assert_angle(
            &row.id,
            "latitude",
            latitude_deg,
            row.to_latitude_deg,
            tolerance_deg,
        );
        assert_angle(
            &row.id,
            "longitude",
            longitude_deg,
            row.to_longitude_deg,
            tolerance_deg,
        );
        let arrival_deg = row.end_azimuth_deg.unwrap();
        assert_angle(
            &row.id,
            "arrival",
            end.course.deg(),
            arrival_deg,
            tolerance_deg,
        );
        checked += 1;
    }
    assert_eq!(checked, 22);
}

#[derive(Deserialize)]
struct Waypoint {
    tenths: f64,
    latitude_deg: f64,
    longitude_deg: f64,
    azimuth_deg: f64,
}

#[test]
fn published_waypoints_from_new_york_to_singapore() {
    /// Half of the 0.1 second of arc the source prints, and rounding.
    const PRINTED_TOLERANCE_DEG: f64 = 0.05001 / 3600.0;
    let rows: Vec<Waypoint> = reference_rows("geodesy/geodesic_waypoints.csv");
    assert_eq!(rows.len(), 11);
    let ends: Vec<Position> = [&rows[0], &rows[10]]
        .map(|row| at(row.latitude_deg, row.longitude_deg))
        .to_vec();
    let leg = LegTrack::new(ends[0], ends[1], LegKind::GreatCircle).unwrap();
    for row in &rows {
        let point = leg.at_nm(leg.length_nm() * row.tenths / 10.0).unwrap();
        let id = format!("waypoint {}", row.tenths);
        let tolerance_deg = PRINTED_TOLERANCE_DEG;
        let position = point.position;
        assert_angle(
            &id,
            "latitude",
            position.latitude_deg(),
            row.latitude_deg,
            tolerance_deg,
        );
        assert_angle(
            &id,
            "longitude",
            position.longitude_deg(),
            row.longitude_deg,
            tolerance_deg,
        );
        assert_angle(
            &id,
            "course",
            point.course.deg(),
            row.azimuth_deg,
            tolerance_deg,
        );
    }
}

#[derive(Deserialize)]
struct Inverse {
    sort: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    start_azimuth_deg: f64,
    end_azimuth_deg: f64,
    length_m: f64,
}

#[test]
fn inverse_problems_agree_with_geodsolve() {
    let rows: Vec<Inverse> = reference_rows("geodesy/geodesic_inverse.csv");
    assert_eq!(rows.len(), 300);
    let mut worst_length_m = 0f64;
    let mut worst_end_m = 0f64;
    for row in &rows {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let to = at(row.to_latitude_deg, row.to_longitude_deg);
        let leg = LegTrack::new(from, to, LegKind::GreatCircle).unwrap();
        let length_m = leg.length_nm() * METRES_PER_NM;
        let error_m = (length_m - row.length_m).abs();
        worst_length_m = worst_length_m.max(error_m);
        assert!(
            error_m <= LENGTH_TOLERANCE_M,
            "{} {from} {to}: length {length_m}, expected {}, error {error_m:e} m",
            row.sort,
            row.length_m
        );
        // Stepping along the whole leg must arrive.
        let arrived = leg.at_nm(leg.length_nm()).unwrap();
        let missed_m = apart_m(arrived.position, to);
        worst_end_m = worst_end_m.max(missed_m);
        assert!(
            missed_m <= POSITION_TOLERANCE_M,
            "{} {from} {to}: missed by {missed_m:e} m",
            row.sort
        );
        for (place, found_deg, expected_deg) in [
            (from, leg.start().course.deg(), row.start_azimuth_deg),
            (to, arrived.course.deg(), row.end_azimuth_deg),
        ] {
            assert!(
                courses_agree(found_deg, expected_deg, place, row.length_m),
                "{} {from} {to}: course {found_deg}, expected {expected_deg}",
                row.sort
            );
        }
    }
    println!("worst length error {worst_length_m:e} m, worst miss at the end {worst_end_m:e} m");
}

#[derive(Deserialize)]
struct Direct {
    sort: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    course_deg: f64,
    length_m: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    end_azimuth_deg: f64,
}

#[test]
fn direct_problems_agree_with_geodsolve() {
    let rows: Vec<Direct> = reference_rows("geodesy/geodesic_direct.csv");
    assert_eq!(rows.len(), 150);
    let mut worst_m = 0f64;
    for row in &rows {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let length_nm = row.length_m / METRES_PER_NM;
        let course = Course::from_deg(row.course_deg);
        let line = GreatCircle::on_course(Earth::WGS84, from, course, length_nm).unwrap();
        let end = line.at_nm(length_nm).unwrap();
        let error_m = apart_m(end.position, at(row.to_latitude_deg, row.to_longitude_deg));
        worst_m = worst_m.max(error_m);
        assert!(
            error_m <= POSITION_TOLERANCE_M,
            "{} {from}: {error_m:e} m",
            row.sort
        );
        assert!(
            courses_agree(
                end.course.deg(),
                row.end_azimuth_deg,
                end.position,
                row.length_m
            ),
            "{} {from}: arrival {}, expected {}",
            row.sort,
            end.course.deg(),
            row.end_azimuth_deg
        );
    }
    println!("worst position error {worst_m:e} m");
}

#[test]
fn the_vertex_is_the_farthest_point_from_the_equator() {
    let leg = |from, to| LegTrack::new(from, to, LegKind::GreatCircle).unwrap();
    let crossing = leg(at(-32.0, 116.0), at(-30.0, 31.0));
    let vertex = crossing.vertex().unwrap();
    assert!(vertex.on_leg);
    assert_angle("vertex", "course", vertex.point.course.deg(), 270.0, 1e-9);
    let there = crossing.at_nm(vertex.point.distance_nm).unwrap();
    assert!(apart_m(there.position, vertex.point.position) <= POSITION_TOLERANCE_M);
    for tenths in 0..=10 {
        let point = crossing
            .at_nm(crossing.length_nm() * f64::from(tenths) / 10.0)
            .unwrap();
        assert!(point.position.latitude_deg() >= vertex.point.position.latitude_deg());
    }

    let short = leg(at(-32.0, 116.0), at(-34.0, 110.0));
    assert!(!short.vertex().unwrap().on_leg);
    assert!(short.vertex().unwrap().point.distance_nm > short.length_nm());
    let back = leg(at(-34.0, 110.0), at(-32.0, 116.0));
    assert!(back.vertex().unwrap().point.distance_nm < 0.0);

    assert!(leg(at(0.0, 0.0), at(0.0, 50.0)).vertex().is_none());
    let over_the_pole = leg(at(60.0, 10.0), at(60.0, -170.0)).vertex().unwrap();
    assert!(over_the_pole.on_leg);
    assert_angle(
        "pole",
        "latitude",
        over_the_pole.point.position.latitude_deg(),
        90.0,
        1e-12,
    );
}
