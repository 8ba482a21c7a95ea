//! Reading winds from a CF-like NetCDF file with twelve monthly fields, and currents from one with
//! twelve or one; in a process of its own, where it is guarded.

mod answer;
mod attributes;
mod chunks;
mod classic_header;
mod currents;
mod encoding;
mod fields;
mod guard;
mod height;
mod layout;
mod measured;
mod months;
mod open;
mod part;
mod series_file;
mod series_values;
mod time_units;
mod variables;
mod wire;
mod years;

pub(super) use open::{currents, winds, years};
pub(super) use series_file::{NO_YEAR, Source, describe};
pub(super) use series_values::{OpenFile, Slab};
pub(super) use time_units::{Calendar, DAY_MINUTES};
