//! The ensemble against passages that were really made.

#[path = "../support/rows.rs"]
mod rows;

mod fleet;
mod spread;
