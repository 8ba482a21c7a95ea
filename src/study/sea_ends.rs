//! The ends of a passage that lie a little inland by the coarse outlines, as harbours do.

use schemars::JsonSchema;
use serde::Serialize;

use crate::geodesy::{Earth, GreatCircle, Position};
use crate::route::LandCheck;
use crate::shaping::{Shaped, Shore, nearest_sea};

/// An end of the passage that lies on land by the coarse outlines: the search went from the sea
/// near it, and the course has the crew's own position as its first or last waypoint.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct InlandEnd {
    /// What the crew calls the place.
    pub name: String,
    /// Where it is.
    pub position: Position,
    /// The sea near it.
    pub sea: Position,
    /// How far that is, nautical miles.
    pub distance_nm: f64,
}

impl InlandEnd {
    /// The sea for an end that lies on land; none for one at sea, and for one farther from it than
    /// [`LandCheck::ENDS_NM`], which no harbour is.
    pub(super) fn of((name, place): &(String, Position), shore: &dyn Shore) -> Option<Self> {
        if !shore.is_land(*place) {
            return None;
        }
        let sea = nearest_sea(shore, *place)?;
        let line = GreatCircle::between(Earth::WGS84, *place, sea).ok()?;
        let distance_nm = line.length_nm();
        (distance_nm <= LandCheck::ENDS_NM).then(|| Self {
            name: name.clone(),
            position: *place,
            sea,
            distance_nm,
        })
    }
}

/// A course searched from sea to sea, with the crew's own ends before and after.
pub(super) fn with_own_ends(mut shaped: Shaped, [from, to]: [Position; 2]) -> Shaped {
    if shaped.corners.first() != Some(&from) {
        shaped.corners.insert(0, from);
    }
    if shaped.corners.last() != Some(&to) {
        shaped.corners.push(to);
    }
    shaped
}

/// Corners whose ends are at sea.
pub(super) fn at_sea(mut corners: Vec<Position>, [from, to]: [Position; 2]) -> Vec<Position> {
    if let Some(first) = corners.first_mut() {
        *first = from;
    }
    if let Some(last) = corners.last_mut() {
        *last = to;
    }
    corners
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::Land;

    fn end(latitude_deg: f64, longitude_deg: f64) -> (String, Position) {
        let place = Position::new(latitude_deg, longitude_deg).unwrap();
        ("Here".to_owned(), place)
    }

    #[test]
    fn a_harbour_a_little_inland_is_moved_to_sea_and_nothing_else_is() {
        let land = Land::natural_earth();
        // Fremantle's fishing boat harbour, from memory; a place off Rottnest; York, 45 nm inland.
        let harbour = InlandEnd::of(&end(-32.07, 115.80), land).unwrap();
        assert!(!land.is_land(harbour.sea));
        assert!((0.0..=LandCheck::ENDS_NM).contains(&harbour.distance_nm));
        assert_eq!(InlandEnd::of(&end(-32.0, 115.2), land), None);
        assert_eq!(InlandEnd::of(&end(-31.89, 116.77), land), None);
    }
}
