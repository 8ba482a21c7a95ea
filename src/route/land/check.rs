//! Where a route crosses land.

use schemars::JsonSchema;
use serde::Serialize;

use super::Land;
use super::grid::{beside, place};
use crate::geodesy::{LegTrack, Position};
use crate::route::Route;

/// What of a route's legs lies on land.
#[derive(Debug, Clone, PartialEq, Default, JsonSchema, Serialize)]
pub struct LandCheck {
    /// Where the route crosses land away from its ends, in the order they are met.
    pub crossings: Vec<LandCrossing>,
    /// How much of the route is on land within [`LandCheck::ENDS_NM`] of its ends, in nautical
    /// miles. Harbours lie on the coast, whose outlines are not exact, so this is no crossing.
    pub near_ends_nm: f64,
}

/// A stretch of a leg on land.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LandCrossing {
    /// The leg's number on its route, from 1.
    pub leg: usize,
    /// The waypoint the leg leaves.
    pub from: String,
    /// The waypoint the leg reaches.
    pub to: String,
    /// Where the leg meets the land, or its start where that is on land.
    pub enters: Position,
    /// How far that is along the leg, in nautical miles.
    pub enters_nm: f64,
    /// How long the leg stays on land, in nautical miles.
    pub over_nm: f64,
}

impl LandCheck {
    /// Land within this distance along the route of its start or its end is not counted as a
    /// crossing, in nautical miles (our choice).
    pub const ENDS_NM: f64 = 10.0;
    /// Between points this far apart a leg is taken as straight in longitude and latitude, in nautical
    /// miles. At 70 degrees a rhumb line or great circle leaves such a chord by 0.01 nm at most, far
    /// less than the outlines are exact.
    pub const CHORD_NM: f64 = 10.0;

    /// Checks every leg of a route.
    pub fn of(route: &Route, land: &Land) -> Self {
        let mut check = Self::default();
        let (first_nm, last_nm) = (Self::ENDS_NM, route.length_nm() - Self::ENDS_NM);
        let mut leg_start_nm = 0.0;
        for leg in route.legs() {
            for (enters_nm, leaves_nm) in stretches_on_land(&leg.track, land) {
                let from_nm = enters_nm.max(first_nm - leg_start_nm);
                let to_nm = leaves_nm.min(last_nm - leg_start_nm);
                let over_nm = (to_nm - from_nm).max(0.0);
                check.near_ends_nm += leaves_nm - enters_nm - over_nm;
                if over_nm > 0.0
                    && let Some(point) = leg.track.at_nm(from_nm)
                {
                    check.crossings.push(LandCrossing {
                        leg: leg.number,
                        from: leg.from.clone(),
                        to: leg.to.clone(),
                        enters: point.position,
                        enters_nm: from_nm,
                        over_nm,
                    });
                }
            }
            leg_start_nm += leg.track.length_nm();
        }
        check
    }
}

/// The stretches of a leg on land: where each begins and ends along the leg, in nautical miles.
fn stretches_on_land(track: &LegTrack, land: &Land) -> Vec<(f64, f64)> {
    let length_nm = track.length_nm();
    let chords = (length_nm / LandCheck::CHORD_NM).ceil().max(1.0) as u32;
    let edge_nm = |n: u32| length_nm * f64::from(n) / f64::from(chords);
    let mut stretches: Vec<(f64, f64)> = Vec::new();
    let mut a = place(track.from());
    let mut on_land = land.covers_place(a);
    let mut was_on_land = false;
    let mut cuts = Vec::new();
    for chord in 0..chords {
        let (start_nm, end_nm) = (edge_nm(chord), edge_nm(chord + 1));
        let end = track
            .at_nm(end_nm)
            .map_or(track.to(), |point| point.position);
        let b = beside(a, place(end));
        let at = |share: f64| [0, 1].map(|axis| a[axis] + share * (b[axis] - a[axis]));
        cuts.clear();
        let near = land.cuts(a, b, &mut cuts);
        cuts.extend([0.0, 1.0]);
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2).filter(|pair| pair[0] < pair[1]) {
            if near {
                on_land = land.covers_place(at((pair[0] + pair[1]) / 2.0));
            }
            if on_land {
                let along_nm = |share: f64| start_nm + share * (end_nm - start_nm);
                match stretches.last_mut() {
                    Some(stretch) if was_on_land => stretch.1 = along_nm(pair[1]),
                    _ => stretches.push((along_nm(pair[0]), along_nm(pair[1]))),
                }
            }
            was_on_land = on_land;
        }
        a = beside([0.0; 2], b);
    }
    stretches
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geodesy::LegKind;
    use crate::route::Waypoint;

    fn check(kind: LegKind, places: &[(f64, f64)]) -> LandCheck {
        let waypoints = places
            .iter()
            .map(|&(latitude_deg, longitude_deg)| Waypoint {
                name: "W".to_owned(),
                position: Position::new(latitude_deg, longitude_deg).unwrap(),
                reached_by: kind,
                stop: None,
            });
        let route = Route::new("Checked", waypoints.collect()).unwrap();
        LandCheck::of(&route, Land::natural_earth())
    }

    /// Crossings that any atlas shows; widths measured on the chart of the outlines are held
    /// against shapely in `tests/route/land.rs`.
    #[test]
    fn land_in_the_way_is_found() {
        for (name, kind, from, to, least_nm, most_nm) in [
            (
                "Madagascar",
                LegKind::Rhumb,
                (-20.0, 52.0),
                (-20.0, 42.0),
                200.0,
                300.0,
            ),
            (
                "Australia",
                LegKind::GreatCircle,
                (-30.0, 112.0),
                (-30.0, 156.0),
                1700.0,
                2000.0,
            ),
            (
                "New Zealand",
                LegKind::Rhumb,
                (-43.5, 165.0),
                (-43.5, 176.0),
                80.0,
                170.0,
            ),
            (
                "Panama",
                LegKind::Rhumb,
                (10.5, -79.7),
                (7.5, -79.7),
                25.0,
                100.0,
            ),
            (
                "Chukotka",
                LegKind::Rhumb,
                (60.0, 180.0),
                (72.0, 180.0),
                200.0,
                300.0,
            ),
            (
                "Antarctica",
                LegKind::GreatCircle,
                (-60.0, 0.0),
                (-60.0, 180.0),
                1000.0,
                2300.0,
            ),
        ] {
            let found = check(kind, &[from, to]);
            let over_nm: f64 = found
                .crossings
                .iter()
                .map(|crossing| crossing.over_nm)
                .sum();
            assert!(
                (least_nm..most_nm).contains(&over_nm),
                "{name}: {over_nm} nm, {found:?}"
            );
        }
    }

    #[test]
    fn open_water_is_clear() {
        for (name, places) in [
            (
                "Cape Horn at 57 S",
                vec![(-50.0, -85.0), (-57.0, -67.0), (-50.0, -50.0)],
            ),
            (
                "Cook Strait",
                vec![
                    (-40.2, 173.5),
                    (-40.9, 174.55),
                    (-41.45, 174.5),
                    (-42.2, 175.5),
                ],
            ),
            (
                "the Pacific",
                vec![(-33.0, 170.5), (-36.0, -120.0), (-33.0, -75.0)],
            ),
            (
                "the Bering Strait",
                vec![(62.0, -175.0), (65.8, -168.6), (68.0, -170.0)],
            ),
            ("over the north pole", vec![(85.0, 0.0), (85.0, 180.0)]),
        ] {
            for kind in [LegKind::Rhumb, LegKind::GreatCircle] {
                assert_eq!(check(kind, &places), LandCheck::default(), "{name}");
            }
        }
    }

    #[test]
    fn a_crossing_says_where_and_how_far() {
        // Along 20 S the outlines' east coast of Madagascar is near 48.8 E.
        let found = check(
            LegKind::Rhumb,
            &[(-20.0, 56.0), (-20.0, 52.0), (-20.0, 42.0)],
        );
        let crossing = &found.crossings[0];
        assert_eq!((found.crossings.len(), crossing.leg), (1, 2));
        approx::assert_abs_diff_eq!(crossing.enters.longitude_deg(), 48.8, epsilon = 0.1);
        approx::assert_abs_diff_eq!(crossing.enters.latitude_deg(), -20.0, epsilon = 1e-9);
        // A degree of longitude at 20 S is 56.4 nm.
        approx::assert_abs_diff_eq!(crossing.enters_nm, 3.2 * 56.4, epsilon = 6.0);
    }

    #[test]
    fn both_ways_along_a_leg_meet_the_same_land() {
        let there = check(LegKind::Rhumb, &[(-34.0, 112.0), (-10.0, 156.0)]);
        let back = check(LegKind::Rhumb, &[(-10.0, 156.0), (-34.0, 112.0)]);
        assert_eq!(there.crossings.len(), back.crossings.len());
        for (a, b) in there.crossings.iter().zip(back.crossings.iter().rev()) {
            approx::assert_abs_diff_eq!(a.over_nm, b.over_nm, epsilon = 1e-3);
        }
    }

    #[test]
    fn land_by_the_ends_is_told_apart() {
        // From 6 nm inland of Durban out to sea, and the other way.
        for places in [
            [(-29.85, 30.9), (-29.85, 40.0)],
            [(-29.85, 40.0), (-29.85, 30.9)],
        ] {
            let found = check(LegKind::Rhumb, &places);
            assert_eq!(found.crossings, []);
            assert!((3.0..10.0).contains(&found.near_ends_nm), "{found:?}");
        }
        // From 60 nm inland the ten miles do not suffice.
        let found = check(LegKind::Rhumb, &[(-29.85, 30.0), (-29.85, 40.0)]);
        approx::assert_abs_diff_eq!(found.near_ends_nm, LandCheck::ENDS_NM, epsilon = 1e-9);
        assert_eq!(found.crossings[0].enters_nm, LandCheck::ENDS_NM);
    }

    #[test]
    fn a_waypoint_on_land_counts_on_both_its_legs() {
        let found = check(
            LegKind::Rhumb,
            &[(-20.0, 52.0), (-20.0, 47.0), (-20.0, 42.0)],
        );
        let legs: Vec<usize> = found
            .crossings
            .iter()
            .map(|crossing| crossing.leg)
            .collect();
        assert_eq!(legs, [1, 2]);
        assert_eq!(found.crossings[1].enters_nm, 0.0);
    }
}
