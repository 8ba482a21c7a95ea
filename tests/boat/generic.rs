//! The polar made from a boat's dimensions: what must hold whatever they are.

use offing::boat::{GenericBoat, Keel, Polar, Rig, hull_speed_kn};
use proptest::prelude::*;

const FASTEST_OVER_HULL_SPEED: f64 = 1.1;
const SEARCH_TOLERANCE_KN: f64 = 1e-4;

fn cruiser() -> GenericBoat {
    GenericBoat {
        waterline_length_m: 10.2,
        displacement_kg: 11_000.0,
        sail_area_m2: 80.0,
        rig: Rig::Sloop,
        keel: Keel::Fin,
    }
}

fn any_boat() -> impl Strategy<Value = GenericBoat> {
    let rigs = prop::sample::select(vec![Rig::Sloop, Rig::Cutter, Rig::Ketch, Rig::Gaff]);
    let keels = prop::sample::select(vec![Keel::Fin, Keel::FinAndSkeg, Keel::Long]);
    // Displacement and sail area from their ratios, so that the boats are possible ones.
    (6.0..20.0_f64, 4.0..9.0_f64, 12.0..20.0_f64, rigs, keels).prop_map(
        |(waterline_length_m, kg_per_m3, ratio, rig, keel)| {
            let displacement_kg = kg_per_m3 * waterline_length_m.powi(3);
            GenericBoat {
                waterline_length_m,
                displacement_kg,
                sail_area_m2: ratio * (displacement_kg / 1025.0).powf(2.0 / 3.0),
                rig,
                keel,
            }
        },
    )
}

/// Asserts that no point of `faster` is under the same point of `slower`.
fn assert_never_slower(faster: &Polar, slower: &Polar) -> Result<(), TestCaseError> {
    for &wind_kn in faster.true_wind_speeds_kn() {
        for &angle_deg in faster.true_wind_angles_deg() {
            let (fast, slow) = (
                faster.speed_kn(wind_kn, angle_deg),
                slower.speed_kn(wind_kn, angle_deg),
            );
            prop_assert!(
                fast >= slow - SEARCH_TOLERANCE_KN,
                "{wind_kn} kn, {angle_deg} deg: {fast} kn under {slow} kn"
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn never_above_the_stated_multiple_of_hull_speed_and_0_in_a_calm(boat in any_boat()) {
        let polar = boat.polar().unwrap();
        let limit_kn = FASTEST_OVER_HULL_SPEED * hull_speed_kn(boat.waterline_length_m);
        for &angle_deg in polar.true_wind_angles_deg() {
            prop_assert_eq!(polar.speed_kn(0.0, angle_deg), 0.0);
            for &wind_kn in polar.true_wind_speeds_kn() {
                let speed_kn = polar.speed_kn(wind_kn, angle_deg);
                prop_assert!((0.0..=limit_kn).contains(&speed_kn));
            }
        }
    }

    #[test]
    fn more_sail_is_never_slower(boat in any_boat(), factor in 1.0..1.3_f64) {
        let more = GenericBoat { sail_area_m2: boat.sail_area_m2 * factor, ..boat };
        assert_never_slower(&more.polar().unwrap(), &boat.polar().unwrap())?;
    }

    #[test]
    fn heavier_is_never_faster(boat in any_boat(), factor in 1.0..1.3_f64) {
        let heavier = GenericBoat { displacement_kg: boat.displacement_kg * factor, ..boat };
        assert_never_slower(&boat.polar().unwrap(), &heavier.polar().unwrap())?;
    }

    #[test]
    fn long_keel_is_never_faster_than_a_fin(boat in any_boat()) {
        let fin = GenericBoat { keel: Keel::Fin, ..boat }.polar().unwrap();
        let long = GenericBoat { keel: Keel::Long, ..boat }.polar().unwrap();
        assert_never_slower(&fin, &long)?;
    }

    #[test]
    fn any_boat_makes_way_up_and_down_the_wind(boat in any_boat()) {
        let polar = boat.polar().unwrap();
        for wind_kn in [8.0, 12.0, 16.0, 20.0] {
            let up = polar.best_upwind(wind_kn).unwrap();
            prop_assert!((35.0..=65.0).contains(&up.true_wind_angle_deg), "{up:?}");
            let down = polar.best_downwind(wind_kn).unwrap();
            // In light air a light, easily driven hull without a spinnaker may beat faster.
            prop_assert!(wind_kn < 16.0 || up.made_good_kn < down.made_good_kn, "{up:?} {down:?}");
        }
    }
}

#[test]
fn cruiser_goes_as_a_cruiser_does() {
    // Common practice, no source: bands for a moderate 12 m cruiser in smooth water.
    let polar = cruiser().polar().unwrap();
    let bands = [
        (6.0, 90.0, 3.5, 4.8),
        (10.0, 45.0, 4.3, 5.7),
        (12.0, 90.0, 6.0, 7.2),
        (12.0, 180.0, 4.2, 5.6),
        (20.0, 135.0, 6.5, 7.8),
    ];
    for (wind_kn, angle_deg, low_kn, high_kn) in bands {
        let speed_kn = polar.speed_kn(wind_kn, angle_deg);
        let band = low_kn..high_kn;
        assert!(
            band.contains(&speed_kn),
            "{wind_kn} kn, {angle_deg} deg: {speed_kn} kn"
        );
    }
    assert_eq!(polar.speed_kn(12.0, 30.0), 0.0);
}

#[test]
fn ratios_are_those_of_the_textbook() {
    // 11 t is 10.827 long tons and 10.732 m3; 10.2 m is 33.465 ft. Worked by hand.
    assert!((cruiser().displacement_length_ratio() - 288.9).abs() < 0.1);
    assert!((cruiser().sail_area_displacement_ratio() - 16.44).abs() < 0.01);
}

#[test]
fn impossible_boats_are_refused_by_name() {
    let message = |boat: GenericBoat| boat.polar().unwrap_err().to_string();
    let boat = cruiser();
    assert_eq!(
        message(GenericBoat {
            waterline_length_m: 33.5,
            ..boat
        }),
        "waterline length is 33.5 m; allowed: 5 to 30 m"
    );
    assert_eq!(
        message(GenericBoat {
            displacement_kg: f64::NAN,
            ..boat
        }),
        "displacement is NaN kg; allowed: 800 to 150000 kg"
    );
    assert_eq!(
        message(GenericBoat {
            sail_area_m2: -80.0,
            ..boat
        }),
        "sail area is -80 m2; allowed: 10 to 700 m2"
    );
    // Square feet for square metres.
    let feet = message(GenericBoat {
        sail_area_m2: 690.0,
        ..boat
    });
    assert!(
        feet.starts_with("sail area over displaced volume to the two thirds is 141"),
        "{feet}"
    );
    // Pounds for kilograms.
    let pounds = message(GenericBoat {
        displacement_kg: 24_250.0,
        sail_area_m2: 80.0,
        ..boat
    });
    assert!(pounds.ends_with("allowed: 60 to 600"), "{pounds}");
}
