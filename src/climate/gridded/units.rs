//! The units a field may be in, and the way from each to ours.

use super::quantity::Quantity;
use crate::climate::error::ClimateFault;
use crate::units::{KN_PER_MS, MS_PER_KN};

/// From the file's unit to ours: `value * scale + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::climate) struct Conversion {
    pub(in crate::climate) scale: f64,
    pub(in crate::climate) offset: f64,
}

/// How to bring a variable's values to the unit we keep, by what its attribute `units` says.
pub(in crate::climate) fn conversion_of(
    variable: &str,
    units: Option<String>,
    quantity: Quantity,
) -> Result<Conversion, ClimateFault> {
    let (known, allowed): (fn(&str) -> Option<Conversion>, &str) = match quantity {
        Quantity::AirTemperature => (temperature, "K or degC"),
        Quantity::EastwardCurrent | Quantity::NorthwardCurrent => (speed_kn, SPEED_UNITS),
        Quantity::Pressure => (pressure, "Pa or hPa"),
        Quantity::WaveHeight => (height, "m"),
        Quantity::WindVariance => (variance, "m2 s-2"),
        _ => (speed, SPEED_UNITS),
    };
    let units = units.filter(|units| !units.is_empty());
    units
        .as_deref()
        .and_then(known)
        .ok_or_else(|| ClimateFault::Units {
            variable: variable.to_owned(),
            found: units.map_or("no units".to_owned(), |units| format!("units '{units}'")),
            allowed: allowed.into(),
        })
}

/// The units a speed may be in.
const SPEED_UNITS: &str = "m s-1, knots or km h-1";

/// To knots.
fn speed_kn(units: &str) -> Option<Conversion> {
    let Conversion { scale, offset } = speed(units)?;
    Some(Conversion {
        scale: scale * KN_PER_MS,
        offset,
    })
}

/// To metres per second.
fn speed(units: &str) -> Option<Conversion> {
    // 'm s-1', 'm s**-1', 'm.s^-1', 'm/s' and 'meters per second' differ only in notation.
    let plain: String = units
        .to_lowercase()
        .replace("per", "/")
        .chars()
        .filter(|letter| !" .*^_()".contains(*letter))
        .collect();
    let scale = match plain.as_str() {
        "m/s" | "ms-1" | "ms-01" | "m/sec" | "msec-1" | "m/second" | "meter/s" | "meters/s"
        | "metre/s" | "metres/s" | "meter/sec" | "meters/sec" | "metre/sec" | "metres/sec"
        | "meter/second" | "meters/second" | "metre/second" | "metres/second"
        | "meterssecond-1" | "metresecond-1" | "metersecond-1" | "metressecond-1" | "meters-1"
        | "metres-1" | "meterss-1" | "metress-1" | "mps" => 1.0,
        "kn" | "kt" | "kts" | "knot" | "knots" | "internationalknot" | "internationalknots"
        | "nmi/h" | "nauticalmile/hour" | "nauticalmiles/hour" => MS_PER_KN,
        "km/h" | "kmh-1" | "km/hr" | "kmhr-1" | "km/hour" | "kilometer/hour"
        | "kilometers/hour" | "kilometre/hour" | "kilometres/hour" => 1.0 / 3.6,
        _ => return None,
    };
    Some(Conversion { scale, offset: 0.0 })
}

/// A wind's variance; no other unit is written.
fn variance(units: &str) -> Option<Conversion> {
    (units == "m2 s-2").then_some(Conversion {
        scale: 1.0,
        offset: 0.0,
    })
}

/// To pascals.
fn pressure(units: &str) -> Option<Conversion> {
    let scale = match units.to_lowercase().trim_end_matches('s') {
        "pa" | "pascal" => 1.0,
        "hpa" | "mb" | "mbar" | "millibar" => 100.0,
        _ => return None,
    };
    Some(Conversion { scale, offset: 0.0 })
}

/// To metres.
fn height(units: &str) -> Option<Conversion> {
    matches!(
        units.to_lowercase().as_str(),
        "m" | "metre" | "metres" | "meter" | "meters"
    )
    .then_some(Conversion {
        scale: 1.0,
        offset: 0.0,
    })
}

fn temperature(units: &str) -> Option<Conversion> {
    let plain: String = units
        .to_lowercase()
        .chars()
        .filter(|letter| !" _".contains(*letter))
        .collect();
    let offset = match plain.as_str() {
        "k" | "kelvin" | "kelvins" | "degk" | "degreek" | "degreesk" | "degreekelvin"
        | "degreeskelvin" => -273.15,
        "c" | "degc" | "degreec" | "degreesc" | "celsius" | "degreecelsius" | "degreescelsius"
        | "°c" => 0.0,
        _ => return None,
    };
    Some(Conversion { scale: 1.0, offset })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metres_per_second_are_known_in_many_notations() {
        for units in [
            "m/s",
            "m s-1",
            "m s**-1",
            "m s^-1",
            "m.s-1",
            "M/S",
            "meters/sec",
            "metres per second",
            "meter second-1",
            "m sec-1",
            "m / s",
            "ms-1",
        ] {
            assert_eq!(speed(units).map(|unit| unit.scale), Some(1.0), "{units}");
        }
    }

    #[test]
    fn knots_and_kilometres_per_hour_are_known() {
        for units in ["knots", "kn", "kt", "Knot", "nautical miles per hour"] {
            assert_eq!(
                speed(units).map(|unit| unit.scale),
                Some(MS_PER_KN),
                "{units}"
            );
        }
        assert_eq!(speed("km/h").map(|unit| unit.scale), Some(1.0 / 3.6));
    }

    #[test]
    fn other_units_are_not_guessed() {
        for units in ["", "1", "m", "m2 s-2", "mph", "m s", "cm/s", "degC"] {
            assert_eq!(speed(units), None, "{units}");
        }
        assert_eq!(temperature("degF"), None);
    }

    #[test]
    fn kelvin_and_celsius_are_known() {
        assert_eq!(temperature("K").map(|unit| unit.offset), Some(-273.15));
        for units in [
            "degC",
            "degrees_C",
            "Celsius",
            "deg C",
            "°C",
            "degree_Celsius",
        ] {
            assert_eq!(
                temperature(units).map(|unit| unit.offset),
                Some(0.0),
                "{units}"
            );
        }
    }
}
