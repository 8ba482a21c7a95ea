//! Reading winds from a CF-like NetCDF file with twelve monthly fields, and currents from one with
//! twelve or one; in a process of its own, where it is guarded.

mod answer;
mod attributes;
mod classic_header;
mod currents;
mod encoding;
mod fields;
mod guard;
mod height;
mod layout;
mod months;
mod open;
mod part;
mod series_file;
mod spacing;
mod time_units;
mod variables;
mod window;
pub(super) mod wire;
mod years;

pub(super) use encoding::conversion_of;
pub(super) use fields::{MonthlyMeans, climate_of_means, height_note};
pub use guard::Guard;
pub(super) use height::scaling_from;
pub(super) use layout::{checked_latitudes, checked_longitudes};
pub(super) use months::{MonthSteps, months_of_stamps};
pub(super) use part::{Part, Sides};
pub(super) use series_file::{NO_YEAR, OpenFile, Source, describe};
pub(super) use time_units::{Calendar, DAY_MINUTES};
pub(super) use variables::{MOST_MEAN_WIND_MS, Quantity, choose, missing};
pub(super) use window::Run;

pub use variables::NamedVariable;
pub use variables::{CurrentOptions, CurrentPeriod, DEFAULT_STEADINESS, SourceOptions};
