//! A grid with the season standing still, as a plain graph: for checking the search against other
//! programs' on the same arcs, and for timing it.

use super::ShapingError;
use super::hardship::Prices;
use super::limits::Limits;
use super::scene::Scene;
use super::search::{Arcs, Label};
use super::shaper::Shaper;
use super::timed::arc_nm;
use crate::geodesy::Position;

/// An arc of a fixed graph.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedArc {
    /// The node it leaves.
    pub from: usize,
    /// The node it leads to.
    pub to: usize,
    /// What it takes, in hours.
    pub hours: f64,
}

/// Nodes at places, and arcs of fixed cost between them.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedGraph {
    positions: Vec<Position>,
    end: usize,
    best_kn: f64,
    /// A bound below the hours from each node to the end.
    rests: Vec<f64>,
    starts: Vec<u32>,
    heads: Vec<u32>,
    hours: Vec<f64>,
}

impl FixedGraph {
    /// A graph of these arcs, in any order, between nodes at these places, for searches to `end`. No
    /// arc may be faster than `best_kn` knots; infinite for no bound at all.
    pub fn new(
        positions: Vec<Position>,
        end: usize,
        best_kn: f64,
        mut arcs: Vec<FixedArc>,
    ) -> Self {
        let rest = |place: &Position| arc_nm(*place, positions[end]) / best_kn;
        let rests = positions.iter().map(rest).collect();
        arcs.sort_by_key(|arc| arc.from);
        let mut starts = vec![0; positions.len() + 1];
        for arc in &arcs {
            starts[arc.from + 1] += 1;
        }
        for node in 0..positions.len() {
            starts[node + 1] += starts[node];
        }
        Self {
            rests,
            positions,
            end,
            best_kn,
            starts,
            heads: arcs.iter().map(|arc| arc.to as u32).collect(),
            hours: arcs.iter().map(|arc| arc.hours).collect(),
        }
    }

    /// Where each node is.
    pub fn positions(&self) -> &[Position] {
        &self.positions
    }

    /// The node searches are bound for.
    pub fn end(&self) -> usize {
        self.end
    }

    /// No arc is faster than this, in knots.
    pub fn best_kn(&self) -> f64 {
        self.best_kn
    }

    /// Its arcs, by the node they leave.
    pub fn arcs(&self) -> impl Iterator<Item = FixedArc> {
        (0..self.positions.len()).flat_map(move |from| {
            (self.starts[from] as usize..self.starts[from + 1] as usize).map(move |at| FixedArc {
                from,
                to: self.heads[at] as usize,
                hours: self.hours[at],
            })
        })
    }
}

impl Arcs for FixedGraph {
    fn nodes(&self) -> usize {
        self.positions.len()
    }

    fn arcs_from(&self, node: usize) -> usize {
        (self.starts[node + 1] - self.starts[node]) as usize
    }

    fn head(&self, node: usize, arc: usize) -> Option<usize> {
        Some(self.heads[self.starts[node] as usize + arc] as usize)
    }

    fn least_cost_hours(&self, node: usize, arc: usize) -> f64 {
        self.hours[self.starts[node] as usize + arc]
    }

    fn follow(&self, node: usize, arc: usize, label: Label) -> Option<Label> {
        let hours = self.least_cost_hours(node, arc);
        Some(Label {
            cost_hours: label.cost_hours + hours,
            hours: label.hours + hours,
            ..label
        })
    }

    fn is_open(&self, _: usize, _: usize, _: Label, _: Label) -> bool {
        true
    }

    fn rest_hours(&self, node: usize) -> f64 {
        self.rests[node]
    }
}

impl Shaper<'_> {
    /// The coarse grid with every arc that is open at departure, taking what it takes then. The two
    /// last nodes are the start and the end.
    ///
    /// # Errors
    /// Limits that cross or that an end breaks.
    pub fn frozen(&self, limits: &Limits) -> Result<FixedGraph, ShapingError> {
        self.check_ends(limits)?;
        let scene = Scene::new(self, limits);
        let ground = scene.ground();
        let timed = scene.coarse_grid(&ground, Prices::default());
        let departure = Label::default();
        let mut arcs = Vec::new();
        for from in (0..timed.nodes()).filter(|node| *node != timed.net.end()) {
            for arc in 0..timed.arcs_from(from) {
                if let Some(to) = timed.head(from, arc)
                    && let Some(left) = timed.follow(from, arc, departure)
                    && timed.is_open(from, arc, departure, left)
                {
                    let hours = left.hours;
                    arcs.push(FixedArc { from, to, hours });
                }
            }
        }
        let nodes: Vec<usize> = (0..timed.nodes()).collect();
        let positions = timed.net.corners(&nodes, scene.ends());
        Ok(FixedGraph::new(
            positions,
            timed.net.end(),
            timed.best_kn,
            arcs,
        ))
    }
}

#[cfg(test)]
mod tests;
