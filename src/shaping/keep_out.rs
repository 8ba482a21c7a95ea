//! Areas to keep out of, read from a GeoJSON file (RFC 7946).

use std::path::{Path, PathBuf};

use geo::algorithm::{BoundingRect as _, Intersects as _, Validation as _};
use geo::{Coord, Line, Polygon, Rect, coord};
use geojson::{Feature, GeoJson, Geometry, GeometryValue};

use crate::geodesy::Position;
use crate::route::geojson_line;
use crate::text::read_text;
use crate::units::wrap_180_deg;

/// The longest edge an area may have, in degrees of longitude.
const HALF_A_TURN_DEG: f64 = 180.0;

/// Polygons to keep out of, in degrees of longitude and latitude; edges are straight in these, and
/// a polygon over the antimeridian is cut there in two, both as RFC 7946 has it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct KeepOut {
    areas: Vec<(Rect, Polygon)>,
}

/// What can be wrong with a file of areas.
#[derive(Debug, thiserror::Error)]
pub enum KeepOutError {
    /// The file cannot be read.
    #[error("cannot read the areas to keep out of in {}: {source}", .file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is not GeoJSON.
    #[error(
        "{}{}: not a sound GeoJSON file: {message}",
        .file.display(),
        .line.map(|line| format!(":{line}")).unwrap_or_default()
    )]
    NotGeoJson {
        /// The file.
        file: PathBuf,
        /// The line, from 1, where the reader knows it.
        line: Option<usize>,
        /// What the reader says.
        message: String,
    },
    /// The file has no polygon.
    #[error(
        "{}: no area in it; allowed: GeoJSON with a Polygon or MultiPolygon", .file.display()
    )]
    NoPolygon {
        /// The file.
        file: PathBuf,
    },
    /// A feature that is nowhere.
    #[error(
        "{}: feature {number} has no geometry, so that nothing would be kept out of; give it a \
         Polygon or MultiPolygon, or take it out",
        .file.display()
    )]
    NoGeometry {
        /// The file.
        file: PathBuf,
        /// Its place among the features, from 1.
        number: usize,
    },
    /// A geometry that is no area.
    #[error(
        "{}: geometry {number} is a {found}, which encloses nothing; allowed: Polygon or \
         MultiPolygon",
        .file.display()
    )]
    NotAnArea {
        /// The file.
        file: PathBuf,
        /// Its place among the geometries, from 1.
        number: usize,
        /// What it is.
        found: String,
    },
    /// A polygon that crosses itself, or that is otherwise none.
    #[error("{}: polygon {number} cannot be used: {reason}", .file.display())]
    Unsound {
        /// The file.
        file: PathBuf,
        /// Its place among the polygons, from 1.
        number: usize,
        /// What is wrong with it.
        reason: String,
    },
}

impl KeepOut {
    /// Reads the polygons of a GeoJSON file.
    ///
    /// # Errors
    /// A file that cannot be read, is not GeoJSON or has no polygon; a feature without a geometry; a
    /// geometry that is no area; a polygon off the Earth, open, crossing itself, or with an edge of
    /// more than half a turn.
    pub fn read(file: &Path) -> Result<Self, KeepOutError> {
        let text = read_text(file).map_err(|source| KeepOutError::Unreadable {
            file: file.to_owned(),
            source,
        })?;
        Self::parse(&text, file)
    }

    fn parse(text: &str, file: &Path) -> Result<Self, KeepOutError> {
        let parsed: GeoJson =
            text.parse()
                .map_err(|error: geojson::Error| KeepOutError::NotGeoJson {
                    file: file.to_owned(),
                    line: geojson_line(&error),
                    message: error.to_string(),
                })?;
        let features = match parsed {
            GeoJson::Geometry(geometry) => vec![Feature::from(geometry)],
            GeoJson::Feature(feature) => vec![feature],
            GeoJson::FeatureCollection(collection) => collection.features,
        };
        let mut polygons = Vec::new();
        for (number, feature) in (1..).zip(features) {
            let geometry = feature.geometry.ok_or_else(|| KeepOutError::NoGeometry {
                file: file.to_owned(),
                number,
            })?;
            polygons_of(geometry, &mut polygons).map_err(|found| KeepOutError::NotAnArea {
                file: file.to_owned(),
                number,
                found,
            })?;
        }
        if polygons.is_empty() {
            return Err(KeepOutError::NoPolygon {
                file: file.to_owned(),
            });
        }
        let mut areas = Vec::with_capacity(polygons.len());
        for (index, polygon) in polygons.into_iter().enumerate() {
            let unsound = |reason: String| KeepOutError::Unsound {
                file: file.to_owned(),
                number: index + 1,
                reason,
            };
            sound(&polygon).map_err(unsound)?;
            let bounds = polygon
                .bounding_rect()
                .ok_or_else(|| unsound("it has no corners".to_owned()))?;
            areas.push((bounds, polygon));
        }
        Ok(Self { areas })
    }

    /// Whether there are no areas.
    pub fn is_empty(&self) -> bool {
        self.areas.is_empty()
    }

    /// Whether a place lies in one of the areas, edges included.
    pub fn holds(&self, place: Position) -> bool {
        self.meets(place, place)
    }

    /// Whether the line between two places, straight in longitude and latitude the short way round,
    /// touches one of the areas.
    pub fn meets(&self, from: Position, to: Position) -> bool {
        if self.areas.is_empty() {
            return false;
        }
        let start = at(from);
        let east_deg = wrap_180_deg(to.longitude_deg() - from.longitude_deg());
        let end = coord! { x: start.x + east_deg, y: to.latitude_deg() };
        // The same line seen a turn on, for where it crosses the antimeridian.
        [-360.0, 0.0, 360.0].into_iter().any(|turn| {
            let line = Line::new(
                coord! { x: start.x + turn, y: start.y },
                coord! { x: end.x + turn, y: end.y },
            );
            self.areas
                .iter()
                .any(|(bounds, area)| bounds.intersects(&line) && area.intersects(&line))
        })
    }
}

fn at(place: Position) -> Coord {
    coord! { x: place.longitude_deg(), y: place.latitude_deg() }
}

/// Adds the polygons of a geometry, or says what else it is.
fn polygons_of(geometry: Geometry, polygons: &mut Vec<Polygon>) -> Result<(), String> {
    let kind = geometry.value.type_name().to_owned();
    if !corners_are_places(&geometry.value) {
        return Err(format!("{kind} with a corner of fewer than two numbers"));
    }
    match geometry.value {
        GeometryValue::GeometryCollection { geometries } if geometries.is_empty() => Err(kind),
        GeometryValue::GeometryCollection { geometries } => geometries
            .into_iter()
            .try_for_each(|inner| polygons_of(inner, polygons)),
        GeometryValue::Polygon { .. } => {
            polygons.push(Polygon::try_from(geometry).map_err(|_| kind)?);
            Ok(())
        }
        GeometryValue::MultiPolygon { .. } => {
            let many = geo::MultiPolygon::try_from(geometry).map_err(|_| kind.clone())?;
            if many.0.is_empty() {
                return Err(kind);
            }
            polygons.extend(many);
            Ok(())
        }
        _ => Err(kind),
    }
}

/// Whether every corner of a polygon has two numbers, which the conversion takes for granted.
fn corners_are_places(value: &GeometryValue) -> bool {
    let of_rings =
        |rings: &[Vec<geojson::Position>]| rings.iter().flatten().all(|at| at.len() >= 2);
    match value {
        GeometryValue::Polygon { coordinates } => of_rings(coordinates),
        GeometryValue::MultiPolygon { coordinates } => {
            coordinates.iter().all(|rings| of_rings(rings))
        }
        _ => true,
    }
}

fn sound(polygon: &Polygon) -> Result<(), String> {
    let rings = || std::iter::once(polygon.exterior()).chain(polygon.interiors());
    for corner in rings().flat_map(|ring| ring.coords()) {
        if !(-180.0..=180.0).contains(&corner.x) || !(-90.0..=90.0).contains(&corner.y) {
            return Err(format!(
                "corner [{}, {}] is off the Earth; allowed: longitude -180 to 180, latitude -90 to \
                 90, in this order",
                corner.x, corner.y
            ));
        }
    }
    // Straight in longitude, such an edge runs the long way round: drawn over the antimeridian, the
    // area would be all the rest of the world.
    if let Some(edge) = rings()
        .flat_map(|ring| ring.lines())
        .find(|edge| edge.dx().abs() > HALF_A_TURN_DEG)
    {
        return Err(format!(
            "its edge from [{}, {}] to [{}, {}] runs over more than 180 degrees of longitude; an \
             area over the antimeridian is cut there in two (RFC 7946, section 3.1.9), and an edge \
             that is meant to be so long is given a corner on its way",
            edge.start.x, edge.start.y, edge.end.x, edge.end.y
        ));
    }
    polygon.check_validation().map_err(|error| {
        let reason = error.to_string();
        if reason.contains("self-intersection") {
            format!("its outline crosses or touches itself ({reason})")
        } else {
            reason
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Result<KeepOut, String> {
        KeepOut::parse(text, Path::new("areas.geojson")).map_err(|error| error.to_string())
    }

    fn polygon(corners: &str) -> Result<KeepOut, String> {
        parse(&format!(
            r#"{{"type": "Polygon", "coordinates": [[{corners}]]}}"#
        ))
    }

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    #[test]
    fn a_line_through_an_area_or_along_its_edge_meets_it() {
        let area = polygon("[10, -5], [20, -5], [20, 5], [10, 5], [10, -5]").unwrap();
        assert!(area.holds(at(0.0, 15.0)) && !area.holds(at(0.0, 25.0)));
        assert!(area.meets(at(-10.0, 15.0), at(10.0, 15.0)));
        assert!(area.meets(at(5.0, 0.0), at(5.0, 30.0)));
        assert!(!area.meets(at(6.0, 0.0), at(6.0, 30.0)));
        assert!(!KeepOut::default().holds(at(0.0, 15.0)));
    }

    #[test]
    fn an_area_cut_at_the_antimeridian_is_whole() {
        let area = parse(
            r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": null,
            "geometry": {"type": "MultiPolygon", "coordinates": [
            [[[170, 0], [180, 0], [180, 10], [170, 10], [170, 0]]],
            [[[-180, 0], [-170, 0], [-170, 10], [-180, 10], [-180, 0]]]]}}]}"#,
        )
        .unwrap();
        for longitude_deg in [175.0, 180.0, -180.0, -175.0] {
            assert!(area.holds(at(5.0, longitude_deg)), "{longitude_deg}");
        }
        assert!(area.meets(at(-1.0, 179.0), at(1.0, -179.0)));
        assert!(!area.meets(at(-1.0, 179.0), at(-0.5, -179.0)));
    }

    /// Uncut, its corners are those of the world without it.
    #[test]
    fn an_area_drawn_over_the_antimeridian_in_one_piece_is_refused() {
        let over = polygon("[175, -45], [-175, -45], [-175, -35], [175, -35], [175, -45]");
        let said = over.unwrap_err();
        assert!(
            said.contains("its edge from [175, -45] to [-175, -45] runs over more than 180")
                && said.contains("RFC 7946, section 3.1.9"),
            "{said}"
        );
        let hole = parse(
            r#"{"type": "Polygon", "coordinates": [
            [[-180, -60], [0, -60], [180, -60], [180, 60], [0, 60], [-180, 60], [-180, -60]],
            [[-100, 0], [-100, 10], [100, 10], [100, 0], [-100, 0]]]}"#,
        );
        assert!(hole.unwrap_err().contains("[-100, 10] to [100, 10]"));
        // Round the whole Earth, with a corner on the way.
        let band = polygon(
            "[-180, -90], [0, -90], [180, -90], [180, -60], [0, -60], [-180, -60], [-180, -90]",
        );
        assert!(band.unwrap().holds(at(-70.0, 31.0)));
    }

    #[test]
    fn a_feature_without_a_geometry_is_refused_by_its_number() {
        let nowhere = parse(
            r#"{"type": "FeatureCollection", "features": [
            {"type": "Feature", "properties": null, "geometry": {"type": "Polygon",
            "coordinates": [[[10, -5], [20, -5], [20, 5], [10, -5]]]}},
            {"type": "Feature", "properties": null, "geometry": null}]}"#,
        );
        let said = nowhere.unwrap_err();
        assert!(
            said.starts_with("areas.geojson: feature 2 has no geometry"),
            "{said}"
        );
        for nothing in [
            r#"{"type": "MultiPolygon", "coordinates": []}"#,
            r#"{"type": "GeometryCollection", "geometries": []}"#,
        ] {
            let said = parse(nothing).unwrap_err();
            assert!(said.contains("which encloses nothing"), "{said}");
        }
    }

    #[test]
    fn what_is_no_area_is_named() {
        let bow = polygon("[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]").unwrap_err();
        assert!(
            bow.starts_with(
                "areas.geojson: polygon 1 cannot be used: its outline crosses or touches itself"
            ),
            "{bow}"
        );
        let off = polygon("[0, 0], [0, 95], [10, 0], [0, 0]").unwrap_err();
        assert!(off.contains("corner [0, 95] is off the Earth"), "{off}");
        let half = polygon("[0, 0], [0], [10, 10], [0, 0]").unwrap_err();
        assert!(
            half.contains("a corner of fewer than two numbers"),
            "{half}"
        );
        let point = parse(r#"{"type": "Point", "coordinates": [1, 2]}"#).unwrap_err();
        assert!(
            point.contains("geometry 1 is a Point, which encloses nothing"),
            "{point}"
        );
        let none = parse(r#"{"type": "FeatureCollection", "features": []}"#).unwrap_err();
        assert!(none.contains("no area in it"), "{none}");
        let text = parse("{\n\"type\": Polygon}").unwrap_err();
        assert!(
            text.starts_with("areas.geojson:2: not a sound GeoJSON file: "),
            "{text}"
        );
        let missing = KeepOut::read(Path::new("no-such.geojson")).unwrap_err();
        assert!(missing.to_string().contains("no-such.geojson"), "{missing}");
    }
}
