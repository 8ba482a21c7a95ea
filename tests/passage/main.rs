//! Passages against independent calculations.

#[path = "../support/inputs.rs"]
mod inputs;
#[path = "../support/rows.rs"]
mod rows;

mod pieces;
mod reference;
mod stays;
mod waiting;
