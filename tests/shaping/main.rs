//! Shaped courses.

#[path = "../support/inputs.rs"]
mod inputs;
#[path = "../support/rows.rs"]
mod rows;

mod common;
mod courses;
mod currents;
mod fan;
mod limits;
mod reference;
