//! Reading `130 US gal` style quantities. The unit is part of the text: a bare number is refused,
//! because litres, US gallons and imperial gallons are all used for the same tank.
//!
//! A bare `gal` is refused too: the US and the imperial gallon differ by a fifth, which is days of
//! water. Symbols are spelled as they are printed; `l` and `mL` are taken as well, and the
//! space before the unit may be left out. Times are taken in the singular and with `hours` too.

use schemars::JsonSchema;
use serde::Serialize;

use super::unit::{Kind, Unit};

/// A number and the unit it was written in.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Quantity {
    /// The number as written.
    pub amount: f64,
    /// The unit as written.
    pub unit: Unit,
}

/// What keeps a text from being a quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// Text that is not a number followed by a unit.
    #[error("found '{found}', not a number with its unit; allowed units: {allowed}")]
    NotAQuantity {
        /// The text found.
        found: String,
        /// The units allowed there.
        allowed: String,
    },
    /// A bare number where the unit could be any of several.
    #[error("found '{found}', a bare number; write its unit: {allowed}")]
    NoUnit {
        /// The text found.
        found: String,
        /// The units allowed there.
        allowed: String,
    },
    /// A unit nobody here knows.
    #[error("found '{found}', whose unit is unknown; allowed: {allowed}")]
    UnknownUnit {
        /// The text found.
        found: String,
        /// The units allowed there.
        allowed: String,
    },
    /// A unit name shared by units of different size.
    #[error("found '{found}', which means different amounts to different people; write {allowed}")]
    AmbiguousUnit {
        /// The text found.
        found: String,
        /// The unambiguous spellings.
        allowed: String,
    },
    /// A unit of another kind of quantity.
    #[error("found '{found}', a unit of {kind_found}; a {kind_wanted} is needed: {allowed}")]
    WrongKind {
        /// The text found.
        found: String,
        /// The kind of quantity found.
        kind_found: &'static str,
        /// The kind of quantity needed.
        kind_wanted: &'static str,
        /// The units allowed there.
        allowed: String,
    },
}

impl Quantity {
    /// Reads `text`, such as `130 US gal`, as a quantity of `kind`.
    ///
    /// # Errors
    /// No number, no unit, an unknown or ambiguous unit, or a unit of another kind.
    pub fn parse(kind: Kind, text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        let found = text.to_owned();
        let allowed = kind.written_units();
        let number_end = text
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-')))
            .unwrap_or(text.len());
        let (number, unit) = text.split_at(number_end);
        let Ok(amount) = number.parse::<f64>() else {
            return Err(QuantityError::NotAQuantity { found, allowed });
        };
        let spelled = unit.split_whitespace().collect::<Vec<_>>().join(" ");
        if spelled.is_empty() {
            return Err(QuantityError::NoUnit { found, allowed });
        }
        if let Some(allowed) = ambiguous(amount, &spelled) {
            return Err(QuantityError::AmbiguousUnit { found, allowed });
        }
        let Some(unit) = unit_spelled(&spelled) else {
            return Err(QuantityError::UnknownUnit { found, allowed });
        };
        if unit.kind() != kind {
            return Err(QuantityError::WrongKind {
                found,
                kind_found: unit.kind().name(),
                kind_wanted: kind.name(),
                allowed,
            });
        }
        Ok(Self { amount, unit })
    }

    /// Reads a battery's size: watt-hours, or ampere-hours, which are worth as many times the volts.
    ///
    /// # Errors
    /// As [`Quantity::parse`].
    pub fn parse_battery(text: &str) -> Result<Self, QuantityError> {
        match Self::parse(Kind::Charge, text) {
            Err(QuantityError::WrongKind {
                kind_found,
                kind_wanted,
                found,
                allowed,
            }) => Self::parse(Kind::Energy, text).map_err(|_| QuantityError::WrongKind {
                kind_found,
                kind_wanted,
                found,
                allowed,
            }),
            other => other,
        }
    }

    /// The amount in the kind's base unit: L, kg, m, kn, Ah, Wh, W, kcal or h.
    pub fn in_base(self) -> f64 {
        self.unit.to_base(self.amount)
    }
}

fn unit_spelled(spelled: &str) -> Option<Unit> {
    match spelled {
        "l" => Some(Unit::Litre),
        "mL" => Some(Unit::Millilitre),
        "day" => Some(Unit::Day),
        "hour" | "hours" => Some(Unit::Hour),
        "week" => Some(Unit::Week),
        _ => Unit::WRITTEN
            .into_iter()
            .find(|unit| unit.symbol() == spelled),
    }
}

/// The spellings to choose from, where `spelled` names units of different size.
fn ambiguous(amount: f64, spelled: &str) -> Option<String> {
    match spelled.to_lowercase().as_str() {
        "gal" | "gallon" | "gallons" => {
            let [us, imperial] = [Unit::UsGallon, Unit::ImperialGallon];
            Some(format!(
                "'{amount} US gal' ({:.1} L) or '{amount} imp gal' ({:.1} L)",
                us.to_base(amount),
                imperial.to_base(amount)
            ))
        }
        "hp" => Some(
            "the power in kW (a metric horsepower is 0.7355 kW, a mechanical one 0.7457 kW)"
                .to_owned(),
        ),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litres(text: &str) -> Result<f64, QuantityError> {
        Quantity::parse(Kind::Volume, text).map(Quantity::in_base)
    }

    #[test]
    fn gallons_must_say_whose() {
        let error = litres("130 gal").unwrap_err();
        assert_eq!(
            error.to_string(),
            "found '130 gal', which means different amounts to different people; \
             write '130 US gal' (492.1 L) or '130 imp gal' (591.0 L)"
        );
        assert!((litres("130 US gal").unwrap() - 492.103_531_92).abs() < 1e-9);
        assert!((litres("130US  gal").unwrap() - 492.103_531_92).abs() < 1e-9);
    }

    #[test]
    fn a_bare_number_lists_the_units() {
        let error = litres("130").unwrap_err();
        assert_eq!(
            error.to_string(),
            "found '130', a bare number; write its unit: L, ml, US gal, imp gal"
        );
    }

    #[test]
    fn other_kinds_and_nonsense_are_refused() {
        assert!(matches!(
            litres("5 kg"),
            Err(QuantityError::WrongKind { .. })
        ));
        assert!(matches!(
            litres("5 Ml"),
            Err(QuantityError::UnknownUnit { .. })
        ));
        assert!(matches!(
            Quantity::parse(Kind::Power, "40 hp"),
            Err(QuantityError::AmbiguousUnit { .. })
        ));
        for text in ["", "L", "nan L", "inf L", "1-2 L", "- L", "1,000 L"] {
            assert!(
                matches!(litres(text), Err(QuantityError::NotAQuantity { .. })),
                "{text}"
            );
        }
    }

    #[test]
    fn times_are_read_in_hours_days_and_weeks() {
        let hours = |text| Quantity::parse(Kind::Time, text).map(Quantity::in_base);
        for (text, expected) in [
            ("6 days", 144.0),
            ("1 day", 24.0),
            ("12 h", 12.0),
            ("1 hour", 1.0),
            ("36 hours", 36.0),
            ("1 week", 168.0),
            ("2 weeks", 336.0),
        ] {
            assert_eq!(hours(text), Ok(expected), "{text}");
        }
        let message = hours("6").unwrap_err().to_string();
        assert!(
            message.ends_with("write its unit: days, h, weeks"),
            "{message}"
        );
    }

    #[test]
    fn a_battery_is_given_in_ampere_hours_or_watt_hours() {
        let read =
            |text| Quantity::parse_battery(text).map(|size| (size.unit.kind(), size.in_base()));
        assert_eq!(read("400 Ah"), Ok((Kind::Charge, 400.0)));
        assert_eq!(read("4.8 kWh"), Ok((Kind::Energy, 4800.0)));
        let message = read("4.8 L").unwrap_err().to_string();
        assert!(message.ends_with("is needed: Ah, Wh, kWh"), "{message}");
    }
}
