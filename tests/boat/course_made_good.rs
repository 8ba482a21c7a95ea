//! What course made good must be for any polar: checked by search over headings and by property.

use offing::boat::{AtSea, CourseMadeGood, Polar, course_made_good_kn};
use proptest::prelude::*;

const SEARCH_TOLERANCE_KN: f64 = 0.01; // the search goes in steps of one degree
const ROUNDING_KN: f64 = 1e-9;
const TABLE_TOLERANCE_KN: f64 = 0.02;
const WINDS_KN: [f64; 3] = [6.0, 14.0, 30.0];
const ANGLES_DEG: [f64; 7] = [40.0, 52.0, 75.0, 90.0, 120.0, 150.0, 180.0];

fn polar(boat_speeds_kn: &[f64]) -> Polar {
    let mut text = String::from("true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n");
    let points = WINDS_KN
        .iter()
        .flat_map(|wind_kn| ANGLES_DEG.iter().map(move |angle_deg| (wind_kn, angle_deg)));
    for ((wind_kn, angle_deg), speed_kn) in points.zip(boat_speeds_kn) {
        text += &format!("{wind_kn},{angle_deg},{speed_kn}\n");
    }
    Polar::parse(&text, "invented").unwrap()
}

fn any_polar() -> impl Strategy<Value = Polar> {
    prop::collection::vec(0.5..12.0_f64, WINDS_KN.len() * ANGLES_DEG.len())
        .prop_map(|speeds_kn| polar(&speeds_kn))
}

/// Progress by the definition: the best share of time between a heading on one side of the course
/// and one on the other, over all pairs of whole degrees.
fn by_search_kn(polar: &Polar, wind_kn: f64, off_deg: f64) -> f64 {
    let velocity = |heading_deg: f64| {
        let speed_kn = polar.speed_kn(wind_kn, heading_deg);
        let from_course = (heading_deg - off_deg).to_radians();
        (speed_kn * from_course.cos(), speed_kn * from_course.sin())
    };
    let velocities: Vec<_> = (0..360).map(|deg| velocity(f64::from(deg))).collect();
    let mut best_kn = velocity(off_deg).0;
    for &(along_kn, right_kn) in velocities.iter().filter(|v| v.1 > 0.0) {
        for &(other_along_kn, left_kn) in velocities.iter().filter(|v| v.1 < 0.0) {
            let share = -left_kn / (right_kn - left_kn);
            best_kn = best_kn.max(share * along_kn + (1.0 - share) * other_along_kn);
        }
    }
    best_kn
}

#[test]
fn in_a_circle_no_course_is_better_than_its_own_heading() {
    let text = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n\
                5,0,4\n5,90,4\n5,180,4\n20,0,4\n20,90,4\n20,180,4\n";
    let circle = Polar::parse(text, "circle").unwrap();
    for off_deg in 0..=180 {
        let exact_kn = course_made_good_kn(&circle, 12.0, f64::from(off_deg));
        assert!(
            (exact_kn - 4.0).abs() < 1e-5,
            "{off_deg} deg: {exact_kn} kn"
        );
    }
}

#[test]
fn between_two_spikes_progress_lies_on_their_chord() {
    // 8 kn close-hauled at 40 deg and dead before the wind, next to nothing elsewhere: the hull
    // is the chord between them, and the course halfway, at 110 deg, is made good at 8 cos 70 deg
    // (plane geometry).
    let mut text = String::from("true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n");
    for wind_kn in [10, 20] {
        for (angle_deg, speed_kn) in [(39, 0), (40, 8), (41, 0), (179, 0), (180, 8)] {
            text += &format!("{wind_kn},{angle_deg},{speed_kn}\n");
        }
    }
    let spikes = Polar::parse(&text, "spikes").unwrap();
    let got_kn = course_made_good_kn(&spikes, 14.0, 110.0);
    let expected_kn = 8.0 * 70_f64.to_radians().cos();
    assert!(
        (got_kn - expected_kn).abs() < 1e-4,
        "{got_kn} kn, expected {expected_kn} kn"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn hull_agrees_with_a_search_of_all_pairs(polar in any_polar(), wind_kn in 0.0..40.0_f64, off_deg in 0.0..=180.0_f64) {
        let exact_kn = course_made_good_kn(&polar, wind_kn, off_deg);
        let searched_kn = by_search_kn(&polar, wind_kn, off_deg);
        prop_assert!(exact_kn > searched_kn - 1e-3, "{exact_kn} under {searched_kn}");
        prop_assert!(exact_kn < searched_kn + SEARCH_TOLERANCE_KN, "{exact_kn} over {searched_kn}");
    }

    #[test]
    fn progress_is_at_least_the_boat_speed_and_at_most_the_largest(polar in any_polar(), wind_kn in 0.0..40.0_f64, off_deg in 0.0..=180.0_f64) {
        let table = CourseMadeGood::new(&polar, &AtSea::NONE);
        let progress_kn = table.progress_kn(wind_kn, off_deg);
        let largest_kn = (0..=1800)
            .map(|i| polar.speed_kn(wind_kn, f64::from(i) / 10.0))
            .fold(0.0, f64::max);
        prop_assert!(progress_kn >= polar.speed_kn(wind_kn, off_deg) - TABLE_TOLERANCE_KN);
        prop_assert!(progress_kn >= 0.0);
        prop_assert!(progress_kn <= largest_kn + TABLE_TOLERANCE_KN);
    }

    #[test]
    fn progress_is_the_same_on_both_sides(polar in any_polar(), wind_kn in 0.0..40.0_f64, off_deg in 0.0..=180.0_f64) {
        let table = CourseMadeGood::new(&polar, &AtSea::NONE);
        prop_assert_eq!(table.progress_kn(wind_kn, off_deg), table.progress_kn(wind_kn, -off_deg));
        let mirrored_kn = course_made_good_kn(&polar, wind_kn, -off_deg);
        prop_assert_eq!(course_made_good_kn(&polar, wind_kn, off_deg), mirrored_kn);
    }

    #[test]
    fn what_can_be_made_good_is_convex(polar in any_polar(), wind_kn in 1.0..40.0_f64, a_deg in 0.0..=180.0_f64, b_deg in 0.0..=180.0_f64) {
        let reach = |deg: f64| {
            let kn = course_made_good_kn(&polar, wind_kn, deg);
            (kn * deg.to_radians().cos(), kn * deg.to_radians().sin())
        };
        let (a, b) = (reach(a_deg), reach(b_deg));
        let (x, y) = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
        let between_kn = course_made_good_kn(&polar, wind_kn, y.atan2(x).to_degrees());
        prop_assert!(between_kn >= x.hypot(y) - ROUNDING_KN);
    }

    #[test]
    fn progress_scales_with_the_polar(polar in any_polar(), factor in 0.3..1.5_f64, wind_kn in 0.0..40.0_f64, off_deg in 0.0..=180.0_f64) {
        let exact_kn = course_made_good_kn(&polar, wind_kn, off_deg);
        let scaled_kn = course_made_good_kn(&polar.scaled(factor), wind_kn, off_deg);
        prop_assert!((scaled_kn - factor * exact_kn).abs() < ROUNDING_KN);
    }

    #[test]
    fn table_keeps_to_its_tolerance_for_any_polar(polar in any_polar(), wind_kn in 0.0..40.0_f64) {
        let table = CourseMadeGood::new(&polar, &AtSea::NONE);
        for off_deg in (0..=36).map(|i| f64::from(i) * 4.97) {
            let error_kn = table.progress_kn(wind_kn, off_deg) - course_made_good_kn(&polar, wind_kn, off_deg);
            prop_assert!(error_kn.abs() < TABLE_TOLERANCE_KN, "{off_deg} deg: {error_kn} kn");
        }
    }
}
