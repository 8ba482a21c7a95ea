//! Opening a file: is it there, is it NetCDF, is all of it there.

use std::fs::{self, File};
use std::io::{BufReader, Read};
use std::path::{Path, PathBuf};

use super::answer::{CurrentsRead, Request, WindsRead, YearsRead};
use super::classic_header::{HeaderFault, needed_bytes};
use super::{currents as current_fields, fields, years as anomalies};
use crate::climate::currents::CurrentField;
use crate::climate::error::ClimateFault;
use crate::climate::grid::Climate;
use crate::climate::region::Region;
use crate::climate::series::{monthly_climate, monthly_years};
use crate::climate::source::{CurrentOptions, SourceOptions};
use crate::climate::years::Years;

const HDF5_MARK: &[u8] = b"\x89HDF\r\n\x1a\n";

/// Places an HDF5 file may begin at, after a block of the user's own.
const HDF5_STARTS: [usize; 4] = [0, 512, 1024, 2048];

/// Twelve months of winds on a grid of a tenth of a degree take 1.2 GB in single precision.
const MOST_FILE_BYTES: u64 = 4 << 30;

/// The winds in the file at `path`, under guard where there is one.
pub(in crate::climate) fn winds(
    path: &Path,
    source: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    match &source.guard {
        None => winds_in(path, source, region),
        Some(guard) => guard.ask::<WindsRead, _>(path, &Request::Winds(source.clone(), *region)),
    }
}

/// The currents in the file at `path`, under guard where there is one.
pub(in crate::climate) fn currents(
    path: &Path,
    options: &CurrentOptions,
    region: &Region,
) -> Result<CurrentField, ClimateFault> {
    match &options.guard {
        None => currents_in(path, options, region),
        Some(guard) => {
            guard.ask::<CurrentsRead, _>(path, &Request::Currents(options.clone(), *region))
        }
    }
}

/// The real years in the file at `path`, under guard where there is one.
pub(in crate::climate) fn years(
    path: &Path,
    source: &SourceOptions,
    region: &Region,
) -> Result<Years, ClimateFault> {
    match &source.guard {
        None => years_in(path, source, region),
        Some(guard) => guard.ask::<YearsRead, _>(path, &Request::Years(source.clone(), *region)),
    }
}

/// The real years in the file at `path`, read in this process.
pub(super) fn years_in(
    path: &Path,
    source: &SourceOptions,
    region: &Region,
) -> Result<Years, ClimateFault> {
    let name = path.display().to_string();
    match unless_series(path, source, |file| {
        anomalies::read_years(file, &name, region)
    })? {
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
        current_fields::read(file, &name, options, region)
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

impl ClimateFault {
    /// What the NetCDF library says when it cannot make sense of a file.
    pub(in crate::climate) fn damaged(doing: impl Into<String>, error: &netcdf::Error) -> Self {
        Self::Damaged {
            doing: doing.into(),
            reason: error.to_string(),
        }
    }
}
