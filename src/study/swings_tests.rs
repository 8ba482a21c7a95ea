//! Swings and the verdict they lead to.

use std::sync::LazyLock;

use super::*;
use crate::boat::AtSea;
use crate::climate::{Current, Currents};
use crate::study::verdict::Verdict;
use crate::study::{self, Comparison, Options};

static DEMO: LazyLock<Voyage> = LazyLock::new(|| Voyage::demo().unwrap());
static WINDS: LazyLock<Climate> = LazyLock::new(|| DEMO.open_climate().unwrap());

fn options(members: usize) -> EnsembleOptions {
    EnsembleOptions {
        members,
        ..EnsembleOptions::default()
    }
}

fn compared(members: usize) -> Comparison {
    let options = Options::default().with_ensemble(options(members));
    study::compare(&DEMO, &WINDS, &options).unwrap()
}

/// The comparison's routes with these medians.
fn with_medians(comparison: &Comparison, medians: [f64; 2]) -> Vec<RouteResult> {
    let mut routes = comparison.routes.clone();
    for (route, days) in routes.iter_mut().zip(medians) {
        route.ensemble.days.p50 = Some(days);
    }
    routes
}

fn swing(routes: &[RouteResult], first_faster_by_days: Option<f64>) -> Swing {
    Swing {
        assumption: Assumption::WindsWeaker,
        label: "winds 10 % weaker".to_owned(),
        routes: routes
            .iter()
            .map(|route| SwungRoute {
                name: route.name.clone(),
                p50: first_faster_by_days.and(Some(40.0)),
                p90: None,
            })
            .collect(),
        first_faster_by_days: Some(SwungDifference {
            p50: first_faster_by_days,
            p90: None,
            p50_se: Some(0.2),
        }),
    }
}

#[test]
fn a_winner_is_ahead_by_five_per_cent_and_stays_ahead() {
    let comparison = compared(10);
    let routes = |medians| with_medians(&comparison, medians);
    let quicker = |routes: &[RouteResult], swung| {
        Verdict::of(routes, &[swing(routes, Some(3.0)), swing(routes, swung)]).quicker
    };
    let (clear, close) = (routes([37.0, 40.0]), routes([38.1, 40.0]));
    let first = Some(comparison.routes[0].name.clone());
    assert_eq!(quicker(&clear, Some(0.5)), first);
    assert_eq!(Verdict::of(&clear, &[]).quicker, first);
    // Behind by no more than chance would do.
    assert_eq!(quicker(&clear, Some(-0.39)), first);
    assert_eq!(quicker(&clear, Some(-0.41)), None);
    assert_eq!(quicker(&clear, None), None);
    assert_eq!(quicker(&close, Some(0.5)), None);
    let verdict = Verdict::of(&close, &[]);
    assert_eq!((verdict.differ, verdict.turned_by), (Some(false), vec![]));
}

#[test]
fn a_swing_that_moves_nothing_is_the_comparison_itself() {
    let runner = EnsembleRunner::new(&DEMO.boat, &DEMO.routes, &WINDS, options(200));
    let few = runner.with_options(&DEMO.routes, &WINDS, options(50));
    let comparison = compared(200);
    let still = [
        few.clone(),
        few.with_boat_times(1.0),
        few.with_winds_times(1.0),
        few.with_currents_times(1.0),
        few.with_boat(&DEMO.boat),
    ];
    for runner in still {
        let run = |route| runner.run(route, DEMO.departure).unwrap();
        let swing = Swing::of(
            Assumption::WindsWeaker,
            String::new(),
            &comparison.routes,
            &[run(0), run(1)],
            comparison.verdict.first_two.as_ref(),
        );
        let first_two = comparison.verdict.first_two.as_ref().unwrap();
        let by = swing.first_faster_by_days.unwrap();
        let gained = first_two.first_faster_by_days;
        assert_eq!((by.p50, by.p90), (gained.p50, gained.p90));
        for (swung, route) in swing.routes.iter().zip(&comparison.routes) {
            let days = &route.ensemble.days;
            assert_eq!((swung.p50, swung.p90), (days.p50, days.p90));
        }
    }
}

#[test]
fn stronger_winds_and_a_faster_boat_arrive_sooner_on_the_demonstrations_trades() {
    let comparison = compared(200);
    let trades = |assumption| {
        let mut swings = comparison.swings.iter();
        let swing = swings.find(|swing| swing.assumption == assumption);
        swing.unwrap().routes[0].p50.unwrap()
    };
    let base = comparison.routes[0].ensemble.days.p50.unwrap();
    assert!(trades(Assumption::WindsStronger) < base);
    assert!(trades(Assumption::WindsWeaker) > base);
    // A boat 11 % faster or slower, but for the days under power.
    let share = |days: f64| base / days - 1.0;
    approx::assert_abs_diff_eq!(share(trades(Assumption::BoatFaster)), 0.11, epsilon = 0.03);
    approx::assert_abs_diff_eq!(share(trades(Assumption::BoatSlower)), -0.11, epsilon = 0.03);
}

#[test]
fn swings_are_the_same_whatever_the_number_of_threads() {
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().unwrap().install(|| compared(120))
    };
    let (one, three) = (on(1), on(3));
    assert_eq!(one.swings, three.swings);
    assert_eq!(one.verdict, three.verdict);
}

#[test]
fn what_takes_nothing_off_is_not_moved() {
    let offered = |voyage: &Voyage, climate: &Climate| {
        let options = options(10);
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, climate, options);
        let sea = Sea {
            voyage,
            climate,
            second: None,
            options,
        };
        let moved = sea.moved(&runner).into_iter();
        moved.map(|(assumption, ..)| assumption).collect::<Vec<_>>()
    };
    let mut voyage = DEMO.clone();
    voyage.boat = taking(&voyage.boat, AtSea::NONE)
        .and_then(|boat| boat.with_factor_uncertainty(0.0))
        .unwrap();
    use Assumption::*;
    assert_eq!(
        offered(&voyage, &WINDS.clone().with_currents(Currents::None)),
        [
            WindsWeaker,
            WindsStronger,
            FastPartShorter,
            FastPartLonger,
            SlowPartNone,
            SlowPartDoubled,
            BeatingEndsEarly,
        ]
    );
    voyage.boat = taking(&DEMO.boat, AtSea::SMOOTH_WATER).unwrap();
    let current = Currents::Uniform(Current {
        east_kn: -0.3,
        north_kn: 0.1,
    });
    assert_eq!(
        offered(&voyage, &WINDS.clone().with_currents(current)).len(),
        16
    );
}

#[test]
fn the_standard_error_is_the_scatter_over_seeds() {
    const SEEDS: u64 = 50;
    let days: Vec<_> = (1..=SEEDS)
        .map(|seed| {
            let options = EnsembleOptions {
                seed,
                ..options(500)
            };
            let runner = EnsembleRunner::new(&DEMO.boat, &DEMO.routes[..1], &WINDS, options);
            runner.run(0, DEMO.departure).unwrap()
        })
        .collect();
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let scatter = |values: &[f64]| {
        let middle = mean(values);
        let squares: Vec<f64> = values
            .iter()
            .map(|value| (value - middle).powi(2))
            .collect();
        mean(&squares).sqrt()
    };
    for (share, error) in [(0.1, 0), (0.5, 1), (0.9, 2)] {
        let found: Vec<f64> = days.iter().map(|one| one.days_at(share).unwrap()).collect();
        let errors: Vec<f64> = days
            .iter()
            .map(|one| [one.days.p10_se, one.days.p50_se, one.days.p90_se][error].unwrap())
            .collect();
        let ratio = mean(&errors) / scatter(&found);
        // The scatter over 50 seeds is known to a tenth.
        assert!((0.7..1.45).contains(&ratio), "{share}: {ratio}");
    }
}
