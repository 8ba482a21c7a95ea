//! Land, and where a route crosses it.
//!
//! The outlines are Natural Earth's 1:10m land, simplified to half a nautical mile; their origin
//! and form are in `fixtures/land/README.md`. They know the mainlands and some 4,000 islands. Small
//! islands, rocks and reefs are missing, so a clear check is no proof of a clear passage.

mod check;
mod grid;
mod nearness;
mod outlines;
mod remote;
mod rings;

pub use check::{LandCheck, LandCrossing};
pub use grid::Land;
pub use remote::{FarFromLand, LegFarFromLand};
