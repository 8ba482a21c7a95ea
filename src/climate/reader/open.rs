//! Opening a file: is it there, is it NetCDF, is all of it there.

use std::fs::{self, File};
use std::io::{BufReader, Read};
use std::path::Path;

use super::super::classic_header::{HeaderFault, needed_bytes};
use super::super::hdf5_superblock::{self, SEARCHED_BYTES};
use super::super::{Climate, ClimateError, ClimateFault, Region};
use super::{SourceOptions, fields};

/// The climate in the file at `path`.
pub(in super::super) fn open_path(
    path: &Path,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateError> {
    let name = path.display().to_string();
    read_path(path, &name, options, region).map_err(|fault| fault.in_file(&name))
}

/// The climate in a NetCDF-4 file held in memory and called `name`.
pub(in super::super) fn open_bytes(
    bytes: &[u8],
    name: &str,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateError> {
    let read = || {
        let file =
            netcdf::open_mem(Some(name), bytes).map_err(|error| damaged("opening it", &error))?;
        fields::read_climate(&file, name, options, region)
    };
    read().map_err(|fault| fault.in_file(name))
}

fn read_path(
    path: &Path,
    name: &str,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    // The C library takes some names for addresses on the network; a full path never is one.
    let path = fs::canonicalize(path)?;
    let metadata = fs::metadata(&path)?;
    if !metadata.is_file() {
        return Err(ClimateFault::NotAFile);
    }
    check_whole(File::open(&path)?, metadata.len())?;
    let file = netcdf::open(&path).map_err(|error| damaged("opening it", &error))?;
    fields::read_climate(&file, name, options, region)
}

/// Refuses what is not NetCDF, and what was cut short.
fn check_whole(file: File, file_bytes: u64) -> Result<(), ClimateFault> {
    if file_bytes == 0 {
        return Err(ClimateFault::Empty);
    }
    let mut start = Vec::new();
    let mut file = BufReader::new(file);
    file.by_ref().take(SEARCHED_BYTES).read_to_end(&mut start)?;
    let check_length = |needed_bytes| {
        if needed_bytes > file_bytes {
            Err(ClimateFault::CutShort {
                found_bytes: file_bytes,
                needed_bytes,
            })
        } else {
            Ok(())
        }
    };
    if let Some(superblock) = hdf5_superblock::superblock(&start) {
        return match hdf5_superblock::needed_bytes(superblock) {
            Some(needed_bytes) => check_length(needed_bytes),
            None if superblock.len() < 64 => Err(ends_in_header(file_bytes)),
            None => Ok(()),
        };
    }
    if !start.starts_with(b"CDF") {
        let found = start[..start.len().min(8)].escape_ascii().to_string();
        return Err(ClimateFault::NotNetcdf {
            found: format!("\"{found}\""),
        });
    }
    match needed_bytes(start.as_slice().chain(file)) {
        Ok(needed_bytes) => check_length(needed_bytes),
        Err(HeaderFault::Unreadable(error)) => Err(error.into()),
        Err(HeaderFault::EndsInHeader) => Err(ends_in_header(file_bytes)),
        Err(HeaderFault::Implausible(reason)) => Err(ClimateFault::Damaged {
            doing: "reading its header".to_owned(),
            reason: reason.to_owned(),
        }),
    }
}

fn ends_in_header(file_bytes: u64) -> ClimateFault {
    ClimateFault::Damaged {
        doing: "reading its header".to_owned(),
        reason: format!("the file ends after {file_bytes} bytes, inside it"),
    }
}

pub(super) fn damaged(doing: impl Into<String>, error: &netcdf::Error) -> ClimateFault {
    ClimateFault::Damaged {
        doing: doing.into(),
        reason: error.to_string(),
    }
}
