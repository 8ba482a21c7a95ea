use super::*;
use crate::climate::Wind;
use crate::units::{Course, MS_PER_KN};
use crate::voyage::Voyage;

/// What the table may be out by for the demonstration boat in winds as a climate has them: a
/// spread of 2 m/s or more.
const PROGRESS_TOLERANCE_KN: f64 = 0.03;
const SHARE_TOLERANCE: f64 = 0.006;
/// And in winds that hardly vary, where kinks of the polar show.
const STEADY_TOLERANCE_KN: f64 = 0.12;

fn demo() -> (Boat, PaceTable) {
    let boat = Voyage::demo().unwrap().boat;
    let range = WindRange {
        greatest_mean_kn: 22.0,
        spreads_kn: (1.0, 14.0),
    };
    let table = PaceTable::new(&boat, &range);
    (boat, table)
}

/// The mean progress by brute force: the boat itself over a fine square of winds.
fn progress_kn(boat: &Boat, ahead_kn: f64, abeam_kn: f64, spread_kn: f64) -> f64 {
    const HALF: i32 = 100;
    const REACH: f64 = 5.0;
    let (mut sum, mut weights) = (0.0, 0.0);
    for i in -HALF..=HALF {
        for j in -HALF..=HALF {
            let off = |index: i32| REACH * f64::from(index) / f64::from(HALF);
            let (x, y) = (off(i), off(j));
            let weight = (-0.5 * (x * x + y * y)).exp();
            let (ahead_kn, abeam_kn) = (ahead_kn + spread_kn * x, abeam_kn + spread_kn * y);
            let off_deg = abeam_kn.abs().atan2(ahead_kn).to_degrees();
            let progress = boat.progress(ahead_kn.hypot(abeam_kn), off_deg);
            sum += weight * progress.made_good_kn();
            weights += weight;
        }
    }
    sum / weights
}

#[test]
fn progress_is_the_mean_over_the_gaussian_wind() {
    let (boat, table) = demo();
    let mut worst_kn = 0.0_f64;
    for (ahead_kn, abeam_kn, spread_kn) in [
        (0.0, 0.0, 8.3),
        (-13.4, 3.7, 5.2),
        (12.6, -2.5, 7.9),
        (3.3, 15.5, 4.1),
        (-6.5, 6.5, 11.7),
        (17.4, 9.6, 9.5),
        (-0.5, 0.5, 4.5),
    ] {
        let exact_kn = progress_kn(&boat, ahead_kn, abeam_kn, spread_kn);
        let got = table.at(ahead_kn as f32, abeam_kn as f32, spread_kn as f32);
        worst_kn = worst_kn.max((f64::from(got[FUELLED]) - exact_kn).abs());
    }
    assert!(worst_kn < PROGRESS_TOLERANCE_KN, "{worst_kn} kn");
}

#[test]
fn a_wind_that_hardly_varies_is_told_less_exactly() {
    let (boat, table) = demo();
    for (ahead_kn, abeam_kn) in [(9.5, 0.5), (-11.5, 4.5), (6.5, -8.5), (-3.5, 0.5)] {
        let exact_kn = progress_kn(&boat, ahead_kn, abeam_kn, 1.5);
        let got_kn = f64::from(table.at(ahead_kn as f32, abeam_kn as f32, 1.5)[FUELLED]);
        let out_kn = (got_kn - exact_kn).abs();
        assert!(
            out_kn < STEADY_TOLERANCE_KN,
            "{out_kn} kn at {ahead_kn}, {abeam_kn}"
        );
    }
}

/// Against the shares integrated by quadrature, which scipy checks in `climate`.
#[test]
fn hardships_are_shares_of_time() {
    let (_, table) = demo();
    let north = Course::from_deg(0.0);
    for (ahead_kn, abeam_kn, spread_kn) in [
        (-13.4, 3.7, 5.2),
        (12.6, -2.5, 7.9),
        (3.3, 15.5, 4.1),
        (0.0, 1.0, 11.5),
    ] {
        // On a course of north a wind from ahead blows toward the south.
        let wind = Wind {
            u_ms: abeam_kn * MS_PER_KN,
            v_ms: -ahead_kn * MS_PER_KN,
            s_ms: spread_kn * MS_PER_KN,
        };
        let met = crate::passage::Exposure::of_wind(&wind, north);
        let got = table.at(ahead_kn as f32, abeam_kn as f32, spread_kn as f32);
        for hardship in Hardship::ALL {
            if hardship != Hardship::Engine {
                let out = (f64::from(got[hardship.figure()]) - hardship.share(&met)).abs();
                assert!(out < SHARE_TOLERANCE, "{hardship}: {out}");
            }
        }
    }
}

#[test]
fn the_bound_is_above_every_look_up() {
    let (_, table) = demo();
    let winds: Vec<SeaWind> = (0..200_i16)
        .map(|index| {
            let index = f32::from(index);
            let (east, north) = (index * 2.399).sin_cos();
            let mean_kn = index * 0.1;
            [mean_kn * east, mean_kn * north, 1.0 + index % 13.0, 15.0]
        })
        .collect();
    let bound_kn = table.greatest_kn(winds.iter().copied());
    let mut greatest_kn = 0.0_f32;
    for [u_kn, v_kn, s_kn, _] in winds {
        for course in 0..36_u8 {
            let (east, north) = (f32::from(course) * 10.0).to_radians().sin_cos();
            let pace = table.at(
                -(u_kn * east + v_kn * north),
                u_kn * north - v_kn * east,
                s_kn,
            );
            greatest_kn = greatest_kn.max(pace[FUELLED]).max(pace[UNDER_SAIL]);
        }
    }
    assert!(f64::from(greatest_kn) <= bound_kn);
    assert!(
        bound_kn < f64::from(greatest_kn) + 1.5,
        "{bound_kn} and {greatest_kn}"
    );
}
