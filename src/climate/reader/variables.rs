//! Which variable of a file holds which quantity, and in what unit.

use netcdf::{File, Variable};

use super::super::ClimateFault;
use super::{SourceOptions, attributes, layout};
use crate::units::MS_PER_KN;

/// A quantity the reader looks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantity {
    EastwardWind,
    NorthwardWind,
    WindSpeed,
    AirTemperature,
}

/// From the file's unit to ours: `value * scale + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Conversion {
    pub(super) scale: f64,
    pub(super) offset: f64,
}

impl Quantity {
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::EastwardWind => "eastward wind",
            Self::NorthwardWind => "northward wind",
            Self::WindSpeed => "mean wind speed",
            Self::AirTemperature => "air temperature",
        }
    }

    fn standard_name(self) -> &'static str {
        match self {
            Self::EastwardWind => "eastward_wind",
            Self::NorthwardWind => "northward_wind",
            Self::WindSpeed => "wind_speed",
            Self::AirTemperature => "air_temperature",
        }
    }

    /// Names in common use, in lower case.
    fn usual_names(self) -> &'static [&'static str] {
        match self {
            Self::EastwardWind => &[
                "u", "u10", "u10m", "u10n", "10u", "uas", "uwnd", "uwind", "u_wind", "wind_u",
                "u_10m",
            ],
            Self::NorthwardWind => &[
                "v", "v10", "v10m", "v10n", "10v", "vas", "vwnd", "vwind", "v_wind", "wind_v",
                "v_10m",
            ],
            Self::WindSpeed => &[
                "wspd",
                "ws",
                "ws10",
                "si10",
                "10si",
                "sfcwind",
                "wind_speed",
                "windspeed",
                "wind",
                "speed",
                "scalar_wind",
            ],
            Self::AirTemperature => &[
                "air",
                "airt",
                "t2m",
                "2t",
                "tas",
                "tair",
                "t_air",
                "air_temp",
                "air_temperature",
            ],
        }
    }

    fn usually_called(self, name: &str) -> bool {
        self.usual_names().contains(&name.to_lowercase().as_str())
    }

    /// The unit we keep, and the values that are believable in it.
    pub(super) fn unit_and_believable(self) -> (&'static str, f64, f64) {
        match self {
            Self::EastwardWind | Self::NorthwardWind => ("m/s", -100.0, 100.0),
            Self::WindSpeed => ("m/s", 0.0, 100.0),
            Self::AirTemperature => ("degrees C", -90.0, 60.0),
        }
    }

    fn named_by_user(self, options: &SourceOptions) -> Option<&str> {
        match self {
            Self::EastwardWind => options.eastward_wind.as_deref(),
            Self::NorthwardWind => options.northward_wind.as_deref(),
            Self::WindSpeed => options.wind_speed.as_deref(),
            Self::AirTemperature => options.air_temperature.as_deref(),
        }
    }
}

/// The variable that holds `quantity`: the one the user named, else by standard name, else by a
/// usual name. `None` where there is none.
pub(super) fn find<'f>(
    file: &'f File,
    quantity: Quantity,
    options: &SourceOptions,
) -> Result<Option<Variable<'f>>, ClimateFault> {
    if let Some(name) = quantity.named_by_user(options) {
        let named = by_name(file, name);
        return named.map(Some).ok_or_else(|| ClimateFault::NoSuchVariable {
            variable: name.to_owned(),
            quantity: quantity.words(),
            present: names(file.variables()),
        });
    }
    let (mut standard, mut usual) = (Vec::new(), Vec::new());
    for variable in file.variables() {
        match attributes::text(&variable, "standard_name")?.as_deref() {
            Some(name) if name == quantity.standard_name() => standard.push(variable),
            // A current or a pressure may go by the same letter; its standard name tells.
            None | Some("" | "unknown") if quantity.usually_called(&variable.name()) => {
                usual.push(variable);
            }
            _ => {}
        }
    }
    the_only(if standard.is_empty() { usual } else { standard }, quantity)
}

/// Like [`find`], for a quantity that must be there.
pub(super) fn require<'f>(
    file: &'f File,
    quantity: Quantity,
    options: &SourceOptions,
) -> Result<Variable<'f>, ClimateFault> {
    find(file, quantity, options)?.ok_or_else(|| ClimateFault::NoVariable {
        quantity: quantity.words(),
        standard_name: quantity.standard_name(),
        usual_names: quantity.usual_names().join(", "),
        present: names(file.variables()),
    })
}

/// The variable called `name`, exactly.
pub(super) fn by_name<'f>(file: &'f File, name: &str) -> Option<Variable<'f>> {
    // Not the library's own look-up: it takes a slash for a path into groups.
    file.variables().find(|variable| variable.name() == name)
}

fn the_only(
    mut candidates: Vec<Variable>,
    quantity: Quantity,
) -> Result<Option<Variable>, ClimateFault> {
    if candidates.len() > 1 {
        // A profile or a mask may bear the same name; a field on a grid of months does not.
        candidates.retain(|variable| variable.dimensions().len() >= layout::LEAST_DIMENSIONS);
    }
    match candidates.len() {
        0 | 1 => Ok(candidates.pop()),
        _ => Err(ClimateFault::Ambiguous {
            quantity: quantity.words(),
            standard_name: quantity.standard_name(),
            candidates: names(candidates.into_iter()),
        }),
    }
}

fn names<'f>(variables: impl Iterator<Item = Variable<'f>>) -> String {
    let names: Vec<String> = variables.map(|variable| variable.name()).collect();
    if names.is_empty() {
        "no variables".to_owned()
    } else {
        names.join(", ")
    }
}

/// How to bring the variable's values to the unit we keep.
pub(super) fn conversion(
    variable: &Variable,
    quantity: Quantity,
) -> Result<Conversion, ClimateFault> {
    let (known, allowed): (fn(&str) -> Option<Conversion>, _) = match quantity {
        Quantity::AirTemperature => (temperature, "K or degC"),
        _ => (speed, "m s-1, knots or km h-1"),
    };
    let units = attributes::text(variable, "units")?.filter(|units| !units.is_empty());
    units
        .as_deref()
        .and_then(known)
        .ok_or_else(|| ClimateFault::Units {
            variable: variable.name(),
            found: units.map_or("no units".to_owned(), |units| format!("units '{units}'")),
            allowed,
        })
}

fn speed(units: &str) -> Option<Conversion> {
    // 'm s-1', 'm s**-1', 'm.s^-1', 'm/s' and 'meters per second' differ only in dress.
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
    fn metres_per_second_come_in_many_dresses() {
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
