//! What can be wrong with a route.

use super::RouteFileProblem;
use super::waypoints::LEAST_ROUTE_NM;
use crate::geodesy::GeodesyError;

/// What is wrong with a route, worded for the person who drew it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RouteError {
    /// A route needs a start and an end.
    #[error(
        "route '{route}' has {found} waypoint{}; allowed: 2 or more",
        if *.found == 1 { "" } else { "s" }
    )]
    TooFewWaypoints {
        /// The route's name.
        route: String,
        /// How many waypoints it has.
        found: usize,
    },
    /// A leg that cannot be sailed as drawn.
    #[error("route '{route}', leg {number} from {from} to {to}: {source}")]
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
    #[error("route '{route}' is only {length_nm:.3} nm long; allowed: {LEAST_ROUTE_NM} nm or more")]
    TooShort {
        /// The route's name.
        route: String,
        /// Its length, in nautical miles.
        length_nm: f64,
    },
    /// A route file that cannot be used.
    #[error("{file}{}: {problem}", .line.map(|line| format!(":{line}")).unwrap_or_default())]
    File {
        /// The file.
        file: String,
        /// The line, from 1, where the reader knows it.
        line: Option<usize>,
        /// What is wrong.
        problem: RouteFileProblem,
    },
}
