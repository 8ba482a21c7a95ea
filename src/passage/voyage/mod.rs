//! The voyage file: what a crew writes down about the passage they have in mind.

mod decode;
mod engine;
mod generic;
#[cfg(test)]
mod tests;

pub use decode::{ClimateChoice, Voyage};
pub use engine::EngineRoom;
