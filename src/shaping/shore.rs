//! What the search asks of the land.

use crate::geodesy::{Earth, GreatCircle, Position};
use crate::route::Land;
use crate::units::Course;

/// Where land is.
pub trait Shore: Sync {
    /// Whether a place is on land.
    fn is_land(&self, place: Position) -> bool;
    /// Whether the straight line in longitude and latitude from a place at sea to another, at most
    /// some 20 nm apart, meets land.
    fn meets_land(&self, from: Position, to: Position) -> bool;
    /// Whether land is nearer than `distance_nm` nautical miles to a place.
    fn is_nearer_than_nm(&self, place: Position, distance_nm: f64) -> bool;
}

impl Shore for Land {
    fn is_land(&self, place: Position) -> bool {
        self.covers(place)
    }
    fn meets_land(&self, from: Position, to: Position) -> bool {
        self.is_met_from_sea(from, to)
    }
    fn is_nearer_than_nm(&self, place: Position, distance_nm: f64) -> bool {
        Land::is_nearer_than_nm(self, place, distance_nm)
    }
}

/// No land anywhere.
#[derive(Debug, Clone, Copy, Default)]
pub struct OpenOcean;

impl Shore for OpenOcean {
    fn is_land(&self, _: Position) -> bool {
        false
    }
    fn meets_land(&self, _: Position, _: Position) -> bool {
        false
    }
    fn is_nearer_than_nm(&self, _: Position, _: f64) -> bool {
        false
    }
}

/// How far from a place on land the sea is looked for, in nautical miles, and how finely.
const SEARCH_NM: f64 = 120.0;
const SEARCH_STEP_NM: f64 = 1.0;
const SEARCH_COURSES: u32 = 32;

/// The sea nearest to a place, to a mile; none within 120 nm.
pub fn nearest_sea(shore: &dyn Shore, place: Position) -> Option<Position> {
    let rays: Vec<GreatCircle> = (0..SEARCH_COURSES)
        .filter_map(|index| {
            let course = Course::from_deg(f64::from(index) * 360.0 / f64::from(SEARCH_COURSES));
            GreatCircle::on_course(Earth::WGS84, place, course, SEARCH_NM).ok()
        })
        .collect();
    (0..=(SEARCH_NM / SEARCH_STEP_NM) as u32).find_map(|ring| {
        rays.iter()
            .filter_map(|ray| ray.at_nm(f64::from(ring) * SEARCH_STEP_NM))
            .map(|point| point.position)
            .find(|place| !shore.is_land(*place))
    })
}
