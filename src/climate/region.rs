//! The part of the world a passage needs winds for.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geodesy::Coordinate;
use crate::units::{wrap_180_deg, wrap_360_deg};

/// A box of latitudes and longitudes. It may cross the antimeridian.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct Region {
    /// Southern edge, degrees north.
    pub south_deg: f64,
    /// Northern edge, degrees north.
    pub north_deg: f64,
    /// Western edge, degrees east, in [-180, 180).
    pub west_deg: f64,
    /// Degrees from the western edge eastward to the eastern one, 0 to 360.
    pub east_span_deg: f64,
}

impl Region {
    /// The whole world.
    pub fn world() -> Self {
        Self {
            south_deg: -90.0,
            north_deg: 90.0,
            west_deg: -180.0,
            east_span_deg: 360.0,
        }
    }

    /// The box from `west_deg` eastward to `east_deg`, which may lie beyond the antimeridian.
    pub fn between(south_deg: f64, north_deg: f64, west_deg: f64, east_deg: f64) -> Self {
        Self {
            south_deg,
            north_deg,
            west_deg: wrap_180_deg(west_deg),
            east_span_deg: wrap_360_deg(east_deg - west_deg),
        }
    }

    /// The smallest box around points given as (latitude, longitude) in degrees north and east,
    /// and `margin_deg` more on every side; `None` without points. The box leaves out the widest
    /// gap between neighbouring longitudes, so give the points along a track and not its ends
    /// alone: a track that runs the long way round says so only by the points it passes.
    pub fn covering(points: impl IntoIterator<Item = (f64, f64)>, margin_deg: f64) -> Option<Self> {
        let (mut south_deg, mut north_deg) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut longitudes_deg = Vec::new();
        for (latitude_deg, longitude_deg) in points {
            south_deg = south_deg.min(latitude_deg);
            north_deg = north_deg.max(latitude_deg);
            longitudes_deg.push(wrap_360_deg(longitude_deg));
        }
        longitudes_deg.sort_by(f64::total_cmp);
        let (first_deg, last_deg) = (*longitudes_deg.first()?, *longitudes_deg.last()?);
        // The gap over the seam, then those between neighbours; the box starts east of the widest.
        let mut west_deg = first_deg;
        let mut widest_gap_deg = first_deg + 360.0 - last_deg;
        for pair in longitudes_deg.windows(2) {
            if pair[1] - pair[0] > widest_gap_deg {
                widest_gap_deg = pair[1] - pair[0];
                west_deg = pair[1];
            }
        }
        let bare = Self {
            south_deg,
            north_deg,
            west_deg: wrap_180_deg(west_deg),
            east_span_deg: 360.0 - widest_gap_deg,
        };
        Some(bare.widened(margin_deg))
    }

    /// The box with `margin_deg` more on every side, up to the poles and the full circle.
    pub fn widened(&self, margin_deg: f64) -> Self {
        Self {
            south_deg: (self.south_deg - margin_deg).max(-90.0),
            north_deg: (self.north_deg + margin_deg).min(90.0),
            west_deg: wrap_180_deg(self.west_deg - margin_deg),
            east_span_deg: (self.east_span_deg + 2.0 * margin_deg).min(360.0),
        }
    }

    /// Whether a place lies in the box, edges included.
    pub fn contains(&self, latitude_deg: f64, longitude_deg: f64) -> bool {
        (self.south_deg..=self.north_deg).contains(&latitude_deg)
            && wrap_360_deg(longitude_deg - self.west_deg) <= self.east_span_deg
    }
}

impl std::fmt::Display for Region {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (south, north) = (
            Coordinate::latitude(self.south_deg),
            Coordinate::latitude(self.north_deg),
        );
        write!(f, "latitudes {south} to {north}, ")?;
        if self.east_span_deg >= 360.0 {
            return f.write_str("all longitudes");
        }
        let (west, east) = (
            Coordinate::longitude(self.west_deg),
            Coordinate::longitude(self.west_deg + self.east_span_deg),
        );
        write!(f, "longitudes {west} to {east}")
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_box_over_the_antimeridian_takes_the_short_way() {
        let region = Region::covering([(10.0, 170.0), (-5.0, -160.0)], 2.0).expect("points");
        assert_eq!(region, Region::between(-7.0, 12.0, 168.0, -158.0));
        assert!(region.contains(0.0, 180.0) && region.contains(0.0, -180.0));
        assert!(!region.contains(0.0, 0.0));
    }

    #[test]
    fn the_margin_stops_at_the_poles_and_at_the_full_circle() {
        let track = (0..36).map(|step| (89.0, 10.0 * f64::from(step)));
        let region = Region::covering(track, 6.0).expect("points");
        assert_eq!((region.north_deg, region.east_span_deg), (90.0, 360.0));
    }

    #[test]
    fn a_box_wider_than_two_thirds_of_the_circle_is_widened_on_the_side_it_has() {
        for (span_deg, expected_deg) in [(250.0, 260.0), (340.0, 350.0), (355.0, 360.0)] {
            let region = Region::between(-60.0, -30.0, 18.0, 18.0 + span_deg);
            let wider = region.widened(5.0);
            assert_eq!(wider.east_span_deg, expected_deg);
            assert_eq!((wider.south_deg, wider.north_deg), (-65.0, -25.0));
            for part in 0..=10 {
                let longitude_deg = 18.0 + span_deg * f64::from(part) / 10.0;
                for off_deg in [-5.0, 5.0] {
                    assert!(
                        wider.contains(-40.0, longitude_deg + off_deg),
                        "{longitude_deg}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_region_is_written_as_on_a_chart() {
        let text = Region::between(-39.0, -10.5, 170.0, -160.0).to_string();
        assert_eq!(
            text,
            "latitudes 39°00.0'S to 10°30.0'S, longitudes 170°00.0'E to 160°00.0'W"
        );
        assert!(
            Region::world()
                .to_string()
                .ends_with("90°00.0'N, all longitudes")
        );
    }

    #[test]
    fn no_points_make_no_region() {
        assert_eq!(Region::covering([], 5.0), None);
    }

    proptest! {
        #[test]
        fn every_point_covered_is_contained(
            points in prop::collection::vec((-80.0..80.0f64, -360.0..360.0f64), 1..30),
        ) {
            let region = Region::covering(points.iter().copied(), 0.5).expect("points");
            for (latitude_deg, longitude_deg) in points {
                prop_assert!(region.contains(latitude_deg, longitude_deg));
            }
        }
    }
}
