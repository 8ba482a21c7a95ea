//! The climate and its files.

#[path = "../support/rows.rs"]
mod rows;

#[path = "../support/noise.rs"]
mod noise;

mod files;
mod series;
mod storms;
mod winds;
mod years;
