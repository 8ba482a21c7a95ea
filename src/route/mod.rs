//! Waypoints and the legs between them, the files they come from and go to, the land they must keep
//! clear of, and ports by name.

mod error;
mod file;
mod land;
mod places;
mod stop;
mod waypoints;

pub use error::{RouteError, StopFault};
pub(crate) use file::geojson_line;
pub use file::{
    MOST_ASTRAY_NM, RouteFile, RouteFileProblem, TRACK_TOLERANCE_NM, geojson_text, gpx_text,
    plotted, spreadsheet_text, waypoints_csv,
};
pub use land::{FarFromLand, Land, LandCheck, LandCrossing, LegFarFromLand};
pub use places::{Port, PortError, find_port};
pub use stop::{Deadline, Goods, Stage, Stay, Stop, hours_to};
pub use waypoints::{LEAST_ROUTE_NM, Leg, Route, Waypoint};
