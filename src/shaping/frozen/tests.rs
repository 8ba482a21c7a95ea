use super::*;
use crate::boat::{Boat, Handling, Polar};
use crate::climate::{LocalClimate, SeasonDay, Wind};
use crate::geodesy::Step;
use crate::shaping::search::least_cost;
use crate::shaping::shore::OpenOcean;
use crate::shaping::{Task, search_region};
use crate::voyage::Voyage;

const EPSILON_HOURS: f64 = 1e-9;

/// Where the season does not change and no fuel runs out, the search that minds the clock finds
/// what the search on the frozen grid does.
#[test]
fn in_winds_that_never_change_the_clock_changes_nothing() {
    let text = include_str!("../../../fixtures/demo/cutter-12m.csv");
    let polar = Polar::parse(text, "cutter-12m.csv").unwrap();
    let boat = Boat::new(&polar, 0.85, None, Handling::default()).unwrap();
    let winds = |place: Position, _: SeasonDay| {
        let (east, north) = (place.longitude_deg() * 0.2).sin_cos();
        Some(LocalClimate {
            wind: Wind {
                u_ms: 4.0 * east + 0.1 * place.latitude_deg(),
                v_ms: 3.0 * north,
                s_ms: 3.0 + east * east,
            },
            air_temperature_c: None,
            replaced_share: None,
        })
    };
    let (from, to) = (
        crate::shaping::place(-32.0, 115.0),
        crate::shaping::place(-30.0, 80.0),
    );
    let shaper = Shaper::new(Task {
        winds: &winds,
        shore: &OpenOcean,
        boat: &boat,
        departure: jiff::civil::date(2027, 5, 1),
        from,
        to,
        drawn: Vec::new(),
        sampling: Step::default(),
        region: search_region(from, to, &[]),
        grid_deg: 2.0,
    })
    .unwrap();
    let limits = Limits::default();
    let frozen = shaper.frozen(&limits).unwrap();
    let fixed = least_cost(&frozen, frozen.end() - 1, frozen.end(), Label::default()).unwrap();

    let scene = Scene::new(&shaper, &limits);
    let ground = scene.ground();
    let timed = scene.coarse_grid(&ground, Prices::default());
    let net = timed.net;
    let clocked = least_cost(&timed, net.start(), net.end(), Label::default()).unwrap();
    // The bounds are those of the places themselves, the start's among them.
    for node in 0..timed.nodes() {
        let apart_hours = timed.rest_hours(node) - frozen.rest_hours(node);
        assert!(
            apart_hours.abs() < EPSILON_HOURS,
            "node {node}: {apart_hours}"
        );
    }
    assert_eq!(clocked.nodes, fixed.nodes);
    assert!((clocked.label.hours - fixed.label.hours).abs() < EPSILON_HOURS);

    // And without the bound: the same cost from more scans.
    let arcs = frozen.arcs().collect();
    let blind = FixedGraph::new(
        frozen.positions().to_vec(),
        frozen.end(),
        f64::INFINITY,
        arcs,
    );
    let plain = least_cost(&blind, blind.end() - 1, blind.end(), Label::default()).unwrap();
    assert!((plain.label.hours - fixed.label.hours).abs() < EPSILON_HOURS);
    assert!(fixed.scans < plain.scans);
}

/// The order of arrival on the demonstration's grid: over an arc a boat that sets out a day later
/// is never there sooner, from any node in any part of half a year. It would be so only where a
/// boat slower than a knot gets faster by knots from one month to the next: with a stretch of L nm,
/// progress p and its growth p' an hour, where L p' > p².
#[test]
fn who_sets_out_later_arrives_later() {
    const DAY_HOURS: f64 = 24.0;
    let voyage = Voyage::demo().unwrap();
    let waypoints = voyage.routes[0].waypoints();
    let (from, to) = (
        waypoints[0].position,
        waypoints[waypoints.len() - 1].position,
    );
    let region = search_region(from, to, &voyage.routes);
    let climate = voyage.open_climate_of(&region).unwrap();
    let shaper = Shaper::new(Task {
        winds: &climate,
        shore: &OpenOcean,
        boat: &voyage.boat,
        departure: voyage.departure,
        from,
        to,
        drawn: Vec::new(),
        sampling: voyage.step,
        region,
        grid_deg: 4.0,
    })
    .unwrap();
    let limits = Limits::default();
    let scene = Scene::new(&shaper, &limits);
    let ground = scene.ground();
    let timed = scene.coarse_grid(&ground, Prices::default());
    let mut greatest_gain = f64::NEG_INFINITY;
    for node in 0..timed.net.grid.nodes() {
        for arc in (0..timed.arcs_from(node)).step_by(5) {
            for days in (0..180).step_by(15) {
                let label = |hours: f64| Label {
                    hours,
                    ..Label::default()
                };
                let hours = f64::from(days) * DAY_HOURS;
                let left = timed.follow(node, arc, label(hours));
                let left_later = timed.follow(node, arc, label(hours + DAY_HOURS));
                if let (Some(left), Some(left_later)) = (left, left_later) {
                    let gained_hours = left.hours + DAY_HOURS - left_later.hours;
                    greatest_gain = greatest_gain.max(gained_hours / DAY_HOURS);
                }
            }
        }
    }
    // A day's wait gains nowhere a day; measured: printed on failure.
    assert!(greatest_gain < 0.5, "{greatest_gain}");
    assert!(greatest_gain > 0.0, "{greatest_gain}");
}
