//! What must hold of any crew that waits in harbour for weather.

use std::sync::LazyLock;

use jiff::civil::{Date, date};
use offing::boat::{Boat, ForecastSkill, ForecastWord, WaitForWeather};
use offing::climate::Climate;
use offing::passage::{Ensemble, EnsembleOptions, EnsembleRunner, Waiting};
use offing::route::{Route, Stay, Stop};
use offing::voyage::Voyage;
use proptest::prelude::*;
use serde::Deserialize;

use crate::inputs::assert_made_from_todays_inputs;
use crate::rows::reference_rows;

static DEMO: LazyLock<(Voyage, Climate)> = LazyLock::new(|| {
    let voyage = Voyage::demo().unwrap();
    let climate = voyage.open_climate().unwrap();
    (voyage, climate)
});

/// Five days at most, on forecasts of three days.
fn five_days() -> WaitForWeather {
    WaitForWeather::new(120.0, 72.0).unwrap()
}

fn knowing(word: ForecastWord) -> WaitForWeather {
    five_days().with_skill(ForecastSkill::of(word))
}

fn boat(waiting: Option<WaitForWeather>) -> Boat {
    let boat = &DEMO.0.boat;
    let handling = boat.handling().with_waiting(waiting);
    boat.handled(boat.engine().cloned(), handling).unwrap()
}

fn run(route: &Route, waiting: Option<WaitForWeather>, members: usize, seed: u64) -> Ensemble {
    let options = EnsembleOptions {
        members,
        seed,
        ..EnsembleOptions::default()
    };
    let routes = std::slice::from_ref(route);
    let runner = EnsembleRunner::new(&boat(waiting), routes, &DEMO.1, options);
    runner.run(0, date(2027, 5, 1)).unwrap()
}

fn waited(ensemble: &Ensemble) -> &Waiting {
    ensemble.waiting.as_ref().unwrap()
}

fn saved(route: &Route, wait: WaitForWeather) -> (f64, f64) {
    let ensemble = run(route, Some(wait), 2000, 1);
    let waiting = waited(&ensemble);
    let (days, se) = (waiting.sea_days_saved, waiting.sea_days_saved_se);
    (days.unwrap(), se.unwrap())
}

/// Durban to Fremantle along the drawn direct route, so that what blows from ahead is another wind.
fn back() -> Route {
    let mut waypoints = DEMO.0.routes[1].waypoints().to_vec();
    waypoints.reverse();
    Route::new("Back", waypoints).unwrap()
}

/// Trades with six days at its third waypoint.
fn trades_with_a_stop() -> Route {
    let mut waypoints = DEMO.0.routes[0].waypoints().to_vec();
    waypoints[2].stop = Some(Stop {
        stay: Stay::Hours(144.0),
        ..Stop::default()
    });
    Route::new("Trades", waypoints).unwrap()
}

#[test]
fn not_to_wait_is_to_leave_on_the_day() {
    let route = &DEMO.0.routes[0];
    let none = WaitForWeather::new(0.0, 72.0).unwrap();
    assert_eq!(run(route, Some(none), 200, 1), run(route, None, 200, 1));
}

/// What is said of leaving at once is the ensemble of those who do, to the last bit.
#[test]
fn leaving_at_once_is_the_ensemble_without_waiting() {
    for route in [DEMO.0.routes[0].clone(), trades_with_a_stop()] {
        let (with, without) = (
            run(&route, Some(five_days()), 200, 1),
            run(&route, None, 200, 1),
        );
        let at_once = &waited(&with).at_once;
        assert_eq!(at_once.days, without.days);
        assert_eq!(at_once.chance, without.chance);
        assert_eq!(
            at_once.whole_days,
            without.whole_days.unwrap_or(without.days)
        );
    }
}

/// A crew that asks for nothing leaves at once, and looking at the weather changes none.
#[test]
fn a_crew_content_with_any_weather_does_not_wait() {
    let content = five_days().for_headwind_below(100.0).unwrap();
    let content = content.for_progress_share(0.0).unwrap();
    let (with, without) = (
        run(&DEMO.0.routes[1], Some(content), 200, 1),
        run(&DEMO.0.routes[1], None, 200, 1),
    );
    assert_eq!(with.sorted_days(), without.sorted_days());
    assert_eq!(waited(&with).stages[0].waits, 0.0);
}

#[test]
fn with_perfect_knowledge_of_three_days_waiting_is_not_slower_at_sea() {
    for route in [&DEMO.0.routes[0], &DEMO.0.routes[1], &back()] {
        let (days, se) = saved(route, knowing(ForecastWord::Perfect));
        assert!(days > -2.0 * se, "{}: {days} +- {se}", route.name());
        let ensemble = run(route, Some(knowing(ForecastWord::Perfect)), 2000, 1);
        let stage = &waited(&ensemble).stages[0];
        assert!(stage.first_days.hard_beat_hours < stage.first_days_at_once.hard_beat_hours);
        assert!(stage.first_days.progress_kn > stage.first_days_at_once.progress_kn);
    }
}

/// A member's hours at sea and days waited.
fn sea_hours_and_waits(ensemble: &Ensemble) -> Vec<(f64, usize)> {
    let members = ensemble.each_member().iter().zip(ensemble.each_stage());
    let members = members.map(|(member, stage)| {
        let waited_days = stage.begins_hours.unwrap() / 24.0;
        (member.hours.unwrap(), waited_days.round() as usize)
    });
    members.collect()
}

/// What knowing the weather saves, mean days at sea with their standard error: beside crews that wait as
/// many days, but whatever comes. The season moves on for both.
fn saved_by_knowing(route: &Route, word: ForecastWord) -> (f64, f64) {
    const MEMBERS: usize = 2000;
    // No forecast is good enough, so that all leave when the wait is over.
    let after_days = |days: usize| {
        let wait = WaitForWeather::new(24.0 * days as f64, 72.0).unwrap();
        let wait = wait.for_headwind_below(5.0).unwrap();
        let ensemble = run(
            route,
            Some(wait.for_progress_share(2.0).unwrap()),
            MEMBERS,
            1,
        );
        assert_eq!(waited(&ensemble).stages[0].gave_up, 1.0);
        sea_hours_and_waits(&ensemble)
    };
    let without = run(route, None, MEMBERS, 1);
    let leaving_at_once = without.each_member().iter();
    let mut by_days: Vec<Vec<f64>> = vec![
        leaving_at_once
            .map(|member| member.hours.unwrap())
            .collect(),
    ];
    by_days.extend((1..=5).map(|days| {
        let members = after_days(days).into_iter();
        members.map(|(hours, _)| hours).collect()
    }));
    let crew = sea_hours_and_waits(&run(route, Some(knowing(word)), MEMBERS, 1));
    let mut shares = [0.0; 6];
    for (number, (hours, waited_days)) in crew.iter().enumerate() {
        shares[*waited_days] += 1.0 / MEMBERS as f64;
        // Who waits so long meets what all meet who do.
        assert_eq!(*hours, by_days[*waited_days][number]);
    }
    let gains = crew.iter().enumerate().map(|(number, (hours, _))| {
        let whatever_comes = shares.iter().zip(&by_days);
        let whatever_comes: f64 = whatever_comes
            .map(|(share, hours)| share * hours[number])
            .sum();
        (whatever_comes - hours) / 24.0
    });
    let gains: Vec<f64> = gains.collect();
    let count = MEMBERS as f64;
    let mean = gains.iter().sum::<f64>() / count;
    let variance = gains.iter().map(|gain| (gain - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (mean, (variance / count).sqrt())
}

#[test]
fn a_forecast_that_knows_nothing_changes_nothing_at_sea() {
    for route in [&DEMO.0.routes[0], &back()] {
        let (days, se) = saved_by_knowing(route, ForecastWord::None);
        assert!(days.abs() < 3.0 * se, "{}: {days} +- {se}", route.name());
        let (knowing, se) = saved_by_knowing(route, ForecastWord::Perfect);
        assert!(
            knowing > days + 3.0 * se,
            "{}: {knowing} +- {se}",
            route.name()
        );
    }
}

#[test]
fn more_skill_saves_more() {
    let route = &DEMO.0.routes[1];
    let words = [
        ForecastWord::None,
        ForecastWord::Usual,
        ForecastWord::Perfect,
    ];
    let progress = words.map(|word| {
        let ensemble = run(route, Some(knowing(word)), 4000, 1);
        waited(&ensemble).stages[0].first_days.progress_kn
    });
    assert!(
        progress[0] < progress[1] && progress[1] < progress[2],
        "{progress:?}"
    );
}

/// Days in harbour are whole days from departure less those at sea, and a crew that waits is later by them.
#[test]
fn days_waited_count_in_the_calendar_and_not_at_sea() {
    let ensemble = run(&DEMO.0.routes[0], Some(five_days()), 500, 1);
    let members = ensemble.each_member().iter().zip(ensemble.arrival_hours());
    let mut waited_days = 0.0;
    for (member, arrival_hours) in members {
        let days = (arrival_hours - member.hours.unwrap()) / 24.0;
        approx::assert_abs_diff_eq!(days, days.round(), epsilon = 1e-9);
        assert!((-1e-9..=5.0 + 1e-9).contains(&days), "{days}");
        waited_days += days / 500.0;
    }
    let stage = &waited(&ensemble).stages[0];
    approx::assert_abs_diff_eq!(stage.waited_days_mean, waited_days, epsilon = 1e-9);
    assert!(stage.waits > 0.0 && stage.gave_up < stage.waits);
    assert!(ensemble.stages.is_empty());
}

/// At a stop the crew waits when it has stayed as long as it meant to.
#[test]
fn each_stage_is_waited_for() {
    let ensemble = run(&trades_with_a_stop(), Some(five_days()), 500, 1);
    let waiting = waited(&ensemble);
    assert_eq!(waiting.stages.len(), 2);
    let in_harbour = ensemble.stages[0].in_harbour_days.unwrap();
    let longest = waiting.stages[1].waited_days_p90;
    approx::assert_abs_diff_eq!(in_harbour.p90, 6.0 + longest, epsilon = 1e-6);
    let departs = ensemble.each_stage().chunks(2);
    for stages in departs {
        let [first, second] = stages else { panic!() };
        let begins_hours = first.begins_hours.unwrap();
        assert!(begins_hours <= 120.0 && begins_hours % 24.0 == 0.0);
        let (Some(hours), Some(leaves)) = (first.hours, second.begins_hours) else {
            continue;
        };
        let stayed_hours = leaves - begins_hours - hours;
        assert!(
            (144.0 - 1e-6..=264.0 + 1e-6).contains(&stayed_hours),
            "{stayed_hours}"
        );
    }
}

/// The forecast's errors and the means over the members hang on no thread.
#[test]
fn it_is_the_same_on_one_thread_and_on_three() {
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let run = || run(&trades_with_a_stop(), Some(five_days()), 200, 4);
        pool.unwrap().install(run)
    };
    assert_eq!(on(1), on(3));
}

/// Tanks decide nothing before she leaves, so that more fuel slows no one down by a longer wait.
#[test]
fn tanks_change_no_wait() {
    let route = &DEMO.0.routes[0];
    let with = |litres: f64| {
        let boat = boat(Some(five_days()));
        let engine = boat.engine().unwrap();
        let (speed_kn, rate) = (engine.motor_speed_kn(), engine.litres_per_hour());
        let engine = offing::boat::Engine::new(speed_kn, rate, litres).unwrap();
        let boat = boat.handled(Some(engine), *boat.handling()).unwrap();
        let options = EnsembleOptions {
            members: 200,
            ..EnsembleOptions::default()
        };
        let routes = std::slice::from_ref(route);
        let runner = EnsembleRunner::new(&boat, routes, &DEMO.1, options);
        let ensemble = runner.run(0, date(2027, 5, 1)).unwrap();
        let stages = ensemble.each_stage().iter();
        stages.map(|stage| stage.begins_hours).collect::<Vec<_>>()
    };
    assert_eq!(with(0.0), with(2000.0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn no_one_waits_longer_than_she_will(
        wait_hours in 24.0..720.0_f64,
        forecast_hours in 24.0..240.0_f64,
        headwind_kn in 5.0..100.0_f64,
        share in 0.0..2.0_f64,
        skill in 0.0..0.5_f64,
        with_stop in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let wait = WaitForWeather::new(wait_hours, forecast_hours).unwrap();
        let wait = wait.for_headwind_below(headwind_kn).unwrap();
        let wait = wait.for_progress_share(share).unwrap();
        let wait = wait.with_skill(ForecastSkill::by_day(&[skill; 10]).unwrap());
        let route = if with_stop { trades_with_a_stop() } else { DEMO.0.routes[0].clone() };
        let ensemble = run(&route, Some(wait), 24, seed);
        for stage in &waited(&ensemble).stages {
            prop_assert!(stage.waited_days_p90 * 24.0 <= wait_hours);
            prop_assert!(stage.waited_days_mean * 24.0 <= wait_hours);
            for chance in [stage.waits, stage.gave_up, stage.first_days.gale_6h] {
                prop_assert!((0.0..=1.0).contains(&chance));
            }
            prop_assert!(stage.first_days.progress_kn.is_finite());
        }
        for stages in ensemble.each_stage().chunks(if with_stop { 2 } else { 1 }) {
            prop_assert!(stages[0].begins_hours.unwrap() <= wait_hours);
        }
    }
}

#[derive(Deserialize)]
struct Row {
    route: String,
    most_days: f64,
    forecast_days: f64,
    headwind_kn: f64,
    progress_share: f64,
    departure: Date,
    members: f64,
    usual_kn: f64,
    waited_mean_days: f64,
    waits: f64,
    gave_up: f64,
    first_kn: f64,
    first_at_once_kn: f64,
    gale: f64,
    gale_at_once: f64,
    hard_beat_h: f64,
    hard_beat_at_once_h: f64,
    sea_days_mean: f64,
    sea_days_at_once_mean: f64,
}

/// An independent calculation in Python (scripts/reference/waiting.py), written from the definitions.
#[test]
fn voyages_that_wait_agree_with_numpys() {
    /// Agreement asked for in speeds, hours and days, as shares of them.
    const SPEEDS: f64 = 0.015;
    const HOURS: f64 = 0.06;
    const DAYS: f64 = 0.005;
    /// In how much longer a passage is at sea if she leaves at once: the rows draw the later weather of the
    /// two apart.
    const SAVED_DAYS: f64 = 0.15;
    const MEMBERS: usize = 20_000;
    assert_made_from_todays_inputs("passage/waiting.csv");
    let rows: Vec<Row> = reference_rows("passage/waiting.csv");
    assert_eq!(rows.len(), 2);
    for row in rows {
        let near = |what: &str, got: f64, expected: f64, allowed: f64| {
            let off = (got - expected).abs();
            assert!(
                off <= allowed,
                "{} {what}: {got}, NumPy {expected}",
                row.route
            );
        };
        let wait = WaitForWeather::new(24.0 * row.most_days, 24.0 * row.forecast_days).unwrap();
        let wait = wait.for_headwind_below(row.headwind_kn).unwrap();
        let wait = wait.for_progress_share(row.progress_share).unwrap();
        let mut routes = DEMO.0.routes.iter();
        let route = routes.find(|route| route.name() == row.route).unwrap();
        assert_eq!(row.departure, date(2027, 5, 1));
        let ensemble = run(route, Some(wait), MEMBERS, 1);
        let waiting = waited(&ensemble);
        let stage = &waiting.stages[0];
        let [first, at_once] = [stage.first_days, stage.first_days_at_once];
        // The usual progress is that of 500 members.
        near(
            "usual progress",
            stage.usual_progress_kn,
            row.usual_kn,
            0.15,
        );
        for (what, got, expected) in [
            ("first progress", first.progress_kn, row.first_kn),
            (
                "progress at once",
                at_once.progress_kn,
                row.first_at_once_kn,
            ),
        ] {
            near(what, got, expected, SPEEDS * expected);
        }
        // Four standard errors of the difference of two shares, and what the tables' squares move.
        let shares = 1.0 / row.members + 1.0 / MEMBERS as f64;
        for (what, got, expected) in [
            ("waits", stage.waits, row.waits),
            ("gave up", stage.gave_up, row.gave_up),
            ("gale", first.gale_6h, row.gale),
            ("gale at once", at_once.gale_6h, row.gale_at_once),
        ] {
            let error = (expected * (1.0 - expected) * shares).sqrt();
            near(what, got, expected, 4.0 * error + 0.02 * expected);
        }
        near(
            "days waited",
            stage.waited_days_mean,
            row.waited_mean_days,
            0.04,
        );
        for (what, got, expected) in [
            ("hard beat", first.hard_beat_hours, row.hard_beat_h),
            (
                "hard beat at once",
                at_once.hard_beat_hours,
                row.hard_beat_at_once_h,
            ),
        ] {
            near(what, got, expected, HOURS * expected + 0.05);
        }
        for (what, got, expected) in [
            ("days", ensemble.days.mean, row.sea_days_mean),
            (
                "days at once",
                waiting.at_once.days.mean,
                row.sea_days_at_once_mean,
            ),
        ] {
            near(what, got.unwrap(), expected, DAYS * expected);
        }
        let saved = row.sea_days_at_once_mean - row.sea_days_mean;
        near(
            "days saved",
            waiting.sea_days_saved.unwrap(),
            saved,
            SAVED_DAYS,
        );
    }
}
