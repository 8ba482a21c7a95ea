//! The voyage file: what a crew writes down about the passage they have in mind.

mod decode;
mod error;
mod generic;
mod table;
#[cfg(test)]
mod tests;

pub use decode::{ClimateChoice, Voyage};
pub use error::{Problem, VoyageError};
