//! How a file of winds or currents is read: which variable holds what, and by which process.

use std::path::PathBuf;
use std::time::Duration;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Range;

/// The steadiness assumed where a file has no scalar wind speed and none is given: between that of
/// the trades and of the westerlies (common practice, no source).
pub const DEFAULT_STEADINESS: f64 = 0.6;

/// How to read a file of currents. The default looks for everything by itself.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct CurrentOptions {
    /// The variable with the mean current toward the east.
    pub eastward: Option<String>,
    /// The variable with the mean current toward the north.
    pub northward: Option<String>,
    /// What the file holds; none where either will do.
    pub period: Option<CurrentPeriod>,
    /// Reads the file in a process of its own; none to read it in this one, which a damaged or
    /// hostile file can crash or hang.
    #[serde(skip)]
    pub guard: Option<Guard>,
}

/// What a file's currents are the mean of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CurrentPeriod {
    /// The whole year.
    Annual,
    /// Each calendar month.
    Monthly,
}

/// How to read a climate file. The default looks for everything by itself.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct SourceOptions {
    /// The variable with the mean wind toward the east.
    pub eastward_wind: Option<String>,
    /// The variable with the mean wind toward the north.
    pub northward_wind: Option<String>,
    /// The variable with the mean scalar wind speed.
    pub wind_speed: Option<String>,
    /// The variable with the mean air temperature.
    pub air_temperature: Option<String>,
    /// The height the winds are for, m; takes precedence over the file.
    pub wind_height_m: Option<f64>,
    /// The steadiness from which the standard deviation is worked out where the file has no
    /// scalar wind speed; [`DEFAULT_STEADINESS`] if not given.
    pub assumed_steadiness: Option<f64>,
    /// Reads the file in a process of its own; none to read it in this one, which a damaged or
    /// hostile file can crash or hang.
    #[serde(skip)]
    pub guard: Option<Guard>,
}

impl SourceOptions {
    /// The steadiness that may be assumed.
    pub const STEADINESS: Range = Range::new("assumed steadiness", "", 0.05, 0.99);
    /// The height, in metres, that winds may be for.
    pub const WIND_HEIGHT: Range = Range::new("height of the wind", "m", 1.0, 200.0);
}

/// Reads a NetCDF file in a process of its own.
///
/// The C libraries that read NetCDF do not survive every damaged file: one flipped bit can end
/// them by a signal, keep them in a loop or let them take memory without end. In a process of its
/// own that is [`ClimateFault::Damaged`](super::ClimateFault::Damaged) or
/// [`ClimateFault::TooSlow`](super::ClimateFault::TooSlow) and nothing worse.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guard {
    /// The program that reads: `offing` of the same version, or one that calls `Guard::serve`
    /// when it is started with [`Guard::COMMAND`] and a path.
    pub program: PathBuf,
    /// How long it may take.
    pub time_limit: Duration,
}

impl Guard {
    /// What the program is started with, before the file's path.
    pub const COMMAND: &str = "read-netcdf";

    /// A guard that gives up after 20 s.
    pub fn new(program: impl Into<PathBuf>) -> Self {
        Self {
            program: program.into(),
            time_limit: Duration::from_secs(20),
        }
    }
}
