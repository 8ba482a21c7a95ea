//! A place on the Earth's surface.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{OutOfRange, Range, wrap_180_deg};

/// A place on the Earth's surface: geodetic latitude and longitude.
///
/// It is read from text with [`str::parse`] and shown as on a chart, in degrees and tenths of a
/// minute:
///
/// ```
/// use offing::geodesy::Position;
///
/// let position: Position = "-32.0533, 115.7333".parse().unwrap();
/// assert_eq!(position.to_string(), "32°03.2'S 115°44.0'E");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Position {
    /// Latitude, degrees, north positive.
    latitude_deg: f64,
    /// Longitude, degrees, east positive, from -180.
    longitude_deg: f64,
}

impl Position {
    /// The latitudes there are, north positive.
    pub const LATITUDE: Range = Range::new("latitude", "degrees", -90.0, 90.0);
    /// The longitudes allowed, east positive: counted from -180, from 0 or westward.
    pub const LONGITUDE: Range = Range::new("longitude", "degrees", -360.0, 360.0);

    /// The place at `latitude_deg` (north positive, -90 to 90) and `longitude_deg` (east positive,
    /// -360 to 360, so that data counted from 0 to 360 fit; kept in [-180, 180)).
    ///
    /// # Errors
    /// [`OutOfRange`] for a value outside those ranges or not a number.
    pub fn new(latitude_deg: f64, longitude_deg: f64) -> Result<Self, OutOfRange> {
        Ok(Self {
            latitude_deg: Self::LATITUDE.check(latitude_deg)?,
            longitude_deg: wrap_180_deg(Self::LONGITUDE.check(longitude_deg)?),
        })
    }

    /// A place our own formulas give, whose latitude is valid and whose longitude may need wrapping.
    pub(super) fn computed(latitude_deg: f64, longitude_deg: f64) -> Self {
        debug_assert!(latitude_deg.abs() <= 90.0 && longitude_deg.is_finite());
        Self {
            latitude_deg,
            longitude_deg: wrap_180_deg(longitude_deg),
        }
    }

    /// Latitude in degrees, north positive, from -90 to 90.
    pub fn latitude_deg(&self) -> f64 {
        self.latitude_deg
    }

    /// Longitude in degrees, east positive, in [-180, 180).
    pub fn longitude_deg(&self) -> f64 {
        self.longitude_deg
    }

    /// Whether this is the north or the south pole, where longitude means nothing.
    pub(super) fn is_pole(&self) -> bool {
        self.latitude_deg.abs() == 90.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn longitudes_are_kept_from_180_west() {
        let longitude = |deg| Position::new(0.0, deg).unwrap().longitude_deg();
        assert_eq!(longitude(180.0), -180.0);
        assert_eq!(longitude(-180.0), -180.0);
        assert_eq!(longitude(190.0), -170.0);
        assert_eq!(longitude(360.0), 0.0);
        assert_eq!(longitude(-359.0), 1.0);
    }

    #[test]
    fn numbers_off_the_earth_are_refused() {
        let refusal = |lat, lon| Position::new(lat, lon).unwrap_err().to_string();
        assert_eq!(
            refusal(90.5, 0.0),
            "latitude is 90.5 degrees; allowed: -90 to 90 degrees"
        );
        assert_eq!(
            refusal(0.0, 361.0),
            "longitude is 361 degrees; allowed: -360 to 360 degrees"
        );
        assert!(Position::new(f64::NAN, 0.0).is_err());
        assert!(Position::new(0.0, f64::INFINITY).is_err());
    }
}
