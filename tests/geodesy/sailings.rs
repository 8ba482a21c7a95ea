//! The sailings of the handbooks, most of which assume a sphere, and how far WGS84 is from them.

use crate::ground::{nautical_sphere, turn_deg};
use crate::rows::reference_rows;
use offing::geodesy::{Earth, GreatCircle, Position, RhumbLine};
use offing::units::{Course, wrap_180_deg};
use serde::Deserialize;

/// A tenth of a minute of arc, to which positions are printed.
const ARC_TOLERANCE_MIN: f64 = 0.1;
/// A tenth of a mile, to which distances are printed.
const DISTANCE_TOLERANCE_NM: f64 = 0.1;
/// Half of a tenth of a degree, to which rhumb courses are printed, and rounding.
const COURSE_TOLERANCE_DEG: f64 = 0.051;
/// Half of the last digit of a great circle's course or vertex: a hundredth of a degree, a
/// thousandth of a degree or a tenth of a minute.
const GREAT_CIRCLE_TOLERANCE_DEG: f64 = 0.0051;

#[derive(Deserialize)]
struct Row {
    id: String,
    from_latitude_deg: f64,
    from_longitude_deg: f64,
    course_deg: f64,
    distance_nm: f64,
    to_latitude_deg: f64,
    to_longitude_deg: f64,
    vertex_latitude_deg: Option<f64>,
}

impl Row {
    fn named(id: &str) -> Self {
        let rows: Vec<Self> = reference_rows("geodesy/sailings.csv");
        rows.into_iter().find(|row| row.id == id).unwrap()
    }

    fn from(&self) -> Position {
        Position::new(self.from_latitude_deg, self.from_longitude_deg).unwrap()
    }

    fn to(&self) -> Position {
        Position::new(self.to_latitude_deg, self.to_longitude_deg).unwrap()
    }

    /// Where a rhumb line with the row's course and distance ends.
    fn sailed(&self, earth: Earth) -> Position {
        let course = Course::from_deg(self.course_deg);
        let line = RhumbLine::on_course(earth, self.from(), course, self.distance_nm).unwrap();
        line.at_nm(self.distance_nm).unwrap().position
    }

    fn assert_near(&self, what: &str, found: f64, expected: f64, tolerance: f64) {
        let error = (found - expected).abs();
        println!("{} {what}: {found:.3}, handbook {expected:.3}", self.id);
        assert!(
            error <= tolerance,
            "{}: {what} {found}, expected {expected}, error {error}",
            self.id
        );
    }
}

/// Minutes of arc between two coordinates.
fn apart_min(a_deg: f64, b_deg: f64) -> f64 {
    wrap_180_deg(a_deg - b_deg).abs() * 60.0
}

#[test]
fn mercator_sailing() {
    // The handbook takes a minute of latitude for a mile, as on the sphere, and then the meridional
    // parts of the ellipsoid; each half is held against the Earth it belongs to.
    let row = Row::named("B2");
    let end = row.sailed(nautical_sphere());
    let latitude_error_min = apart_min(end.latitude_deg(), row.to_latitude_deg);
    row.assert_near("latitude error", latitude_error_min, 0.0, ARC_TOLERANCE_MIN);
    let line = RhumbLine::between(Earth::WGS84, row.from(), row.to()).unwrap();
    let course_deg = line.course().deg();
    row.assert_near("course", course_deg, row.course_deg, COURSE_TOLERANCE_DEG);
}

#[test]
fn mid_latitude_sailing() {
    /// Mid-latitude sailing puts the whole leg on the parallel of its middle latitude. The true
    /// rhumb line differs from that on these legs by no more than this.
    const FORMULA_NM: f64 = 1.0;
    const FORMULA_DEG: f64 = 0.1;

    let inverse = Row::named("B3");
    let line = RhumbLine::between(nautical_sphere(), inverse.from(), inverse.to()).unwrap();
    inverse.assert_near(
        "distance",
        line.length_nm(),
        inverse.distance_nm,
        FORMULA_NM,
    );
    let course_deg = line.course().deg();
    inverse.assert_near("course", course_deg, inverse.course_deg, FORMULA_DEG);

    let direct = Row::named("B4");
    let end = direct.sailed(nautical_sphere());
    let latitude_error_min = apart_min(end.latitude_deg(), direct.to_latitude_deg);
    direct.assert_near("latitude error", latitude_error_min, 0.0, ARC_TOLERANCE_MIN);
    let departure_nm = apart_min(end.longitude_deg(), direct.to_longitude_deg)
        * end.latitude_deg().to_radians().cos();
    direct.assert_near("departure error", departure_nm, 0.0, FORMULA_NM);
}

#[test]
fn plane_sailing() {
    // B5, remembered from the same handbook and computed: 188.0 miles on 005 make 187.3 north and
    // 16.4 of departure; 136.0 north and 203.0 west are course 303.8, distance 244.3. Laid across
    // the equator, where departure and difference of longitude are the same to a tenth.
    let across = |north_min: f64, east_min: f64| {
        let from = Position::new(-north_min / 120.0, 0.0).unwrap();
        let to = Position::new(north_min / 120.0, east_min / 60.0).unwrap();
        RhumbLine::between(nautical_sphere(), from, to).unwrap()
    };
    let first = across(187.3, 16.4);
    assert!((first.length_nm() - 188.0).abs() <= DISTANCE_TOLERANCE_NM);
    assert!(turn_deg(first.course().deg(), 5.0) <= COURSE_TOLERANCE_DEG);
    let second = across(136.0, -203.0);
    assert!((second.length_nm() - 244.3).abs() <= DISTANCE_TOLERANCE_NM);
    assert!(turn_deg(second.course().deg(), 303.8) <= COURSE_TOLERANCE_DEG);
}

#[test]
fn great_circle_sailing() {
    for id in ["B6", "B7"] {
        let row = Row::named(id);
        let circle = GreatCircle::between(nautical_sphere(), row.from(), row.to()).unwrap();
        let distance_nm = circle.length_nm();
        row.assert_near(
            "distance",
            distance_nm,
            row.distance_nm,
            DISTANCE_TOLERANCE_NM,
        );
        let course_deg = circle.at_nm(0.0).unwrap().course.deg();
        let tolerance_deg = GREAT_CIRCLE_TOLERANCE_DEG;
        row.assert_near("course", course_deg, row.course_deg, tolerance_deg);
        let vertex = circle.vertex().unwrap();
        assert!(vertex.on_leg);
        let vertex_deg = vertex.point.position.latitude_deg();
        let printed_deg = row.vertex_latitude_deg.unwrap();
        row.assert_near("vertex", vertex_deg, printed_deg, tolerance_deg);

        // The Earth's own distance is within the flattening, one part in 298, of the sphere's.
        let on_wgs84 = GreatCircle::between(Earth::WGS84, row.from(), row.to()).unwrap();
        let bound_nm = row.distance_nm * Earth::WGS84.flattening();
        row.assert_near(
            "distance on WGS84",
            on_wgs84.length_nm(),
            row.distance_nm,
            bound_nm,
        );
    }
}
