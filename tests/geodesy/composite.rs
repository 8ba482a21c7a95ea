//! Composite sailing: on a sphere against Napier's rules, on WGS84 against what must hold there.

use crate::ground::{POSITION_TOLERANCE_M, apart_m, nautical_sphere};
use crate::rows::reference_rows;
use offing::geodesy::{CompositeLine, CompositeParts, Earth, LegKind, LegTrack, Position, Step};
use offing::units::{METRES_PER_NM, wrap_180_deg};
use serde::Deserialize;

/// Half of the last digit printed for a distance, and rounding of three such digits, in nm.
const DISTANCE_TOLERANCE_NM: f64 = 0.0101;
/// Half of the last digit printed for a course or a vertex, in degrees.
const ANGLE_TOLERANCE_DEG: f64 = 0.000_51;
/// Half of the last digit printed for a difference of longitude, in degrees.
const EASTING_TOLERANCE_DEG: f64 = 0.000_051;

#[derive(Deserialize)]
struct Row {
    id: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    limit_latitude_deg: f64,
    great_circle_nm: f64,
    great_circle_course_deg: f64,
    vertex_latitude_deg: f64,
    reach_easting_deg: f64,
    leave_easting_deg: f64,
    inbound_nm: f64,
    parallel_nm: f64,
    outbound_nm: f64,
    total_nm: f64,
}

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

fn rows() -> Vec<Row> {
    let rows = reference_rows("geodesy/composite.csv");
    assert_eq!(rows.len(), 2);
    rows
}

impl Row {
    fn leg(&self, earth: Earth, kind: LegKind) -> LegTrack {
        let from = at(self.from_latitude_deg, self.from_longitude_deg);
        let to = at(self.to_latitude_deg, self.to_longitude_deg);
        LegTrack::with_earth(earth, from, to, kind).unwrap()
    }

    fn composite(&self, earth: Earth) -> (LegTrack, CompositeParts) {
        let limit_latitude_deg = self.limit_latitude_deg;
        let leg = self.leg(earth, LegKind::Composite { limit_latitude_deg });
        let line = CompositeLine::between(earth, leg.from(), leg.to(), limit_latitude_deg);
        let line = line.unwrap().unwrap();
        assert_eq!(line.length_nm(), leg.length_nm());
        (leg, line.parts())
    }

    fn assert_near(&self, what: &str, found: f64, expected: f64, tolerance: f64) {
        let error = (found - expected).abs();
        assert!(
            error <= tolerance,
            "{}: {what} {found}, expected {expected}, error {error}",
            self.id
        );
    }
}

fn easting_deg(from: Position, to: Position) -> f64 {
    wrap_180_deg(to.longitude_deg() - from.longitude_deg()).abs()
}

#[test]
fn on_a_sphere_it_is_napiers_composite_sailing() {
    for row in rows() {
        let circle = row.leg(nautical_sphere(), LegKind::GreatCircle);
        let vertex = circle.vertex().unwrap();
        assert!(vertex.on_leg);
        row.assert_near(
            "great circle",
            circle.length_nm(),
            row.great_circle_nm,
            DISTANCE_TOLERANCE_NM,
        );
        let departure_deg = circle.start().course.deg();
        row.assert_near(
            "course",
            departure_deg,
            row.great_circle_course_deg,
            ANGLE_TOLERANCE_DEG,
        );
        let vertex_deg = vertex.point.position.latitude_deg();
        row.assert_near(
            "vertex",
            vertex_deg,
            row.vertex_latitude_deg,
            ANGLE_TOLERANCE_DEG,
        );

        let (leg, parts) = row.composite(nautical_sphere());
        let (reach, leave) = (parts.reach, parts.leave);
        for (what, found, expected, tolerance) in [
            (
                "easting to the limit",
                easting_deg(leg.from(), reach.position),
                row.reach_easting_deg,
                EASTING_TOLERANCE_DEG,
            ),
            (
                "easting from the limit",
                easting_deg(leave.position, leg.to()),
                row.leave_easting_deg,
                EASTING_TOLERANCE_DEG,
            ),
            (
                "first part",
                reach.distance_nm,
                row.inbound_nm,
                DISTANCE_TOLERANCE_NM,
            ),
            (
                "parallel",
                leave.distance_nm - reach.distance_nm,
                row.parallel_nm,
                DISTANCE_TOLERANCE_NM,
            ),
            (
                "last part",
                leg.length_nm() - leave.distance_nm,
                row.outbound_nm,
                DISTANCE_TOLERANCE_NM,
            ),
            (
                "total",
                leg.length_nm(),
                row.total_nm,
                DISTANCE_TOLERANCE_NM,
            ),
        ] {
            row.assert_near(what, found, expected, tolerance);
        }
    }
}

/// The whole and each part differ from the sphere's by less than the flattening, one part in 298, of
/// the whole leg. (Of itself a part may differ by more: on WGS84 the touching points shift toward
/// the ends and the parallel gains what the geodesics lose.)
#[test]
fn on_wgs84_it_differs_from_the_sphere_by_less_than_the_flattening() {
    for row in rows() {
        let bound_nm = row.total_nm * Earth::WGS84.flattening();
        let (leg, parts) = row.composite(Earth::WGS84);
        let (reach_nm, leave_nm) = (parts.reach.distance_nm, parts.leave.distance_nm);
        let circle = row.leg(Earth::WGS84, LegKind::GreatCircle);
        for (what, found_nm, sphere_nm) in [
            ("great circle", circle.length_nm(), row.great_circle_nm),
            ("total", leg.length_nm(), row.total_nm),
            ("first part", reach_nm, row.inbound_nm),
            ("parallel", leave_nm - reach_nm, row.parallel_nm),
            ("last part", leg.length_nm() - leave_nm, row.outbound_nm),
        ] {
            println!(
                "{} {what}: {found_nm:.2} nm on WGS84, {sphere_nm} nm on the sphere",
                row.id
            );
            row.assert_near(what, found_nm, sphere_nm, bound_nm);
        }
    }
}

/// Joining the parallel earlier than the touching point is longer; joining it later would be shorter,
/// but by a geodesic that runs beyond the limit. Lengths are solved afresh by the library.
#[test]
fn on_wgs84_the_touching_points_are_where_the_leg_is_shortest() {
    for row in rows() {
        let (leg, parts) = row.composite(Earth::WGS84);
        let total_m = leg.length_nm() * METRES_PER_NM;
        let (reach, leave) = (parts.reach.position, parts.leave.position);
        let eastward = wrap_180_deg(leave.longitude_deg() - reach.longitude_deg()).signum();
        let moved = |point: Position, later_deg: f64| {
            at(
                point.latitude_deg(),
                point.longitude_deg() + eastward * later_deg,
            )
        };
        let by_way_of = |join: Position, quit: Position| {
            let parallel = LegTrack::new(join, quit, LegKind::Rhumb).unwrap();
            apart_m(leg.from(), join)
                + parallel.length_nm() * METRES_PER_NM
                + apart_m(quit, leg.to())
        };
        assert!((by_way_of(reach, leave) - total_m).abs() <= 1e-6);
        for degrees in [0.1, 1.0, 5.0] {
            assert!(by_way_of(moved(reach, -degrees), leave) > total_m + 1e-3);
            assert!(by_way_of(reach, moved(leave, degrees)) > total_m + 1e-3);
            let join_late = moved(reach, degrees);
            assert!(by_way_of(join_late, leave) < total_m - 1e-3);
            let too_far = LegTrack::new(leg.from(), join_late, LegKind::GreatCircle).unwrap();
            assert!(too_far.vertex().unwrap().on_leg);
        }
    }
}

#[test]
fn on_wgs84_it_runs_to_the_limit_along_it_and_away() {
    for row in rows() {
        let (leg, parts) = row.composite(Earth::WGS84);
        let limit_deg = row.limit_latitude_deg.copysign(leg.from().latitude_deg());
        assert_eq!(parts.limit_latitude_deg, limit_deg);
        let eastward = wrap_180_deg(leg.to().longitude_deg() - leg.from().longitude_deg()) > 0.0;
        let along_deg = if eastward { 90.0 } else { 270.0 };
        for point in [parts.reach, parts.leave] {
            row.assert_near("limit", point.position.latitude_deg(), limit_deg, 1e-12);
            row.assert_near("course on the limit", point.course.deg(), along_deg, 1e-9);
        }
        // Each geodesic part is the shortest line between its ends, as the library solves it afresh.
        for (from, to, length_nm) in [
            (leg.from(), parts.reach.position, parts.reach.distance_nm),
            (
                parts.leave.position,
                leg.to(),
                leg.length_nm() - parts.leave.distance_nm,
            ),
        ] {
            row.assert_near(
                "geodesic part",
                length_nm * METRES_PER_NM,
                apart_m(from, to),
                1e-6,
            );
        }
        // Stepping along it starts, stays inside the limit, keeps its spacing and arrives.
        assert!(apart_m(leg.at_nm(0.0).unwrap().position, leg.from()) <= POSITION_TOLERANCE_M);
        assert!(
            apart_m(leg.at_nm(leg.length_nm()).unwrap().position, leg.to()) <= POSITION_TOLERANCE_M
        );
        let mut before = leg.start().position;
        for segment in leg.segments(Step::from_nm(10.0).unwrap()) {
            let end = leg
                .at_nm(segment.start_nm + segment.length_nm)
                .unwrap()
                .position;
            assert!(end.latitude_deg().abs() <= row.limit_latitude_deg + 1e-12);
            let chord_nm = apart_m(before, end) / METRES_PER_NM;
            // A 10 nm stretch of a parallel is longer than its chord by under a tenth of a metre.
            assert!(
                (chord_nm - segment.length_nm).abs() <= 1e-4,
                "{}: {chord_nm}",
                row.id
            );
            before = end;
        }
        // It is longer than the free great circle and shorter than any wider detour.
        let circle = row.leg(Earth::WGS84, LegKind::GreatCircle);
        assert!(leg.length_nm() > circle.length_nm());
        let tighter = LegKind::Composite {
            limit_latitude_deg: row.limit_latitude_deg - 1.0,
        };
        assert!(row.leg(Earth::WGS84, tighter).length_nm() > leg.length_nm());
    }
}

#[test]
fn the_great_circle_is_sailed_where_it_stays_clear_of_the_limit() {
    let free = |from, to, limit_latitude_deg| {
        let leg = LegTrack::new(from, to, LegKind::Composite { limit_latitude_deg }).unwrap();
        let circle = LegTrack::new(from, to, LegKind::GreatCircle).unwrap();
        let line = CompositeLine::between(Earth::WGS84, from, to, limit_latitude_deg);
        let same = line.unwrap().is_none();
        assert_eq!(same, leg.length_nm() == circle.length_nm());
        same
    };
    // The vertex, near 39.2 S, is on the leg.
    assert!(free(at(-32.0, 116.0), at(-30.0, 31.0), 40.0));
    assert!(!free(at(-32.0, 116.0), at(-30.0, 31.0), 39.0));
    // The full circle goes beyond 45 degrees, but only after the leg has ended.
    let climbing = LegTrack::new(at(10.0, 0.0), at(40.0, 20.0), LegKind::GreatCircle).unwrap();
    let vertex = climbing.vertex().unwrap();
    assert!(!vertex.on_leg && vertex.point.position.latitude_deg() > 45.0);
    assert!(free(at(10.0, 0.0), at(40.0, 20.0), 45.0));
    // Along a meridian no limit poleward of both ends is met.
    assert!(free(at(10.0, 20.0), at(40.0, 20.0), 40.0));
}

#[test]
fn ends_on_the_limit_leave_only_the_parallel() {
    let (from, to) = (at(-45.0, 170.0), at(-45.0, -100.0));
    let leg = LegTrack::new(
        from,
        to,
        LegKind::Composite {
            limit_latitude_deg: 45.0,
        },
    )
    .unwrap();
    let rhumb = LegTrack::new(from, to, LegKind::Rhumb).unwrap();
    assert!((leg.length_nm() - rhumb.length_nm()).abs() * METRES_PER_NM <= 1e-6);
    let line = CompositeLine::between(Earth::WGS84, from, to, 45.0).unwrap();
    let parts = line.unwrap().parts();
    assert_eq!(parts.reach.distance_nm, 0.0);
    assert!((parts.leave.distance_nm - leg.length_nm()).abs() <= 1e-9);
}
