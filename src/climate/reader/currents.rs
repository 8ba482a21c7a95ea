//! From a file's variables to currents.

use ndarray::Zip;
use netcdf::File;

use super::fields::label;
use super::layout::Steps;
use super::part::Field;
use super::variables;
use crate::climate::currents::CurrentField;
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{MOST_CURRENT_KN, Part, Quantity};
use crate::climate::region::Region;
use crate::climate::source::{CurrentOptions, CurrentPeriod};

/// Reads the crew's own currents in an open file called `name`.
pub(super) fn read(
    file: &File,
    name: &str,
    options: &CurrentOptions,
    region: &Region,
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
    let (east_kn, mut north_kn) = (part.read(&east, 1.0)?, part.read(&north, 1.0)?);
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
