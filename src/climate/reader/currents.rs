//! From a file's variables to currents.

use ndarray::{Array3, Zip};
use netcdf::File;

use super::fields::label;
use super::layout::Steps;
use super::part::{Field, Part};
use super::variables::{self, CurrentOptions, CurrentPeriod, MOST_CURRENT_KN, Quantity};
use crate::climate::currents::CurrentField;
use crate::climate::error::ClimateFault;
use crate::climate::region::Region;

/// Within these latitudes the currents carried in the program have nodes.
const DRIFTERS_REACH_DEG: f64 = 79.0;

/// Reads the crew's own currents in an open file called `name`.
pub(super) fn read_own(
    file: &File,
    name: &str,
    options: &CurrentOptions,
    region: &Region,
) -> Result<CurrentField, ClimateFault> {
    read(file, name, options, region, Part::read)
}

/// Reads the currents carried in the program, of which there may be none in the region.
pub(super) fn read_drifters(file: &File, region: &Region) -> Result<CurrentField, ClimateFault> {
    // Beyond the grid nothing is known; that is no fault of the file's.
    let region = Region {
        south_deg: region.south_deg.min(DRIFTERS_REACH_DEG),
        north_deg: region.north_deg.max(-DRIFTERS_REACH_DEG),
        ..*region
    };
    let options = CurrentOptions::default();
    read(file, "drifters", &options, &region, Part::read_or_nothing)
}

fn read(
    file: &File,
    name: &str,
    options: &CurrentOptions,
    region: &Region,
    values: impl Fn(&Part, &Field<'_>, f64) -> Result<Array3<f32>, ClimateFault>,
) -> Result<CurrentField, ClimateFault> {
    let steps = match options.period {
        None => Steps::TwelveOrOne,
        Some(CurrentPeriod::Annual) => Steps::One,
        Some(CurrentPeriod::Monthly) => Steps::Twelve,
    };
    let field = |quantity: Quantity| {
        let variable = variables::require(file, quantity, options)?;
        Field::new(file, variable, quantity, steps)
    };
    let east = field(Quantity::EastwardCurrent)?;
    let north = field(Quantity::NorthwardCurrent)?;
    let grid = (&east.layout, &east.variable);
    north.layout.require_same_grid(&north.variable, grid)?;
    let part = Part::new(file, &east.layout, region)?;
    let (east_kn, mut north_kn) = (values(&part, &east, 1.0)?, values(&part, &north, 1.0)?);
    part.check_speed(
        (&east.variable.name(), &east_kn),
        (&north.variable.name(), &north_kn),
        ("kn", MOST_CURRENT_KN),
    )?;
    // Half a vector is none.
    Zip::from(&mut north_kn)
        .and(&east_kn)
        .for_each(|north_kn, east_kn| {
            if east_kn.is_nan() {
                *north_kn = f32::NAN;
            }
        });
    let not_applied = part.read_not_applied(file, &east)?;
    Ok(CurrentField::new(
        (part.rows.axis, part.columns.axis),
        (east_kn, north_kn),
        not_applied,
        (label(file, name), part.notes),
    ))
}
