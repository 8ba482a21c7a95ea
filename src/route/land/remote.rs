//! How far a route goes from land: where help is farthest.

use schemars::JsonSchema;
use serde::Serialize;

use super::Land;
use super::grid::{Place, TURN, beside, column, place, row};
use super::nearness::nearest;
use super::outlines::QUANTA_PER_DEG;
use crate::geodesy::{Position, Step};
use crate::route::Route;

/// How exactly the ends of a run are found, nautical miles along the route.
const EXACT_NM: f64 = 1.0;
/// From the middle of a row of cells to its edge, and a little room, degrees.
const HALF_ROW_DEG: f64 = 0.6;

/// The longest runs of a route more than 500 nm from land (our choice), where help is days away. By the
/// outlines carried in the program, in which small islands are missing: a run may pass nearer to one.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct FarFromLand {
    /// The longest run of the whole route, nautical miles.
    pub longest_run_nm: f64,
    /// Each leg by itself.
    pub by_leg: Vec<LegFarFromLand>,
}

/// The longest run of one leg more than 500 nm from land.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LegFarFromLand {
    /// The leg's number on its route, from 1.
    pub leg: usize,
    /// The longest run within the leg, nautical miles.
    pub longest_run_nm: f64,
}

/// The longest stretch of those that a walk is in and out of.
#[derive(Debug, Clone, Copy, Default)]
struct Longest {
    run_nm: f64,
    longest_nm: f64,
}

impl Longest {
    fn add(&mut self, far_nm: f64) {
        self.run_nm += far_nm;
        self.longest_nm = self.longest_nm.max(self.run_nm);
    }

    fn end(&mut self) {
        self.run_nm = 0.0;
    }
}

impl FarFromLand {
    /// How far from land a run must be to count, nautical miles.
    pub const BEYOND_NM: f64 = 500.0;

    /// Looks at every leg's ends and at places of a route at most 60 nm apart; where one is far and the
    /// next is not, the change is looked for between them.
    pub fn of(route: &Route, land: &Land) -> Self {
        let mut whole = Longest::default();
        let legs = route.legs().iter();
        let by_leg = legs.map(|leg| {
            let track = &leg.track;
            let is_far = |along_nm: f64| {
                let point = track.at_nm(along_nm);
                point.is_some_and(|point| land.is_farther_than(point.position, Self::BEYOND_NM))
            };
            let mut alone = Longest::default();
            let mut was_far = is_far(0.0);
            for segment in track.segments(Step::default()) {
                let start_nm = segment.start_nm;
                let end_nm = (start_nm + segment.length_nm).min(track.length_nm());
                let far = is_far(end_nm);
                let change_nm = if far == was_far {
                    end_nm
                } else {
                    changes_at(start_nm, end_nm, |along_nm| is_far(along_nm) == was_far)
                };
                for longest in [&mut alone, &mut whole] {
                    if was_far {
                        longest.add(change_nm - start_nm);
                    }
                    if !(was_far && far) {
                        longest.end();
                    }
                    if far && !was_far {
                        longest.add(end_nm - change_nm);
                    }
                }
                was_far = far;
            }
            LegFarFromLand {
                leg: leg.number,
                longest_run_nm: alone.longest_nm,
            }
        });
        let by_leg = by_leg.collect();
        Self {
            longest_run_nm: whole.longest_nm,
            by_leg,
        }
    }
}

/// Where something that holds at the start and not at the end ceases to hold.
fn changes_at(start_nm: f64, end_nm: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low_nm, mut high_nm) = (start_nm, end_nm);
    while high_nm - low_nm > EXACT_NM {
        let middle_nm = 0.5 * (low_nm + high_nm);
        if holds(middle_nm) {
            low_nm = middle_nm;
        } else {
            high_nm = middle_nm;
        }
    }
    0.5 * (low_nm + high_nm)
}

impl Land {
    /// Whether all land is farther from a place than a distance in nautical miles, on a sphere on which
    /// a minute of arc is a mile: within 0.6 % of the distance on the Earth.
    pub fn is_farther_than(&self, from: Position, distance_nm: f64) -> bool {
        let here = place(from);
        let within = SphereCap::new(from, distance_nm / 60.0);
        let cells = SphereCap::new(from, distance_nm / 60.0 + HALF_ROW_DEG);
        let stretch = from.latitude_deg().to_radians().cos();
        let reach_deg = distance_nm / 60.0 + 1.0;
        let per_deg = f64::from(QUANTA_PER_DEG);
        let [south, north] =
            [-reach_deg, reach_deg].map(|deg| row((here[1] + deg * per_deg) as i32));
        let mut rows = south..=north;
        let near = rows.any(|row| {
            let latitude_deg = f64::from(row) - 89.5;
            // No farther from the place's meridian than this, in degrees of longitude.
            let half = cells.half_width_deg(latitude_deg);
            let columns = (2.0 * half).ceil() as i32 + 1;
            (0..columns.min(360)).any(|index| {
                let x = here[0] + (f64::from(index) - half) * per_deg;
                let x = (x + TURN / 2.0).rem_euclid(TURN) - TURN / 2.0;
                let column = column(x as i32);
                let mut edges = self.cell(column, row);
                edges.any(|edge| {
                    let ends = self.ends(edge).map(|end| beside(here, end));
                    within.holds(nearest(here, ends, stretch))
                })
            })
        });
        !near && !self.covers_place(here)
    }
}

/// All places within an angle of one on the sphere.
struct SphereCap {
    longitude_rad: f64,
    sin_latitude: f64,
    cos_latitude: f64,
    cos_angle: f64,
}

impl SphereCap {
    fn new(middle: Position, angle_deg: f64) -> Self {
        let (sin_latitude, cos_latitude) = middle.latitude_deg().to_radians().sin_cos();
        Self {
            longitude_rad: middle.longitude_deg().to_radians(),
            sin_latitude,
            cos_latitude,
            cos_angle: angle_deg.to_radians().cos(),
        }
    }

    /// Whether a place of the outlines is in it.
    fn holds(&self, at: Place) -> bool {
        let [longitude_rad, latitude_rad] =
            at.map(|quanta| (quanta / f64::from(QUANTA_PER_DEG)).to_radians());
        let (sin_latitude, cos_latitude) = latitude_rad.sin_cos();
        let off = (longitude_rad - self.longitude_rad).cos();
        self.sin_latitude * sin_latitude + self.cos_latitude * cos_latitude * off >= self.cos_angle
    }

    /// How far it reaches to either side of its middle's meridian along a parallel, degrees of
    /// longitude: nothing where it does not reach the parallel, half a turn where it goes round.
    fn half_width_deg(&self, latitude_deg: f64) -> f64 {
        let (sin_latitude, cos_latitude) = latitude_deg.to_radians().sin_cos();
        let cos = (self.cos_angle - self.sin_latitude * sin_latitude)
            / (self.cos_latitude * cos_latitude).max(1e-9);
        cos.clamp(-1.0, 1.0).acos().to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geodesy::{Earth, GreatCircle, LegKind};
    use crate::route::Waypoint;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    fn along_32_south(longitudes_deg: &[f64]) -> FarFromLand {
        let waypoints = longitudes_deg.iter().map(|longitude_deg| Waypoint {
            name: format!("{longitude_deg}"),
            position: at(-32.0, *longitude_deg),
            reached_by: LegKind::Rhumb,
            stop: None,
        });
        let route = Route::new("Measured", waypoints.collect()).unwrap();
        FarFromLand::of(&route, Land::natural_earth())
    }

    /// The place in the South Pacific farthest from all land is 1,450 nm from it (2,688 km, from
    /// memory).
    #[test]
    fn the_farthest_place_of_all_is_as_far_as_is_known() {
        let nemo = at(-48.876, -123.393);
        let land = Land::natural_earth();
        assert!(land.is_farther_than(nemo, 1420.0));
        assert!(!land.is_farther_than(nemo, 1480.0));
    }

    /// Against the geodesic to every corner of every outline.
    #[test]
    fn far_is_far_on_the_ellipsoid() {
        /// The sphere's error and the half of an edge between two corners, as a share.
        const TOLERANCE: f64 = 0.012;
        let corners: Vec<Position> = Land::rings().into_iter().flatten().collect();
        let land = Land::natural_earth();
        for place in [
            at(-31.0, 90.0),
            at(-56.0, 100.0),
            at(0.0, -140.0),
            at(45.0, 179.5),
            at(-20.0, -179.5),
            at(84.0, 170.0),
        ] {
            let geodesics = corners.iter().filter_map(|corner| {
                let circle = GreatCircle::between(Earth::WGS84, place, *corner).ok()?;
                Some(circle.length_nm())
            });
            let nearest_nm = geodesics.fold(f64::INFINITY, f64::min);
            let farther = |times: f64| land.is_farther_than(place, times * nearest_nm);
            assert!(farther(1.0 - TOLERANCE), "{place}: {nearest_nm} nm");
            assert!(!farther(1.0 + TOLERANCE), "{place}: {nearest_nm} nm");
        }
    }

    #[test]
    fn the_middle_of_a_continent_is_not_far_from_land() {
        assert!(!Land::natural_earth().is_farther_than(at(46.3, 86.7), 500.0));
    }

    /// Of all coasts the Wallabi islands off Geraldton (28 28 S, 113 41 E, from memory) are the last
    /// within 500 nm of a ship that goes west along 32 S.
    #[test]
    fn a_run_begins_where_the_last_coast_is_500_nm_astern() {
        let whole = along_32_south(&[115.0, 90.0]);
        let degree_nm = 51.02;
        let begins = at(-32.0, 90.0 + whole.longest_run_nm / degree_nm);
        let to_the_islands =
            GreatCircle::between(Earth::WGS84, begins, at(-28.467, 113.683)).unwrap();
        approx::assert_abs_diff_eq!(to_the_islands.length_nm(), 500.0, epsilon = 6.0);
        assert_eq!(whole.by_leg[0].longest_run_nm, whole.longest_run_nm);

        // Cut in two the run goes on over the waypoint; each leg has its own part.
        let cut = along_32_south(&[115.0, 100.0, 90.0]);
        let parts: Vec<f64> = cut.by_leg.iter().map(|leg| leg.longest_run_nm).collect();
        approx::assert_abs_diff_eq!(parts[1], 10.0 * degree_nm, epsilon = 1.0);
        approx::assert_abs_diff_eq!(parts[0] + parts[1], cut.longest_run_nm, epsilon = 1e-6);
        approx::assert_abs_diff_eq!(cut.longest_run_nm, whole.longest_run_nm, epsilon = 2.0);
        assert_eq!(along_32_south(&[115.0, 112.0]).longest_run_nm, 0.0);
    }
}
