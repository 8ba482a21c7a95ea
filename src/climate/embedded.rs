//! The winds, years and currents carried in the program.

use ndarray::Array4;

use super::currents::{CurrentField, Currents};
use super::error::{ClimateError, ClimateFault, ClimatePart};
use super::grid::Climate;
use super::means::{MonthlyMeans, climate_of_means};
use super::month::Month;
use super::packed::{Packed, PackedFault, PackedPart};
use super::region::Region;
use super::source::SourceOptions;
use super::years::{Anomalies, Years};
use crate::units::KN_PER_MS;

/// Monthly mean winds of ship reports; see fixtures/climate/README.md for origin and licence.
const SHIP_WINDS: &[u8] = include_bytes!("../../fixtures/climate/ship-winds.bin");

/// Annual mean surface currents from drifters; see fixtures/climate/README.md for origin and licence.
const DRIFTERS: &[u8] = include_bytes!("../../fixtures/climate/currents.bin");

/// The Navy's monthly winds 1982 to 1992 less their mean; see fixtures/climate/README.md for origin and licence.
const NAVY_YEARS: &[u8] = include_bytes!("../../fixtures/climate/years.bin");

/// Within these latitudes the currents carried in the program have nodes.
const DRIFTERS_REACH_DEG: f64 = 79.0;

/// What is to be said about the years in the program.
const NAVY_NOTE: &str = "the years 1982 to 1992 are the Navy's monthly winds on a grid of 5 degrees, less \
     their mean and the slow change of each latitude's mean, for the record is not homogeneous; they are \
     brought to the strength of the averages they are added to";

impl Climate {
    /// The ship winds carried in the program, on `region`.
    ///
    /// # Errors
    /// [`ClimateError`] where the region holds no sea the data know.
    pub fn ship_winds(region: &Region) -> Result<Self, ClimateError> {
        ship_winds(region).map_err(|fault| fault.in_file(ClimatePart::Winds, "ship winds"))
    }
}

impl Currents {
    /// The annual mean currents carried in the program, on `region`. Much of it, or all, may have
    /// none that is known.
    ///
    /// # Errors
    /// None in a released program: a test reads them.
    pub fn drifters(region: &Region) -> Result<Self, ClimateError> {
        drifters(region)
            .map(|field| Self::Field(Box::new(field)))
            .map_err(|fault| fault.in_file(ClimatePart::Currents, "drifters"))
    }
}

impl Years {
    /// The years carried in the program, 1982 to 1992, on `region`.
    ///
    /// # Errors
    /// None in a released program but for a region beyond 85 degrees: a test reads them.
    pub fn navy(region: &Region) -> Result<Self, ClimateError> {
        navy_years(region).map_err(|fault| fault.in_file(ClimatePart::Winds, "years"))
    }
}

fn ship_winds(region: &Region) -> Result<Climate, ClimateFault> {
    let packed = Packed::read(SHIP_WINDS)?;
    let part = packed.part(region)?;
    let known = |name: &'static str| {
        let values = part.values(name, 1.0)?;
        if values.iter().all(|value| value.is_nan()) {
            let (variable, region) = (name.to_owned(), *region);
            return Err(ClimateFault::AllMissing { variable, region });
        }
        Ok(values)
    };
    let means = MonthlyMeans {
        u_ms: known("eastward_wind")?,
        v_ms: known("northward_wind")?,
        mean_speed_ms: Some(known("wind_speed")?),
        air_temperature_c: Some(known("air_temperature")?),
        replaced: Some(part.marks("replaced")?),
        label: format!("ship winds ({})", packed.title()),
        notes: Vec::new(),
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
    };
    climate_of_means(means, &SourceOptions::default(), region)
}

fn drifters(region: &Region) -> Result<CurrentField, ClimateFault> {
    // Beyond the grid nothing is known; that is no fault.
    let region = Region {
        south_deg: region.south_deg.min(DRIFTERS_REACH_DEG),
        north_deg: region.north_deg.max(-DRIFTERS_REACH_DEG),
        ..*region
    };
    let packed = Packed::read(DRIFTERS)?;
    let part = packed.part(&region)?;
    let component = |name| part.values(name, KN_PER_MS);
    let fields = (
        component("surface_eastward_sea_water_velocity")?,
        component("surface_northward_sea_water_velocity")?,
    );
    let not_applied = part.marks("not_applied")?;
    Ok(CurrentField::new(
        (part.rows.axis, part.columns.axis),
        fields,
        Some(not_applied),
        (format!("drifters ({})", packed.title()), Vec::new()),
    ))
}

fn navy_years(region: &Region) -> Result<Years, ClimateFault> {
    let packed = Packed::read(NAVY_YEARS)?;
    let part = packed.part(region)?;
    let years = packed.years().to_vec();
    let component = |part: &PackedPart, name| {
        let values = part.values(name, 1.0)?;
        let (_, rows, columns) = values.dim();
        let shape = (years.len(), Month::ALL.len(), rows, columns);
        let values = values.into_raw_vec_and_offset().0;
        Array4::from_shape_vec(shape, values).map_err(|_| PackedFault::Field(name))
    };
    let anomalies = Anomalies {
        u_ms: component(&part, "u_anomaly")?,
        v_ms: component(&part, "v_anomaly")?,
    };
    Ok(Years {
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
        years,
        anomalies,
        label: packed.title().to_owned(),
        notes: vec![NAVY_NOTE.to_owned()],
    })
}

#[cfg(test)]
#[path = "embedded_tests.rs"]
mod tests;
