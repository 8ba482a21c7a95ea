//! Reading a climate from a CF-like NetCDF file with twelve monthly fields.

mod attributes;
mod calendar;
mod coordinates;
mod encoding;
mod fields;
mod height;
mod layout;
mod months;
mod open;
mod origin;
mod part;
mod source;
mod time_bounds;
mod time_units;
mod variables;
mod window;

pub(super) use open::{open_bytes, open_path};
pub use source::{DEFAULT_STEADINESS, SourceOptions};
