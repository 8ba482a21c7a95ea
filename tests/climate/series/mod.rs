//! A climate measured from a series of winds.

mod against_xarray;
mod bad_series;
mod recovered;
mod resumed;
mod same_winds;
mod used;
mod writing;
