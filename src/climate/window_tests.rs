use proptest::prelude::*;

use super::*;

fn degrees(from: f64, step: f64, count: usize) -> Vec<f64> {
    (0..count).map(|index| from + step * index as f64).collect()
}

#[test]
fn rows_enclose_the_region_in_either_order() {
    let region = Region::between(-35.5, -20.0, 0.0, 10.0);
    let rising = rows(&degrees(-89.0, 2.0, 90), &region).expect("rows");
    let falling = rows(&degrees(89.0, -2.0, 90), &region).expect("rows");
    assert_eq!(rising.axis, falling.axis);
    assert_eq!(
        (rising.axis.first_deg(), rising.axis.span_deg()),
        (-37.0, 18.0)
    );
    assert_eq!(
        falling.runs()[0].0,
        Run {
            start: 54,
            count: 10
        }
    );
    assert_eq!(falling.runs()[0].1, (0..10).rev().collect::<Vec<_>>());
}

#[test]
fn a_region_beyond_the_grid_is_missed() {
    let region = Region::between(40.0, 50.0, 60.0, 70.0);
    assert_eq!(rows(&degrees(-30.0, 1.0, 20), &region), None);
    assert_eq!(columns(&degrees(100.0, 1.0, 20), &region), Ok(None));
}

#[test]
fn a_region_over_the_files_seam_is_two_runs() {
    let window = columns(
        &degrees(1.0, 2.0, 180),
        &Region::between(-60.0, 0.0, 350.0, 10.0),
    )
    .expect("one turn")
    .expect("columns");
    let runs = window.runs();
    assert_eq!(runs[0].0, Run { start: 0, count: 6 });
    assert_eq!(
        runs[1].0,
        Run {
            start: 174,
            count: 6
        }
    );
    assert_eq!(window.axis.span_deg(), 22.0);
}

#[test]
fn a_repeated_last_column_is_left_out() {
    let window = columns(&degrees(0.0, 2.5, 145), &Region::world())
        .expect("one turn")
        .expect("columns");
    assert_eq!((window.axis.len(), window.axis.span_deg()), (144, 360.0));
}

#[test]
fn longitudes_that_turn_back_are_refused() {
    assert_eq!(
        columns(&[0.0, 2.0, 1.0, 3.0], &Region::world()),
        Err(NOT_ONE_TURN)
    );
    assert_eq!(
        columns(&degrees(0.0, 90.0, 6), &Region::world()),
        Err(NOT_ONE_TURN)
    );
}

proptest! {
    /// Whatever way the file counts, every place of the region that the grid covers can be read.
    #[test]
    fn the_window_serves_every_longitude_of_the_region(
        first_deg in -180.0..180.0f64, falls in any::<bool>(), whole in any::<bool>(),
        west_deg in -180.0..180.0f64, span_deg in 0.0..360.0f64, share in 0.0..1.0f64,
    ) {
        let count = if whole { 120 } else { 40 };
        let mut longitudes: Vec<f64> = degrees(first_deg, 3.0, count).into_iter().map(wrap_180_deg).collect();
        if falls {
            longitudes.reverse();
        }
        let region = Region { east_span_deg: span_deg, ..Region::between(0.0, 1.0, west_deg, west_deg) };
        let longitude_deg = west_deg + share * span_deg;
        let on_grid = whole || wrap_360_deg(longitude_deg - first_deg) <= 3.0 * 39.0;
        let window = columns(&longitudes, &region).expect("one turn");
        let found = window.as_ref().and_then(|window| window.axis.around_longitude(longitude_deg));
        prop_assert_eq!(found.is_some() || !on_grid, true, "{:?}", window);
        if let (Some(window), Some(between)) = (window, found) {
            let off_deg = wrap_360_deg(longitude_deg - window.axis.value_deg(between.low));
            prop_assert!(off_deg <= 3.0 + 1e-6 || off_deg > 360.0 - 1e-6);
            // The axis and the file agree on what stands where.
            for (run, places) in window.runs() {
                for (index, place) in (run.start..run.start + run.count).zip(places) {
                    let apart = wrap_180_deg(longitudes[index] - window.axis.value_deg(place));
                    prop_assert!(apart.abs() < 1e-9);
                }
            }
        }
    }
}
