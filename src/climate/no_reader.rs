//! What stands in the reader's place where the library is built without NetCDF: no file is read.

use std::path::Path;

use super::currents::CurrentField;
use super::error::ClimateFault;
use super::grid::Climate;
use super::region::Region;
use super::source::{CurrentOptions, SourceOptions};
use super::years::Years;

pub(super) fn winds(_: &Path, _: &SourceOptions, _: &Region) -> Result<Climate, ClimateFault> {
    Err(ClimateFault::WithoutNetcdf)
}

pub(super) fn currents(
    _: &Path,
    _: &CurrentOptions,
    _: &Region,
) -> Result<CurrentField, ClimateFault> {
    Err(ClimateFault::WithoutNetcdf)
}

pub(super) fn years(_: &Path, _: &SourceOptions, _: &Region) -> Result<Years, ClimateFault> {
    Err(ClimateFault::WithoutNetcdf)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::Currents;

    #[test]
    fn files_are_refused_with_the_way_out() {
        let (path, world) = (Path::new("winds.nc"), Region::world());
        let source = SourceOptions::default();
        let refusals = [
            Climate::open(path, &source, &world).map(drop),
            Currents::open(path, &CurrentOptions::default(), &world).map(drop),
            Years::open(path, &source, &world).map(drop),
        ];
        for refusal in refusals {
            let said = refusal.expect_err("no reader").to_string();
            assert!(said.contains("winds.nc"), "{said}");
            assert!(said.contains("built without NetCDF"), "{said}");
        }
    }
}
