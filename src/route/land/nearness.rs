//! Whether land is in the way of a short line, and whether it is near a place.

use super::Land;
use super::grid::{Place, TURN, beside, column, place, row};
use super::outlines::QUANTA_PER_DEG;
use crate::geodesy::{Earth, GreatCircle, Position};

/// Land found on the plane a little beyond the distance asked for is measured on the Earth, for the
/// plane is not exact.
const PLANE_ROOM: f64 = 1.1;

impl Land {
    /// Whether the line from a place at sea to another, straight in longitude and latitude the short
    /// way round, meets land. Long lines are to be cut into short ones first.
    pub fn is_met_from_sea(&self, from: Position, to: Position) -> bool {
        let start = place(from);
        let mut cuts = Vec::new();
        self.cuts(start, beside(start, place(to)), &mut cuts);
        !cuts.is_empty()
    }

    /// Whether land is nearer than `distance_nm` nautical miles to a place.
    pub fn is_nearer_than_nm(&self, from: Position, distance_nm: f64) -> bool {
        let here = place(from);
        if self.covers_place(here) {
            return true;
        }
        // On a plane about the place, in quanta of latitude; meridians close up toward the pole.
        let per_nm = f64::from(QUANTA_PER_DEG) / 60.0;
        let reach = PLANE_ROOM * distance_nm * per_nm;
        let poleward_deg =
            (from.latitude_deg().abs() + reach / f64::from(QUANTA_PER_DEG)).min(89.0);
        let across = reach / poleward_deg.to_radians().cos();
        let rows = row((here[1] - reach) as i32)..=row((here[1] + reach) as i32);
        let cells = (2.0 * across / f64::from(QUANTA_PER_DEG)).ceil() as i32 + 1;
        let stretch = from.latitude_deg().to_radians().cos();
        (0..=cells).any(|index| {
            let x = here[0] - across + f64::from(index * QUANTA_PER_DEG);
            let column = column(((x + TURN / 2.0).rem_euclid(TURN) - TURN / 2.0) as i32);
            rows.clone().any(|row| {
                self.cell(column, row).any(|edge| {
                    let ends = self.ends(edge).map(|end| beside(here, end));
                    let near = nearest(here, ends, stretch);
                    let off = [(near[0] - here[0]) * stretch, near[1] - here[1]];
                    off[0].hypot(off[1]) <= reach && is_within_nm(from, near, distance_nm)
                })
            })
        })
    }
}

/// The place on an edge nearest to `here` on a plane whose longitudes are drawn in by `stretch`.
pub(super) fn nearest(here: Place, [a, b]: [Place; 2], stretch: f64) -> Place {
    let way = [(b[0] - a[0]) * stretch, b[1] - a[1]];
    let off = [(here[0] - a[0]) * stretch, here[1] - a[1]];
    let square = way[0] * way[0] + way[1] * way[1];
    let share = if square > 0.0 {
        ((way[0] * off[0] + way[1] * off[1]) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
}

fn is_within_nm(from: Position, [x, y]: Place, distance_nm: f64) -> bool {
    let [longitude_deg, latitude_deg] = [x, y].map(|quanta| quanta / f64::from(QUANTA_PER_DEG));
    let Ok(to) = Position::new(latitude_deg, longitude_deg) else {
        return false;
    };
    match GreatCircle::between(Earth::WGS84, from, to) {
        Ok(circle) => circle.length_nm() < distance_nm,
        Err(_) => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Course;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    /// Against rings of places about the sea: land is nearer than a distance where one on land is.
    #[test]
    fn nearness_agrees_with_rings_of_places() {
        let land = Land::natural_earth();
        for place in [
            at(-32.0, 115.0),
            at(-30.0, 32.0),
            at(-20.3, 58.5),
            at(-17.0, -179.5),
            at(62.0, 179.8),
            at(-31.0, 75.0),
            at(-56.5, -66.0),
        ] {
            let ring = |distance_nm: f64| {
                (0..180).any(|index| {
                    let course = Course::from_deg(f64::from(index) * 2.0);
                    let circle =
                        GreatCircle::on_course(Earth::WGS84, place, course, distance_nm).unwrap();
                    land.covers(circle.at_nm(distance_nm).unwrap().position)
                })
            };
            // The first ring, two miles apart, that touches land.
            let first_nm = (0..65)
                .map(|index| 2.0 * f64::from(index))
                .find(|nm| ring(*nm));
            for distance_nm in [10.0, 30.0, 60.0, 120.0] {
                let nearer = land.is_nearer_than_nm(place, distance_nm);
                match first_nm {
                    Some(first_nm) if first_nm < distance_nm => assert!(nearer, "{place}"),
                    Some(first_nm) if first_nm > distance_nm + 6.0 => assert!(!nearer, "{place}"),
                    Some(_) => {}
                    None => assert!(!nearer, "{place}, {distance_nm} nm"),
                }
            }
        }
    }

    #[test]
    fn a_line_through_an_island_or_onto_land_meets_it() {
        let land = Land::natural_earth();
        assert!(
            land.is_met_from_sea(at(-20.2, 57.0), at(-20.2, 58.2)),
            "Mauritius"
        );
        assert!(
            land.is_met_from_sea(at(-32.0, 115.5), at(-32.0, 116.0)),
            "Fremantle"
        );
        assert!(
            !land.is_met_from_sea(at(-31.0, 75.0), at(-31.2, 75.2)),
            "the open ocean"
        );
        assert!(
            land.is_met_from_sea(at(-16.9, 179.7), at(-16.9, -179.7)),
            "Taveuni"
        );
    }
}
