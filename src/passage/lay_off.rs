//! How a route is cut into pieces: by the day, by degrees of longitude, or by distance.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::units::Range;

/// How a route is laid off in pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LayOff {
    /// From noon to noon, 12:00 UTC, of the median passage.
    Day,
    /// At every meridian of a whole number of degrees, counted from Greenwich, and every waypoint.
    Degrees(u16),
    /// In so many nautical miles, counted from each waypoint anew.
    Miles(f64),
}

/// A text that says no way to lay a route off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "allowed: day, whole degrees of longitude from {}deg to {}deg, or a distance from {}nm to {}nm",
    DEGREES.min, DEGREES.max, MILES.min, MILES.max
)]
pub struct NotLaidOff;

const DEGREES: Range = Range::new("degrees of longitude", "", 1.0, 180.0);
const MILES: Range = Range::new("distance", "nm", 0.1, 25_000.0);

impl FromStr for LayOff {
    type Err = NotLaidOff;

    /// Reads `day`, `5deg` or `300nm`.
    fn from_str(text: &str) -> Result<Self, NotLaidOff> {
        if text == "day" {
            return Ok(Self::Day);
        }
        if let Some(degrees) = text.strip_suffix("deg") {
            let degrees: u16 = degrees.parse().map_err(|_| NotLaidOff)?;
            DEGREES.check(f64::from(degrees)).map_err(|_| NotLaidOff)?;
            return Ok(Self::Degrees(degrees));
        }
        let miles = text.strip_suffix("nm").ok_or(NotLaidOff)?;
        let miles = miles.parse().map_err(|_| NotLaidOff)?;
        MILES.check(miles).map(Self::Miles).map_err(|_| NotLaidOff)
    }
}

impl fmt::Display for LayOff {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Day => f.write_str("day"),
            Self::Degrees(degrees) => write!(f, "{degrees}deg"),
            Self::Miles(miles) => write!(f, "{miles}nm"),
        }
    }
}

impl Serialize for LayOff {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again() {
        for by in [LayOff::Day, LayOff::Degrees(5), LayOff::Miles(62.5)] {
            assert_eq!(by.to_string().parse(), Ok(by));
        }
    }

    #[test]
    fn what_is_no_length_is_refused_with_what_is_allowed() {
        for text in [
            "", "5", "week", "0nm", "-5nm", "NaNnm", "1e9nm", "0deg", "2.5deg", "181deg", "nm",
            "Day",
        ] {
            assert_eq!(text.parse::<LayOff>(), Err(NotLaidOff), "{text}");
        }
        assert_eq!(
            NotLaidOff.to_string(),
            "allowed: day, whole degrees of longitude from 1deg to 180deg, or a distance from 0.1nm \
             to 25000nm"
        );
    }
}
