//! A geodesic that is solved once and then stepped along.

use geographiclib_rs::{Geodesic, GeodesicLine, geodesic_capability as want};

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
