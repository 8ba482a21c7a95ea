//! What must hold of any voyage with stops and deadlines.

use std::sync::LazyLock;

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use offing::climate::Climate;
use offing::passage::{
    Ensemble, EnsembleOptions, EnsembleRunner, ExpectedPassage, LayOff, MOST_DAYS, MedianPassage,
    chance_first_arrives_before, lay_off,
};
use offing::route::{Goods, Route, Stay, Stop, Waypoint, hours_to};
use offing::voyage::Voyage;
use proptest::prelude::*;

static DEMO: LazyLock<(Voyage, Climate)> = LazyLock::new(|| {
    let voyage = Voyage::demo().unwrap();
    let climate = voyage.open_climate().unwrap();
    (voyage, climate)
});

/// The demonstration's Trades, with a stop at its waypoint of this index, from 0.
fn trades(stops: &[(usize, Stop)]) -> Route {
    let drawn = &DEMO.0.routes[0];
    let mut waypoints = drawn.waypoints().to_vec();
    for (index, stop) in stops {
        waypoints[*index].stop = Some(stop.clone());
    }
    Route::new(drawn.name(), waypoints).unwrap()
}

/// The waypoints of Trades from one index to another, as a route of their own.
fn part(name: &str, from: usize, to: usize) -> Route {
    let waypoints: &[Waypoint] = &DEMO.0.routes[0].waypoints()[from..=to];
    Route::new(name, waypoints.to_vec()).unwrap()
}

fn run(route: &Route, departure: Date, members: usize) -> Ensemble {
    let (voyage, climate) = &*DEMO;
    let options = EnsembleOptions {
        members,
        ..EnsembleOptions::default()
    };
    let routes = std::slice::from_ref(route);
    let runner = EnsembleRunner::new(&voyage.boat, routes, climate, options);
    runner.run(0, departure).unwrap()
}

fn walk(route: &Route, departure: Date) -> ExpectedPassage {
    let (mut voyage, climate) = (DEMO.0.clone(), &DEMO.1);
    voyage.leave_on(departure).unwrap();
    voyage.walk(route, climate).unwrap().arrives().unwrap()
}

fn stay_days(days: f64) -> Stop {
    Stop {
        stay: Stay::Hours(24.0 * days),
        ..Stop::default()
    }
}

const MAY: Date = date(2027, 5, 1);

#[test]
fn a_stay_of_no_days_is_the_route_without() {
    let (with, without) = (trades(&[(2, stay_days(0.0))]), trades(&[]));
    assert_eq!(run(&with, MAY, 200), run(&without, MAY, 200));
    let [with, without] = [with, without].map(|route| walk(&route, MAY));
    assert_eq!(with.segments, without.segments);
    assert_eq!(
        (with.arrival, with.in_harbour_days),
        (without.arrival, None)
    );
}

/// A day to arrive by at a waypoint that she passes moves nothing.
#[test]
fn a_deadline_moves_no_passage() {
    let by = Stop {
        arrive_by: Some(date(2027, 5, 20)),
        ..Stop::default()
    };
    let (with, without) = (
        run(&trades(&[(2, by)]), MAY, 200),
        run(&trades(&[]), MAY, 200),
    );
    assert_eq!(with.sorted_days(), without.sorted_days());
    assert_eq!(with.exposure_hours, without.exposure_hours);
    assert!(with.stages.is_empty() && with.late.len() == 1);
    assert_eq!((with.late[0].waypoint, with.late[0].stage), (3, 1));
    assert!((0.0..=1.0).contains(&with.late[0].chance));
}

#[test]
fn two_stages_walked_apart_are_the_two_walked_together() {
    const DAYS: f64 = 6.0;
    let together = walk(&trades(&[(2, stay_days(DAYS))]), MAY);
    let last = DEMO.0.routes[0].waypoints().len() - 1;
    let first = walk(&part("First", 0, 2), MAY);
    // The second walk leaves at midnight, the stage within the day: the climate is by the hour.
    let leaves = hours_to(MAY, first.arrival.date()) / 24.0 + DAYS;
    let second = walk(
        &part("Second", 2, last),
        MAY.saturating_add((leaves as i64).days()),
    );
    approx::assert_relative_eq!(
        together.days,
        first.days + second.days,
        max_relative = 0.003
    );
    assert_eq!(together.stops.len(), 1);
    assert_eq!(together.stops[0].arrives, first.arrival);
    approx::assert_abs_diff_eq!(together.stops[0].days, DAYS, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(together.whole_days(), together.days + DAYS, epsilon = 1e-9);
    let legs = &together.legs;
    let between = hours_to(legs[1].ends, legs[2].begins) / 24.0;
    assert!((between - DAYS).abs() <= 1.0, "{between}");
}

/// In expectation: a boat that leaves the stop on a fixed day is one that leaves there on that day, in
/// winds that know nothing of what was before.
#[test]
fn two_stages_sailed_apart_are_the_two_sailed_together() {
    const MEMBERS: usize = 4000;
    let leaves = date(2027, 8, 1);
    let until = Stop {
        stay: Stay::Until(leaves),
        resupply: vec![Goods::All],
        ..Stop::default()
    };
    let together = run(&trades(&[(2, until)]), MAY, MEMBERS);
    let last = DEMO.0.routes[0].waypoints().len() - 1;
    let apart = [
        run(&part("First", 0, 2), MAY, MEMBERS),
        run(&part("Second", 2, last), leaves, MEMBERS),
    ];
    assert_eq!(together.stages.len(), 2);
    for (stage, alone) in together.stages.iter().zip(&apart) {
        // Boats are spread evenly: the error of the median stands for that of the mean. A stretch of
        // 24 nm may begin on either side of the stop.
        let [a, b] = [&stage.days, &alone.days].map(|days| days.p50_se.unwrap());
        let allowed = 4.0 * a.hypot(b) + 0.05;
        let [a, b] = [&stage.days, &alone.days].map(|days| days.mean.unwrap());
        assert!((a - b).abs() < allowed, "{a} {b} {allowed}");
        let litres = [stage.litres, alone.litres].map(|litres| litres.unwrap().p50);
        assert!(
            (litres[0] - litres[1]).abs() < 0.1 * litres[1] + 3.0,
            "{litres:?}"
        );
        for (kind, share) in stage.exposure.iter() {
            assert!((share - alone.exposure[kind]).abs() < 0.02, "{kind:?}");
        }
    }
    // All arrive before the day, so that all leave on it.
    let leaving = together.stages[1].departure;
    assert_eq!([leaving.p10, leaving.p50, leaving.p90], [Some(leaves); 3]);
    let hours = hours_to(MAY, leaves);
    let each = together.each_stage().chunks(2);
    assert!(
        each.clone()
            .all(|stages| stages[1].begins_hours == Some(hours))
    );
}

#[test]
fn the_chance_to_be_late_is_the_share_counted_by_hand() {
    let by = date(2027, 6, 14);
    let route = trades(&[(2, stay_days(6.0))]).arriving_by(by);
    let ensemble = run(&route, MAY, 1000);
    let [late] = &ensemble.late[..] else {
        panic!("{:?}", ensemble.late);
    };
    assert_eq!((late.stage, late.by), (2, by));
    let ends_hours = hours_to(MAY, by) + 24.0;
    let arrivals = ensemble.arrival_hours();
    let count = arrivals.iter().filter(|hours| **hours > ends_hours).count();
    assert!((100..900).contains(&count), "{count}: say another day");
    assert_eq!(late.chance, count as f64 / 1000.0);
    // Six days in harbour, and no more.
    let harbour = ensemble.in_harbour_days.unwrap();
    approx::assert_abs_diff_eq!(harbour.p50, 6.0, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(harbour.p90, 6.0, epsilon = 1e-9);
    for (member, arrives) in ensemble.each_member().iter().zip(&arrivals) {
        approx::assert_abs_diff_eq!(member.hours.unwrap() + 144.0, arrives, epsilon = 1e-6);
    }
    let margin_days = late.margin_days_p50.unwrap();
    let whole_days = ensemble.whole_days.unwrap().p50.unwrap();
    approx::assert_abs_diff_eq!(margin_days, ends_hours / 24.0 - whole_days, epsilon = 1e-9);
    // One that stays is behind one that does not.
    let without = run(&trades(&[]), MAY, 1000);
    assert!(chance_first_arrives_before(&without, &ensemble) > 0.8);
}

#[test]
fn diesel_at_the_stop_fills_the_tanks() {
    let stop = |resupply: &[Goods]| Stop {
        resupply: resupply.to_vec(),
        ..stay_days(2.0)
    };
    let dry = |goods: &[Goods]| {
        let ensemble = run(&trades(&[(2, stop(goods))]), MAY, 500);
        [0, 1].map(|stage| ensemble.stages[stage].chance.dry_tanks.unwrap())
    };
    let (diesel, water) = (dry(&[Goods::Diesel]), dry(&[Goods::Water]));
    assert_eq!(diesel[0], water[0]);
    assert!(diesel[1] <= water[1], "{diesel:?} {water:?}");
}

#[test]
fn pieces_end_at_a_stop_and_the_clock_runs_on_there() {
    let route = trades(&[(2, stay_days(6.0))]);
    let (ensemble, walk) = (run(&route, MAY, 200), walk(&route, MAY));
    let median = MedianPassage::of(&route, Some(&walk), &ensemble).unwrap();
    let pieces = lay_off(&route, &walk, &median, MAY, DEMO.0.step, LayOff::Day).unwrap();
    let gaps: Vec<i64> = pieces
        .windows(2)
        .map(|pair| pair[1].begins.duration_since(pair[0].ends).as_secs())
        .filter(|seconds| *seconds != 0)
        .collect();
    assert_eq!(gaps, [6 * 86_400]);
    let at_sea: f64 = pieces.iter().map(|piece| piece.days).sum();
    approx::assert_relative_eq!(at_sea, ensemble.days.p50.unwrap(), max_relative = 1e-9);
    let stop_nm = route.stages()[0].end_nm;
    let arrives = median.arrives_hours(stop_nm);
    approx::assert_abs_diff_eq!(
        median.leaves_hours(stop_nm),
        arrives + 144.0,
        epsilon = 1e-6
    );
    assert_eq!(median.run_nm_on_clock(arrives + 72.0), stop_nm);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Any stays: time runs forward, no stage is longer than the days at sea allowed, and the parts
    /// are the whole.
    #[test]
    fn any_stays_make_a_passage(
        stays in prop::collection::vec((0.0..8760.0_f64, 0_i64..900, any::<bool>(), any::<bool>()), 2),
    ) {
        let stops = stays.iter().enumerate().map(|(index, (hours, days, until, both))| {
            let day = MAY.saturating_add(days.days());
            let stop = Stop {
                stay: if *until { Stay::Until(day) } else { Stay::Hours(*hours) },
                leave_after: both.then_some(day),
                ..Stop::default()
            };
            (2 * index + 1, stop)
        });
        let route = trades(&stops.collect::<Vec<_>>());
        let ensemble = run(&route, MAY, 16);
        let count = ensemble.stages.len();
        prop_assert_eq!(count, 3);
        for (stages, member) in ensemble.each_stage().chunks(count).zip(ensemble.each_member()) {
            let mut clock_hours = 0.0;
            let mut at_sea_hours = 0.0;
            for stage in stages {
                let begins_hours = stage.begins_hours.unwrap();
                prop_assert!(begins_hours >= clock_hours);
                at_sea_hours += stage.hours.unwrap();
                clock_hours = stage.arrives_hours().unwrap();
            }
            prop_assert!((member.hours.unwrap() - at_sea_hours).abs() < 1e-6);
            prop_assert!(at_sea_hours < 24.0 * MOST_DAYS as f64);
        }
        let walk = walk(&route, MAY);
        prop_assert_eq!(walk.stops.len(), 2);
        let arrival_hours = walk.arrival.duration_since(MAY.at(0, 0, 0, 0)).as_secs_f64() / 3600.0;
        prop_assert!((arrival_hours / 24.0 - walk.whole_days()).abs() < 1e-6);
    }
}
