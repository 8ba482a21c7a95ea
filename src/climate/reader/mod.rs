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
mod spacing;
mod time_units;
mod variables;
mod window;
pub(super) mod wire;

pub use guard::Guard;
pub use variables::{CurrentOptions, CurrentPeriod, DEFAULT_STEADINESS, SourceOptions};
