//! The ends of a passage that lie a little inland by the coarse outlines, as harbours do.

use schemars::JsonSchema;
use serde::Serialize;

use super::StudyError;
use crate::climate::{Climate, Region};
use crate::geodesy::{Earth, GreatCircle, Position};
use crate::route::{Land, LandCheck, Route};
use crate::shaping::{Shaped, Shore, Task, corners_of, nearest_sea, search_region};
use crate::voyage::Voyage;

/// Room about the waters searched for which climate is kept, in degrees, so that the nodes beside
/// their edge are there.
pub(super) const CLIMATE_ROOM_DEG: f64 = 5.0;

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

/// The two ends of a course to be searched for.
pub(super) struct SeaEnds {
    /// Those that lie a little inland.
    pub(super) inland: [Option<InlandEnd>; 2],
    own: [Position; 2],
    pub(super) sea: [Position; 2],
}

impl SeaEnds {
    /// The ends by the crew's names and positions.
    pub(super) fn of(ends: &[(String, Position); 2]) -> Self {
        let inland = [0, 1].map(|end| InlandEnd::of(&ends[end], Land::natural_earth()));
        let own = [ends[0].1, ends[1].1];
        let sea = [0, 1].map(|end| inland[end].as_ref().map_or(own[end], |inland| inland.sea));
        Self { inland, own, sea }
    }

    /// Where a course between them may go, and its winds with room about it.
    pub(super) fn waters(&self, voyage: &Voyage) -> Result<(Region, Climate), StudyError> {
        let region = search_region(self.sea[0], self.sea[1], &voyage.routes);
        let climate = voyage.open_climate_of(&region.widened(CLIMATE_ROOM_DEG))?;
        Ok((region, climate))
    }

    /// The search from sea to sea, `drawn` to be tried too.
    pub(super) fn task<'a>(
        &self,
        voyage: &'a Voyage,
        (region, climate): &'a (Region, Climate),
        drawn: &[&Route],
        grid_deg: f64,
    ) -> Task<'a> {
        Task {
            winds: climate,
            shore: Land::natural_earth(),
            boat: &voyage.boat,
            departure: voyage.departure,
            from: self.sea[0],
            to: self.sea[1],
            drawn: drawn
                .iter()
                .map(|route| self.corners_at_sea(route))
                .collect(),
            sampling: voyage.step,
            region: *region,
            grid_deg,
        }
    }

    /// A drawn route's corners with its ends at sea.
    pub(super) fn corners_at_sea(&self, route: &Route) -> Vec<Position> {
        let mut corners = corners_of(route);
        if let [first, .., last] = &mut corners[..] {
            [*first, *last] = self.sea;
        }
        corners
    }

    /// A course searched from sea to sea, with the crew's own ends before and after.
    pub(super) fn with_own(&self, mut shaped: Shaped) -> Shaped {
        let [from, to] = self.own;
        if shaped.corners.first() != Some(&from) {
            shaped.corners.insert(0, from);
        }
        if shaped.corners.last() != Some(&to) {
            shaped.corners.push(to);
        }
        shaped
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
