//! Opening the crew's own files of winds, currents and years.

use std::path::Path;

use super::currents::Currents;
use super::error::{ClimateError, ClimatePart};
use super::grid::Climate;
use super::reader;
use super::region::Region;
use super::source::{CurrentOptions, SourceOptions};
use super::years::Years;

impl Climate {
    /// The climate in a CF-like NetCDF file with twelve monthly fields, or with those of many years, on
    /// `region`.
    ///
    /// The file needs the mean wind toward the east and north; the mean scalar speed, the air
    /// temperature and a flag for values not observed are used where it has them. Variables are
    /// found by standard name, then by usual names, unless `source` names them. Values may be
    /// packed; latitudes may rise or fall; longitudes may be counted from 0 or from -180; the
    /// dimensions may come in any order.
    ///
    /// The C libraries that read NetCDF do not survive every damaged file: without
    /// [`SourceOptions::guard`] a file can crash this process, make it panic, or keep it for ever.
    /// A file that a stranger made, or that was downloaded, is better read with it.
    ///
    /// # Errors
    /// [`ClimateError`] with the file's name and what is wrong with it. Without the feature
    /// `netcdf` that is [`ClimateFault::WithoutNetcdf`](super::ClimateFault::WithoutNetcdf) for every file.
    pub fn open(
        path: &Path,
        source: &SourceOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        reader::winds(path, source, region)
            .map_err(|fault| fault.in_file(ClimatePart::Winds, &path.display().to_string()))
    }
}

impl Currents {
    /// The currents in a CF-like NetCDF file with one annual or twelve monthly fields, on `region`.
    ///
    /// The file needs the current toward the east and the north, found by standard name and then by
    /// usual names, unless `options` names them. It is otherwise as for [`Climate::open`].
    ///
    /// # Errors
    /// [`ClimateError`] with the file's name and what is wrong with it.
    pub fn open(
        path: &Path,
        options: &CurrentOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        reader::currents(path, options, region)
            .map(|field| Self::Field(Box::new(field)))
            .map_err(|fault| fault.in_file(ClimatePart::Currents, &path.display().to_string()))
    }
}

impl Years {
    /// The real years in a file that `offing winds` made of several, or in one of the monthly means of
    /// several years, on `region`. It is otherwise as for [`Climate::open`].
    ///
    /// # Errors
    /// [`ClimateFault::NoYears`](super::ClimateFault::NoYears) where the file has none; else what [`Climate::open`] finds wrong.
    pub fn open(
        path: &Path,
        source: &SourceOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        reader::years(path, source, region)
            .map_err(|fault| fault.in_file(ClimatePart::Winds, &path.display().to_string()))
    }
}
