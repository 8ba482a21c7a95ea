//! Reading a climate from a CF-like NetCDF file with twelve monthly fields.

mod attributes;
mod classic_header;
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

pub use variables::{DEFAULT_STEADINESS, SourceOptions};
