//! What can be wrong with a route file.

use super::gpx::MOST_GAP_NM;
use super::read::{MOST_POINTS, MOST_WAYPOINTS};
use crate::geodesy::GeodesyError;

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
    #[error("not a sound {format} file: {reason}")]
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
        "track '{track}': segment {segment} begins {gap_nm:.2} nm from where segment {before} ends; \
         allowed: up to {MOST_GAP_NM} nm; join them, or make a track of each"
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
    #[error("holds {} routes; say which with file_route: {}", .names.len(), .names.join(", "))]
    SeveralRoutes {
        /// Their names.
        names: Vec<String>,
    },
    /// A route that the file does not hold.
    #[error("holds no route '{found}'; it holds: {}", .names.join(", "))]
    NoSuchRoute {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// Two routes of the name asked for.
    #[error("holds more than one route '{found}'; give each its own name in the file")]
    NameTwice {
        /// The name asked for.
        found: String,
    },
    /// A recorded track to be sailed as great circles.
    #[error("'{name}' is a recorded track, whose legs are rhumb lines; leave out `leg`")]
    TrackLegs {
        /// The track's name.
        name: String,
    },
    /// More points than anyone draws.
    #[error("'{name}' has {found} points; allowed: up to {}", MOST_POINTS)]
    TooManyPoints {
        /// The route's name.
        name: String,
        /// How many points it has.
        found: usize,
    },
    /// More waypoints than a table can show.
    #[error("'{name}' has {found} waypoints; allowed: up to {}", MOST_WAYPOINTS)]
    TooManyWaypoints {
        /// The route's name.
        name: String,
        /// How many waypoints it has.
        found: usize,
    },
    /// A name that would upset a terminal.
    #[error("the name {found} holds a control character; allowed: one plain line")]
    ControlCharacter {
        /// The name, its control characters spelt out.
        found: String,
    },
    /// A place off the Earth.
    #[error("{place}: {source}")]
    Position {
        /// Which point it is.
        place: String,
        /// What is wrong with it.
        source: Box<GeodesyError>,
    },
    /// The heading of a CSV file.
    #[error("found the column '{found}'; allowed: {allowed}")]
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
    #[error("{column}: found '{found}'; allowed: {allowed}")]
    Cell {
        /// The cell's column.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What may stand there.
        allowed: &'static str,
    },
}
