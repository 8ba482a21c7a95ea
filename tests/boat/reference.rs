//! The boat's geometry against values from outside the project; each fixture names its source.

use offing::boat::{
    AtSea, CourseMadeGood, Polar, apparent_wind, course_made_good_kn, hull_speed_kn,
};

use crate::rows::reference_rows;

const GEOMETRY_TOLERANCE: f64 = 1e-3; // kn or deg, the fixture's accuracy
const HULL_SPEED_TOLERANCE_KN: f64 = 0.005; // half the fixture's last digit
const EXACT_TOLERANCE_KN: f64 = 1e-4; // the curve is sampled at 0.2 deg
const TABLE_TOLERANCE_KN: f64 = 0.02;
const LENGTH_TOLERANCE_NM: f64 = 1e-6;
const METRES_PER_FOOT: f64 = 0.3048;

fn assert_near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected}, error {}",
        got - expected
    );
}

/// The same speed at every angle from `first_deg` to downwind and none closer, in every wind.
fn wedge(first_deg: f64, speed_kn: f64) -> Polar {
    let mut text = String::from("true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n");
    for wind_kn in [5, 50] {
        text += &format!("{wind_kn},{},0\n", first_deg - 1.0);
        for angle_deg in [first_deg, 90.0, 180.0] {
            text += &format!("{wind_kn},{angle_deg},{speed_kn}\n");
        }
    }
    Polar::parse(&text, "wedge").unwrap()
}

#[derive(serde::Deserialize)]
struct ApparentWindRow {
    true_wind_speed_kn: f64,
    true_wind_angle_deg: f64,
    boat_speed_kn: f64,
    apparent_wind_speed_kn: f64,
    apparent_wind_angle_deg: f64,
}

#[test]
fn apparent_wind_is_the_vector_sum() {
    for row in reference_rows::<ApparentWindRow>("boat/apparent_wind.csv") {
        let got = apparent_wind(
            row.true_wind_speed_kn,
            row.true_wind_angle_deg,
            row.boat_speed_kn,
        );
        let (speed_kn, angle_deg) = (row.apparent_wind_speed_kn, row.apparent_wind_angle_deg);
        assert_near(got.speed_kn, speed_kn, GEOMETRY_TOLERANCE, "speed");
        assert_near(got.angle_deg, angle_deg, GEOMETRY_TOLERANCE, "angle");
    }
}

#[derive(serde::Deserialize)]
struct HullSpeedRow {
    waterline_length_ft: f64,
    hull_speed_kn: f64,
}

#[test]
fn hull_speed_agrees_with_the_rule_in_feet() {
    for row in reference_rows::<HullSpeedRow>("boat/hull_speed.csv") {
        let got = hull_speed_kn(row.waterline_length_ft * METRES_PER_FOOT);
        let what = format!("{} ft", row.waterline_length_ft);
        assert_near(got, row.hull_speed_kn, HULL_SPEED_TOLERANCE_KN, &what);
    }
}

#[derive(serde::Deserialize)]
struct TackingRow {
    boat_speed_kn: f64,
    sailed_angle_deg: f64,
    mark_angle_deg: f64,
    distance_nm: f64,
    long_leg_nm: f64,
    short_leg_nm: f64,
    progress_kn: f64,
}

#[test]
fn beating_to_a_mark_takes_as_long_as_its_two_legs() {
    for row in reference_rows::<TackingRow>("boat/tacking.csv") {
        let polar = wedge(row.sailed_angle_deg, row.boat_speed_kn);
        let what = format!("{} off {}", row.mark_angle_deg, row.sailed_angle_deg);
        let exact_kn = course_made_good_kn(&polar, 20.0, row.mark_angle_deg);
        assert_near(exact_kn, row.progress_kn, EXACT_TOLERANCE_KN, &what);
        let table_kn =
            CourseMadeGood::new(&polar, &AtSea::NONE).progress_kn(20.0, row.mark_angle_deg);
        assert_near(table_kn, row.progress_kn, TABLE_TOLERANCE_KN, &what);

        // The legs must close on the mark, or the row itself is wrong.
        let (sailed, mark) = (
            row.sailed_angle_deg.to_radians(),
            row.mark_angle_deg.to_radians(),
        );
        let ahead_nm = (row.long_leg_nm + row.short_leg_nm) * sailed.cos();
        let across_nm = (row.long_leg_nm - row.short_leg_nm) * sailed.sin();
        let tolerance_nm = 2.0 * LENGTH_TOLERANCE_NM;
        assert_near(ahead_nm, row.distance_nm * mark.cos(), tolerance_nm, &what);
        assert_near(across_nm, row.distance_nm * mark.sin(), tolerance_nm, &what);
    }
}

#[derive(serde::Deserialize)]
struct ProgressRow {
    true_wind_speed_kn: f64,
    angle_off_course_deg: f64,
    progress_kn: f64,
}

#[test]
fn course_made_good_agrees_with_a_general_convex_hull() {
    let demo = Polar::parse(include_str!("../../fixtures/demo/cutter-12m.csv"), "demo").unwrap();
    let table = CourseMadeGood::new(&demo, &AtSea::NONE);
    for row in reference_rows::<ProgressRow>("boat/course_made_good.csv") {
        let (wind_kn, off_deg) = (row.true_wind_speed_kn, row.angle_off_course_deg);
        let what = format!("{wind_kn} kn, {off_deg} deg off");
        let exact_kn = course_made_good_kn(&demo, wind_kn, off_deg);
        assert_near(exact_kn, row.progress_kn, EXACT_TOLERANCE_KN, &what);
        let table_kn = table.progress_kn(wind_kn, off_deg);
        assert_near(table_kn, row.progress_kn, TABLE_TOLERANCE_KN, &what);
    }
}
