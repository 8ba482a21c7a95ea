//! Rhumb lines against published values and against RhumbSolve of GeographicLib.

use crate::ground::{
    COURSE_TOLERANCE_DEG, LENGTH_TOLERANCE_M, POSITION_TOLERANCE_M, apart_m, courses_agree,
    turn_deg,
};
use crate::rows::reference_rows;
use offing::geodesy::{Earth, GeodesyError, LegKind, LegTrack, Position, RhumbLine};
use offing::units::{Course, METRES_PER_NM};
use serde::Deserialize;

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

fn sail(
    earth: Earth,
    from: Position,
    course_deg: f64,
    length_m: f64,
) -> Result<Position, GeodesyError> {
    let length_nm = length_m / METRES_PER_NM;
    let line = RhumbLine::on_course(earth, from, Course::from_deg(course_deg), length_nm)?;
    Ok(line.at_nm(length_nm).unwrap().position)
}

#[derive(Deserialize)]
struct Published {
    id: String,
    problem: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    course_deg: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    length_m: f64,
    angle_tolerance_deg: f64,
    length_tolerance_m: Option<f64>,
}

#[test]
fn published_problems() {
    let rows: Vec<Published> = reference_rows("geodesy/rhumb_published.csv");
    assert_eq!(rows.len(), 6);
    for row in &rows {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let to = at(row.to_latitude_deg, row.to_longitude_deg);
        if row.problem == "inverse" {
            let leg = LegTrack::new(from, to, LegKind::Rhumb).unwrap();
            let course_error_deg = turn_deg(leg.start().course.deg(), row.course_deg);
            let length_error_m = (leg.length_nm() * METRES_PER_NM - row.length_m).abs();
            assert!(
                course_error_deg <= row.angle_tolerance_deg
                    && length_error_m <= row.length_tolerance_m.unwrap(),
                "{}: course off by {course_error_deg:e} degrees, length by {length_error_m:e} m",
                row.id
            );
        } else {
            let end = sail(Earth::WGS84, from, row.course_deg, row.length_m).unwrap();
            let error_deg = (end.latitude_deg() - row.to_latitude_deg)
                .abs()
                .max(turn_deg(end.longitude_deg(), row.to_longitude_deg));
            assert!(
                error_deg <= row.angle_tolerance_deg,
                "{}: {error_deg:e} degrees",
                row.id
            );
        }
    }
}

#[test]
fn one_metre_past_the_pole_is_refused() {
    // GeographicLib tests/CMakeLists.txt, RhumbSolve10: there the longitude is not a number.
    assert!(matches!(
        sail(Earth::WGS84, at(0.0, 0.0), 0.0, 10_001_966.0),
        Err(GeodesyError::BeyondPole { .. })
    ));
}

#[test]
fn a_published_line_on_a_sphere() {
    // GeographicLib tests/CMakeLists.txt, RhumbSolve4: a = 6.4e6 m, f = 0, printed to 1e-11 degree.
    const PRINTED_TOLERANCE_DEG: f64 = 1e-11;
    let sphere = Earth::sphere(6.4e6).unwrap();
    let end = sail(sphere, at(20.0, 0.0), 37.1, 8_399_000.0).unwrap();
    assert!((end.latitude_deg() - 79.97173787686).abs() <= PRINTED_TOLERANCE_DEG);
    assert!((end.longitude_deg() - 90.00285375451).abs() <= PRINTED_TOLERANCE_DEG);
}

#[derive(Deserialize)]
struct Waypoint {
    length_m: f64,
    latitude_deg: f64,
    longitude_deg: f64,
}

#[test]
fn published_waypoints_from_new_york() {
    /// Half of the 0.1 second of arc the source prints, and rounding.
    const PRINTED_TOLERANCE_DEG: f64 = 0.05001 / 3600.0;
    let rows: Vec<Waypoint> = reference_rows("geodesy/rhumb_waypoints.csv");
    assert_eq!(rows.len(), 11);
    let from = at(rows[0].latitude_deg, rows[0].longitude_deg);
    let course = Course::from_deg(103.0 + 34.0 / 60.0 + 58.2 / 3600.0);
    let whole_nm = rows[10].length_m / METRES_PER_NM;
    let line = RhumbLine::on_course(Earth::WGS84, from, course, whole_nm).unwrap();
    for row in &rows {
        let position = line.at_nm(row.length_m / METRES_PER_NM).unwrap().position;
        assert!(
            (position.latitude_deg() - row.latitude_deg).abs() <= PRINTED_TOLERANCE_DEG
                && turn_deg(position.longitude_deg(), row.longitude_deg) <= PRINTED_TOLERANCE_DEG,
            "{} m: {position:?}",
            row.length_m
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
    course_deg: f64,
    length_m: f64,
}

#[test]
fn inverse_problems_agree_with_rhumbsolve() {
    let rows: Vec<Inverse> = reference_rows("geodesy/rhumb_inverse.csv");
    assert_eq!(rows.len(), 620);
    let (mut worst_length_m, mut worst_end_m, mut loosened) = (0f64, 0f64, 0);
    for row in &rows {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let to = at(row.to_latitude_deg, row.to_longitude_deg);
        let leg = LegTrack::new(from, to, LegKind::Rhumb).unwrap();
        let length_m = leg.length_nm() * METRES_PER_NM;
        let error_m = (length_m - row.length_m).abs();
        worst_length_m = worst_length_m.max(error_m);
        assert!(
            error_m <= LENGTH_TOLERANCE_M,
            "{} {from} {to}: length {length_m}, expected {}, error {error_m:e} m",
            row.sort,
            row.length_m
        );
        let course_deg = leg.start().course.deg();
        loosened += usize::from(turn_deg(course_deg, row.course_deg) > COURSE_TOLERANCE_DEG);
        let nearer_pole = if from.latitude_deg().abs() > to.latitude_deg().abs() {
            from
        } else {
            to
        };
        assert!(
            courses_agree(course_deg, row.course_deg, nearer_pole, row.length_m),
            "{} {from} {to}: course {course_deg}, expected {}",
            row.sort,
            row.course_deg
        );
        let missed_m = apart_m(leg.at_nm(leg.length_nm()).unwrap().position, to);
        worst_end_m = worst_end_m.max(missed_m);
        assert!(
            missed_m <= POSITION_TOLERANCE_M,
            "{} {from} {to}: missed by {missed_m:e} m",
            row.sort
        );
    }
    println!(
        "worst length error {worst_length_m:e} m, worst miss at the end {worst_end_m:e} m, \
         {loosened} courses held to the cross-track tolerance"
    );
}

#[derive(Deserialize)]
struct Direct {
    sort: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    course_deg: f64,
    length_m: f64,
    to_latitude_deg: Option<f64>,
    to_longitude_deg: Option<f64>,
}

#[test]
fn direct_problems_agree_with_rhumbsolve() {
    let rows: Vec<Direct> = reference_rows("geodesy/rhumb_direct.csv");
    assert_eq!(rows.len(), 300);
    let (mut worst_m, mut beyond_the_pole) = (0f64, 0);
    for row in &rows {
        let from = at(row.from_latitude_deg, row.from_longitude_deg);
        let end = sail(Earth::WGS84, from, row.course_deg, row.length_m);
        let (Some(latitude_deg), Some(longitude_deg)) = (row.to_latitude_deg, row.to_longitude_deg)
        else {
            assert!(
                matches!(end, Err(GeodesyError::BeyondPole { .. })),
                "{} {from} course {}: expected a refusal, found {end:?}",
                row.sort,
                row.course_deg
            );
            beyond_the_pole += 1;
            continue;
        };
        let error_m = apart_m(end.unwrap(), at(latitude_deg, longitude_deg));
        worst_m = worst_m.max(error_m);
        assert!(
            error_m <= POSITION_TOLERANCE_M,
            "{} {from} course {}: off by {error_m:e} m",
            row.sort,
            row.course_deg
        );
    }
    assert_eq!(beyond_the_pole, 11);
    println!("worst position error {worst_m:e} m");
}
