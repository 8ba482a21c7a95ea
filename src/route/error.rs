//! What can be wrong with a route.

use super::RouteFileProblem;
use super::waypoints::{LEAST_ROUTE_NM, MOST_WAYPOINTS};
use crate::geodesy::GeodesyError;
use crate::text::{brief, visible};

/// What is wrong with a route, worded for the person who drew it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RouteError {
    /// A route needs a start and an end, and no more waypoints than a table can show.
    #[error(
        "route '{}' has {found} waypoint{}; allowed: 2 to {MOST_WAYPOINTS}",
        brief(route), if *.found == 1 { "" } else { "s" }
    )]
    WaypointCount {
        /// The route's name.
        route: String,
        /// How many waypoints it has.
        found: usize,
    },
    /// A leg that cannot be sailed as drawn.
    #[error(
        "route '{}', leg {number} from {} to {}: {source}",
        brief(route),
        brief(from),
        brief(to)
    )]
    Leg {
        /// The route's name.
        route: String,
        /// The leg's number, from 1.
        number: usize,
        /// The name of the waypoint it leaves.
        from: String,
        /// The name of the waypoint it reaches.
        to: String,
        /// What is wrong with the line itself.
        source: Box<GeodesyError>,
    },
    /// A route so short that there is nothing to compare.
    #[error(
        "route '{}' is only {length_nm:.3} nm long; allowed: {LEAST_ROUTE_NM} nm or more",
        brief(route)
    )]
    TooShort {
        /// The route's name.
        route: String,
        /// Its length, in nautical miles.
        length_nm: f64,
    },
    /// A route file that cannot be used.
    #[error(
        "{}{}: {problem}", visible(file), .line.map(|line| format!(":{line}")).unwrap_or_default()
    )]
    File {
        /// The file.
        file: String,
        /// The line, from 1, where the reader knows it.
        line: Option<usize>,
        /// What is wrong.
        problem: RouteFileProblem,
    },
}
