//! Why no course can be shaped.

use super::KeepOutError;
use super::limits::Limit;
use crate::geodesy::Position;
use crate::route::RouteError;
use crate::text::brief;

/// Why no course can be shaped, in words for the crew.
#[derive(Debug, thiserror::Error)]
pub enum ShapingError {
    /// An end of the passage is on land.
    #[error(
        "the {end} of the passage, {place}, is on land{}",
        .nearest.map_or(String::new(), |sea| format!("; the nearest sea is at {sea}"))
    )]
    EndOnLand {
        /// "start" or "end".
        end: &'static str,
        /// Where it is.
        place: Position,
        /// The nearest place in the sea, if there is one near.
        nearest: Option<Position>,
    },
    /// An end of the passage is where the climate has no wind.
    #[error(
        "the winds in use have no data at the {end} of the passage, {place}; move it out to sea, or \
         name a wind file that covers it"
    )]
    EndWithoutWind {
        /// "start" or "end".
        end: &'static str,
        /// Where it is.
        place: Position,
    },
    /// The two ends are one place.
    #[error("the passage begins and ends at {place}; allowed: two places at least 1 nm apart")]
    NoPassage {
        /// Where.
        place: Position,
    },
    /// An end of the passage breaks a limit.
    #[error("the {end} of the passage, {place}, itself breaks a limit: {limit}")]
    EndBreaksLimit {
        /// "start" or "end".
        end: &'static str,
        /// Where it is.
        place: Position,
        /// The limit, in words.
        limit: String,
    },
    /// A course to be shaped beside a route with stops.
    #[error(
        "route '{}' stops at {}, and a course is shaped between two places without a stop; ask for one \
         stage with --from and --to",
        brief(route),
        brief(stop)
    )]
    Stops {
        /// The route's name.
        route: String,
        /// The first waypoint it stops at.
        stop: String,
    },
    /// Limits of latitude that leave nothing between them.
    #[error(
        "the limits cross: {south} leaves nothing that is {north}; allowed: a southernmost latitude \
         south of the northernmost"
    )]
    CrossedLatitudes {
        /// The southernmost latitude, in words.
        south: String,
        /// The northernmost latitude, in words.
        north: String,
    },
    /// A file of areas to keep out of.
    #[error(transparent)]
    KeepOut(#[from] KeepOutError),
    /// The course shaped is no route; none that was shaped is.
    #[error(transparent)]
    Route(#[from] RouteError),
    /// A temperature limit where the climate has no temperatures.
    #[error("{limit}: the winds in use have no air temperatures; leave this limit out")]
    NoAirTemperature {
        /// The limit, in words.
        limit: String,
    },
    /// A trade-off by time under power for a boat without an engine.
    #[error(
        "a trade-off by time under power needs an engine, and there is none aboard; allowed: \
         another hardship, or an engine in [boat.engine]"
    )]
    NoEngine,
    /// No way whatever the limits.
    #[error(
        "no way was found from {from} to {to} by sea: land or waters without wind data lie between \
         within the area searched; move the ends, or draw a route that shows the way round"
    )]
    NoWay {
        /// The start.
        from: Position,
        /// The end.
        to: Position,
    },
    /// No way but against a current that the boat does not stem.
    #[error(
        "no way was found from {from} to {to}: the current sets against the boat more strongly than \
         she sails in the mean wind; without it there is a route. Leave in another month, or look at \
         the boat's speeds and the current file"
    )]
    CurrentTooStrong {
        /// The start.
        from: Position,
        /// The end.
        to: Position,
    },
    /// No way under the limits.
    #[error("no route keeps to the limits. {}", closed(.closing))]
    Closed {
        /// The limits that close the way; with more than one, each alone would leave it open.
        closing: Vec<Closing>,
    },
}

/// A limit that closes the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Closing {
    /// Which.
    pub limit: Limit,
    /// The limit as it was set, in words.
    pub set: String,
    /// The nearest value that leaves a route, in words; none where none was found or the limit has
    /// no number.
    pub feasible: Option<String>,
}

fn closed(closing: &[Closing]) -> String {
    let said = closing.iter().map(|closing| {
        let feasible = closing.feasible.as_ref();
        let way_out = feasible.map_or("without it there is a route".to_owned(), |feasible| {
            format!("the nearest value that leaves a route is: {feasible}")
        });
        let ends = match closing.limit {
            Limit::OffLand => {
                "; where it is the waters about an end that are too narrow, move that end farther out"
            }
            _ => "",
        };
        format!("'{}' closes the way; {way_out}{ends}", closing.set)
    });
    let said = said.collect::<Vec<_>>().join(". ");
    if said.is_empty() {
        "No one of them alone closes the way: it takes two or more together".to_owned()
    } else {
        said
    }
}
