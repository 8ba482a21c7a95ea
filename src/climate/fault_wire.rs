//! How the parts of a fault that have no form of their own go from process to process.

/// An error of the operating system: its number, or its words where it has none.
pub(super) mod io_error {
    use std::io;

    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub(in crate::climate) fn serialize<S: Serializer>(
        error: &io::Error,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        error
            .raw_os_error()
            .ok_or_else(|| error.to_string())
            .serialize(to)
    }

    pub(in crate::climate) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<io::Error, D::Error> {
        Ok(match Result::<i32, String>::deserialize(from)? {
            Ok(number) => io::Error::from_raw_os_error(number),
            Err(words) => io::Error::other(words),
        })
    }
}

/// A value out of one of the ranges that reading a climate checks.
pub(super) mod out_of_range {
    use serde::de::Error as _;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    use super::super::source::SourceOptions;
    use crate::units::{OutOfRange, Range};

    const RANGES: [Range; 2] = [SourceOptions::STEADINESS, SourceOptions::WIND_HEIGHT];

    pub(in crate::climate) fn serialize<S: Serializer>(
        breach: &OutOfRange,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        (breach.range.what, breach.found).serialize(to)
    }

    pub(in crate::climate) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<OutOfRange, D::Error> {
        let (what, found) = <(String, f64)>::deserialize(from)?;
        let range = RANGES.into_iter().find(|range| range.what == what);
        let range = range.ok_or_else(|| D::Error::custom("no such range"))?;
        Ok(OutOfRange { range, found })
    }
}
