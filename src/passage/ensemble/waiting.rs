//! What waiting for weather does to the passages of a route, and what it does not.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::departing::Start;
use super::late::{Late, late};
use super::outcome::{Chance, DaysPercentiles, Sailed, Summary, standard_error};
use super::stages::Calendar;
use crate::boat::Engine;
use crate::passage::itinerary::Itinerary;
use crate::units::quantile_of_unsorted;

/// What waiting for weather does. The days and chances beside it in the ensemble are with waiting.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Waiting {
    /// Each stage of the route in the order they are sailed, without those that none begins; one for a
    /// route without stops.
    pub stages: Vec<StageWaiting>,
    /// The same boats on the same days in the same winds, leaving at once.
    pub at_once: LeavingAtOnce,
    /// Mean days at sea by which a passage is shorter than if she leaves at once, negative where it is
    /// longer, of those that arrive either way; none without any. What the season has changed by the days
    /// waited is in it.
    pub sea_days_saved: Option<f64>,
    /// Standard error of that from the number of passages, days; none with fewer than 100 of them, or
    /// where any does not arrive.
    pub sea_days_saved_se: Option<f64>,
}

/// The passages of a crew that leaves at once.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LeavingAtOnce {
    /// Days at sea.
    pub days: DaysPercentiles,
    /// Days from departure to arrival.
    pub whole_days: DaysPercentiles,
    /// Chances over a whole passage, 0 to 1.
    pub chance: Chance,
    /// Each deadline, in the order they are reached; empty for a route without.
    pub late: Vec<Late>,
}

/// How a stage is waited for, of the passages that begin it.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StageWaiting {
    /// Its number on its route, from 1.
    pub number: usize,
    /// The waypoint it leaves.
    pub from: String,
    /// Mean days waited.
    pub waited_days_mean: f64,
    /// The median of the days waited.
    pub waited_days_p50: f64,
    /// Days waited that nine passages in ten stay below.
    pub waited_days_p90: f64,
    /// The share that waits at all, 0 to 1.
    pub waits: f64,
    /// The share that leaves with a forecast that does not promise what the crew asks for, having waited
    /// as long as it will, 0 to 1.
    pub gave_up: f64,
    /// The mean progress of those who leave at once over the days of the forecast, knots, for a boat of
    /// factor 1: what `wait_for_progress_share` is a share of.
    pub usual_progress_kn: f64,
    /// The first three days at sea.
    pub first_days: FirstDays,
    /// The same for a crew that leaves at once.
    pub first_days_at_once: FirstDays,
}

/// The first three days at sea.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct FirstDays {
    /// Mean progress, knots.
    pub progress_kn: f64,
    /// Chance of a gale of six hours or more.
    pub gale_6h: f64,
    /// Chance of beating in 20 kn or more for six hours or more.
    pub hard_beat_6h: f64,
    /// Mean hours of beating in 20 kn or more.
    pub hard_beat_hours: f64,
}

impl Waiting {
    pub(super) fn of(
        itinerary: &Itinerary,
        (with, at_once): (&Sailed, &Sailed),
        usual_kn: &[f64],
        departure: Date,
        engine: Option<&Engine>,
    ) -> Self {
        let count = itinerary.stages.len();
        let of_stage = |sailed: &Sailed, index: usize| -> Vec<Start> {
            let starts = sailed.starts.iter().skip(index).step_by(count);
            starts.flatten().copied().collect()
        };
        let stages = itinerary.stages.iter().zip(usual_kn).enumerate();
        let stages = stages.filter_map(|(index, (stage, usual_kn))| {
            let starts = of_stage(with, index);
            let first_days_at_once = FirstDays::of(&of_stage(at_once, index))?;
            let mean = |value: &dyn Fn(&Start) -> f64| mean(starts.iter().map(value));
            let waited_days = |share| {
                let mut days: Vec<f64> = starts.iter().map(Start::waited_days).collect();
                quantile_of_unsorted(&mut days, share)
            };
            Some(StageWaiting {
                number: index + 1,
                from: stage.from.clone(),
                waited_days_mean: mean(&Start::waited_days),
                waited_days_p50: waited_days(0.5)?,
                waited_days_p90: waited_days(0.9)?,
                waits: mean(&|start| share_of(start.waited_days > 0)),
                gave_up: mean(&|start| share_of(start.gave_up)),
                usual_progress_kn: *usual_kn,
                first_days: FirstDays::of(&starts)?,
                first_days_at_once,
            })
        });
        let saved = saved_days(with, at_once);
        let arrived: Vec<f64> = saved
            .iter()
            .copied()
            .filter(|days| days.is_finite())
            .collect();
        let summary = Summary::of(&at_once.passages, engine);
        Self {
            stages: stages.collect(),
            at_once: LeavingAtOnce {
                days: summary.days,
                whole_days: Calendar::of(at_once, itinerary).whole_days(),
                chance: summary.chance,
                late: late(itinerary, at_once, departure),
            },
            sea_days_saved: (!arrived.is_empty()).then(|| mean(arrived.into_iter())),
            sea_days_saved_se: standard_error(saved.len(), |batch| {
                Some(mean(saved[batch].iter().copied()))
            }),
        }
    }
}

/// Days at sea that each member saves; not finite for one that does not arrive both ways.
fn saved_days(with: &Sailed, at_once: &Sailed) -> Vec<f64> {
    let pairs = with.passages.iter().zip(&at_once.passages);
    pairs
        .map(|(with, at_once)| (at_once.hours - with.hours) / 24.0)
        .collect()
}

fn share_of(is: bool) -> f64 {
    f64::from(u8::from(is))
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len() as f64;
    values.sum::<f64>() / count
}

impl Start {
    fn waited_days(&self) -> f64 {
        self.waited_days as f64
    }
}

impl FirstDays {
    /// Of those who begin a stage; none without any.
    fn of(starts: &[Start]) -> Option<Self> {
        let mean = |value: &dyn Fn(&Start) -> f64| mean(starts.iter().map(value));
        (!starts.is_empty()).then(|| Self {
            progress_kn: mean(&|start| start.first.progress_kn),
            gale_6h: mean(&|start| share_of(start.first.gale_spell)),
            hard_beat_6h: mean(&|start| share_of(start.first.hard_beat_spell)),
            hard_beat_hours: mean(&|start| start.first.hard_beat_hours),
        })
    }
}
