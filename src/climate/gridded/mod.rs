//! What monthly fields on a grid must be, wherever they lie: in a file or in memory. Which variable is
//! which, their units and height, which step is which month, and the part of the grid that a region needs.

mod height;
mod months;
mod part;
mod quantity;
mod spacing;
mod units;

pub(super) use height::{height_note, scaling_from};
pub(super) use months::{MonthSteps, months_of_stamps};
pub(super) use part::{Part, Sides, checked_latitudes, checked_longitudes};
pub(super) use quantity::{MOST_MEAN_WIND_MS, Quantity, choose, missing};
pub(super) use units::conversion_of;

#[cfg(feature = "netcdf")]
pub(super) use {
    height::STANDARD_HEIGHT_M,
    part::MOST_NODES,
    quantity::{MOST_CURRENT_KN, NamesVariables},
    units::Conversion,
};

pub use quantity::NamedVariable;
