//! Where the spread of days comes from, in the model and in the passages made.
//!
//! Variance of log days, the mean over passages; the model's by switching its parts off one at a time
//! (the uncertain factor at 0, then the slow part of the wind too):
//!
//! | part | model | passages made |
//! |---|---|---|
//! | weather, fast part | 0.0061 | |
//! | weather, slow part | 0.0037 | |
//! | weather | 0.0098 | 0.010 (+-0.002), what ships share that left together |
//! | boat | 0.0117 | 0.008: 0.004 one ship against another, 0.004 the rest |
//! | all | 0.0214 | 0.018; 0.016 about the medians predicted |
//!
//! The passages' own figures were computed for this project from pairs of passages of the same logs
//! (Dutch ships, 1826 to 1854). The weather is right; the boat's uncertainty is somewhat large for ships
//! of one fleet on tracks known afterwards, which is why a little more than 80 % lie inside P10 to P90.

use offing::passage::EnsembleOptions;

use crate::fleet::{Held, Made, climate, hold, members, passages};

/// Members for a variance: known to 7 % (standard error) for a passage, far better for them all.
const MEMBERS: usize = 400;
/// One passage in so many is enough.
const ONE_IN: usize = 4;

/// The variance of a passage's log days among its members, the mean over passages.
fn variance(held: &[Held]) -> f64 {
    let of_one = |held: &Held| {
        let days = held.ensemble.sorted_days();
        let mean = days.iter().map(|days| days.ln()).sum::<f64>() / days.len() as f64;
        let squares = days.iter().map(|days| (days.ln() - mean).powi(2));
        squares.sum::<f64>() / (days.len() - 1) as f64
    };
    held.iter().map(of_one).sum::<f64>() / held.len() as f64
}

/// What ships share that left together, and how well that is known (see above).
const SHARED_WEATHER: f64 = 0.010;
const SHARED_WEATHER_ERROR: f64 = 0.002;
/// The variance between passages of one route.
const BETWEEN_PASSAGES: f64 = 0.018;
/// The model's may be larger by so much for the boats that are not of one fleet.
const OTHER_BOATS: f64 = 0.006;

#[test]
fn the_weather_shared_by_ships_is_as_large_in_the_model() {
    let fleet = passages(|made| made.is_of_the_fleet());
    let some: Vec<Made> = fleet.into_iter().step_by(ONE_IN).collect();
    let climate = climate(true);
    let run = |slow_scale: f64, uncertainty: Option<f64>| {
        let options = EnsembleOptions {
            slow_scale,
            ..members(MEMBERS)
        };
        hold(&some, &climate, options, uncertainty)
    };
    let fast = variance(&run(0.0, Some(0.0)));
    let weather = variance(&run(1.0, Some(0.0)));
    let all = variance(&run(1.0, None));
    println!("fast {fast:.4}, weather {weather:.4}, all {all:.4}");
    assert!(fast < weather, "fast {fast}, weather {weather}");
    assert!(
        (weather - SHARED_WEATHER).abs() <= SHARED_WEATHER_ERROR,
        "{weather}"
    );
    assert!(
        (BETWEEN_PASSAGES..BETWEEN_PASSAGES + OTHER_BOATS).contains(&all),
        "{all}"
    );
}
