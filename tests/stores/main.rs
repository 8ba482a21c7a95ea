//! The loading list.

#[path = "../support/rows.rs"]
mod rows;

mod bad_input;
mod common;
mod places;
mod plan;
mod properties;
mod reference;
