//! The values in a voyage's settings. What one may be is checked once, as it is decoded, and stands
//! in its schema.

use std::borrow::Cow;
use std::fmt;

use jiff::civil::{Date, DateTime};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::MapAccessDeserializer;
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

use super::departure::DepartureTime;
use crate::geodesy::{GeodesyError, Position};
use crate::text::{MOST_NAME, is_hidden, plain_date, visible};
use crate::units::{Kind, Quantity, QuantityError, Range};

/// What a key takes for a quantity.
pub(super) const QUANTITY: &str = "a number and its unit, in quotes";
/// What a key takes for a date.
pub(super) const DATE: &str =
    "a date like 2027-05-01, or with hour and zone 2027-05-01T09:00:00+08:00";
/// What a key takes for a day without an hour.
pub(super) const PLAIN_DATE: &str = "a date like 2027-05-01";
/// The format of a day without an hour in the schema.
pub(super) const PLAIN_DAY_FORMAT: &str = "date";
/// The format of a date, or of a time with its zone, in the schema.
pub(super) const DAY_FORMAT: &str = "date or date-time";
/// The format of a quantity in the schema.
pub(super) const QUANTITY_FORMAT: &str = "quantity";

/// What a value may be that becomes a number.
#[derive(Debug, Clone, Copy)]
pub(super) enum Amount {
    /// A number in the unit that the key names.
    Number(Range),
    /// The same, without a fraction.
    WholeNumber(Range),
    /// A text with its unit, such as `130 US gal`, that becomes a number in the kind's base unit.
    Quantity(Kind, Range),
}

impl Amount {
    /// Reads a value, within its range.
    pub fn read<'de, D: Deserializer<'de>>(self, deserializer: D) -> Result<f64, D::Error> {
        let (value, range) = match self {
            Self::Number(range) => (f64::deserialize(deserializer)?, range),
            Self::WholeNumber(range) => (i64::deserialize(deserializer)? as f64, range),
            Self::Quantity(kind, range) => {
                let parse = |text: &str| Quantity::parse(kind, text);
                (quantity(deserializer, kind, parse)?.in_base(), range)
            }
        };
        range.check(value).map_err(D::Error::custom)
    }

    /// What the value may be: its range, and its unit in the title.
    pub fn schema(self) -> Schema {
        let number = |kind: &str, range: Range| {
            let unit = match range.unit {
                "" => String::new(),
                unit => format!(", {unit}"),
            };
            json_schema!({
                "title": format!("{}{unit}", range.what),
                "type": kind,
                "minimum": range.min,
                "maximum": range.max,
            })
        };
        match self {
            Self::Number(range) => number("number", range),
            Self::WholeNumber(range) => number("integer", range),
            Self::Quantity(kind, range) => {
                let (what, least, most) = (range.what, range.min, range.max);
                let title = format!("{what}, {least} to {most} {}", range.unit);
                quantity_schema(title.trim_end(), kind)
            }
        }
    }
}

/// Declares a type for each amount, which becomes an `f64`.
macro_rules! amounts {
    ($($name:ident: $kind:ident($($allowed:expr),+);)+) => {$(
        #[derive(Debug, Clone, Copy)]
        pub(super) struct $name(f64);

        impl $name {
            const ALLOWED: $crate::voyage::values::Amount =
                $crate::voyage::values::Amount::$kind($($allowed),+);
        }

        impl From<$name> for f64 {
            fn from(amount: $name) -> Self {
                amount.0
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::ALLOWED.read(deserializer).map(Self)
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                Self::ALLOWED.schema()
            }
        }
    )+};
}
pub(super) use amounts;

/// Declares texts of one plain line that are not empty, each with the most characters it may have.
macro_rules! lines {
    ($($(#[$meaning:meta])* $name:ident: $most:expr;)+) => {$(
        $(#[$meaning])*
        #[derive(Debug, Clone, Deserialize, JsonSchema)]
        #[serde(try_from = "String")]
        #[schemars(extend("minLength" = 1, "maxLength" = $most))]
        pub(super) struct $name(String);

        impl TryFrom<String> for $name {
            type Error = String;

            fn try_from(text: String) -> Result<Self, Self::Error> {
                plain_line(text, $most).map(Self)
            }
        }

        impl From<$name> for String {
            fn from(line: $name) -> Self {
                line.0
            }
        }

        impl $name {
            /// The text itself.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }
    )+};
}

lines! {
    /// A name.
    Line: MOST_NAME;
    /// A file's name with the folders before it.
    FilePath: MOST_PATH;
}

/// The most characters of a file's path: as many bytes as Linux takes.
const MOST_PATH: usize = 4096;

/// The text, if it can be printed to terminals and files as it stands.
fn plain_line(text: String, most: usize) -> Result<String, String> {
    if text.trim().is_empty() {
        return Err("empty; write something between the quotes".to_owned());
    }
    if text.chars().any(is_hidden) {
        return Err(format!(
            "found {}, with a line break or another character that controls a terminal or the \
             direction of writing; allowed: one plain line",
            quoted(&text)
        ));
    }
    let found = text.chars().count();
    if found > most {
        return Err(format!("found {found} characters; allowed: up to {most}"));
    }
    Ok(text)
}

/// A position as it is written on a chart.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(try_from = "String")]
#[schemars(extend("examples" = ["32 03.2 S, 115 44.0 E", "-32.0533, 115.7333"]))]
pub(super) struct Place(#[schemars(with = "String")] pub Position);

impl TryFrom<String> for Place {
    type Error = GeodesyError;

    fn try_from(text: String) -> Result<Self, GeodesyError> {
        text.parse().map(Self)
    }
}

/// A day of the calendar, or a time with its zone: as TOML writes them, or a text like it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Day {
    /// The day, of a time that in UTC.
    pub date: Date,
    /// The time, where one is given.
    pub time: Option<DepartureTime>,
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(DayVisitor)
    }
}

struct DayVisitor;

impl DayVisitor {
    fn day<E: Error>(text: &str, found: &str) -> Result<Day, E> {
        let day = plain_date(text).map(|date| Day { date, time: None });
        let day = day.or_else(|| {
            let time = zoned_time(text)?;
            Some(Day {
                date: time.utc_day(),
                time: Some(time),
            })
        });
        day.ok_or_else(|| E::custom(format!("found {found}; allowed: {DATE}")))
    }
}

/// A time like 2027-05-01T09:00:00+08:00; none without its zone.
fn zoned_time(text: &str) -> Option<DepartureTime> {
    let written: toml::value::Datetime = text.parse().ok()?;
    let (date, time) = (written.date?, written.time?);
    let ahead_minutes = match written.offset? {
        toml::value::Offset::Z => 0,
        toml::value::Offset::Custom { minutes } => minutes,
    };
    let [month, day, hour, minute] =
        [date.month, date.day, time.hour, time.minute].map(|part| i8::try_from(part).ok());
    let second = i8::try_from(time.second.unwrap_or(0)).ok()?;
    let local = DateTime::new(
        i16::try_from(date.year).ok()?,
        month?,
        day?,
        hour?,
        minute?,
        second,
        0,
    );
    DepartureTime::new(local.ok()?, ahead_minutes)
}

impl<'de> Visitor<'de> for DayVisitor {
    type Value = Day;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(DATE)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Day, E> {
        Self::day(text, &quoted(text))
    }

    /// The toml crate hands out its dates as a map that only its own type knows.
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Day, A::Error> {
        let date = toml::value::Datetime::deserialize(MapAccessDeserializer::new(map))?.to_string();
        Self::day(&date, &date)
    }
}

impl JsonSchema for Day {
    fn schema_name() -> Cow<'static, str> {
        "Day".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": DAY_FORMAT,
            "examples": ["2027-05-01", "2027-05-01T09:00:00+08:00"],
        })
    }
}

/// A day of the calendar without an hour: as TOML writes it, or a text like it.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlainDay(pub Date);

impl<'de> Deserialize<'de> for PlainDay {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let day = Day::deserialize(deserializer)?;
        match day.time {
            None => Ok(Self(day.date)),
            Some(time) => Err(D::Error::custom(format!(
                "found {time}; allowed: {PLAIN_DATE}"
            ))),
        }
    }
}

impl JsonSchema for PlainDay {
    fn schema_name() -> Cow<'static, str> {
        "PlainDay".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": PLAIN_DAY_FORMAT,
            "examples": ["2027-07-01"],
        })
    }
}

/// A battery's size: energy, or a charge that is worth as many times the volts.
#[derive(Debug, Clone, Copy)]
pub(super) struct BatterySize(pub Quantity);

impl<'de> Deserialize<'de> for BatterySize {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        quantity(deserializer, Kind::Charge, Quantity::parse_battery).map(Self)
    }
}

impl JsonSchema for BatterySize {
    fn schema_name() -> Cow<'static, str> {
        "BatterySize".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        quantity_schema("charge or energy", Kind::Charge)
    }
}

/// A quantity with its unit; a bare number is told the units.
fn quantity<'de, D: Deserializer<'de>>(
    deserializer: D,
    kind: Kind,
    parse: impl FnOnce(&str) -> Result<Quantity, QuantityError>,
) -> Result<Quantity, D::Error> {
    deserializer.deserialize_any(QuantityVisitor { kind, parse })
}

fn quantity_schema(title: &str, kind: Kind) -> Schema {
    json_schema!({
        "title": title,
        "type": "string",
        "format": QUANTITY_FORMAT,
        "examples": kind.written_units().split(", ").map(|unit| format!("12 {unit}"))
            .collect::<Vec<_>>(),
    })
}

struct QuantityVisitor<P> {
    kind: Kind,
    parse: P,
}

impl<P> QuantityVisitor<P> {
    fn without_unit<E: Error>(&self, number: impl fmt::Display) -> Result<Quantity, E> {
        Err(E::custom(QuantityError::NoUnit {
            found: number.to_string(),
            allowed: self.kind.written_units(),
        }))
    }
}

impl<P: FnOnce(&str) -> Result<Quantity, QuantityError>> Visitor<'_> for QuantityVisitor<P> {
    type Value = Quantity;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(QUANTITY)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Quantity, E> {
        (self.parse)(text).map_err(E::custom)
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Quantity, E> {
        self.without_unit(number)
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Quantity, E> {
        self.without_unit(number)
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Quantity, E> {
        self.without_unit(number)
    }
}

/// A text as a message shows it, cut short if it is long.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let shown: String = text.chars().take(LONGEST).collect();
    let rest = if shown.len() < text.len() { "..." } else { "" };
    format!("the text \"{}{rest}\"", visible(&shown))
}
