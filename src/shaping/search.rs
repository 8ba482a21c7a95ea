//! Least-cost search over a graph whose arcs may cost more or less as the season moves on.

/// What it took to reach a node.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Label {
    /// Hours under way and, where hardship has a price, what it adds to them, in hours.
    pub cost_hours: f64,
    /// Hours since departure.
    pub hours: f64,
    /// Hours the engine has run.
    pub engine_hours: f64,
}

/// A directed graph as the search sees it: nodes by number, and the arcs that leave each.
pub trait Arcs {
    /// How many nodes there are.
    fn nodes(&self) -> usize;
    /// How many arcs leave a node, those that lead nowhere included.
    fn arcs_from(&self, node: usize) -> usize;
    /// The node an arc leads to; none where it leads off the graph.
    fn head(&self, node: usize, arc: usize) -> Option<usize>;
    /// The least an arc can cost at any time, in hours: a cheap bound, 0 where none is known.
    fn least_cost_hours(&self, node: usize, arc: usize) -> f64;
    /// The label at the arc's head when it is entered with `label`; none where it cannot be sailed
    /// then. The cost must not fall along an arc.
    fn follow(&self, node: usize, arc: usize, label: Label) -> Option<Label>;
    /// Whether an arc is open, entered with one label and left with the other. Asked only where the
    /// arc would better the label of its head, because the answer may be dear.
    fn is_open(&self, node: usize, arc: usize, entered: Label, left: Label) -> bool;
    /// A bound below what is left to the end, in hours: it must not fall along an arc by more than
    /// the arc costs, and be 0 at the end.
    fn rest_hours(&self, node: usize) -> f64;
}

/// A path found.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Its nodes from start to end.
    pub nodes: Vec<usize>,
    /// What it takes to the end.
    pub label: Label,
    /// How often a node's arcs were followed to find it.
    pub scans: usize,
}

/// No node before.
const NONE: u32 = u32::MAX;
/// Nodes wait in buckets of this many hours of cost and bound. Within one they are taken in any
/// order and taken again where they were bettered, so that the width changes nothing but the time.
const BUCKET_HOURS: f64 = 1.0;

/// The path of least cost from `start` to `end`, beginning with `label`; none where there is none.
///
/// Labels are set in the order of cost and bound (Hart, Nilsson and Raphael, IEEE Transactions on
/// Systems Science and Cybernetics 4, 1968), in buckets rather than a heap (Dial, Communications of
/// the ACM 12, 1969; both from memory). One label is kept for each node. That is exact while
/// arriving dearer is never of use: where arcs do not change, and, at no price, where leaving later
/// never means arriving sooner.
pub fn least_cost<A: Arcs>(arcs: &A, start: usize, end: usize, label: Label) -> Option<Path> {
    let found = Labels::set(arcs, start, Some(end), label);
    found.reaches(end).then(|| Path {
        nodes: found.path_to(end),
        label: found.labels[end],
        scans: found.scans,
    })
}

/// What it took to reach each node from one start.
pub(super) struct Labels {
    start: usize,
    costs: Vec<f64>,
    labels: Vec<Label>,
    before: Vec<u32>,
    scans: usize,
}

impl Labels {
    /// The labels of all nodes: of the least cost, where that of [`least_cost`] is.
    pub(super) fn of_all<A: Arcs>(arcs: &A, start: usize, label: Label) -> Self {
        Self::set(arcs, start, None, label)
    }

    fn reaches(&self, node: usize) -> bool {
        self.costs[node].is_finite()
    }

    fn path_to(&self, node: usize) -> Vec<usize> {
        trace(&self.before, self.start, node)
    }

    /// The nodes of the path of least cost to an `end` that has no label yet and that arcs lead to from
    /// these nodes alone; none where there is none.
    pub(super) fn path_over<A: Arcs>(
        &self,
        arcs: &A,
        nodes: impl Iterator<Item = usize>,
        end: usize,
    ) -> Option<Vec<usize>> {
        let mut best: Option<(f64, usize)> = None;
        for node in nodes.filter(|node| self.reaches(*node)) {
            for arc in 0..arcs.arcs_from(node) {
                if arcs.head(node, arc) != Some(end) {
                    continue;
                }
                let here = self.labels[node];
                let Some(there) = arcs.follow(node, arc, here) else {
                    continue;
                };
                if best.is_none_or(|(cost_hours, _)| there.cost_hours < cost_hours)
                    && arcs.is_open(node, arc, here, there)
                {
                    best = Some((there.cost_hours, node));
                }
            }
        }
        let (_, last) = best?;
        let mut nodes = self.path_to(last);
        nodes.push(end);
        Some(nodes)
    }

    /// The labels of all nodes that may lie on the way to `end`; of all where there is none.
    fn set<A: Arcs>(arcs: &A, start: usize, end: Option<usize>, label: Label) -> Self {
        let rest_hours = |node| end.map_or(0.0, |_| arcs.rest_hours(node));
        let most_hours = |costs: &[f64]| end.map_or(f64::INFINITY, |end| costs[end]);
        let count = arcs.nodes();
        // The costs stand by themselves as well, where they are close together.
        let mut costs = vec![f64::INFINITY; count];
        let mut labels = vec![label; count];
        let mut before = vec![NONE; count];
        let mut rests = vec![f64::NAN; count];
        let mut scanned = vec![f64::INFINITY; count];
        let mut buckets: Vec<Vec<u32>> = Vec::new();
        let mut scans = 0;

        costs[start] = label.cost_hours;
        rests[start] = rest_hours(start);
        put(&mut buckets, 0, costs[start] + rests[start], start);
        let mut current = 0;
        while current < buckets.len() {
            while let Some(node) = buckets[current].pop() {
                let node = node as usize;
                let cost = costs[node];
                if scanned[node] <= cost || cost + rests[node] >= most_hours(&costs) {
                    continue;
                }
                scanned[node] = cost;
                scans += 1;
                let here = labels[node];
                for arc in 0..arcs.arcs_from(node) {
                    let Some(head) = arcs.head(node, arc) else {
                        continue;
                    };
                    if cost + arcs.least_cost_hours(node, arc) >= costs[head] {
                        continue;
                    }
                    let Some(there) = arcs.follow(node, arc, here) else {
                        continue;
                    };
                    if there.cost_hours < costs[head] && arcs.is_open(node, arc, here, there) {
                        costs[head] = there.cost_hours;
                        labels[head] = there;
                        before[head] = node as u32;
                        if rests[head].is_nan() {
                            rests[head] = rest_hours(head);
                        }
                        put(&mut buckets, current, costs[head] + rests[head], head);
                    }
                }
            }
            current += 1;
            if most_hours(&costs) < current as f64 * BUCKET_HOURS {
                break;
            }
        }
        Self {
            start,
            costs,
            labels,
            before,
            scans,
        }
    }
}

/// Puts a node into the bucket of its rank, or into the `current` one where rounding would put it
/// before.
fn put(buckets: &mut Vec<Vec<u32>>, current: usize, rank_hours: f64, node: usize) {
    let bucket = ((rank_hours / BUCKET_HOURS) as usize).max(current);
    if bucket >= buckets.len() {
        buckets.resize_with(bucket + 1, Vec::new);
    }
    buckets[bucket].push(node as u32);
}

fn trace(before: &[u32], start: usize, end: usize) -> Vec<usize> {
    let mut nodes = vec![end];
    let mut node = end;
    while node != start {
        node = before[node] as usize;
        nodes.push(node);
    }
    nodes.reverse();
    nodes
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Arcs of fixed cost, all bounds nil.
    struct Fixed(Vec<Vec<(usize, f64)>>);

    impl Arcs for Fixed {
        fn nodes(&self) -> usize {
            self.0.len()
        }
        fn arcs_from(&self, node: usize) -> usize {
            self.0[node].len()
        }
        fn head(&self, node: usize, arc: usize) -> Option<usize> {
            Some(self.0[node][arc].0)
        }
        fn least_cost_hours(&self, _: usize, _: usize) -> f64 {
            0.0
        }
        fn follow(&self, node: usize, arc: usize, label: Label) -> Option<Label> {
            let cost_hours = label.cost_hours + self.0[node][arc].1;
            Some(Label {
                cost_hours,
                ..label
            })
        }
        fn is_open(&self, _: usize, _: usize, _: Label, _: Label) -> bool {
            true
        }
        fn rest_hours(&self, _: usize) -> f64 {
            0.0
        }
    }

    #[test]
    fn a_graph_without_a_way_has_no_path() {
        let apart = Fixed(vec![vec![(1, 1.0)], vec![], vec![]]);
        assert_eq!(least_cost(&apart, 0, 2, Label::default()), None);
    }

    proptest! {
        /// Against Bellman's recursion: relaxing every arc until nothing changes.
        #[test]
        fn the_cost_is_the_least(
            arcs in prop::collection::vec((0..12usize, 0..12usize, 0.0..10.0f64), 1..60),
        ) {
            let mut graph = Fixed(vec![Vec::new(); 12]);
            for &(from, to, cost) in &arcs {
                graph.0[from].push((to, cost));
            }
            let mut least = [f64::INFINITY; 12];
            least[0] = 0.0;
            for _ in 0..12 {
                for &(from, to, cost) in &arcs {
                    least[to] = least[to].min(least[from] + cost);
                }
            }
            for (end, least) in least.iter().enumerate() {
                let found = least_cost(&graph, 0, end, Label::default());
                let cost = found.as_ref().map_or(f64::INFINITY, |path| path.label.cost_hours);
                prop_assert!(cost == *least || (cost - least).abs() < 1e-12);
                if let Some(path) = found {
                    let sum: f64 = path.nodes.windows(2).map(|pair| {
                        let arcs = graph.0[pair[0]].iter();
                        let costs = arcs.filter(|(to, _)| *to == pair[1]).map(|(_, cost)| *cost);
                        costs.fold(f64::INFINITY, f64::min)
                    }).sum();
                    prop_assert!((sum - cost).abs() < 1e-12);
                }
            }
        }
    }
}
