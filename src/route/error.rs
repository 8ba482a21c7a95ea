//! What can be wrong with a route.

use super::RouteFileProblem;
use super::waypoints::{LEAST_ROUTE_NM, MOST_WAYPOINTS};
use crate::geodesy::GeodesyError;
use crate::text::{brief, visible};
use crate::units::OutOfRange;

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
    /// A stop that cannot be made.
    #[error(
        "route '{}', waypoint {number}, {}: `{key}`: {fault}",
        brief(route),
        brief(waypoint)
    )]
    Stop {
        /// The route's name.
        route: String,
        /// The waypoint's number, from 1.
        number: usize,
        /// Its name.
        waypoint: String,
        /// The key of a voyage file that says so.
        key: &'static str,
        /// What is wrong with it.
        fault: Box<StopFault>,
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

/// What is wrong with a stop.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StopFault {
    /// The stay is out of its range.
    #[error(transparent)]
    Range(OutOfRange),
    /// The passage begins there.
    #[error(
        "found at the route's first waypoint; allowed: at waypoints between the first and the last, \
         and `arrive_by` at the last too; `departure` in `[voyage]` says when she leaves"
    )]
    AtStart,
    /// The passage ends there.
    #[error(
        "found at the route's last waypoint, which she does not leave; allowed: at waypoints between \
         the first and the last, and `arrive_by` at the last too"
    )]
    AtEnd,
}
