//! Wind climatology: the grid, its reader, and the wind at a place and season.
//!
//! A [`Climate`] holds, for each node of a grid and each month, the mean wind and its standard deviation. It is
//! read with [`Climate::ship_winds`] or [`Climate::open`] on the [`Region`] a passage needs and
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

mod axis;
mod basins;
mod beaufort;
mod bessel;
mod currents;
mod error;
mod grid;
mod month;
mod reader;
mod region;
mod rice;
mod sampling;
mod season;
mod series;
mod storms;
mod wind;
mod wind_shares;
mod years;

pub use basins::Basin;
pub use beaufort::{BeaufortForce, GALE_KN, LOWER_BOUNDS_KN};
pub use currents::{Current, CurrentBasis, CurrentField, Currents};
pub use error::{ClimateError, ClimateFault, ClimatePart};
pub use grid::{Climate, HeightScaling};
pub use month::{Month, NoSuchMonth};
pub use reader::{CurrentOptions, CurrentPeriod, DEFAULT_STEADINESS, Guard, SourceOptions};
pub use region::Region;
pub use sampling::{ClimateGap, LocalClimate};
pub use season::{DAYS_PER_YEAR, MonthMix, SeasonDay};
pub use series::{
    LAG_DAYS, MeasuredMonth, MeasuredPicture, MeasuredWinds, OnGrid, SLOW_HOURS, SeriesError,
    SeriesProgress, Unfinished, WindSeries, measure_winds,
};
pub use storms::{STORM_CIRCLE_NM, StormDays, StormRate, storm_chance};
pub use wind::{Wind, turned_along};
pub use wind_shares::RoseSector;
pub use years::Years;
