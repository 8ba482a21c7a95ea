//! GeoJSON (RFC 7946), in and out.

use std::collections::HashMap;

use ::geojson::{
    Feature, FeatureCollection, GeoJson, Geometry, GeometryValue, JsonObject, Position as Pair,
};

use super::plotted::plotted;
use super::problem::RouteFileProblem as Problem;
use super::read::{Complaint, FileLine, FilePoint, plain_name};
use super::written_deg;
use crate::geodesy::Position;
use crate::route::Route;
use crate::units::wrap_180_deg;

const NAME: &str = "name";

/// The lines in a GeoJSON text. Points are marks: one that stands where a line has a corner gives
/// the corner its name, if it has one.
pub(super) fn lines(text: &str) -> Result<Vec<FileLine>, Complaint> {
    let parsed: GeoJson = text.parse().map_err(unsound)?;
    let features = match parsed {
        GeoJson::FeatureCollection(collection) => collection.features,
        GeoJson::Feature(feature) => vec![feature],
        GeoJson::Geometry(geometry) => vec![Feature::from(geometry)],
    };
    let mut lines = Vec::new();
    let mut marks = HashMap::new();
    for (number, feature) in (1..).zip(&features) {
        let name = match feature.property(NAME).and_then(|name| name.as_str()) {
            Some(name) => plain_name(name)?,
            None => None,
        };
        let shape = feature.geometry.as_ref().map(|geometry| &geometry.value);
        let parts = match shape {
            None => return Err(Problem::NoGeometry { number }.into()),
            Some(GeometryValue::Point { coordinates }) => {
                let unnamed = || "a Point".to_owned();
                let place = position(coordinates, || name.clone().unwrap_or_else(unnamed))?;
                marks.extend(name.map(|name| (exactly(place), name)));
                continue;
            }
            Some(GeometryValue::LineString { coordinates }) => std::slice::from_ref(coordinates),
            Some(GeometryValue::MultiLineString { coordinates }) => &coordinates[..],
            Some(other) => {
                let found = other.type_name();
                return Err(Problem::WrongGeometry { found }.into());
            }
        };
        let name = name.unwrap_or_else(|| format!("line {}", lines.len() + 1));
        lines.push((joined(&name, parts)?, name));
    }
    if lines.is_empty() && !marks.is_empty() {
        let hint = ", only Points, which have no order";
        return Err(Problem::NoRoute { hint }.into());
    }
    let named = |position| FilePoint {
        name: marks.get(&exactly(position)).cloned(),
        position,
        reached_by: None,
    };
    let lines = lines.into_iter().map(|(places, name)| FileLine {
        name,
        recorded: false,
        points: places.into_iter().map(named).collect(),
    });
    Ok(lines.collect())
}

fn unsound(error: ::geojson::Error) -> Complaint {
    Complaint {
        line: geojson_line(&error),
        problem: Problem::Malformed {
            format: "GeoJSON",
            reason: error.to_string(),
        },
    }
}

/// The line, from 1, that a text stops being GeoJSON on, where the reader knows it.
pub(crate) fn geojson_line(error: &::geojson::Error) -> Option<usize> {
    match error {
        ::geojson::Error::MalformedGeoJson(json) if json.line() > 0 => Some(json.line()),
        _ => None,
    }
}

/// A place as a key: places are the same to the last bit or not at all.
fn exactly(place: Position) -> [u64; 2] {
    [place.latitude_deg(), place.longitude_deg()].map(|deg| (deg + 0.0).to_bits())
}

fn position(pair: &Pair, place: impl Fn() -> String) -> Result<Position, Problem> {
    // RFC 7946, section 3.1.1: longitude, latitude, and perhaps a height.
    let coordinate = |index: usize| pair.as_slice().get(index).copied().unwrap_or(f64::NAN);
    Position::new(coordinate(1), coordinate(0)).map_err(|source| Problem::Position {
        place: place(),
        source: Box::new(source.into()),
    })
}

/// The parts of a line as one. RFC 7946, section 3.1.9, cuts a line where it crosses the
/// antimeridian; the corner made by the cut goes.
fn joined(name: &str, parts: &[Vec<Pair>]) -> Result<Vec<Position>, Problem> {
    let mut places: Vec<Position> = Vec::new();
    let mut number = 0;
    for (index, part) in parts.iter().enumerate() {
        let part = part
            .iter()
            .map(|pair| {
                number += 1;
                position(pair, || format!("'{name}', point {number}"))
            })
            .collect::<Result<Vec<_>, _>>()?;
        match (places.last(), part.first()) {
            (Some(end), Some(start)) if !same(*end, *start) => {
                return Err(Problem::PartsApart { part: index + 1 });
            }
            (Some(cut), Some(_)) => {
                if is_cut(places.iter().rev().nth(1), *cut, part.get(1)) {
                    places.pop();
                }
                places.extend(&part[1..]);
            }
            _ => places.extend(part),
        }
    }
    Ok(places)
}

/// Within a centimetre or so: both ends of a cut may have been rounded by themselves.
const SAME_DEG: f64 = 2e-7;

fn same(a: Position, b: Position) -> bool {
    let easting_deg = wrap_180_deg(a.longitude_deg() - b.longitude_deg());
    easting_deg.abs() <= SAME_DEG && (a.latitude_deg() - b.latitude_deg()).abs() <= SAME_DEG
}

/// Whether `cut` is only where a straight line was cut at the antimeridian, no corner of the route.
fn is_cut(before: Option<&Position>, cut: Position, after: Option<&Position>) -> bool {
    let (Some(a), Some(b), true) = (before, after, cut.longitude_deg() == -180.0) else {
        return false;
    };
    let (a, b) = (Corner::on_from(*a, None), *b);
    let b = Corner::on_from(b, Some(&a));
    let edge_deg = if b.x_deg > a.x_deg { 180.0 } else { -180.0 };
    (latitude_at(&a, &b, edge_deg) - cut.latitude_deg()).abs() <= SAME_DEG
}

/// A corner whose longitude may run on past 180 degrees.
#[derive(Clone, Copy)]
struct Corner {
    x_deg: f64,
    latitude_deg: f64,
}

impl Corner {
    /// The corner at `place`, the shorter way round from the one before.
    fn on_from(place: Position, before: Option<&Self>) -> Self {
        let x_deg = place.longitude_deg();
        Self {
            x_deg: before.map_or(x_deg, |before| {
                before.x_deg + wrap_180_deg(x_deg - before.x_deg)
            }),
            latitude_deg: place.latitude_deg(),
        }
    }
}

/// Where the line between two corners, straight in longitude and latitude, meets a meridian.
fn latitude_at(a: &Corner, b: &Corner, x_deg: f64) -> f64 {
    a.latitude_deg + (b.latitude_deg - a.latitude_deg) * (x_deg - a.x_deg) / (b.x_deg - a.x_deg)
}

/// Routes as GeoJSON, a Feature each: a LineString, or a MultiLineString cut where it crosses the
/// antimeridian as RFC 7946, section 3.1.9, asks; then its named waypoints as Points. The points of a
/// line are so dense that every plotter draws the same; see [`plotted`](super::plotted).
pub fn geojson_text(routes: &[Route]) -> String {
    let mut features = Vec::new();
    for route in routes {
        let mut places = vec![route.waypoints()[0].position];
        for leg in route.legs() {
            places.extend(&plotted(&leg.track)[1..]);
        }
        let mut parts = cut(&places);
        let line = match &mut parts[..] {
            [part] => GeometryValue::new_line_string(std::mem::take(part)),
            _ => GeometryValue::new_multi_line_string(parts),
        };
        features.push(feature(line, [(NAME, route.name())]));
        for waypoint in route.waypoints() {
            let place = waypoint.position;
            let pair = [place.longitude_deg(), place.latitude_deg()].map(written_deg);
            let properties = [(NAME, waypoint.name.as_str()), ("route", route.name())];
            features.push(feature(GeometryValue::new_point(pair), properties));
        }
    }
    GeoJson::from(FeatureCollection::new(features)).to_string() + "\n"
}

fn feature<const N: usize>(shape: GeometryValue, properties: [(&str, &str); N]) -> Feature {
    let properties: JsonObject = properties
        .into_iter()
        .map(|(key, value)| (key.to_owned(), value.into()))
        .collect();
    Feature {
        geometry: Some(Geometry::new(shape)),
        properties: Some(properties),
        ..Feature::default()
    }
}

/// A line as parts that keep within 180 degrees of Greenwich, `[longitude, latitude]` in degrees.
/// Where one part ends at one side of the antimeridian the next begins at the other.
fn cut(places: &[Position]) -> Vec<Vec<[f64; 2]>> {
    let mut parts = Vec::new();
    let mut part: Vec<[f64; 2]> = Vec::new();
    let mut before: Option<Corner> = None;
    // What brings the longitudes of this part within 180 degrees.
    let mut turn_deg = 0.0;
    for place in places {
        let corner = Corner::on_from(*place, before.as_ref());
        if let Some(before) = before {
            let x_deg = corner.x_deg + turn_deg;
            if x_deg.abs() > 180.0 {
                let edge_deg = 180f64.copysign(x_deg);
                let latitude_deg = latitude_at(&before, &corner, edge_deg - turn_deg);
                push(&mut part, [edge_deg, latitude_deg]);
                // A part of one point only touched the antimeridian.
                if part.len() > 1 {
                    parts.push(std::mem::take(&mut part));
                }
                part = Vec::new();
                push(&mut part, [-edge_deg, latitude_deg]);
                turn_deg -= 2.0 * edge_deg;
            }
        }
        push(&mut part, [corner.x_deg + turn_deg, corner.latitude_deg]);
        before = Some(corner);
    }
    if part.len() > 1 || parts.is_empty() {
        parts.push(part);
    }
    parts
}

/// Adds a point, unless it is the one just added.
fn push(part: &mut Vec<[f64; 2]>, pair: [f64; 2]) {
    let pair = pair.map(written_deg);
    if part.last() != Some(&pair) {
        part.push(pair);
    }
}
