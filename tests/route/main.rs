//! Routes: land in the way, and points for a plotter.

#[path = "../support/rows.rs"]
mod rows;

mod land;
mod plotted;
