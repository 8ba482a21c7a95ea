//! Exported points: how far any plotter's line between them lies from the leg, looked at densely.

use offing::geodesy::{LegKind, LegTrack, Position};
use offing::route::{MOST_ASTRAY_NM, plotted};
use offing::units::wrap_180_deg;
use proptest::prelude::*;

/// Points looked at on each drawn line between two exported points.
const LOOKS: u32 = 12;

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

fn gap_nm(a: Position, b: Position) -> f64 {
    LegTrack::new(a, b, LegKind::GreatCircle).map_or(0.0, |gap| gap.length_nm())
}

/// How far a place is from a leg: by golden-section search along the leg near `guess_nm`.
fn off_leg_nm(leg: &LegTrack, place: Position, guess_nm: f64, width_nm: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let off = |nm: f64| gap_nm(leg.at_nm(nm).unwrap().position, place);
    let mut low_nm = (guess_nm - width_nm).max(0.0);
    let mut high_nm = (guess_nm + width_nm).min(leg.length_nm());
    for _ in 0..20 {
        let (a, b) = (
            high_nm - GOLDEN * (high_nm - low_nm),
            low_nm + GOLDEN * (high_nm - low_nm),
        );
        if off(a) < off(b) {
            high_nm = b
        } else {
            low_nm = a
        }
    }
    off((low_nm + high_nm) / 2.0)
}

/// The farthest that a rhumb line, a great circle or a line straight in degrees, drawn between the
/// exported points, lies from the leg.
fn most_astray_nm(leg: &LegTrack) -> f64 {
    let points = plotted(leg);
    assert_eq!((points[0], *points.last().unwrap()), (leg.from(), leg.to()));
    let mut run_nm = 0.0;
    let mut most_nm = 0f64;
    for ends in points.windows(2) {
        let (a, b) = (ends[0], ends[1]);
        let long_nm = gap_nm(a, b);
        let easting_deg = wrap_180_deg(b.longitude_deg() - a.longitude_deg());
        let lines = [LegKind::Rhumb, LegKind::GreatCircle].map(|kind| LegTrack::new(a, b, kind));
        for look in 1..LOOKS {
            let share = f64::from(look) / f64::from(LOOKS);
            let mut drawn: Vec<Position> = lines
                .iter()
                .flatten()
                .map(|line| line.at_nm(share * line.length_nm()).unwrap().position)
                .collect();
            drawn.push(at(
                a.latitude_deg() + share * (b.latitude_deg() - a.latitude_deg()),
                a.longitude_deg() + share * easting_deg,
            ));
            for place in drawn {
                let guess_nm = run_nm + share * long_nm;
                most_nm = most_nm.max(off_leg_nm(leg, place, guess_nm, 0.2 * long_nm + 1.0));
            }
        }
        run_nm += long_nm;
    }
    most_nm
}

#[test]
fn known_legs_stay_within_the_promise() {
    for (name, kind, a, b) in [
        (
            "Fremantle to Durban",
            LegKind::GreatCircle,
            at(-32.05, 115.67),
            at(-29.87, 31.1),
        ),
        (
            "the same on the rhumb line",
            LegKind::Rhumb,
            at(-32.05, 115.67),
            at(-29.87, 31.1),
        ),
        (
            "a bow and an S together",
            LegKind::GreatCircle,
            at(42.53063888635983, 0.0),
            at(-7.925627070620427, 18.65418184133031),
        ),
        (
            "across the equator",
            LegKind::GreatCircle,
            at(-35.0, -20.0),
            at(40.0, -60.0),
        ),
        (
            "an S about the equator",
            LegKind::GreatCircle,
            at(-30.0, 0.0),
            at(30.0, 60.0),
        ),
        (
            "over the antimeridian",
            LegKind::GreatCircle,
            at(35.0, 140.0),
            at(37.8, -122.7),
        ),
        (
            "by the pole",
            LegKind::GreatCircle,
            at(70.0, 0.0),
            at(70.0, 178.0),
        ),
        (
            "a long steady course",
            LegKind::Rhumb,
            at(-55.0, 0.0),
            at(10.0, 100.0),
        ),
        (
            "along a limit",
            LegKind::Composite {
                limit_latitude_deg: -50.0,
            },
            at(-45.0, 20.0),
            at(-45.0, 140.0),
        ),
    ] {
        let leg = LegTrack::new(a, b, kind).unwrap();
        let astray_nm = most_astray_nm(&leg);
        println!("{name}: {} points, {astray_nm:.4} nm", plotted(&leg).len());
        assert!(astray_nm < MOST_ASTRAY_NM, "{name}: {astray_nm} nm");
    }
}

#[test]
fn along_the_equator_and_a_meridian_two_points_will_do() {
    for (a, b) in [
        (at(0.0, 10.0), at(0.0, 50.0)),
        (at(-20.0, 5.0), at(40.0, 5.0)),
    ] {
        let leg = LegTrack::new(a, b, LegKind::GreatCircle).unwrap();
        assert_eq!(plotted(&leg), [a, b]);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]
    #[test]
    fn any_leg_stays_within_the_promise(
        (latitude_a, longitude_a) in (-65.0f64..70.0, -180.0f64..180.0),
        (latitude_b, easting_deg) in (-65.0f64..70.0, -80.0f64..80.0),
        great_circle in any::<bool>(),
    ) {
        let kind = if great_circle { LegKind::GreatCircle } else { LegKind::Rhumb };
        let end = at(latitude_b, wrap_180_deg(longitude_a + easting_deg));
        if let Ok(leg) = LegTrack::new(at(latitude_a, longitude_a), end, kind) {
            let astray_nm = most_astray_nm(&leg);
            prop_assert!(astray_nm < MOST_ASTRAY_NM, "{astray_nm} nm");
        }
    }
}
