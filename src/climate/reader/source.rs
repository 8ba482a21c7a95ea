//! What a user may say about a climate file that the file does not say itself.

use crate::units::Range;

/// The steadiness assumed where a file has no scalar wind speed and none is given: between that of
/// the trades and of the westerlies (common practice, no source).
pub const DEFAULT_STEADINESS: f64 = 0.6;

/// How to read a climate file. The default looks for everything by itself.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SourceOptions {
    /// The variable with the mean wind toward the east.
    pub eastward_wind: Option<String>,
    /// The variable with the mean wind toward the north.
    pub northward_wind: Option<String>,
    /// The variable with the mean scalar wind speed.
    pub wind_speed: Option<String>,
    /// The variable with the mean air temperature.
    pub air_temperature: Option<String>,
    /// The height the winds are for, m; stands above what the file says.
    pub wind_height_m: Option<f64>,
    /// The steadiness from which the spread is worked out where the file has no
    /// scalar wind speed; [`DEFAULT_STEADINESS`] if not given.
    pub assumed_steadiness: Option<f64>,
}

impl SourceOptions {
    /// The steadiness that may be assumed.
    pub const STEADINESS: Range = Range::new("assumed steadiness", "", 0.05, 0.99);
    /// The height, in metres, that winds may be for.
    pub const WIND_HEIGHT: Range = Range::new("height of the wind", "m", 1.0, 200.0);
}
