//! The figure of the Earth the lines are drawn on.

use geographiclib_rs::Geodesic;

use super::error::GeodesyError;
use crate::units::Range;

const SPHERE_RADIUS: Range = Range::new("the sphere's radius", "m", 1.0, 1e9);

/// An ellipsoid of revolution, or a sphere.
///
/// Legs are sailed on [`Earth::WGS84`]. A sphere is for comparing with published tables, most of
/// which assume one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Earth {
    equatorial_radius_m: f64,
    flattening: f64,
}

impl Earth {
    /// The WGS84 ellipsoid: equatorial radius 6378137 m, flattening 1/298.257223563
    /// (NGA.STND.0036).
    pub const WGS84: Self = Self {
        equatorial_radius_m: 6_378_137.0,
        flattening: 1.0 / 298.257_223_563,
    };

    /// A sphere of radius `radius_m` metres. One on which a minute of arc is a nautical mile has
    /// 1852 * 60 * 180 / pi metres.
    ///
    /// # Errors
    /// [`GeodesyError::OutOfRange`] for a radius that is not from 1 m to a thousand million metres.
    pub fn sphere(radius_m: f64) -> Result<Self, GeodesyError> {
        Ok(Self {
            equatorial_radius_m: SPHERE_RADIUS.check(radius_m)?,
            flattening: 0.0,
        })
    }

    /// Radius of the equator, in metres.
    pub fn equatorial_radius_m(&self) -> f64 {
        self.equatorial_radius_m
    }

    /// Flattening, no unit: the polar radius is `(1 - flattening)` times the equatorial one.
    pub fn flattening(&self) -> f64 {
        self.flattening
    }

    /// Radius of a parallel, in metres: length on the Earth for a radian of longitude there.
    pub fn parallel_radius_m(&self, latitude_deg: f64) -> f64 {
        let (_, cos) = self.reduced_sin_cos(latitude_deg);
        self.equatorial_radius_m * cos
    }

    pub(super) fn geodesic(&self) -> Geodesic {
        Geodesic::new(self.equatorial_radius_m, self.flattening)
    }

    /// Sine and cosine of the reduced latitude: tan(reduced) = (1 - f) tan(geodetic).
    pub(super) fn reduced_sin_cos(&self, latitude_deg: f64) -> (f64, f64) {
        let (sin, cos) = sin_cos_deg(latitude_deg);
        let sin = (1.0 - self.flattening) * sin;
        let norm = sin.hypot(cos);
        (sin / norm, cos / norm)
    }
}

/// Sine and cosine of an angle in degrees, exact at multiples of 90.
pub(super) fn sin_cos_deg(angle_deg: f64) -> (f64, f64) {
    let quadrant = (angle_deg / 90.0).round();
    let (sin, cos) = (angle_deg - 90.0 * quadrant).to_radians().sin_cos();
    match quadrant.rem_euclid(4.0) as u8 {
        0 => (sin, cos),
        1 => (cos, -sin),
        2 => (-sin, -cos),
        _ => (-cos, sin),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sine_and_cosine_are_exact_at_the_quarters() {
        assert_eq!(sin_cos_deg(0.0), (0.0, 1.0));
        assert_eq!(sin_cos_deg(90.0), (1.0, 0.0));
        assert_eq!(sin_cos_deg(180.0), (0.0, -1.0));
        assert_eq!(sin_cos_deg(270.0), (-1.0, 0.0));
        assert_eq!(sin_cos_deg(-90.0), (-1.0, 0.0));
        let (sin, cos) = sin_cos_deg(200.0);
        assert!((sin - 200f64.to_radians().sin()).abs() < 1e-15);
        assert!((cos - 200f64.to_radians().cos()).abs() < 1e-15);
    }

    #[test]
    fn a_sphere_needs_a_radius() {
        for radius_m in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(Earth::sphere(radius_m).is_err());
        }
    }
}
