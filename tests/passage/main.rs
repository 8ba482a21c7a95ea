//! Passages against independent calculations.

#[path = "../support/rows.rs"]
mod rows;

mod reference;
