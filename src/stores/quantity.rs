//! Reading `130 US gal` style quantities. The unit is part of the text: a bare number is refused,
//! because litres, US gallons and imperial gallons are all used for the same tank.
//!
//! A bare `gal` is refused too: the US and the imperial gallon differ by a fifth, which is days of
//! water. Symbols are spelled as they are printed; `l` and `mL` are taken as well, and the
//! space before the unit may be left out.

use super::error::StoresError;
use super::unit::{Kind, Unit};

/// A number and the unit it was written in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// The number as written.
    pub amount: f64,
    /// The unit as written.
    pub unit: Unit,
}

impl Quantity {
    /// Reads `text`, such as `130 US gal`, as a quantity of `kind`.
    ///
    /// # Errors
    /// Under the name `field`: no number, no unit, an unknown or ambiguous unit, or a unit of another kind.
    pub fn parse(field: &str, kind: Kind, text: &str) -> Result<Self, StoresError> {
        let text = text.trim();
        let field = field.to_owned();
        let found = text.to_owned();
        let allowed = allowed_units(kind);
        let number_end = text
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-')))
            .unwrap_or(text.len());
        let (number, unit) = text.split_at(number_end);
        let Ok(amount) = number.parse::<f64>() else {
            return Err(StoresError::NotAQuantity {
                field,
                found,
                allowed,
            });
        };
        let spelled = unit.split_whitespace().collect::<Vec<_>>().join(" ");
        if spelled.is_empty() {
            return Err(StoresError::NoUnit {
                field,
                found,
                allowed,
            });
        }
        if let Some(allowed) = ambiguous(amount, &spelled) {
            return Err(StoresError::AmbiguousUnit {
                field,
                found,
                allowed,
            });
        }
        let Some(unit) = unit_spelled(&spelled) else {
            return Err(StoresError::UnknownUnit {
                field,
                found,
                allowed,
            });
        };
        if unit.kind() != kind {
            return Err(StoresError::WrongKind {
                field,
                found,
                kind_found: unit.kind().name(),
                kind_wanted: kind.name(),
                allowed,
            });
        }
        Ok(Self { amount, unit })
    }

    /// The amount in the kind's base unit: L, kg, m, kn, Ah, Wh, W or kcal.
    pub fn in_base(self) -> f64 {
        self.unit.to_base(self.amount)
    }
}

/// A volume in litres.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn litres(field: &str, text: &str) -> Result<f64, StoresError> {
    Ok(Quantity::parse(field, Kind::Volume, text)?.in_base())
}

/// A mass in kilograms.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn kilograms(field: &str, text: &str) -> Result<f64, StoresError> {
    Ok(Quantity::parse(field, Kind::Mass, text)?.in_base())
}

/// A length in metres.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn metres(field: &str, text: &str) -> Result<f64, StoresError> {
    Ok(Quantity::parse(field, Kind::Length, text)?.in_base())
}

/// A speed in knots.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn knots(field: &str, text: &str) -> Result<f64, StoresError> {
    Ok(Quantity::parse(field, Kind::Speed, text)?.in_base())
}

/// A power in watts.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn watts(field: &str, text: &str) -> Result<f64, StoresError> {
    Ok(Quantity::parse(field, Kind::Power, text)?.in_base())
}

/// A food energy in kilocalories.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn kilocalories(field: &str, text: &str) -> Result<f64, StoresError> {
    Ok(Quantity::parse(field, Kind::FoodEnergy, text)?.in_base())
}

/// A battery's energy in watt-hours, from watt-hours or from ampere-hours at `volts`.
///
/// # Errors
/// As [`Quantity::parse`].
pub fn watt_hours(field: &str, text: &str, volts: f64) -> Result<f64, StoresError> {
    let charge = Quantity::parse(field, Kind::Charge, text);
    if let (Err(StoresError::WrongKind { .. }), Ok(energy)) =
        (&charge, Quantity::parse(field, Kind::Energy, text))
    {
        return Ok(energy.in_base());
    }
    Ok(charge?.in_base() * volts)
}

fn unit_spelled(spelled: &str) -> Option<Unit> {
    match spelled {
        "l" => Some(Unit::Litre),
        "mL" => Some(Unit::Millilitre),
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

fn allowed_units(kind: Kind) -> String {
    // A battery is given either way.
    let also = match kind {
        Kind::Charge => Kind::Energy,
        other => other,
    };
    Unit::WRITTEN
        .into_iter()
        .filter(|unit| unit.kind() == kind || unit.kind() == also)
        .map(Unit::symbol)
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gallons_must_say_whose() {
        let error = litres("fuel.tank", "130 gal").unwrap_err();
        assert_eq!(
            error.to_string(),
            "fuel.tank is '130 gal', which means different amounts to different people; \
             write '130 US gal' (492.1 L) or '130 imp gal' (591.0 L)"
        );
        assert!((litres("fuel.tank", "130 US gal").unwrap() - 492.103_531_92).abs() < 1e-9);
        assert!((litres("fuel.tank", "130US  gal").unwrap() - 492.103_531_92).abs() < 1e-9);
    }

    #[test]
    fn a_bare_number_lists_the_units() {
        let error = litres("water.tank", "130").unwrap_err();
        assert_eq!(
            error.to_string(),
            "water.tank is '130', a bare number; write its unit: L, ml, US gal, imp gal"
        );
    }

    #[test]
    fn other_kinds_and_nonsense_are_refused() {
        assert!(matches!(
            litres("t", "5 kg"),
            Err(StoresError::WrongKind { .. })
        ));
        assert!(matches!(
            litres("t", "5 Ml"),
            Err(StoresError::UnknownUnit { .. })
        ));
        assert!(matches!(
            watts("t", "40 hp"),
            Err(StoresError::AmbiguousUnit { .. })
        ));
        for text in ["", "L", "nan L", "inf L", "1-2 L", "- L", "1,000 L"] {
            assert!(
                matches!(litres("t", text), Err(StoresError::NotAQuantity { .. })),
                "{text}"
            );
        }
    }

    #[test]
    fn a_battery_is_given_in_ampere_hours_or_watt_hours() {
        assert_eq!(watt_hours("b", "400 Ah", 12.0), Ok(4800.0));
        assert_eq!(watt_hours("b", "4.8 kWh", 12.0), Ok(4800.0));
        assert!(watt_hours("b", "4.8 L", 12.0).is_err());
    }
}
