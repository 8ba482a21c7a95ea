//! Points and stretches of a leg.

use schemars::JsonSchema;
use serde::Serialize;

use super::error::GeodesyError;
use super::position::Position;
use crate::units::{Course, METRES_PER_NM, Range};

/// A point on a leg and the course there.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct TrackPoint {
    /// Where it is.
    pub position: Position,
    /// The course along the leg at this point.
    pub course: Course,
    /// Distance along the leg from its start, in nautical miles.
    pub distance_nm: f64,
}

/// A stretch of a leg short enough for one course and one wind to represent it.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Segment {
    /// Distance from the leg's start to the segment's start, in nautical miles.
    pub start_nm: f64,
    /// The segment's length, in nautical miles.
    pub length_nm: f64,
    /// The point halfway along it, with the course there.
    pub midpoint: TrackPoint,
}

/// How far past either end of a leg still counts as the end, in metres: room for rounding.
pub(super) const END_TOLERANCE_M: f64 = 1e-3;

const LENGTH: Range = Range::new("distance to sail", "nm", 0.0, 25_000.0);

/// `distance_nm` in metres, on a line of `length_m`; None off its ends or for NaN.
pub(super) fn along_m(distance_nm: f64, length_m: f64) -> Option<f64> {
    let distance_m = distance_nm * METRES_PER_NM;
    (distance_m >= -END_TOLERANCE_M && distance_m <= length_m + END_TOLERANCE_M)
        .then(|| distance_m.clamp(0.0, length_m))
}

/// The metres of a distance to sail by course and distance.
pub(super) fn sailed_m(distance_nm: f64) -> Result<f64, GeodesyError> {
    Ok(LENGTH.check(distance_nm)? * METRES_PER_NM)
}

/// `length_m` itself where the two ends of a leg are apart.
pub(super) fn apart_m(length_m: f64, place: Position) -> Result<f64, GeodesyError> {
    if length_m < END_TOLERANCE_M {
        return Err(GeodesyError::SamePlace { place });
    }
    Ok(length_m)
}
