//! Waypoints and the legs between them.

mod error;
mod waypoints;

pub use error::RouteError;
pub use waypoints::{Leg, Route, Waypoint};
