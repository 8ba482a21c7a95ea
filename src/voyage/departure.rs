//! A time of departure with its zone.

use std::fmt;

use jiff::ToSpan as _;
use jiff::civil::{Date, DateTime};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};

/// An hour of departure as the crew's clock shows it. Computing begins at 00:00 UTC of its day in UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DepartureTime {
    /// By the clock of the zone.
    local: DateTime,
    /// How far that clock is ahead of UTC, minutes.
    ahead_minutes: i16,
}

impl DepartureTime {
    /// A time by a clock so many minutes ahead of UTC; none where its day in UTC is off the calendar.
    pub(super) fn new(local: DateTime, ahead_minutes: i16) -> Option<Self> {
        let time = Self {
            local,
            ahead_minutes,
        };
        time.utc().map(|_| time)
    }

    /// The day in UTC.
    pub fn utc_day(self) -> Date {
        self.utc().unwrap_or(self.local).date()
    }

    /// As a sailor writes it: 1 May 2027, 09:00 UTC+8.
    pub fn words(self) -> String {
        let sign = if self.ahead_minutes < 0 { '-' } else { '+' };
        let (hours, minutes) = self.ahead();
        let zone = match (hours, minutes) {
            (0, 0) => "UTC".to_owned(),
            (hours, 0) => format!("UTC{sign}{hours}"),
            (hours, minutes) => format!("UTC{sign}{hours}:{minutes:02}"),
        };
        format!("{} {zone}", self.local.strftime("%-d %b %Y, %H:%M"))
    }

    fn utc(self) -> Option<DateTime> {
        let ahead = i64::from(self.ahead_minutes).minutes();
        self.local.checked_sub(ahead).ok()
    }

    /// Whole hours and minutes by which the clock differs from UTC.
    fn ahead(self) -> (u16, u16) {
        let minutes = self.ahead_minutes.unsigned_abs();
        (minutes / 60, minutes % 60)
    }
}

impl fmt::Display for DepartureTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.ahead_minutes < 0 { '-' } else { '+' };
        let (hours, minutes) = self.ahead();
        let local = self.local.strftime("%Y-%m-%dT%H:%M:%S");
        write!(f, "{local}{sign}{hours:02}:{minutes:02}")
    }
}

impl Serialize for DepartureTime {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for DepartureTime {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "DepartureTime".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date-time" })
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn a_time_is_written_with_its_zone_and_falls_on_a_day_in_utc() {
        let at = |hour, ahead| {
            let local = date(2027, 5, 1).at(hour, 30, 0, 0);
            DepartureTime::new(local, ahead).unwrap()
        };
        let perth = at(3, 8 * 60);
        assert_eq!(perth.words(), "1 May 2027, 03:30 UTC+8");
        assert_eq!(perth.to_string(), "2027-05-01T03:30:00+08:00");
        assert_eq!(perth.utc_day(), date(2027, 4, 30));
        let marquesas = at(21, -(9 * 60 + 30));
        assert_eq!(marquesas.words(), "1 May 2027, 21:30 UTC-9:30");
        assert_eq!(marquesas.utc_day(), date(2027, 5, 2));
        assert_eq!(at(9, 0).words(), "1 May 2027, 09:30 UTC");
    }
}
