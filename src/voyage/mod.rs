//! The voyage file: what a crew writes down about the passage they have in mind.

mod decode;
mod engine;
mod generic;
mod stores_tables;
#[cfg(test)]
mod tests;

pub use decode::{ClimateChoice, Voyage};
pub use engine::EngineRoom;

pub use crate::voyage_file::VoyageError;
