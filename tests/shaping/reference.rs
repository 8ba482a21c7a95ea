//! The arcs of a grid of the demonstration, frozen at departure, against expected passages by dense
//! integration in Python; and the search along those against scipy's Dijkstra.

use std::collections::BTreeMap;

use offing::geodesy::Position;
use offing::route::Land;
use offing::shaping::{
    FixedArc, FixedGraph, Label, Limits, Shaper, Task, least_cost, search_region,
};
use serde::Deserialize;

use crate::common::{DEPARTURE, demo};
use crate::inputs::assert_made_from_todays_inputs;
use crate::rows::reference_rows;

/// How closely the costs agree, in hours.
const AGREE_HOURS: f64 = 1e-9;
/// No arc of the grid is faster than this, in knots: a hull that goes no faster than 7.76 kn.
const BEST_KN: f64 = 7.8;

#[derive(Deserialize)]
struct Node {
    node: usize,
    latitude_deg: f64,
    longitude_deg: f64,
}

#[derive(Deserialize)]
struct Arc {
    from: usize,
    to: usize,
    hours: f64,
}

#[derive(Deserialize)]
struct Cost {
    from: usize,
    to: usize,
    hours: Option<f64>,
}

fn places() -> Vec<Position> {
    let nodes: Vec<Node> = reference_rows("shaping/nodes.csv");
    let place = |(index, node): (usize, &Node)| {
        assert_eq!(index, node.node);
        Position::new(node.latitude_deg, node.longitude_deg).unwrap()
    };
    nodes.iter().enumerate().map(place).collect()
}

#[test]
fn the_rows_are_of_todays_inputs() {
    assert_made_from_todays_inputs("shaping/arcs.csv");
}

/// The grid reads the wind at the nearest place of a lattice, 1.25 degrees apart on a grid so coarse;
/// the rows read it at each place itself. That is nearly all of the difference: of 46 arcs, the 25
/// worst among them, none is out by more than 0.0006 where the reference reads the lattice too.
#[test]
fn arcs_take_as_long_as_an_expected_passage() {
    /// How far an arc's hours may be from the row's, as a share of them: 0.072 was found, of one that
    /// ends in the Agulhas Current, which the search knows at the ends of short pieces alone.
    const WORST_SHARE: f64 = 0.08;
    /// The same of 199 arcs in 200: those beyond lie in the currents off Africa and Madagascar.
    const MOST_SHARE: f64 = 0.015;
    /// The same of half the arcs: 0.0017 was found.
    const MEDIAN_SHARE: f64 = 0.002;

    let demo = demo(DEPARTURE);
    let ends = {
        let waypoints = demo.voyage.routes[0].waypoints();
        [&waypoints[0], &waypoints[waypoints.len() - 1]].map(|end| end.position)
    };
    let shaper = Shaper::new(Task {
        region: search_region(ends[0], ends[1], &demo.voyage.routes),
        grid_deg: 5.0,
        ..demo.task(Land::natural_earth())
    })
    .unwrap();
    let graph = shaper.frozen(&Limits::default()).unwrap();
    assert_eq!(graph.positions(), places());

    let mut expected: BTreeMap<(usize, usize), f64> = reference_rows::<Arc>("shaping/arcs.csv")
        .into_iter()
        .map(|arc| ((arc.from, arc.to), arc.hours))
        .collect();
    let mut shares: Vec<f64> = graph
        .arcs()
        .map(|arc| {
            let hours = expected.remove(&(arc.from, arc.to));
            let hours = hours.unwrap_or_else(|| panic!("no row for {} to {}", arc.from, arc.to));
            let share = (arc.hours / hours - 1.0).abs();
            assert!(
                share <= WORST_SHARE,
                "{} to {}: {} h, expected {hours}",
                arc.from,
                arc.to,
                arc.hours
            );
            share
        })
        .collect();
    assert!(expected.is_empty(), "rows without an arc: {expected:?}");
    shares.sort_by(f64::total_cmp);
    let median = shares[shares.len() / 2];
    assert!(median <= MEDIAN_SHARE, "half the arcs are out by {median}");
    let most = shares[shares.len() * 199 / 200];
    assert!(most <= MOST_SHARE, "one arc in 200 is out by {most}");
}

#[test]
fn costs_are_those_of_scipys_dijkstra() {
    let positions = places();
    let arcs: Vec<FixedArc> = reference_rows::<Arc>("shaping/arcs.csv")
        .into_iter()
        .map(|Arc { from, to, hours }| FixedArc { from, to, hours })
        .collect();
    let costs: Vec<Cost> = reference_rows("shaping/costs.csv");
    assert!(costs.len() > 30);
    for cost in costs {
        for best_kn in [BEST_KN, f64::INFINITY] {
            let graph = FixedGraph::new(positions.clone(), cost.to, best_kn, arcs.clone());
            let found = least_cost(&graph, cost.from, cost.to, Label::default());
            let hours = found.map(|path| path.label.cost_hours);
            match (hours, cost.hours) {
                (Some(got), Some(expected)) => assert!(
                    (got - expected).abs() < AGREE_HOURS,
                    "{} to {}: {got} h, expected {expected}",
                    cost.from,
                    cost.to
                ),
                (got, expected) => assert_eq!(got, expected, "{} to {}", cost.from, cost.to),
            }
        }
    }
}
