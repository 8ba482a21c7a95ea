//! What can be wrong with a route file.

use super::gpx::MOST_GAP_NM;
use super::read::{MOST_POINTS, TRACK_TOLERANCE_NM};
use crate::geodesy::GeodesyError;
use crate::route::waypoints::MOST_WAYPOINTS;
use crate::text::{MOST_NAME, brief, brief_list};

/// What is wrong with a route file, worded for the person who chose it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RouteFileProblem {
    /// The file cannot be read.
    #[error("cannot be read: {reason}")]
    Unreadable {
        /// Why, in words.
        reason: String,
    },
    /// The file's name does not say what it is.
    #[error("the name ends in none of: .gpx, .geojson, .json, .csv")]
    UnknownKind,
    /// The text is not what the file's name promises.
    #[error("not a sound {format} file: {}", brief(reason))]
    Malformed {
        /// What it should be.
        format: &'static str,
        /// What the reader says.
        reason: String,
    },
    /// A GeoJSON shape that is no line.
    #[error("holds a {found}; allowed: LineString or MultiLineString, and Points as marks")]
    WrongGeometry {
        /// What was found.
        found: &'static str,
    },
    /// A GeoJSON feature that is nowhere.
    #[error("feature {number} has no geometry; give it a line, or take it out")]
    NoGeometry {
        /// Its place among the features, from 1.
        number: usize,
    },
    /// Parts of a GeoJSON line with a gap between them.
    #[error("part {part} of the line does not begin where part {} ends; join them", part - 1)]
    PartsApart {
        /// The number of the part after the gap, from 1.
        part: usize,
    },
    /// Segments of a GPX track with a gap between them.
    #[error(
        "track '{}': segment {segment} begins {gap_nm:.2} nm from where segment {before} ends; \
         allowed: up to {MOST_GAP_NM} nm; join them, or make a track of each",
        brief(track)
    )]
    SegmentsApart {
        /// The track's name.
        track: String,
        /// The number of the segment before the gap, from 1.
        before: usize,
        /// The number of the segment after the gap.
        segment: usize,
        /// The gap between them, in nautical miles.
        gap_nm: f64,
    },
    /// A file without a line to sail.
    #[error("holds no route{hint}")]
    NoRoute {
        /// What it holds instead, if that helps.
        hint: &'static str,
    },
    /// More than one route and none chosen.
    #[error("holds {} routes; say which with file_route: {}", .names.len(), brief_list(names))]
    SeveralRoutes {
        /// Their names.
        names: Vec<String>,
    },
    /// A route that the file does not hold.
    #[error("holds no route '{}'; it holds: {}", brief(found), brief_list(names))]
    NoSuchRoute {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// Two routes of the name asked for.
    #[error(
        "holds more than one route '{}'; give each its own name in the file",
        brief(found)
    )]
    NameTwice {
        /// The name asked for.
        found: String,
    },
    /// A recorded track to be sailed as great circles.
    #[error(
        "'{}' is a recorded track, whose legs are rhumb lines; leave out `leg`",
        brief(name)
    )]
    TrackLegs {
        /// The track's name.
        name: String,
    },
    /// A track that takes more waypoints than a route may have.
    #[error(
        "track '{}' winds so much that it takes more than {MOST_WAYPOINTS} waypoints to stay within \
         {TRACK_TOLERANCE_NM} nm of it; take out what was not on passage",
        brief(name)
    )]
    TrackTooWinding {
        /// The track's name.
        name: String,
    },
    /// More points than anyone draws.
    #[error("'{}' has {found} points; allowed: up to {MOST_POINTS}", brief(name))]
    TooManyPoints {
        /// The route's name.
        name: String,
        /// How many points it has.
        found: usize,
    },
    /// A name that would upset a terminal, or reads otherwise than it is written.
    #[error(
        "the name '{}' holds a character that controls a terminal or the direction of writing; \
         allowed: one plain line",
        brief(found)
    )]
    HiddenCharacter {
        /// The name.
        found: String,
    },
    /// A name longer than anyone calls a place.
    #[error("the name '{}' has {} characters; allowed: up to {MOST_NAME}", brief(found), found.chars().count())]
    LongName {
        /// The name.
        found: String,
    },
    /// A place off the Earth.
    #[error("{}: {source}", brief(place))]
    Position {
        /// Which point it is.
        place: String,
        /// What is wrong with it.
        source: Box<GeodesyError>,
    },
    /// The heading of a CSV file.
    #[error("found the column '{}'; allowed: {allowed}", brief(found))]
    Column {
        /// The column's name.
        found: String,
        /// The columns a file may have.
        allowed: String,
    },
    /// A column that has to be there.
    #[error("the column {name} is missing")]
    NoColumn {
        /// The column's name.
        name: &'static str,
    },
    /// A cell of a CSV file.
    #[error("{column}: found '{}'; allowed: {allowed}", brief(found))]
    Cell {
        /// The cell's column.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What may stand there.
        allowed: &'static str,
    },
}
