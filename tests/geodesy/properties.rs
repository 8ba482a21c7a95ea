//! What must hold between any places on the Earth.

use crate::ground::{apart_m, turn_deg};
use offing::geodesy::{Earth, GreatCircle, LegKind, LegTrack, Position, RhumbLine, Step};
use offing::units::METRES_PER_NM;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// Rounding of lengths and positions, in metres.
const ROUNDING_M: f64 = 1e-6;
const ROUNDING_NM: f64 = ROUNDING_M / METRES_PER_NM;
/// How far 2.5 nm of a parallel at 60 degrees part from the geodesic that touches it, in metres:
/// d^2 tan(latitude) / 2R is 2.9.
const PARTING_M: f64 = 3.0;
/// Half of the tenth of a minute that chart style shows, and rounding, in degrees.
const CHART_ROUNDING_DEG: f64 = 0.05 / 60.0 + 1e-12;

/// Any place a ship could be and many it could not, both poles and the antimeridian included.
fn place() -> impl Strategy<Value = Position> {
    let latitude = prop_oneof![
        8 => -90.0..=90.0,
        1 => Just(90.0),
        1 => Just(-90.0),
        1 => Just(0.0),
    ];
    let longitude = prop_oneof![9 => -360.0..=360.0, 1 => Just(180.0)];
    (latitude, longitude).prop_map(|(lat, lon)| Position::new(lat, lon).unwrap())
}

fn kind() -> impl Strategy<Value = LegKind> {
    prop_oneof![Just(LegKind::GreatCircle), Just(LegKind::Rhumb)]
}

/// A leg of any kind between any two different places; a composite one where its limit allows.
fn leg() -> impl Strategy<Value = LegTrack> {
    let kind = prop_oneof![
        2 => kind(),
        1 => (1.0..89.9f64).prop_map(|limit| LegKind::Composite { limit_latitude_deg: limit }),
    ];
    (place(), place(), kind).prop_filter_map("no such leg", |(from, to, kind)| {
        LegTrack::new(from, to, kind).ok()
    })
}

/// Great-circle distance in metres by way of the crate's own lines; 0 for the same place.
fn shortest_m(a: Position, b: Position) -> f64 {
    GreatCircle::between(Earth::WGS84, a, b).map_or(0.0, |line| line.length_nm() * METRES_PER_NM)
}

/// An ocean leg away from the poles, of any kind.
fn ocean_leg() -> impl Strategy<Value = LegTrack> {
    let kind = prop_oneof![
        2 => kind(),
        1 => (40.0..60.0f64).prop_map(|limit| LegKind::Composite { limit_latitude_deg: limit }),
    ];
    let ends = (
        10.0..40.0f64,
        -180.0..180.0f64,
        10.0..40.0f64,
        -50.0..50.0f64,
        any::<bool>(),
    );
    (ends, kind).prop_filter_map("too short", |((lat1, lon1, lat2, easting, south), kind)| {
        let side = if south { -1.0 } else { 1.0 };
        let from = Position::new(side * lat1, lon1).ok()?;
        let to = Position::new(side * lat2, lon1 + easting).ok()?;
        LegTrack::new(from, to, kind).ok()
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1000,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(20_250_101),
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_leg_starts_and_arrives(leg in leg()) {
        let first = leg.at_nm(0.0).unwrap();
        let last = leg.at_nm(leg.length_nm()).unwrap();
        prop_assert!(apart_m(first.position, leg.from()) <= ROUNDING_M);
        prop_assert!(apart_m(last.position, leg.to()) <= ROUNDING_M);
    }

    #[test]
    fn sailing_the_solved_course_and_distance_arrives(from in place(), to in place()) {
        // From a pole the course alone does not say which meridian.
        prop_assume!(from.latitude_deg().abs() < 90.0);
        let Ok(line) = RhumbLine::between(Earth::WGS84, from, to) else {
            return Ok(());
        };
        let (course, length_nm) = (line.course(), line.length_nm());
        let again = RhumbLine::on_course(Earth::WGS84, from, course, length_nm).unwrap();
        let missed_m = apart_m(again.at_nm(length_nm).unwrap().position, to);
        prop_assert!(missed_m <= ROUNDING_M, "missed by {missed_m} m");
    }

    #[test]
    fn the_way_back_is_as_long_and_reversed(from in place(), to in place(), kind in kind()) {
        let (Ok(out), Ok(back)) = (LegTrack::new(from, to, kind), LegTrack::new(to, from, kind))
        else {
            return Ok(());
        };
        prop_assert!((out.length_nm() - back.length_nm()).abs() <= ROUNDING_NM);
        // Half way round both rhumb lines run east, and at a pole a course is only a convention.
        let easting_deg = (to.longitude_deg() - from.longitude_deg()).abs();
        let polar = from.latitude_deg().abs() > 89.0 || to.latitude_deg().abs() > 89.0;
        if easting_deg != 180.0 && !polar && out.length_nm() > 1.0 && out.length_nm() < 10_600.0 {
            let (there, reverse) = (out.start().course.deg(), back.end().course.deg());
            prop_assert!(turn_deg(there, reverse + 180.0) <= 1e-6, "{there} {reverse}");
        }
    }

    #[test]
    fn no_detour_is_shorter(a in place(), b in place(), c in place()) {
        prop_assert!(shortest_m(a, c) <= shortest_m(a, b) + shortest_m(b, c) + ROUNDING_M);
    }

    #[test]
    fn neither_rhumb_nor_composite_is_shorter_than_the_great_circle(leg in leg()) {
        let shortest_m = shortest_m(leg.from(), leg.to());
        prop_assert!(leg.length_nm() * METRES_PER_NM >= shortest_m - ROUNDING_M);
    }

    #[test]
    fn segments_fill_the_leg(leg in leg(), step_nm in 20.0..200.0f64) {
        let segments = leg.segments(Step::from_nm(step_nm).unwrap());
        let sum_nm: f64 = segments.iter().map(|segment| segment.length_nm).sum();
        prop_assert!((sum_nm - leg.length_nm()).abs() <= 1e-9 * leg.length_nm());
        let mut reached_nm = 0.0;
        for segment in &segments {
            prop_assert!(segment.length_nm <= step_nm * (1.0 + 1e-8));
            prop_assert!((segment.start_nm - reached_nm).abs() <= 1e-9 * leg.length_nm());
            let middle_nm = segment.start_nm + segment.length_nm / 2.0;
            prop_assert!((segment.midpoint.distance_nm - middle_nm).abs() <= ROUNDING_NM);
            reached_nm = segment.start_nm + segment.length_nm;
        }
    }

    /// Dead reckoning over half of each short segment with its course comes out at its end, whatever
    /// the kind of leg: the courses belong to the positions.
    #[test]
    fn the_sampled_courses_lead_along_the_leg(leg in ocean_leg()) {
        for segment in leg.segments(Step::from_nm(5.0).unwrap()).iter().step_by(25) {
            let half_nm = segment.length_nm / 2.0;
            let middle = segment.midpoint;
            let onward = GreatCircle::on_course(Earth::WGS84, middle.position, middle.course, half_nm)
                .unwrap()
                .at_nm(half_nm)
                .unwrap();
            let end = leg.at_nm(segment.start_nm + segment.length_nm).unwrap();
            let astray_m = apart_m(onward.position, end.position);
            prop_assert!(astray_m <= PARTING_M, "{astray_m} m");
        }
    }

    #[test]
    fn chart_style_is_read_back_to_the_nearest_tenth(position in place()) {
        let shown = position.to_string();
        prop_assert!(!shown.contains("60."));
        let read: Position = shown.parse().unwrap();
        prop_assert!((read.latitude_deg() - position.latitude_deg()).abs() <= CHART_ROUNDING_DEG);
        prop_assert!(turn_deg(read.longitude_deg(), position.longitude_deg()) <= CHART_ROUNDING_DEG);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC*") {
        let _ = text.parse::<Position>();
    }

    #[test]
    fn no_text_like_a_position_makes_the_reader_panic(text in "[-+0-9.°'′NSEWx, ]{0,24}") {
        let _ = text.parse::<Position>();
    }
}
