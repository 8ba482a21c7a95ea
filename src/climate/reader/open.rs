//! Opening a file: is it there, is it NetCDF, is all of it there.

use std::fs::{self, File};
use std::io::{BufReader, Read};
use std::path::{Path, PathBuf};

use super::answer::{CurrentsRead, Request, WindsRead, YearsRead};
use super::classic_header::{HeaderFault, needed_bytes};
use super::variables::{CurrentOptions, SourceOptions};
use super::{currents, fields, years};
use crate::climate::currents::{CurrentField, Currents};
use crate::climate::error::{ClimateError, ClimateFault, ClimatePart};
use crate::climate::grid::Climate;
use crate::climate::region::Region;
use crate::climate::series::{monthly_climate, monthly_years};
use crate::climate::years::Years;

/// Monthly mean winds of ship reports; see fixtures/climate/README.md for origin and licence.
const SHIP_WINDS: &[u8] = include_bytes!("../../../fixtures/climate/ship-winds.nc");

/// Annual mean surface currents from drifters; see fixtures/climate/README.md for origin and licence.
const DRIFTERS: &[u8] = include_bytes!("../../../fixtures/climate/currents.nc");

/// The Navy's monthly winds 1982 to 1992 less their mean; see fixtures/climate/README.md for origin and licence.
const NAVY_YEARS: &[u8] = include_bytes!("../../../fixtures/climate/years.nc");

const HDF5_MARK: &[u8] = b"\x89HDF\r\n\x1a\n";

/// Places an HDF5 file may begin at, after a block of the user's own.
const HDF5_STARTS: [usize; 4] = [0, 512, 1024, 2048];

/// Twelve months of winds on a grid of a tenth of a degree take 1.2 GB in single precision.
const MOST_FILE_BYTES: u64 = 4 << 30;

impl Climate {
    /// The ship winds carried in the program, on `region`.
    ///
    /// # Errors
    /// [`ClimateError`] where the region holds no sea the data know.
    pub fn ship_winds(region: &Region) -> Result<Self, ClimateError> {
        let name = "ship winds";
        open_bytes(SHIP_WINDS, name, |file| {
            fields::read_climate(file, name, &SourceOptions::default(), region)
        })
        .map_err(|fault| fault.in_file(ClimatePart::Winds, name))
    }

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
    /// [`ClimateError`] with the file's name and what is wrong with it.
    pub fn open(
        path: &Path,
        source: &SourceOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        let read = match &source.guard {
            None => winds_in(path, source, region),
            Some(guard) => {
                guard.ask::<WindsRead, _>(path, &Request::Winds(source.clone(), *region))
            }
        };
        read.map_err(|fault| fault.in_file(ClimatePart::Winds, &path.display().to_string()))
    }
}

impl Currents {
    /// The annual mean currents carried in the program, on `region`. Much of it, or all, may have
    /// none that is known.
    ///
    /// # Errors
    /// None in a released program: a test reads them.
    pub fn drifters(region: &Region) -> Result<Self, ClimateError> {
        let name = "drifters";
        open_bytes(DRIFTERS, name, |file| currents::read_drifters(file, region))
            .map(|field| Self::Field(Box::new(field)))
            .map_err(|fault| fault.in_file(ClimatePart::Currents, name))
    }

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
        let read = match &options.guard {
            None => currents_in(path, options, region),
            Some(guard) => {
                guard.ask::<CurrentsRead, _>(path, &Request::Currents(options.clone(), *region))
            }
        };
        read.map(|field| Self::Field(Box::new(field)))
            .map_err(|fault| fault.in_file(ClimatePart::Currents, &path.display().to_string()))
    }
}

impl Years {
    /// The years carried in the program, 1982 to 1992, on `region`.
    ///
    /// # Errors
    /// None in a released program but for a region beyond 85 degrees: a test reads them.
    pub fn navy(region: &Region) -> Result<Self, ClimateError> {
        open_bytes(NAVY_YEARS, "years", |file| {
            let read = years::read_years(file, "years", region)?;
            let label = read
                .label
                .trim_start_matches("years (")
                .trim_end_matches(')');
            Ok(Self {
                label: label.to_owned(),
                notes: vec![NAVY_NOTE.to_owned()],
                ..read
            })
        })
        .map_err(|fault| fault.in_file(ClimatePart::Winds, "years"))
    }

    /// The real years in a file that `offing winds` made of several, or in one of the monthly means of
    /// several years, on `region`. It is otherwise as for [`Climate::open`].
    ///
    /// # Errors
    /// [`ClimateFault::NoYears`] where the file has none; else what [`Climate::open`] finds wrong.
    pub fn open(
        path: &Path,
        source: &SourceOptions,
        region: &Region,
    ) -> Result<Self, ClimateError> {
        let read = match &source.guard {
            None => years_in(path, source, region),
            Some(guard) => {
                guard.ask::<YearsRead, _>(path, &Request::Years(source.clone(), *region))
            }
        };
        read.map_err(|fault| fault.in_file(ClimatePart::Winds, &path.display().to_string()))
    }
}

/// What is to be said about the years in the program.
const NAVY_NOTE: &str = "the years 1982 to 1992 are the Navy's monthly winds on a grid of 5 degrees, less \
     their mean and the slow change of each latitude's mean, for the record is not homogeneous; they are \
     brought to the strength of the averages they are added to";

/// The real years in the file at `path`, read in this process.
pub(super) fn years_in(
    path: &Path,
    source: &SourceOptions,
    region: &Region,
) -> Result<Years, ClimateFault> {
    let name = path.display().to_string();
    match unless_series(path, source, |file| years::read_years(file, &name, region))? {
        Some(years) => Ok(years),
        None => monthly_years(path, source, region),
    }
}

/// The winds in the file at `path`, read in this process.
pub(super) fn winds_in(
    path: &Path,
    source: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    let name = path.display().to_string();
    let twelve = |file: &netcdf::File| fields::read_climate(file, &name, source, region);
    match unless_series(path, source, twelve)? {
        Some(climate) => Ok(climate),
        None => monthly_climate(path, source, region),
    }
}

/// The currents in the file at `path`, read in this process.
pub(super) fn currents_in(
    path: &Path,
    options: &CurrentOptions,
    region: &Region,
) -> Result<CurrentField, ClimateFault> {
    let name = path.display().to_string();
    open_path(path, |file| {
        currents::read_own(file, &name, options, region)
    })
}

/// What `read` finds in the file at `path`; none where that is a series, which is read another way.
fn unless_series<T>(
    path: &Path,
    source: &SourceOptions,
    read: impl FnOnce(&netcdf::File) -> Result<T, ClimateFault>,
) -> Result<Option<T>, ClimateFault> {
    open_path(path, |file| {
        let is_series = fields::is_series(file, source)?;
        (!is_series).then(|| read(file)).transpose()
    })
}

/// What `read` finds in a NetCDF-4 file held in memory and called `name`.
fn open_bytes<T>(
    bytes: &[u8],
    name: &str,
    read: impl FnOnce(&netcdf::File) -> Result<T, ClimateFault>,
) -> Result<T, ClimateFault> {
    silence_hdf5();
    let file = netcdf::open_mem(Some(name), bytes)
        .map_err(|error| ClimateFault::damaged("opening it", &error))?;
    read(&file)
}

/// What `read` finds in the file at `path`, which is no series and so not of any size.
fn open_path<T>(
    path: &Path,
    read: impl FnOnce(&netcdf::File) -> Result<T, ClimateFault>,
) -> Result<T, ClimateFault> {
    let file = opened(path)?;
    let found_bytes = fs::metadata(path)?.len();
    if found_bytes > MOST_FILE_BYTES {
        return Err(ClimateFault::TooLarge {
            found_bytes,
            most_bytes: MOST_FILE_BYTES,
        });
    }
    read(&file)
}

/// The file at `path`, opened.
pub(super) fn opened(path: &Path) -> Result<netcdf::File, ClimateFault> {
    let path = whole(path)?;
    netcdf::open(&path).map_err(|error| ClimateFault::damaged("opening it", &error))
}

/// The full path of the file at `path`, which is a file, is NetCDF, and is not cut short as far as shows.
pub(super) fn whole(path: &Path) -> Result<PathBuf, ClimateFault> {
    // The C library takes some names for addresses on the network; a full path never is one.
    let path = fs::canonicalize(path)?;
    let metadata = fs::metadata(&path)?;
    if !metadata.is_file() {
        return Err(ClimateFault::NotAFile);
    }
    check_whole(File::open(&path)?, metadata.len())?;
    silence_hdf5();
    Ok(path)
}

/// Keeps the HDF5 library from printing its own errors on this thread. The NetCDF library does so
/// only for the thread that used it first, and asks for attributes that need not be there.
fn silence_hdf5() {
    hdf5_metno::silence_errors(true);
}

/// Refuses what is not NetCDF, and a classic file that was cut short.
fn check_whole(file: File, file_bytes: u64) -> Result<(), ClimateFault> {
    if file_bytes == 0 {
        return Err(ClimateFault::Empty);
    }
    let mut start = Vec::new();
    let mut file = BufReader::new(file);
    let longest = HDF5_STARTS[HDF5_STARTS.len() - 1] + HDF5_MARK.len();
    file.by_ref().take(longest as u64).read_to_end(&mut start)?;
    let is_hdf5 = |at: &usize| {
        start
            .get(*at..)
            .is_some_and(|rest| rest.starts_with(HDF5_MARK))
    };
    // The HDF5 library compares the length with the file's own account.
    if HDF5_STARTS.iter().any(is_hdf5) {
        return Ok(());
    }
    if !start.starts_with(b"CDF") {
        let found = start[..start.len().min(8)].escape_ascii().to_string();
        return Err(ClimateFault::NotNetcdf {
            found: format!("\"{found}\""),
        });
    }
    match needed_bytes(start.as_slice().chain(file)) {
        Ok(needed_bytes) if needed_bytes > file_bytes => Err(ClimateFault::CutShort {
            found_bytes: file_bytes,
            needed_bytes,
        }),
        Ok(_) => Ok(()),
        Err(HeaderFault::Unreadable(error)) => Err(error.into()),
        Err(HeaderFault::EndsInHeader) => Err(ClimateFault::Damaged {
            doing: "reading its header".to_owned(),
            reason: format!("the file ends after {file_bytes} bytes, inside it"),
        }),
        Err(HeaderFault::Implausible(reason)) => Err(ClimateFault::Damaged {
            doing: "reading its header".to_owned(),
            reason: reason.to_owned(),
        }),
    }
}
