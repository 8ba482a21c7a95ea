//! A route's stages and deadlines, and the clock that stands still between the stages.

use jiff::civil::Date;

use crate::route::{Route, Stop, hours_to};

/// The stages and deadlines of a route.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Itinerary {
    /// The stages in order; never none.
    pub stages: Vec<StagePlan>,
    /// The deadlines in the order they are reached.
    pub deadlines: Vec<DeadlinePlan>,
}

/// One stage.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct StagePlan {
    pub from: String,
    pub to: String,
    /// Its first and its last leg, from 1.
    pub legs: [usize; 2],
    /// Its ends, nautical miles from the route's start.
    pub start_nm: f64,
    pub end_nm: f64,
    /// The stop at its end; none at the route's.
    pub stop: Option<Stop>,
}

/// One deadline.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DeadlinePlan {
    /// The waypoint's number, from 1.
    pub waypoint: usize,
    pub at: String,
    /// The number, from 1, of the stage on which or at whose end it lies.
    pub stage: usize,
    pub run_nm: f64,
    pub by: Date,
}

impl Itinerary {
    pub fn of(route: &Route) -> Self {
        let stages = route.stages();
        let stage_of = |run_nm: f64| {
            let within = stages.iter().find(|stage| run_nm <= stage.end_nm);
            within.map_or(stages.len(), |stage| stage.number)
        };
        let deadlines = route.deadlines().into_iter().map(|deadline| DeadlinePlan {
            waypoint: deadline.waypoint,
            at: deadline.at.to_owned(),
            stage: stage_of(deadline.run_nm),
            run_nm: deadline.run_nm,
            by: deadline.by,
        });
        Self {
            deadlines: deadlines.collect(),
            stages: stages
                .iter()
                .map(|stage| StagePlan {
                    from: stage.from.to_owned(),
                    to: stage.to.to_owned(),
                    legs: [
                        stage.legs[0].number,
                        stage.legs[stage.legs.len() - 1].number,
                    ],
                    start_nm: stage.start_nm,
                    end_nm: stage.end_nm,
                    stop: stage.stop.cloned(),
                })
                .collect(),
        }
    }

    /// Whether there is a stop anywhere.
    pub fn has_stops(&self) -> bool {
        self.stages.len() > 1
    }

    /// Hours in harbour before she passes a place on the route, for one who leaves on `departure` and
    /// has been `sea_hours_to(run_nm)` at sea when she is `run_nm` along it. A stop at the place itself
    /// does not count.
    pub fn harbour_hours_before(
        &self,
        run_nm: f64,
        departure: Date,
        sea_hours_to: impl Fn(f64) -> f64,
    ) -> f64 {
        let mut harbour_hours = 0.0;
        for stage in self.stages.iter().take_while(|stage| stage.end_nm < run_nm) {
            if let Some(stop) = &stage.stop {
                let arrives_hours = sea_hours_to(stage.end_nm) + harbour_hours;
                harbour_hours += stop.leaves_hours(arrives_hours, departure) - arrives_hours;
            }
        }
        harbour_hours
    }

    /// More hours than anyone spends in harbour who leaves on `departure`, whenever she arrives.
    pub fn most_harbour_hours(&self, departure: Date) -> f64 {
        let stops = || self.stages.iter().filter_map(|stage| stage.stop.as_ref());
        let waits = stops().filter_map(Stop::not_before);
        let waits = waits.map(|day| hours_to(departure, day));
        stops().map(Stop::least_hours).sum::<f64>() + waits.fold(0.0, f64::max)
    }
}
