use super::*;
use crate::boat::{CourseCurrent, CourseWind};
use crate::climate::Wind;
use crate::units::{Course, MS_PER_KN};
use crate::voyage::Voyage;

/// What the table may be out by for the demonstration boat in winds as a climate has them: a
/// spread of 2 m/s or more.
const PROGRESS_TOLERANCE_KN: f64 = 0.03;
/// And in currents across of 1 to 2 kn, beyond those at which the boat was looked at.
const STRONG_TOLERANCE_KN: f64 = 0.4;
const SHARE_TOLERANCE: f64 = 0.006;
/// And in winds that hardly vary, where kinks of the polar show.
const STEADY_TOLERANCE_KN: f64 = 0.12;

fn demo() -> (Boat, PaceTable) {
    let boat = Voyage::demo().unwrap().boat;
    let range = MetRange {
        greatest_mean_kn: 22.0,
        spreads_kn: (1.0, 14.0),
        currents: true,
    };
    let table = PaceTable::new(&boat, &range);
    (boat, table)
}

/// No current.
const STILL: CourseCurrent = CourseCurrent {
    along_kn: 0.0,
    across_kn: 0.0,
};

/// The mean progress by brute force: the boat itself over a fine square of winds.
fn progress_kn(
    boat: &Boat,
    [ahead_kn, port_kn]: [f64; 2],
    spread_kn: f64,
    current: CourseCurrent,
    fuelled: bool,
) -> f64 {
    const HALF: i32 = 100;
    const REACH: f64 = 5.0;
    let (mut sum, mut weights) = (0.0, 0.0);
    for i in -HALF..=HALF {
        for j in -HALF..=HALF {
            let off = |index: i32| REACH * f64::from(index) / f64::from(HALF);
            let (x, y) = (off(i), off(j));
            let weight = (-0.5 * (x * x + y * y)).exp();
            let (ahead_kn, port_kn) = (ahead_kn + spread_kn * x, port_kn + spread_kn * y);
            let wind = CourseWind::from_parts(ahead_kn, port_kn);
            sum += weight * boat.progress(wind, current, fuelled).made_good_kn;
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
        let exact_kn = progress_kn(&boat, [ahead_kn, abeam_kn], spread_kn, STILL, true);
        let got = table.at(
            [ahead_kn as f32, abeam_kn as f32],
            spread_kn as f32,
            [0.0; 2],
        );
        worst_kn = worst_kn.max((f64::from(got[FUELLED]) - exact_kn).abs());
    }
    assert!(worst_kn < PROGRESS_TOLERANCE_KN, "{worst_kn} kn");
}

/// Both with fuel and without, the wind on either side and the current either way.
#[test]
fn a_current_across_is_told_within_the_same_tolerance() {
    let (boat, table) = demo();
    let mut worst = [0.0_f64; 4];
    for [ahead_kn, port_kn, spread_kn] in [
        [0.0, 0.0, 8.3],
        [-13.4, 3.7, 5.2],
        [12.6, -2.5, 7.9],
        [3.3, 15.5, 4.1],
        [-6.5, 6.5, 11.7],
        [-0.5, -0.5, 4.5],
        [-9.5, -9.5, 4.5],
    ] {
        for across_kn in [-2.0, -1.0, -0.5, 0.2, 0.7, 1.0, 1.5] {
            for (figure, fuelled) in [(FUELLED, true), (UNDER_SAIL, false)] {
                let current = CourseCurrent {
                    along_kn: 0.4,
                    across_kn,
                };
                let exact_kn = progress_kn(&boat, [ahead_kn, port_kn], spread_kn, current, fuelled);
                let wind = [ahead_kn as f32, port_kn as f32];
                let got = table.at(wind, spread_kn as f32, [0.4, across_kn as f32]);
                let out_kn = (f64::from(got[figure]) - exact_kn).abs();
                let strong = usize::from(across_kn.abs() > 1.0);
                let at = 2 * strong + figure;
                worst[at] = worst[at].max(out_kn);
            }
        }
    }
    assert!(worst[FUELLED] < PROGRESS_TOLERANCE_KN, "{worst:?}");
    assert!(worst[UNDER_SAIL] < PROGRESS_TOLERANCE_KN, "{worst:?}");
    assert!(worst[2].max(worst[3]) < STRONG_TOLERANCE_KN, "{worst:?}");
}

#[test]
fn a_wind_that_hardly_varies_is_told_less_exactly() {
    let (boat, table) = demo();
    for (ahead_kn, abeam_kn) in [(9.5, 0.5), (-11.5, 4.5), (6.5, -8.5), (-3.5, 0.5)] {
        let exact_kn = progress_kn(&boat, [ahead_kn, abeam_kn], 1.5, STILL, true);
        let got_kn =
            f64::from(table.at([ahead_kn as f32, abeam_kn as f32], 1.5, [0.0; 2])[FUELLED]);
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
        let got = table.at(
            [ahead_kn as f32, abeam_kn as f32],
            spread_kn as f32,
            [0.0; 2],
        );
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
    let all: Vec<Met> = (0..200_i16)
        .map(|index| {
            let index = f32::from(index);
            let (east, north) = (index * 2.399).sin_cos();
            let mean_kn = index * 0.1;
            let current_kn = index % 7.0 * 0.3;
            let (wind, spread_kn) = ([mean_kn * east, mean_kn * north], 1.0 + index % 13.0);
            let current = [current_kn * north, current_kn * east];
            [wind[0], wind[1], spread_kn, 15.0, current[0], current[1]]
        })
        .collect();
    let bound_kn = table.greatest_kn(all.iter().copied());
    let mut greatest_kn = 0.0_f32;
    for [u_kn, v_kn, s_kn, _, set_east_kn, set_north_kn] in all {
        for course in 0..36_u8 {
            let (east, north) = (f32::from(course) * 10.0).to_radians().sin_cos();
            let pace = table.at(
                [-(u_kn * east + v_kn * north), u_kn * north - v_kn * east],
                s_kn,
                [
                    set_east_kn * east + set_north_kn * north,
                    set_north_kn * east - set_east_kn * north,
                ],
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
