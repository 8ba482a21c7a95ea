//! Areas to keep out of, read from a GeoJSON file (RFC 7946).

use std::path::{Path, PathBuf};

use geo::algorithm::kernels::{Kernel as _, Orientation, RobustKernel};
use geo::algorithm::{BoundingRect as _, Intersects as _, Relate as _};
use geo::coordinate_position::CoordPos;
use geo::dimensions::Dimensions;
use geo::{Coord, Line, LineString, Polygon, PreparedGeometry, coord};
use geojson::{Feature, GeoJson, Geometry, GeometryValue};
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use crate::geodesy::Position;
use crate::route::geojson_line;
use crate::text::{brief, read_text, visible};
use crate::units::wrap_180_deg;

const EASTERNMOST_DEG: f64 = 180.0;
/// The longest edge an area may have, in degrees of longitude.
const HALF_A_TURN_DEG: f64 = 180.0;

/// Polygons to keep out of, in degrees of longitude and latitude; edges are straight in these, and
/// a polygon over the antimeridian is cut there in two, both as RFC 7946 has it.
#[derive(Debug, Clone, Default)]
pub struct KeepOut {
    areas: Vec<Polygon>,
    /// The edges of all rings, each with its area's place in the list: a search asks after so many
    /// lines that every edge cannot be looked at for each.
    edges: RTree<Edge>,
}

type Edge = GeomWithData<Line, usize>;

impl PartialEq for KeepOut {
    fn eq(&self, other: &Self) -> bool {
        self.areas == other.areas
    }
}

/// What can be wrong with a file of areas.
#[derive(Debug, thiserror::Error)]
pub enum KeepOutError {
    /// The file cannot be read.
    #[error("cannot read the areas to keep out of in {}: {source}", visible(&.file.to_string_lossy()))]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is not GeoJSON.
    #[error(
        "{}{}: not a sound GeoJSON file: {}",
        visible(&.file.to_string_lossy()),
        .line.map(|line| format!(":{line}")).unwrap_or_default(),
        brief(message)
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
        "{}: no area in it; allowed: GeoJSON with a Polygon or MultiPolygon", visible(&.file.to_string_lossy())
    )]
    NoPolygon {
        /// The file.
        file: PathBuf,
    },
    /// A feature that is nowhere.
    #[error(
        "{}: feature {number} has no geometry, so that nothing would be kept out of; give it a \
         Polygon or MultiPolygon, or take it out",
        visible(&.file.to_string_lossy())
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
        visible(&.file.to_string_lossy())
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
    #[error("{}: polygon {number} cannot be used: {reason}", visible(&.file.to_string_lossy()))]
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
        for (index, polygon) in polygons.iter().enumerate() {
            sound(polygon).map_err(|reason| KeepOutError::Unsound {
                file: file.to_owned(),
                number: index + 1,
                reason,
            })?;
        }
        Ok(Self::new(polygons))
    }

    fn new(areas: Vec<Polygon>) -> Self {
        let edges = areas.iter().enumerate().flat_map(|(index, area)| {
            let edges = rings(area).flat_map(LineString::lines);
            edges.map(move |edge| Edge::new(edge, index))
        });
        let edges = RTree::bulk_load(edges.collect());
        Self { areas, edges }
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
            self.touched(&line) || self.encloses(line.start)
        })
    }

    fn touched(&self, line: &Line) -> bool {
        let bounds = AABB::from_corners(line.start.into(), line.end.into());
        let near = self.edges.locate_in_envelope_intersecting(&bounds);
        near.into_iter().any(|edge| edge.geom().intersects(line))
    }

    /// Whether a place that no edge touches lies within an area: a ray from it to the east crosses
    /// the area's edges an odd number of times.
    fn encloses(&self, place: Coord) -> bool {
        if place.x > EASTERNMOST_DEG {
            return false;
        }
        let end = coord! { x: EASTERNMOST_DEG, y: place.y };
        let ray = AABB::from_corners(place.into(), end.into());
        let mut inside: Vec<usize> = Vec::new();
        for edge in self.edges.locate_in_envelope_intersecting(&ray) {
            let (line, area) = (edge.geom(), edge.data);
            // An edge has its lower end and not its upper, so that a corner is passed once.
            let (low, high) = match line.start.y <= line.end.y {
                true => (line.start, line.end),
                false => (line.end, line.start),
            };
            let crossed = (low.y..high.y).contains(&place.y)
                && RobustKernel::orient2d(low, high, place) == Orientation::CounterClockwise;
            if crossed {
                match inside.iter().position(|counted| *counted == area) {
                    Some(found) => drop(inside.swap_remove(found)),
                    None => inside.push(area),
                }
            }
        }
        !inside.is_empty()
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

fn rings(polygon: &Polygon) -> impl Iterator<Item = &LineString> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
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
    for corner in rings(polygon).flat_map(|ring| ring.coords()) {
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
    if let Some(edge) = rings(polygon)
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
    for ring in rings(polygon) {
        if let Some(reason) = unsound_ring(ring) {
            return Err(reason);
        }
    }
    sound_holes(polygon)
}

/// What keeps a closed line from being an outline. The validation of the geo crate compares every edge
/// with every other: of 20,000 that took the better part of a minute.
fn unsound_ring(ring: &LineString) -> Option<String> {
    const FEWEST_CORNERS: usize = 3;
    let mut corners: Vec<[u64; 2]> = ring.coords().map(|corner| bits(*corner)).collect();
    corners.sort_unstable();
    corners.dedup();
    if corners.len() < FEWEST_CORNERS {
        let found = corners.len();
        return Some(format!(
            "a ring has {found} different corners; allowed: 3 or more"
        ));
    }
    let edges = RTree::bulk_load(ring.lines().collect());
    let crosses = |edge: &Line| {
        let bounds = AABB::from_corners(edge.start.into(), edge.end.into());
        let mut near = edges.locate_in_envelope_intersecting(&bounds);
        near.any(|other| {
            edge != other
                && edge.start != other.end
                && edge.end != other.start
                && edge.intersects(other)
        })
    };
    let at = ring.lines().find(crosses)?.start;
    Some(format!(
        "its outline crosses or touches itself near [{}, {}]",
        at.x, at.y
    ))
}

/// A corner as a key: corners are the same to the last bit or not at all.
fn bits(corner: Coord) -> [u64; 2] {
    [corner.x, corner.y].map(|deg| (deg + 0.0).to_bits())
}

/// Whether the holes lie within the outline and apart from each other; they may touch in points.
fn sound_holes(polygon: &Polygon) -> Result<(), String> {
    if polygon.interiors().is_empty() {
        return Ok(());
    }
    let filled = |ring: &LineString| Polygon::new(ring.clone(), Vec::new());
    let along_a_line = (CoordPos::OnBoundary, CoordPos::OnBoundary);
    let outline = filled(polygon.exterior());
    let outline = PreparedGeometry::from(&outline);
    let holes: Vec<Polygon> = polygon.interiors().iter().map(filled).collect();
    for (index, hole) in holes.iter().enumerate() {
        let number = index + 1;
        let within = outline.relate(hole);
        if !within.is_contains()
            || within.get(along_a_line.0, along_a_line.1) == Dimensions::OneDimensional
        {
            return Err(format!("hole {number} does not lie within its outline"));
        }
        let bounds = hole.bounding_rect();
        for (other, before) in holes[..index].iter().enumerate() {
            let near = bounds.zip(before.bounding_rect());
            if !near.is_some_and(|(a, b)| a.intersects(&b)) {
                continue;
            }
            let both = hole.relate(before);
            if both.get(CoordPos::Inside, CoordPos::Inside) == Dimensions::TwoDimensional
                || both.get(along_a_line.0, along_a_line.1) == Dimensions::OneDimensional
            {
                return Err(format!("holes {} and {number} overlap", other + 1));
            }
        }
    }
    Ok(())
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
    fn holes_lie_within_the_outline_and_apart() {
        let with_holes = |holes: &str| {
            parse(&format!(
                r#"{{"type": "Polygon", "coordinates": [[[0, 0], [9, 0], [9, 9], [0, 9], [0, 0]], {holes}]}}"#
            ))
        };
        let hole = "[[1, 1], [3, 1], [3, 3], [1, 3], [1, 1]]";
        let area = with_holes(hole).unwrap();
        assert!(!area.holds(at(2.0, 2.0)) && area.holds(at(1.0, 1.0)) && area.holds(at(5.0, 5.0)));
        for (holes, said) in [
            (
                format!("{hole}, [[2, 2], [4, 2], [4, 4], [2, 2]]"),
                "holes 1 and 2 overlap",
            ),
            (
                "[[8, 8], [10, 8], [8, 10], [8, 8]]".to_owned(),
                "hole 1 does not lie within",
            ),
            (
                "[[0, 1], [0, 2], [1, 2], [0, 1]]".to_owned(),
                "hole 1 does not lie within",
            ),
            (
                "[[1, 1], [2, 2], [1, 1]]".to_owned(),
                "a ring has 2 different corners",
            ),
        ] {
            let refused = with_holes(&holes).unwrap_err();
            assert!(refused.contains(said), "{refused}");
        }
        // Touching in a point.
        with_holes(&format!("{hole}, [[3, 3], [4, 3], [4, 4], [3, 3]]")).unwrap();
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

    /// Lines and places about a jagged area with a hole, beside what the geo crate makes of each by
    /// looking at every edge.
    #[test]
    fn the_index_answers_as_a_look_at_every_edge_does() {
        use rand_xoshiro::Xoshiro256PlusPlus;
        use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};

        let ring = |corners: u32, radius_deg: f64| {
            let corner = |index| {
                let angle = std::f64::consts::TAU * f64::from(index) / f64::from(corners);
                let radius_deg = radius_deg * (1.0 + 0.3 * f64::from(index % 3));
                coord! { x: 30.0 + radius_deg * angle.cos(), y: radius_deg * angle.sin() }
            };
            LineString::new((0..corners).map(corner).collect())
        };
        let area = Polygon::new(ring(300, 10.0), vec![ring(60, 4.0)]);
        assert_eq!(sound(&area), Ok(()));
        let other = Polygon::new(ring(30, 2.0), Vec::new());
        let areas = KeepOut::new(vec![area.clone(), other.clone()]);
        let mut random = Xoshiro256PlusPlus::seed_from_u64(1);
        let mut deg = |span: f64| (random.next_u64() as f64 / u64::MAX as f64 - 0.5) * span;
        let mut met = 0;
        for trial in 0..4000 {
            let from = at(deg(30.0), 30.0 + deg(30.0));
            let to = match trial % 2 {
                0 => from,
                _ => at(
                    from.latitude_deg() + deg(4.0),
                    from.longitude_deg() + deg(4.0),
                ),
            };
            let line = Line::new(super::at(from), super::at(to));
            let expected = area.intersects(&line) || other.intersects(&line);
            assert_eq!(areas.meets(from, to), expected, "{line:?}");
            met += usize::from(expected);
        }
        assert!((500..3500).contains(&met), "{met}");
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
