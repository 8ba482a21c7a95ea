//! The median passage: where the boat is when, on the passage that takes the ensemble's median days.

use jiff::civil::Date;

use super::itinerary::Itinerary;
use super::{Ensemble, ExpectedPassage};
use crate::route::Route;

/// A route sailed in the median days at sea of its ensemble: the walk on the mean wind with its clock
/// stretched by one factor. Where that walk stalls the pace is even. Its hours are hours at sea; at a stop
/// only the clock runs.
#[derive(Debug, Clone, PartialEq)]
pub struct MedianPassage {
    /// Between one of these and the next the pace is even.
    edges: Vec<Edge>,
    departure: Date,
    itinerary: Itinerary,
}

/// A moment of the passage.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Edge {
    hours: f64,
    run_nm: f64,
}

impl MedianPassage {
    /// The median passage of a route; none where half of the ensemble's passages do not arrive.
    pub fn of(route: &Route, walk: Option<&ExpectedPassage>, ensemble: &Ensemble) -> Option<Self> {
        let hours = ensemble.days_at(0.5)? * 24.0;
        let mut edges = vec![Edge {
            hours: 0.0,
            run_nm: 0.0,
        }];
        if let Some(walk) = walk {
            let stretched = hours / (walk.days * 24.0);
            edges.extend(walk.segments.iter().skip(1).map(|segment| Edge {
                hours: segment.start_hours * stretched,
                run_nm: segment.start_nm,
            }));
        }
        edges.push(Edge {
            hours,
            run_nm: route.length_nm(),
        });
        Some(Self {
            edges,
            departure: ensemble.departure,
            itinerary: Itinerary::of(route),
        })
    }

    /// Hours at sea from the start to the end.
    pub fn hours(&self) -> f64 {
        self.edges.last().map_or(0.0, |edge| edge.hours)
    }

    /// How far along the route the boat is after `hours` at sea, in nautical miles; the nearer end before
    /// the start or after the end.
    pub fn run_nm_after(&self, hours: f64) -> f64 {
        self.between(|edge| edge.hours, |edge| edge.run_nm, hours)
    }

    /// Hours from the departure to the arrival at a place `run_nm` along the route, those in harbour
    /// counted.
    pub fn arrives_hours(&self, run_nm: f64) -> f64 {
        self.hours_to(run_nm) + self.harbour_hours_before(run_nm)
    }

    /// Hours from the departure to when she leaves a place `run_nm` along the route, those in harbour
    /// counted: later than her arrival where she stops there.
    pub fn leaves_hours(&self, run_nm: f64) -> f64 {
        self.hours_to(run_nm) + self.harbour_hours_before(run_nm.next_up())
    }

    /// Where she stops, nautical miles from the start.
    pub fn stops_nm(&self) -> impl Iterator<Item = f64> {
        let stages = self.itinerary.stages.iter();
        stages
            .filter(|stage| stage.stop.is_some())
            .map(|stage| stage.end_nm)
    }

    /// How far along the route the boat is `hours` after the departure, those in harbour counted, in
    /// nautical miles.
    pub fn run_nm_on_clock(&self, hours: f64) -> f64 {
        let mut harbour_hours = 0.0;
        for stop_nm in self.stops_nm() {
            if hours <= self.arrives_hours(stop_nm) {
                break;
            }
            let leaves_hours = self.leaves_hours(stop_nm);
            if hours <= leaves_hours {
                return stop_nm;
            }
            harbour_hours = leaves_hours - self.hours_to(stop_nm);
        }
        self.run_nm_after(hours - harbour_hours)
    }

    fn harbour_hours_before(&self, run_nm: f64) -> f64 {
        let sea_hours_to = |run_nm| self.hours_to(run_nm);
        self.itinerary
            .harbour_hours_before(run_nm, self.departure, sea_hours_to)
    }

    /// Hours at sea from the start to a place `run_nm` along the route; those to the nearer end off it.
    pub fn hours_to(&self, run_nm: f64) -> f64 {
        self.between(|edge| edge.run_nm, |edge| edge.hours, run_nm)
    }

    fn between(&self, from: fn(&Edge) -> f64, to: fn(&Edge) -> f64, at: f64) -> f64 {
        let next = self.edges.partition_point(|edge| from(edge) <= at);
        let next = next.clamp(1, self.edges.len() - 1);
        let (a, b) = (&self.edges[next - 1], &self.edges[next]);
        let share = (at - from(a)) / (from(b) - from(a));
        to(a) + share.clamp(0.0, 1.0) * (to(b) - to(a))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::passage::{EnsembleOptions, EnsembleRunner};
    use crate::voyage::Voyage;

    #[test]
    fn it_takes_the_median_s_days_and_keeps_the_walk_s_proportions() {
        const TOLERANCE: f64 = 1e-9;
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: 50,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        for (index, route) in voyage.routes.iter().enumerate() {
            let ensemble = runner.run(index, voyage.departure).unwrap();
            let walk = voyage.walk(route, &climate).unwrap().arrives().unwrap();
            let median = MedianPassage::of(route, Some(&walk), &ensemble).unwrap();
            let hours = ensemble.days_at(0.5).unwrap() * 24.0;
            assert_eq!(median.hours(), hours);
            assert_eq!(median.hours_to(route.length_nm()), hours);
            assert_eq!(median.run_nm_after(hours), route.length_nm());
            assert_eq!(median.run_nm_after(-1.0), 0.0);
            for share in [0.1, 0.37, 0.5, 0.93] {
                let run_nm = median.run_nm_after(share * hours);
                let walked_nm = walk.run_nm_after(share * walk.days * 24.0).unwrap();
                approx::assert_relative_eq!(run_nm, walked_nm, epsilon = TOLERANCE);
                approx::assert_relative_eq!(
                    median.hours_to(run_nm),
                    share * hours,
                    max_relative = TOLERANCE
                );
            }
            let even = MedianPassage::of(route, None, &ensemble).unwrap();
            approx::assert_relative_eq!(
                even.run_nm_after(0.25 * hours),
                0.25 * route.length_nm(),
                max_relative = TOLERANCE
            );
        }
    }
}
