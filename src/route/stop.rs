//! Stops at waypoints, the dates they keep, and the stages between them.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Leg, Route};
use crate::units::Range;

/// What a boat does at a waypoint but pass it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stop {
    /// How long she stays.
    pub stay: Stay,
    /// What is to be had there.
    pub resupply: Vec<Goods>,
    /// She leaves no earlier than 00:00 UTC of this day.
    pub leave_after: Option<Date>,
    /// She means to arrive by the end of this day, UTC. This alone makes no stop.
    pub arrive_by: Option<Date>,
}

/// How long a boat stays in harbour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stay {
    /// For so many hours, 0 to 8,760: [`Stay::HOURS`].
    Hours(f64),
    /// Until 00:00 UTC of a day; not at all where she arrives after that.
    Until(Date),
}

/// What is to be had at a stop.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize, Deserialize,
)]
pub enum Goods {
    /// Fresh water.
    #[serde(rename = "water")]
    Water,
    /// Diesel: she leaves with full tanks.
    #[serde(rename = "diesel")]
    Diesel,
    /// Fresh food.
    #[serde(rename = "fresh food")]
    FreshFood,
    /// All of these.
    #[serde(rename = "all")]
    All,
}

impl Stay {
    /// How many hours a stay may be: up to 365 days.
    pub const HOURS: Range = Range::new("the stay", "h", 0.0, 8760.0);
}

impl Default for Stay {
    /// None.
    fn default() -> Self {
        Self::Hours(0.0)
    }
}

impl Stop {
    /// Whether the passage is broken here: she stays, may have to wait, or takes something aboard. A
    /// stay of no hours, or a day to arrive by, does not break it.
    pub fn breaks_the_passage(&self) -> bool {
        self.stay != Stay::default() || self.leave_after.is_some() || !self.resupply.is_empty()
    }

    /// Whether something is to be had here.
    pub fn has(&self, goods: Goods) -> bool {
        self.resupply.contains(&goods) || self.resupply.contains(&Goods::All)
    }

    /// How long she stays at least, hours.
    pub fn least_hours(&self) -> f64 {
        match self.stay {
            Stay::Hours(hours) => hours,
            Stay::Until(_) => 0.0,
        }
    }

    /// The day before which she does not leave, whenever she arrives.
    pub fn not_before(&self) -> Option<Date> {
        let until = match self.stay {
            Stay::Hours(_) => None,
            Stay::Until(day) => Some(day),
        };
        until.max(self.leave_after)
    }

    /// When she leaves, of the hour she arrives at: both in hours after 00:00 UTC on `departure`.
    pub fn leaves_hours(&self, arrives_hours: f64, departure: Date) -> f64 {
        let ready_hours = arrives_hours + self.least_hours();
        self.not_before()
            .map_or(ready_hours, |day| ready_hours.max(hours_to(departure, day)))
    }
}

/// Hours from 00:00 UTC on one day to 00:00 UTC on another.
pub fn hours_to(from: Date, to: Date) -> f64 {
    to.duration_since(from).as_secs() as f64 / 3600.0
}

/// A part of a route that is sailed without a stop.
#[derive(Debug, Clone, Copy)]
pub struct Stage<'a> {
    /// Its number on its route, from 1.
    pub number: usize,
    /// The name of the waypoint it leaves.
    pub from: &'a str,
    /// The name of the waypoint it ends at.
    pub to: &'a str,
    /// Its legs; never none.
    pub legs: &'a [Leg],
    /// From the route's start to its own, nautical miles.
    pub start_nm: f64,
    /// From the route's start to its end, nautical miles.
    pub end_nm: f64,
    /// The stop at its end; none at the route's end.
    pub stop: Option<&'a Stop>,
}

/// A day by which a boat means to be at a waypoint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deadline<'a> {
    /// The waypoint's number on its route, from 1.
    pub waypoint: usize,
    /// Its name.
    pub at: &'a str,
    /// From the route's start to it, nautical miles.
    pub run_nm: f64,
    /// The last day on which she is not late, UTC.
    pub by: Date,
}

impl Route {
    /// The parts of the route between its stops, in the order they are sailed: one for a route without.
    pub fn stages(&self) -> Vec<Stage<'_>> {
        let (mut stages, mut first, mut start_nm, mut end_nm) = (Vec::new(), 0, 0.0, 0.0);
        for (index, leg) in self.legs().iter().enumerate() {
            end_nm += leg.track.length_nm();
            let stop = self.stop_after(leg);
            if stop.is_none() && index + 1 < self.legs().len() {
                continue;
            }
            let legs = &self.legs()[first..=index];
            stages.push(Stage {
                number: stages.len() + 1,
                from: &legs[0].from,
                to: &leg.to,
                legs,
                start_nm,
                end_nm,
                stop,
            });
            (first, start_nm) = (index + 1, end_nm);
        }
        stages
    }

    /// The stop at a leg's end; none where the route is not broken there.
    pub fn stop_after(&self, leg: &Leg) -> Option<&Stop> {
        let stop = self.waypoints().get(leg.number)?.stop.as_ref()?;
        let is_last = leg.number == self.legs().len();
        (!is_last && stop.breaks_the_passage()).then_some(stop)
    }

    /// Whether the route is broken by a stop anywhere.
    pub fn has_stops(&self) -> bool {
        let stops = self.waypoints().iter();
        stops
            .filter_map(|waypoint| waypoint.stop.as_ref())
            .any(Stop::breaks_the_passage)
    }

    /// The days by which she means to be at waypoints, in the order they are passed.
    pub fn deadlines(&self) -> Vec<Deadline<'_>> {
        let mut run_nm = 0.0;
        let mut deadlines = Vec::new();
        for (leg, waypoint) in self.legs().iter().zip(&self.waypoints()[1..]) {
            run_nm += leg.track.length_nm();
            let stop = waypoint.stop.as_ref();
            if let Some(by) = stop.and_then(|stop| stop.arrive_by) {
                deadlines.push(Deadline {
                    waypoint: leg.number + 1,
                    at: &waypoint.name,
                    run_nm,
                    by,
                });
            }
        }
        deadlines
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::geodesy::{LegKind, Position};
    use crate::route::Waypoint;

    fn route(stops: [Option<Stop>; 4]) -> Route {
        let waypoints = stops.into_iter().zip(["A", "B", "C", "D"]).enumerate();
        let waypoints = waypoints.map(|(index, (stop, name))| {
            let place = Position::new(0.0, 2.0 * index as f64).unwrap();
            Waypoint {
                stop,
                ..Waypoint::new(name, place, LegKind::Rhumb)
            }
        });
        Route::new("East", waypoints.collect()).unwrap()
    }

    fn stay(hours: f64) -> Option<Stop> {
        Some(Stop {
            stay: Stay::Hours(hours),
            ..Stop::default()
        })
    }

    #[test]
    fn stages_lie_between_stops_and_a_stay_of_nothing_is_none() {
        let whole = route([None, None, stay(0.0), None]);
        assert!(!whole.has_stops());
        assert_eq!(whole.stages().len(), 1);
        assert_eq!(whole.stages()[0].end_nm, whole.length_nm());
        let halved = route([None, None, stay(24.0), None]);
        let stages = halved.stages();
        let ends: Vec<_> = stages
            .iter()
            .map(|stage| (stage.number, stage.from, stage.to, stage.legs.len()))
            .collect();
        assert_eq!(ends, [(1, "A", "C", 2), (2, "C", "D", 1)]);
        assert_eq!(stages[0].end_nm, stages[1].start_nm);
        assert!(stages[0].stop.is_some() && stages[1].stop.is_none());
    }

    #[test]
    fn a_day_to_arrive_by_is_no_stop() {
        let by = Some(Stop {
            arrive_by: Some(date(2027, 7, 1)),
            ..Stop::default()
        });
        let route = route([None, by.clone(), None, by]);
        assert!(!route.has_stops());
        let deadlines = route.deadlines();
        let at: Vec<_> = deadlines.iter().map(|one| (one.waypoint, one.at)).collect();
        assert_eq!(at, [(2, "B"), (4, "D")]);
        assert_eq!(deadlines[1].run_nm, route.length_nm());
    }

    #[test]
    fn she_leaves_at_the_later_of_the_day_and_her_stay() {
        let stop = Stop {
            stay: Stay::Hours(48.0),
            leave_after: Some(date(2027, 5, 11)),
            ..Stop::default()
        };
        let leaves = |arrives| stop.leaves_hours(arrives, date(2027, 5, 1));
        assert_eq!(leaves(100.0), 240.0);
        assert_eq!(leaves(192.0), 240.0);
        assert_eq!(leaves(200.0), 248.0);
        let until = Stop {
            stay: Stay::Until(date(2027, 5, 2)),
            ..Stop::default()
        };
        assert_eq!(until.leaves_hours(30.0, date(2027, 5, 1)), 30.0);
    }

    #[test]
    fn all_is_each_of_them() {
        let stop = |resupply: &[Goods]| Stop {
            resupply: resupply.to_vec(),
            ..Stop::default()
        };
        assert!(stop(&[Goods::All]).has(Goods::Diesel));
        assert!(stop(&[Goods::Water]).breaks_the_passage());
        assert!(!stop(&[Goods::Water]).has(Goods::Diesel));
    }
}
