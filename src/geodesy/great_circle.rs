//! Great circles: a geodesic solved once and then stepped along, and the vertex of one.

use geographiclib_rs::{Geodesic, GeodesicLine, geodesic_capability as want};
use schemars::JsonSchema;
use serde::Serialize;

use super::earth::{Earth, sin_cos_deg};
use super::error::GeodesyError;
use super::position::Position;
use super::track::{END_TOLERANCE_M, TrackPoint, along_m, apart_m, sailed_m};
use crate::units::{Course, METRES_PER_NM};

/// A geodesic through a point, ready to be followed in metres or in arc.
///
/// The inverse and line solutions are Karney's (Algorithms for geodesics, J. Geodesy 87, 43-55,
/// 2013, doi:10.1007/s00190-012-0578-z) through the crate `geographiclib-rs`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GeodesicPath {
    line: GeodesicLine,
}

/// A point on a geodesic.
pub(super) struct GeodesicPoint {
    pub latitude_deg: f64,
    pub longitude_deg: f64,
    /// Forward azimuth, in (-180, 180].
    pub azimuth_deg: f64,
    /// Distance along the geodesic from where it was begun, in metres.
    pub distance_m: f64,
    /// The same distance as arc on the auxiliary sphere, in degrees.
    pub arc_deg: f64,
}

impl GeodesicPath {
    /// The geodesic from a point along the azimuth with this sine and cosine. They are given rather
    /// than the angle because near the antipodes the angle in degrees is too coarse.
    pub(super) fn new(
        geodesic: &Geodesic,
        latitude_deg: f64,
        longitude_deg: f64,
        (azimuth_sin, azimuth_cos): (f64, f64),
    ) -> Self {
        Self {
            line: GeodesicLine::new(
                geodesic,
                latitude_deg,
                longitude_deg,
                azimuth_sin.atan2(azimuth_cos).to_degrees(),
                None,
                Some(azimuth_sin),
                Some(azimuth_cos),
            ),
        }
    }

    /// The point `distance_m` metres on; back for a negative distance.
    pub(super) fn at_m(&self, distance_m: f64) -> GeodesicPoint {
        self.step(false, distance_m)
    }

    /// The point `arc_deg` degrees of arc on the auxiliary sphere on; back for a negative arc.
    pub(super) fn at_arc_deg(&self, arc_deg: f64) -> GeodesicPoint {
        self.step(true, arc_deg)
    }

    fn step(&self, by_arc: bool, amount: f64) -> GeodesicPoint {
        let mask = want::LATITUDE | want::LONGITUDE | want::AZIMUTH | want::DISTANCE;
        let (arc_deg, latitude_deg, longitude_deg, azimuth_deg, distance_m, ..) =
            self.line._gen_position(by_arc, amount, mask);
        GeodesicPoint {
            latitude_deg,
            longitude_deg,
            azimuth_deg,
            distance_m,
            arc_deg,
        }
    }
}

/// A stretch of a geodesic: on the ellipsoid what a great circle is on a sphere.
#[derive(Debug, Clone, PartialEq)]
pub struct GreatCircle {
    path: GeodesicPath,
    length_m: f64,
    /// The same length as arc on the auxiliary sphere.
    arc_deg: f64,
    /// Cosine of the azimuth of the geodesic where it crosses the equator northward.
    node_azimuth_cos: f64,
    /// Arc on the auxiliary sphere from that crossing to the start.
    node_to_start_deg: f64,
}

/// The point of a great circle farthest from the equator, where it runs due east or west.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Vertex {
    /// The vertex. Its `distance_nm` is negative when it lies behind the start and more than the
    /// length when it lies past the end.
    pub point: TrackPoint,
    /// Whether it lies on the stretch sailed, ends included.
    pub on_leg: bool,
}

impl GreatCircle {
    /// The great circle from `from` to `to`, the shorter way round. Between exact antipodes, where
    /// every way is as short, it is one of them.
    ///
    /// # Errors
    /// [`GeodesyError::SamePlace`] when the two are within a millimetre.
    pub fn between(earth: Earth, from: Position, to: Position) -> Result<Self, GeodesyError> {
        let (arc_deg, length_m, azimuth_sin, azimuth_cos, ..) = earth.geodesic()._gen_inverse(
            from.latitude_deg(),
            from.longitude_deg(),
            to.latitude_deg(),
            to.longitude_deg(),
            want::DISTANCE | want::AZIMUTH,
        );
        let length_m = apart_m(length_m, from)?;
        Ok(Self::new(
            earth,
            from,
            (azimuth_sin, azimuth_cos),
            length_m,
            arc_deg,
        ))
    }

    /// The great circle that leaves `from` on `course` and runs for `distance_nm` nautical miles.
    ///
    /// # Errors
    /// [`GeodesyError::OutOfRange`] for a distance that is not from 0 to 25,000 nm.
    pub fn on_course(
        earth: Earth,
        from: Position,
        course: Course,
        distance_nm: f64,
    ) -> Result<Self, GeodesyError> {
        let length_m = sailed_m(distance_nm)?;
        let azimuth = sin_cos_deg(course.deg());
        let mut circle = Self::new(earth, from, azimuth, length_m, 0.0);
        circle.arc_deg = circle.path.at_m(length_m).arc_deg;
        Ok(circle)
    }

    fn new(earth: Earth, from: Position, azimuth: (f64, f64), length_m: f64, arc_deg: f64) -> Self {
        let (sin, cos) = azimuth;
        let (reduced_sin, reduced_cos) = earth.reduced_sin_cos(from.latitude_deg());
        Self {
            path: GeodesicPath::new(
                &earth.geodesic(),
                from.latitude_deg(),
                from.longitude_deg(),
                azimuth,
            ),
            length_m,
            arc_deg,
            node_azimuth_cos: cos.hypot(sin * reduced_sin),
            node_to_start_deg: reduced_sin.atan2(cos * reduced_cos).to_degrees(),
        }
    }

    /// Length in nautical miles.
    pub fn length_nm(&self) -> f64 {
        self.length_m / METRES_PER_NM
    }

    /// The point `distance_nm` nautical miles from the start. None when that is more than a
    /// millimetre before the start or past the end, or not a number.
    pub fn at_nm(&self, distance_nm: f64) -> Option<TrackPoint> {
        along_m(distance_nm, self.length_m).map(|m| self.at_m(m))
    }

    /// The vertex nearest to the middle of the stretch (of two as near, the one ahead). None where
    /// there is none, along the equator.
    ///
    /// By Clairaut's relation (Karney 2013, equation 5) the product of the sine of the azimuth and
    /// the cosine of the reduced latitude is the same all along a geodesic; at the vertex the
    /// azimuth is 90 degrees, a quarter circle of arc from the equator.
    pub fn vertex(&self) -> Option<Vertex> {
        if self.node_azimuth_cos == 0.0 {
            return None;
        }
        let middle_deg = self.node_to_start_deg + self.arc_deg / 2.0;
        let vertex_deg = 90.0 + 180.0 * ((middle_deg - 90.0) / 180.0 + 0.5).floor();
        let found = self.path.at_arc_deg(vertex_deg - self.node_to_start_deg);
        let on_leg = found.distance_m >= -END_TOLERANCE_M
            && found.distance_m <= self.length_m + END_TOLERANCE_M;
        Some(Vertex {
            point: track_point(&found),
            on_leg,
        })
    }

    pub(super) fn length_m(&self) -> f64 {
        self.length_m
    }

    pub(super) fn at_m(&self, distance_m: f64) -> TrackPoint {
        track_point(&self.path.at_m(distance_m))
    }
}

fn track_point(point: &GeodesicPoint) -> TrackPoint {
    TrackPoint {
        position: Position::computed(point.latitude_deg, point.longitude_deg),
        course: Course::from_deg(point.azimuth_deg),
        distance_nm: point.distance_m / METRES_PER_NM,
    }
}
