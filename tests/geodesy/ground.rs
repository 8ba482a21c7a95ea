//! How far apart two answers are on the ground.

use std::f64::consts::PI;

use geographiclib_rs::{Geodesic, InverseGeodesic};
use offing::geodesy::{Earth, Position};
use offing::units::{METRES_PER_NM, wrap_180_deg};

/// How far a position may be from its reference, in metres. A millimetre would do; ours are found
/// within 20 nanometres, but within 100 m of a pole the reference tool's own direct solution is a
/// micrometre out (by the same formulas in 80-bit arithmetic).
pub const POSITION_TOLERANCE_M: f64 = 2e-6;
/// How far a length may be from its reference, in metres; found within 20 nanometres.
pub const LENGTH_TOLERANCE_M: f64 = 1e-7;
/// How far a course may be from its reference, in degrees.
pub const COURSE_TOLERANCE_DEG: f64 = 1e-9;
/// A course is ill-conditioned on a very short line, and at a place very near a pole, where north
/// itself turns with every step. There it may differ by more, if over the line's length, or over the
/// distance to the pole where that is shorter, it leads less than this many metres astray. (Degrees
/// near 180 are held to 3 nanometres.)
pub const CROSS_TRACK_TOLERANCE_M: f64 = 1e-6;

/// Metres between two positions.
pub fn apart_m(a: Position, b: Position) -> f64 {
    Geodesic::wgs84().inverse(
        a.latitude_deg(),
        a.longitude_deg(),
        b.latitude_deg(),
        b.longitude_deg(),
    )
}

/// Degrees between two directions.
pub fn turn_deg(a: f64, b: f64) -> f64 {
    wrap_180_deg(a - b).abs()
}

/// Whether two courses at `place` agree, on a line of `length_m`.
pub fn courses_agree(found_deg: f64, expected_deg: f64, place: Position, length_m: f64) -> bool {
    let pole = Position::new(90f64.copysign(place.latitude_deg()), 0.0).unwrap();
    let lever_m = length_m.min(apart_m(place, pole));
    let turn_deg = turn_deg(found_deg, expected_deg);
    turn_deg <= COURSE_TOLERANCE_DEG || turn_deg.to_radians() * lever_m <= CROSS_TRACK_TOLERANCE_M
}

/// The sphere of the navigation handbooks, on which a minute of arc is a nautical mile.
pub fn nautical_sphere() -> Earth {
    Earth::sphere(METRES_PER_NM * 60.0 * 180.0 / PI).unwrap()
}
