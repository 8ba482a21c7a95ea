//! Shaped courses.

#[path = "../support/rows.rs"]
mod rows;

mod common;
mod courses;
mod limits;
mod reference;
