//! Lines on the Earth against published and independent values.

#[path = "../support/rows.rs"]
mod rows;

mod composite;
mod great_circle;
mod ground;
mod properties;
mod rhumb;
mod sailings;
