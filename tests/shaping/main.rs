//! Shaped courses.

#[path = "../support/inputs.rs"]
mod inputs;
#[path = "../support/rows.rs"]
mod rows;

mod common;
mod courses;
mod limits;
mod reference;
