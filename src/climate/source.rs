//! Where a climate may come from: the ship winds carried in the program, or a file.

use std::path::Path;

use super::reader::{open_bytes, open_path};
use super::{Climate, ClimateError, Region, SourceOptions};

/// Monthly mean winds of ship reports; see fixtures/climate/README.md for origin and licence.
const SHIP_WINDS: &[u8] = include_bytes!("../../fixtures/climate/ship-winds.nc");

impl Climate {
    /// The ship winds carried in the program, on `region`.
    ///
    /// # Errors
    /// [`ClimateError`] where the region holds no sea the data know.
    pub fn ship_winds(region: &Region) -> Result<Self, ClimateError> {
        open_bytes(SHIP_WINDS, "ship winds", &SourceOptions::default(), region)
    }

    /// The climate in a CF-like NetCDF file with twelve monthly fields, on `region`.
    ///
    /// The file needs the mean wind toward the east and north; the mean scalar speed, the air
    /// temperature and a flag for values not observed are used where it has them. Variables are
    /// found by standard name, then by usual names, unless `source` names them. Values may be
    /// packed; latitudes may rise or fall; longitudes may be counted from 0 or from -180; the
    /// dimensions may come in any order.
    ///
    /// # Errors
    /// [`ClimateError`] with the file's name and what is wrong with it.
    pub fn open(
        path: &Path,
        source: &SourceOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        open_path(path, source, region)
    }
}
