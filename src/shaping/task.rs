//! What is to be shaped: two ends, a boat, a day, and the box of sea to look in.

use jiff::civil::Date;

use super::shore::Shore;
use super::waters::Winds;
use crate::boat::Boat;
use crate::climate::Region;
use crate::geodesy::{Earth, GreatCircle, LegKind, Position, Step};
use crate::route::Route;
use crate::units::Range;

/// Room about the ends and the routes drawn, as a share of the passage's length and in degrees.
const ROOM_SHARE: f64 = 0.2;
const ROOM_DEG: (f64, f64) = (6.0, 15.0);
/// No search goes nearer to a pole than this, in degrees.
const POLEWARD_DEG: f64 = 78.0;

/// What is to be shaped.
pub struct Task<'a> {
    /// The winds.
    pub winds: &'a dyn Winds,
    /// The land.
    pub shore: &'a dyn Shore,
    /// The boat.
    pub boat: &'a Boat,
    /// The day of departure; the clock starts at 00:00 UTC.
    pub departure: Date,
    /// The start.
    pub from: Position,
    /// The end.
    pub to: Position,
    /// Other ways between the two, as corners joined by great circles: the course shaped is never
    /// slower than those that keep to the limits, and there is one wherever one of them does.
    pub drawn: Vec<Vec<Position>>,
    /// How far apart a leg is sampled, at most.
    pub sampling: Step,
    /// The box of sea searched.
    pub region: Region,
    /// The step of the coarse grid in degrees; the finer one has half of it.
    pub grid_deg: f64,
}

impl Task<'_> {
    /// The steps a grid may have.
    pub const GRID_DEG: Range = Range::new("grid step", "degrees", 0.25, 5.0);
}

/// The box of sea to search between two ends: about the great circle between them and about the
/// routes drawn, with room on every side.
pub fn search_region(from: Position, to: Position, drawn: &[Route]) -> Region {
    const EVERY_NM: f64 = 60.0;
    let degrees = |place: Position| (place.latitude_deg(), place.longitude_deg());
    let mut points = vec![degrees(from), degrees(to)];
    let mut length_nm = 0.0;
    if let Ok(circle) = GreatCircle::between(Earth::WGS84, from, to) {
        length_nm = circle.length_nm();
        let steps = (length_nm / EVERY_NM) as u32;
        let along = (1..=steps).filter_map(|step| circle.at_nm(f64::from(step) * EVERY_NM));
        points.extend(along.map(|point| degrees(point.position)));
    }
    let legs = drawn.iter().flat_map(Route::legs);
    let segments = legs.flat_map(|leg| leg.track.segments(Step::default()));
    points.extend(segments.map(|segment| degrees(segment.midpoint.position)));
    let room_deg = (ROOM_SHARE * length_nm / 60.0).clamp(ROOM_DEG.0, ROOM_DEG.1);
    let mut region = Region::covering(points, room_deg).unwrap_or(Region::world());
    region.south_deg = region.south_deg.max(-POLEWARD_DEG);
    region.north_deg = region.north_deg.min(POLEWARD_DEG);
    region
}

/// A route's corners, joined by great circles: its waypoints, and on other lines than great circles
/// as many places between as it takes to keep close to them.
pub fn corners_of(route: &Route) -> Vec<Position> {
    const EVERY_NM: f64 = 120.0;
    let mut corners = Vec::new();
    for leg in route.legs() {
        corners.push(leg.track.from());
        if leg.track.kind() != LegKind::GreatCircle {
            let count = (leg.track.length_nm() / EVERY_NM).ceil() as u32;
            let between = (1..count).filter_map(|index| {
                let along_nm = leg.track.length_nm() * f64::from(index) / f64::from(count);
                Some(leg.track.at_nm(along_nm)?.position)
            });
            corners.extend(between);
        }
    }
    corners.extend(route.waypoints().last().map(|waypoint| waypoint.position));
    corners
}
