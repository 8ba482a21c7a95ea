//! From a route file to a route of named waypoints.

use std::path::Path;

use super::problem::RouteFileProblem as Problem;
use super::simplify::kept;
use super::{csv, geojson, gpx};
use crate::geodesy::{LegKind, Position};
use crate::route::waypoints::MOST_WAYPOINTS;
use crate::route::{Route, RouteError, Waypoint};
use crate::text::{MOST_NAME, is_hidden, read_text};

/// How far a recorded track may lie from the legs made of it, in nautical miles (our choice: less
/// than a helmsman wanders, far less than the winds are known by).
pub const TRACK_TOLERANCE_NM: f64 = 1.0;

/// The most points a line in a file may have, so that simplifying it ends within seconds.
pub(super) const MOST_POINTS: usize = 200_000;

/// The routes of one file, as found there.
#[derive(Debug, Clone, PartialEq)]
pub struct RouteFile {
    file: String,
    lines: Vec<FileLine>,
}

/// A line found in a file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FileLine {
    pub name: String,
    /// Whether it was recorded under way rather than drawn.
    pub recorded: bool,
    pub points: Vec<FilePoint>,
}

/// A point of a line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FilePoint {
    pub name: Option<String>,
    pub position: Position,
    /// How it is reached, where the file says.
    pub reached_by: Option<LegKind>,
}

/// A problem and the line it stands on, where that is known.
pub(super) struct Complaint {
    pub line: Option<usize>,
    pub problem: Problem,
}

impl From<Problem> for Complaint {
    fn from(problem: Problem) -> Self {
        Self {
            line: None,
            problem,
        }
    }
}

impl RouteFile {
    /// Reads a route file, GPX, GeoJSON or CSV by the ending of its name.
    ///
    /// # Errors
    /// A file that cannot be read, is longer than [`MOST_BYTES`](crate::text::MOST_BYTES), is not sound, has a coordinate
    /// off the Earth, or holds no line.
    pub fn read(path: &Path) -> Result<Self, RouteError> {
        let file = path.display().to_string();
        let parsed = text_of(path)
            .map_err(Complaint::from)
            .and_then(|text| parse(&file, &text));
        match parsed {
            Ok(lines) => Ok(Self { file, lines }),
            Err(Complaint { line, problem }) => Err(RouteError::File {
                file,
                line,
                problem,
            }),
        }
    }

    /// The names of the routes in the file.
    pub fn names(&self) -> Vec<String> {
        self.lines.iter().map(|line| line.name.clone()).collect()
    }

    /// The route called `choice` in the file, or its only one, under the name `name`. Legs are of
    /// the kind the file says, else of `kind`, else rhumb lines.
    ///
    /// A recorded track becomes rhumb lines from which it strays by [`TRACK_TOLERANCE_NM`] at most.
    ///
    /// # Errors
    /// No such route, or several and no choice; more than 2,000 waypoints; `kind` for a recorded
    /// track; what [`Route::new`] refuses.
    pub fn route(
        &self,
        name: &str,
        choice: Option<&str>,
        kind: Option<LegKind>,
    ) -> Result<Route, RouteError> {
        let refusal = |problem| RouteError::File {
            file: self.file.clone(),
            line: None,
            problem,
        };
        let line = self.chosen(choice).map_err(refusal)?;
        if line.recorded && kind.is_some() {
            let name = line.name.clone();
            return Err(refusal(Problem::TrackLegs { name }));
        }
        let points = line.waypoints().ok_or_else(|| {
            let name = line.name.clone();
            refusal(Problem::TrackTooWinding { name })
        })?;
        let last = points.len() - 1;
        let waypoints = points.into_iter().enumerate().map(|(index, point)| {
            let unnamed = || match index {
                0 => "Start".to_owned(),
                index if index == last => "End".to_owned(),
                index => format!("Point {}", index + 1),
            };
            Waypoint {
                name: point.name.clone().unwrap_or_else(unnamed),
                position: point.position,
                reached_by: point.reached_by.or(kind).unwrap_or(LegKind::Rhumb),
                stop: None,
            }
        });
        Route::new(name, waypoints.collect())
    }

    fn chosen(&self, choice: Option<&str>) -> Result<&FileLine, Problem> {
        let Some(choice) = choice else {
            return match &self.lines[..] {
                [line] => Ok(line),
                _ => Err(Problem::SeveralRoutes {
                    names: self.names(),
                }),
            };
        };
        let mut called = self.lines.iter().filter(|line| line.name == choice);
        match (called.next(), called.next()) {
            (Some(line), None) => Ok(line),
            (Some(_), Some(_)) => Err(Problem::NameTwice {
                found: choice.to_owned(),
            }),
            (None, _) => Err(Problem::NoSuchRoute {
                found: choice.to_owned(),
                names: self.names(),
            }),
        }
    }
}

impl FileLine {
    /// The points that are waypoints: all that were drawn, few of those recorded; none where those
    /// would be too many for a route.
    fn waypoints(&self) -> Option<Vec<&FilePoint>> {
        if !self.recorded {
            return Some(self.points.iter().collect());
        }
        let places: Vec<Position> = self.points.iter().map(|point| point.position).collect();
        let kept = kept(&places, TRACK_TOLERANCE_NM, MOST_WAYPOINTS)?;
        Some(kept.into_iter().map(|index| &self.points[index]).collect())
    }
}

fn text_of(path: &Path) -> Result<String, Problem> {
    let text = read_text(path).map_err(|error| Problem::Unreadable {
        reason: error.to_string(),
    })?;
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    })
}

fn parse(file: &str, text: &str) -> Result<Vec<FileLine>, Complaint> {
    let ending = Path::new(file)
        .extension()
        .and_then(|ending| ending.to_str());
    let mut lines = match ending.map(str::to_lowercase).as_deref() {
        Some("gpx") => gpx::lines(text)?,
        Some("geojson" | "json") => geojson::lines(text)?,
        Some("csv") => csv::lines(text)?,
        _ => return Err(Problem::UnknownKind.into()),
    };
    lines.retain(|line| !line.points.is_empty());
    if lines.is_empty() {
        return Err(Problem::NoRoute { hint: "" }.into());
    }
    for line in &lines {
        if line.points.len() > MOST_POINTS {
            return Err(Complaint::from(Problem::TooManyPoints {
                name: line.name.clone(),
                found: line.points.len(),
            }));
        }
    }
    Ok(lines)
}

/// A name as one plain line: white space of any kind and number is one space. None if that leaves
/// nothing.
pub(super) fn plain_name(name: &str) -> Result<Option<String>, Problem> {
    let plain = name.split_whitespace().collect::<Vec<_>>().join(" ");
    if plain.chars().any(is_hidden) {
        return Err(Problem::HiddenCharacter { found: plain });
    }
    if plain.chars().count() > MOST_NAME {
        return Err(Problem::LongName { found: plain });
    }
    Ok((!plain.is_empty()).then_some(plain))
}
