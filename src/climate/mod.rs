//! Wind climatology: the grid, its reader, and the wind at a place and season.
//!
//! A [`Climate`] holds, for each node of a grid and each month, the mean wind and its standard deviation. It is
//! read with [`Climate::ship_winds`] or, with the feature `netcdf`, [`Climate::open`] on the [`Region`] a passage needs and
//! asked with [`Climate::at`] for the [`LocalClimate`] of a place and [`SeasonDay`]. The [`Wind`]
//! found there gives shares of time by speed and direction.
//!
//! The wind's two components are taken as independent Gaussians about the mean with one common
//! standard deviation, so its speed follows the Rice distribution; the standard deviation at a
//! node is the one that makes the mean speed that of the file.
//!
//! [`Years`] holds the departures of real years from these means, and [`Climate::in_year`] adds one year's.
//!
//! [`StormDays`] says how often the centre of a tropical storm was near a place, month by month.

// Some of this and of `window` only the reader of files needs.
#[cfg_attr(not(feature = "netcdf"), allow(dead_code))]
mod axis;
mod basins;
mod beaufort;
mod bessel;
mod currents;
mod embedded;
mod error;
mod fault_wire;
mod grid;
#[cfg_attr(not(feature = "netcdf"), allow(dead_code))]
mod gridded;
mod in_memory;
mod means;
mod measured;
mod measured_winds;
mod month;
mod own_files;
mod packed;
#[cfg(feature = "netcdf")]
mod reader;
#[cfg(not(feature = "netcdf"))]
#[path = "no_reader.rs"]
mod reader;
mod region;
mod rice;
mod sampling;
mod season;
#[cfg(feature = "netcdf")]
mod series;
mod source;
mod storms;
mod wind;
mod wind_shares;
#[cfg_attr(not(feature = "netcdf"), allow(dead_code))]
mod window;
mod years;

pub use basins::Basin;
pub use beaufort::{BeaufortForce, GALE_KN, LOWER_BOUNDS_KN};
pub use currents::{Current, CurrentBasis, CurrentField, Currents};
pub use error::{ClimateError, ClimateFault, ClimatePart};
pub use grid::{Climate, HeightScaling};
pub use gridded::NamedVariable;
pub use in_memory::{FieldInMemory, HeldWinds, StepMonths, WindVariables, WindsInMemory};
pub use measured::{CountedShares, MeasuredFigure, WindMemory, WindScatter};
pub use measured_winds::{MeasuredMonth, MeasuredPicture, MeasuredWinds};
pub use month::{Month, NoSuchMonth};
pub use region::Region;
pub use sampling::{ClimateGap, LocalClimate};
pub use season::{DAYS_PER_YEAR, MonthMix, SeasonDay};
#[cfg(feature = "netcdf")]
pub use series::{
    LAG_DAYS, OnGrid, SeriesError, SeriesProgress, Unfinished, WindSeries, measure_winds,
};
pub use source::{CurrentOptions, CurrentPeriod, DEFAULT_STEADINESS, Guard, SourceOptions};
pub use storms::{STORM_CIRCLE_NM, StormDays, StormRate, storm_chance};
pub use wind::{SLOW_HOURS, Wind, turned_along};
pub use wind_shares::RoseSector;
pub use years::Years;
