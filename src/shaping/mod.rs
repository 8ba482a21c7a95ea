//! Shaping a course: the least-time route between two places under the crew's own limits.
//!
//! A label-setting search over a grid of geodesics finds the way, first on a coarse grid and then
//! on one of half its step about the first answer; the corners are then thinned out and moved as
//! long as that saves time. The time of an arc is that of the expected passage: the mean progress
//! over the Gaussian wind at the season the boat is there.
//!
//! Land, waters without wind data and whatever the limits forbid are closed. A limit on a share of
//! the whole passage is kept by a price on that hardship, raised until it is.

mod bending;
mod clock;
mod closure;
mod curve;
mod error;
mod fan;
mod frozen;
mod grid;
mod ground;
mod hardship;
mod keep_out;
mod limits;
mod pace;
mod scene;
mod search;
mod shaper;
mod shares;
mod shore;
mod smoothing;
mod task;
mod timed;
mod trade_off;
mod waters;
mod way;

pub use curve::{Member, Standing, curve};
pub use error::ShapingError;
pub use fan::{Fan, FanTask};
pub use frozen::{FixedArc, FixedGraph};
pub use hardship::{Hardship, Prices};
pub use keep_out::{KeepOut, KeepOutError};
pub use limits::{Limit, Limits, ranges};
pub use search::{Arcs, Label, Path, least_cost};
pub use shaper::{Shaped, Shaper};
pub use shore::{OpenOcean, Shore, nearest_sea};
pub use task::{Task, corners_of, search_region};
pub use waters::Winds;

use crate::geodesy::Position;

/// The place at a latitude and longitude our own grids give, whatever turn the longitude is on.
fn place(latitude_deg: f64, longitude_deg: f64) -> Position {
    let longitude_deg = crate::units::wrap_180_deg(longitude_deg);
    Position::new(latitude_deg.clamp(-90.0, 90.0), longitude_deg).expect("a place on the Earth")
}
