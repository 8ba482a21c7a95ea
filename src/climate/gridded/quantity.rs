//! What is looked for among variables, and which of them holds it: by the user's word, by standard name, by
//! a usual name.

use crate::climate::error::ClimateFault;
use crate::climate::source::{CurrentOptions, SourceOptions};

/// Latitude and longitude.
const GRID_DIMENSIONS: usize = 2;

/// No mean current of the open sea is stronger, knots: the axis of the Gulf Stream is at 2.5 m/s, or
/// 5 kn, at most (from memory).
pub(in crate::climate) const MOST_CURRENT_KN: f64 = 6.0;

/// No month's mean wind over the sea is stronger, metres per second: 60 kn, where the windiest seas
/// have some 25 (from memory).
pub(in crate::climate) const MOST_MEAN_WIND_MS: f64 = 31.0;

/// A quantity the reader looks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::climate) enum Quantity {
    EastwardWind,
    NorthwardWind,
    WindSpeed,
    AirTemperature,
    EastwardCurrent,
    NorthwardCurrent,
    Gust,
    Pressure,
    WaveHeight,
    /// The variance of a component, which only a climate that was measured here has.
    WindVariance,
}

impl Quantity {
    pub(in crate::climate) fn words(self) -> &'static str {
        match self {
            Self::EastwardWind => "eastward wind",
            Self::NorthwardWind => "northward wind",
            Self::WindSpeed => "mean wind speed",
            Self::AirTemperature => "air temperature",
            Self::EastwardCurrent => "eastward current",
            Self::NorthwardCurrent => "northward current",
            Self::Gust => "gusts",
            Self::Pressure => "air pressure",
            Self::WaveHeight => "significant wave height",
            Self::WindVariance => "variance of the wind",
        }
    }

    /// Its CF standard names; the first is the one that messages and settings use.
    fn standard_names(self) -> &'static [&'static str] {
        match self {
            Self::EastwardWind => &["eastward_wind"],
            Self::NorthwardWind => &["northward_wind"],
            Self::WindSpeed => &["wind_speed"],
            Self::AirTemperature => &["air_temperature"],
            Self::EastwardCurrent => &[
                "eastward_sea_water_velocity",
                "surface_eastward_sea_water_velocity",
            ],
            Self::NorthwardCurrent => &[
                "northward_sea_water_velocity",
                "surface_northward_sea_water_velocity",
            ],
            Self::Gust => &["wind_speed_of_gust"],
            Self::Pressure => &[
                "air_pressure_at_mean_sea_level",
                "air_pressure_at_sea_level",
            ],
            Self::WaveHeight => &["sea_surface_wave_significant_height"],
            Self::WindVariance => &[],
        }
    }

    pub(in crate::climate) fn standard_name(self) -> &'static str {
        self.standard_names().first().copied().unwrap_or_default()
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
            Self::EastwardCurrent => &["u", "uo", "uc", "ucur", "u_current", "water_u", "uvel"],
            Self::NorthwardCurrent => &["v", "vo", "vc", "vcur", "v_current", "water_v", "vvel"],
            Self::Gust => &["gust", "fg10", "10fg", "i10fg", "wsgsmax"],
            Self::Pressure => &["msl", "mslp", "slp", "prmsl", "psl"],
            Self::WaveHeight => &["swh", "hs", "vhm0", "wave_height"],
            Self::WindVariance => &[],
        }
    }

    /// Those that a series may hold; the winds first.
    pub(in crate::climate) const SERIES: [Self; 9] = [
        Self::EastwardWind,
        Self::NorthwardWind,
        Self::WindSpeed,
        Self::Gust,
        Self::AirTemperature,
        Self::Pressure,
        Self::EastwardCurrent,
        Self::NorthwardCurrent,
        Self::WaveHeight,
    ];

    /// Whether it is a wind, which is stronger farther up.
    pub(in crate::climate) fn is_wind_at_a_height(self) -> bool {
        matches!(
            self,
            Self::EastwardWind | Self::NorthwardWind | Self::WindSpeed | Self::Gust
        )
    }

    fn usually_called(self, name: &str) -> bool {
        self.usual_names().contains(&name.to_lowercase().as_str())
    }

    /// The unit we keep, and the values that are plausible in it for a mean over many years.
    pub(in crate::climate) fn unit_and_plausible_mean(self) -> (&'static str, f64, f64) {
        match self {
            Self::EastwardWind | Self::NorthwardWind => {
                ("m/s", -MOST_MEAN_WIND_MS, MOST_MEAN_WIND_MS)
            }
            Self::WindSpeed => ("m/s", 0.0, MOST_MEAN_WIND_MS),
            other => other.unit_and_plausible(),
        }
    }

    /// The unit we keep, and the values that are plausible in it at any time.
    pub(in crate::climate) fn unit_and_plausible(self) -> (&'static str, f64, f64) {
        match self {
            Self::EastwardWind | Self::NorthwardWind => ("m/s", -100.0, 100.0),
            Self::WindSpeed => ("m/s", 0.0, 100.0),
            Self::Gust => ("m/s", 0.0, 150.0),
            Self::Pressure => ("Pa", 80_000.0, 115_000.0),
            Self::WaveHeight => ("m", 0.0, 30.0),
            Self::WindVariance => ("m2 s-2", 0.0, 10_000.0),
            Self::AirTemperature => ("degrees C", -90.0, 60.0),
            Self::EastwardCurrent | Self::NorthwardCurrent => {
                ("kn", -MOST_CURRENT_KN, MOST_CURRENT_KN)
            }
        }
    }
}

/// What a variable is told by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedVariable {
    /// Its name.
    pub name: String,
    /// Its attribute `standard_name`, where it has one.
    pub standard_name: Option<String>,
    /// How many dimensions it has.
    pub dimensions: usize,
}

/// Which of some variables holds `quantity`: the one the user named, else by standard name, else by a
/// usual name. `None` where none does.
pub(in crate::climate) fn choose(
    variables: &[NamedVariable],
    quantity: Quantity,
    options: &impl NamesVariables,
) -> Result<Option<usize>, ClimateFault> {
    if let Some(name) = options.name_of(quantity) {
        let named = variables.iter().position(|variable| variable.name == name);
        return named.map(Some).ok_or_else(|| ClimateFault::NoSuchVariable {
            variable: name.to_owned(),
            quantity: quantity.words().into(),
            present: names(variables.iter()),
        });
    }
    let (mut standard, mut usual) = (Vec::new(), Vec::new());
    for (index, variable) in variables.iter().enumerate() {
        match variable.standard_name.as_deref() {
            Some(name) if quantity.standard_names().contains(&name) => standard.push(index),
            // A current or a pressure may go by the same letter; its standard name decides.
            None | Some("" | "unknown") if quantity.usually_called(&variable.name) => {
                usual.push(index);
            }
            _ => {}
        }
    }
    let candidates = if standard.is_empty() { usual } else { standard };
    the_only(variables, candidates, quantity)
}

/// That none of the variables there are holds `quantity`.
pub(in crate::climate) fn missing(quantity: Quantity, present: &[String]) -> ClimateFault {
    ClimateFault::NoVariable {
        quantity: quantity.words().into(),
        standard_name: quantity.standard_name().into(),
        usual_names: quantity.usual_names().join(", "),
        present: listed(present),
    }
}

fn the_only(
    variables: &[NamedVariable],
    mut candidates: Vec<usize>,
    quantity: Quantity,
) -> Result<Option<usize>, ClimateFault> {
    if candidates.len() > 1 {
        // A profile or a mask may have the same name; a field on a grid of months does not.
        let least = match quantity {
            Quantity::EastwardCurrent | Quantity::NorthwardCurrent => GRID_DIMENSIONS,
            _ => GRID_DIMENSIONS + 1,
        };
        candidates.retain(|&index| variables[index].dimensions >= least);
    }
    match candidates.len() {
        0 | 1 => Ok(candidates.pop()),
        _ => Err(ClimateFault::Ambiguous {
            quantity: quantity.words().into(),
            standard_name: quantity.standard_name().into(),
            candidates: names(candidates.iter().map(|&index| &variables[index])),
        }),
    }
}

fn names<'v>(variables: impl Iterator<Item = &'v NamedVariable>) -> String {
    let names: Vec<String> = variables.map(|variable| variable.name.clone()).collect();
    listed(&names)
}

fn listed(names: &[String]) -> String {
    if names.is_empty() {
        "no variables".to_owned()
    } else {
        names.join(", ")
    }
}

/// What says which variable of a file holds a quantity.
pub(in crate::climate) trait NamesVariables {
    /// The variable the user names for it; none where it is to be found.
    fn name_of(&self, quantity: Quantity) -> Option<&str>;
}

impl NamesVariables for SourceOptions {
    fn name_of(&self, quantity: Quantity) -> Option<&str> {
        match quantity {
            Quantity::EastwardWind => self.eastward_wind.as_deref(),
            Quantity::NorthwardWind => self.northward_wind.as_deref(),
            Quantity::WindSpeed => self.wind_speed.as_deref(),
            Quantity::AirTemperature => self.air_temperature.as_deref(),
            _ => None,
        }
    }
}

impl NamesVariables for CurrentOptions {
    fn name_of(&self, quantity: Quantity) -> Option<&str> {
        match quantity {
            Quantity::EastwardCurrent => self.eastward.as_deref(),
            Quantity::NorthwardCurrent => self.northward.as_deref(),
            _ => None,
        }
    }
}
