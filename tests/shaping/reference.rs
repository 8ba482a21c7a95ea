//! The search against scipy's Dijkstra, on a grid of the demonstration frozen at departure.

use crate::rows::reference_rows;
use offing::geodesy::Position;
use offing::shaping::{FixedArc, FixedGraph, Label, least_cost};
use serde::Deserialize;

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

#[test]
fn costs_are_those_of_scipys_dijkstra() {
    let nodes: Vec<Node> = reference_rows("shaping/nodes.csv");
    let positions: Vec<Position> = nodes
        .iter()
        .enumerate()
        .map(|(index, node)| {
            assert_eq!(index, node.node);
            Position::new(node.latitude_deg, node.longitude_deg).unwrap()
        })
        .collect();
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
