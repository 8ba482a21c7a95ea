//! GPX 1.1 (Topografix, GPX 1.1 schema), in and out. GPX 1.0 is read too.

use std::cell::Cell;
use std::io::{self, Read};

use ::gpx::{Gpx, GpxVersion, Route as GpxRoute, Track, Waypoint as GpxPoint};
use geo_types::Point;
use xml::EventReader;
use xml::common::Position as _;
use xml::reader::XmlEvent;

use super::plotted::plotted;
use super::problem::RouteFileProblem as Problem;
use super::read::{Complaint, FileLine, FilePoint, plain_name};
use super::written_deg;
use crate::geodesy::{LegKind, LegTrack, Position};
use crate::route::Route;

const FORMAT: &str = "GPX";

/// How deep elements may be nested (our choice: GPX needs six and some for extensions). The time the
/// readers take grows as the square of the depth.
const MOST_DEPTH: usize = 100;

/// Bytes that know which line they are read from; the reader takes them one by one.
struct Counted<'t> {
    left: &'t [u8],
    line: &'t Cell<usize>,
}

impl Read for Counted<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let taken = self.left.read(into)?;
        let ends = into[..taken].iter().filter(|byte| **byte == b'\n').count();
        self.line.set(self.line.get() + ends);
        Ok(taken)
    }
}

/// How far apart two segments of a track may be to count as one line, in nautical miles (our choice:
/// as far as a track may stray from the legs made of it). Across a wider gap a leg would be made up.
pub(super) const MOST_GAP_NM: f64 = 1.0;

/// The routes in a GPX text, then its tracks. A track's segments are one line: between them the
/// receiver was off for a little.
pub(super) fn lines(text: &str) -> Result<Vec<FileLine>, Complaint> {
    // Broken XML is told by its own reader, which knows the line and the reason best; it also sees
    // what follows the end of the GPX.
    check_well_formed(text)?;
    let line = Cell::new(1);
    let counted = Counted {
        left: text.as_bytes(),
        line: &line,
    };
    let gpx = ::gpx::read(counted).map_err(|error| Complaint {
        line: Some(line.get()),
        problem: malformed(error.to_string()),
    })?;
    if gpx.routes.is_empty() && gpx.tracks.is_empty() && !gpx.waypoints.is_empty() {
        let hint = ", only single waypoints (wpt), which have no order";
        return Err(Problem::NoRoute { hint }.into());
    }
    let mut lines = Vec::new();
    for (index, route) in gpx.routes.iter().enumerate() {
        let unnamed = format!("route {}", index + 1);
        lines.push(file_line(&route.name, unnamed, false, &route.points)?);
    }
    for (index, track) in gpx.tracks.iter().enumerate() {
        let unnamed = format!("track {}", index + 1);
        let points = track.segments.iter().flat_map(|segment| &segment.points);
        let line = file_line(&track.name, unnamed, true, points)?;
        check_gaps(track, &line)?;
        lines.push(line);
    }
    Ok(lines)
}

fn malformed(reason: String) -> Problem {
    Problem::Malformed {
        format: FORMAT,
        reason,
    }
}

/// Whether the text is XML at all, and not nested beyond reason; if not, where it breaks. A document
/// type is refused, with which a file declares entities of its own: 110 kB of these took 27 s and 2 GB.
fn check_well_formed(text: &str) -> Result<(), Complaint> {
    let mut reader = EventReader::from_str(text);
    let complaint = |row: u64, reason| Complaint {
        line: Some(row as usize + 1),
        problem: malformed(reason),
    };
    let mut depth = 0;
    loop {
        let event = reader
            .next()
            .map_err(|error| complaint(error.position().row, error.msg().to_owned()))?;
        match event {
            XmlEvent::EndDocument => return Ok(()),
            XmlEvent::StartElement { .. } if depth == 0 && reader.doctype().is_some() => {
                let reason = "it has a document type (DOCTYPE), which no GPX file needs";
                return Err(complaint(reader.position().row, reason.to_owned()));
            }
            XmlEvent::StartElement { .. } if depth == MOST_DEPTH => {
                let reason = format!("elements within elements more than {MOST_DEPTH} deep");
                return Err(complaint(reader.position().row, reason));
            }
            XmlEvent::StartElement { .. } => depth += 1,
            XmlEvent::EndElement { .. } => depth -= 1,
            _ => {}
        }
    }
}

fn file_line<'p>(
    name: &Option<String>,
    unnamed: String,
    recorded: bool,
    points: impl IntoIterator<Item = &'p GpxPoint>,
) -> Result<FileLine, Problem> {
    let named = |name: &Option<String>| plain_name(name.as_deref().unwrap_or_default());
    let name = named(name)?.unwrap_or(unnamed);
    let points = points
        .into_iter()
        .enumerate()
        .map(|(index, point)| {
            let place = point.point();
            let position = Position::new(place.y(), place.x()).map_err(|source| {
                let place = format!("'{name}', point {}", index + 1);
                Problem::Position {
                    place,
                    source: Box::new(source.into()),
                }
            })?;
            Ok(FilePoint {
                name: named(&point.name)?,
                position,
                reached_by: None,
            })
        })
        .collect::<Result<_, Problem>>()?;
    Ok(FileLine {
        name,
        recorded,
        points,
    })
}

/// Refuses a track whose segments lie too far apart to be one line.
fn check_gaps(track: &Track, line: &FileLine) -> Result<(), Problem> {
    let mut points = line.points.iter();
    let mut end = None;
    for (segment, found) in (1..).zip(&track.segments) {
        let mut places = points.by_ref().take(found.points.len());
        let Some(first) = places.next() else { continue };
        let last = places.last().unwrap_or(first);
        if let Some((before, from)) = end.replace((segment, last.position)) {
            // Two ends at one place make no leg, and leave no gap.
            let gap_nm = LegTrack::new(from, first.position, LegKind::Rhumb)
                .map_or(0.0, |gap| gap.length_nm());
            if gap_nm > MOST_GAP_NM {
                return Err(Problem::SegmentsApart {
                    track: line.name.clone(),
                    before,
                    segment,
                    gap_nm,
                });
            }
        }
    }
    Ok(())
}

/// Routes as GPX 1.1, an `rte` each: its waypoints under their names, and between them nameless
/// points so dense that every plotter draws the same line; see [`plotted`](super::plotted).
pub fn gpx_text(routes: &[Route]) -> String {
    let gpx = Gpx {
        version: GpxVersion::Gpx11,
        creator: Some(concat!("offing ", env!("CARGO_PKG_VERSION")).to_owned()),
        routes: routes.iter().map(gpx_route).collect(),
        ..Gpx::default()
    };
    let mut bytes = Vec::new();
    ::gpx::write(&gpx, &mut bytes).expect("memory takes every point");
    String::from_utf8(bytes).expect("GPX is written as UTF-8") + "\n"
}

fn gpx_route(route: &Route) -> GpxRoute {
    let mut points = Vec::new();
    for leg in route.legs() {
        if points.is_empty() {
            points.push(gpx_point(leg.track.from(), Some(&leg.from)));
        }
        let along = plotted(&leg.track);
        let (last, between) = along.split_last().expect("a leg has two ends");
        points.extend(between[1..].iter().map(|place| gpx_point(*place, None)));
        points.push(gpx_point(*last, Some(&leg.to)));
    }
    GpxRoute {
        name: Some(route.name().to_owned()),
        points,
        ..GpxRoute::default()
    }
}

fn gpx_point(place: Position, name: Option<&str>) -> GpxPoint {
    // The schema wants longitudes below 180.
    let longitude_deg = crate::units::wrap_180_deg(written_deg(place.longitude_deg()));
    let mut point = GpxPoint::new(Point::new(longitude_deg, written_deg(place.latitude_deg())));
    point.name = name.map(str::to_owned);
    point
}
