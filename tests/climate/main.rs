//! The climate and its files.

#[path = "../support/rows.rs"]
mod rows;

mod files;
mod storms;
mod winds;
