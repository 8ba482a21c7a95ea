//! Which winds a voyage is sailed through.

use std::path::PathBuf;
use std::sync::Arc;

use offing::climate::SourceOptions;
use offing::voyage::ClimateChoice;
use pyo3::prelude::*;

use crate::held::HeldFields;

/// The winds of a climate: those in the package, of a file, or of arrays.
#[pyclass(frozen, module = "offing._offing")]
pub(crate) struct Winds(pub(crate) ClimateChoice);

/// How winds are read.
#[derive(FromPyObject)]
pub(crate) struct Reading {
    eastward_wind: Option<String>,
    northward_wind: Option<String>,
    wind_speed: Option<String>,
    air_temperature: Option<String>,
    wind_height_m: Option<f64>,
    assumed_steadiness: Option<f64>,
}

impl From<Reading> for SourceOptions {
    fn from(reading: Reading) -> Self {
        Self {
            eastward_wind: reading.eastward_wind,
            northward_wind: reading.northward_wind,
            wind_speed: reading.wind_speed,
            air_temperature: reading.air_temperature,
            wind_height_m: reading.wind_height_m,
            assumed_steadiness: reading.assumed_steadiness,
            ..Self::default()
        }
    }
}

#[pymethods]
impl Winds {
    /// Those that come with the package.
    #[staticmethod]
    fn embedded() -> Self {
        Self(ClimateChoice::default())
    }

    /// Those of a NetCDF file, which is read when a voyage is sailed.
    #[staticmethod]
    fn open(path: PathBuf, reading: Reading) -> Self {
        Self(ClimateChoice {
            file: Some(path),
            options: reading.into(),
            ..ClimateChoice::default()
        })
    }

    /// Those of arrays.
    #[staticmethod]
    fn hold(fields: HeldFields, reading: Reading) -> Self {
        Self(ClimateChoice {
            held: Some(Arc::new(fields)),
            options: reading.into(),
            ..ClimateChoice::default()
        })
    }
}
