//! Reading winds from a CF-like NetCDF file with twelve monthly fields, and currents from one with
//! twelve or one.

mod attributes;
mod classic_header;
mod currents;
mod encoding;
mod fields;
mod height;
mod layout;
mod months;
mod open;
mod part;
mod time_units;
mod variables;
mod window;

pub use variables::{CurrentOptions, CurrentPeriod, DEFAULT_STEADINESS, SourceOptions};
