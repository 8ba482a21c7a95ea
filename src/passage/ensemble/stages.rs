//! What an ensemble says of the stages of a route with stops.

use schemars::JsonSchema;
use serde::Serialize;

use super::outcome::{
    Chance, DatePercentiles, DaysPercentiles, Ensemble, MedianAndP90, Sailed, Summary,
};
use super::passages::{Passage, StagePassage};
use crate::boat::Engine;
use crate::climate::storm_chance;
use crate::passage::itinerary::Itinerary;
use crate::passage::{Exposure, ExposureKind};

/// One stage of a route with stops, and how the passages spread on it. Days, exposure, chances and litres
/// are of those that begin it.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StageSpread {
    /// Its number on its route, from 1.
    pub number: usize,
    /// The waypoint it leaves.
    pub from: String,
    /// The waypoint it ends at.
    pub to: String,
    /// Its first leg's number on the route, from 1.
    pub first_leg: usize,
    /// Its last leg's number on the route, from 1.
    pub last_leg: usize,
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// The day it is begun, UTC: the day of departure from the stop before.
    pub departure: DatePercentiles,
    /// The day it ends, UTC.
    pub arrival: DatePercentiles,
    /// Days at sea; none where that share of those that begin it does not arrive.
    pub days: DaysPercentiles,
    /// Days at the stop at its end; none at the route's end, or where none gets there.
    pub in_harbour_days: Option<MedianAndP90>,
    /// What is met, as shares of the time at sea.
    pub exposure: Exposure,
    /// Chances on the stage, 0 to 1.
    pub chance: Chance,
    /// Diesel burnt under power, litres; none without an engine.
    pub litres: Option<MedianAndP90>,
    /// Chance of a storm within 200 nm, 0 to 1, at the speed at which the whole passage meets most; none
    /// where half the passages do not arrive.
    pub storm_chance: Option<f64>,
}

/// What came of one member's stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberStage {
    /// Hours from the departure to the stage's beginning; none for one that is not begun.
    pub begins_hours: Option<f64>,
    /// Hours at sea; none for one that does not arrive.
    pub hours: Option<f64>,
    /// Hours under power.
    pub under_power_hours: f64,
    /// Hours of wind of 34 kn or more.
    pub gale_hours: f64,
    /// Hours of headwind of 20 kn or more.
    pub hard_beat_hours: f64,
    /// Whether the engine was wanted after its fuel was spent.
    pub ran_dry: bool,
}

impl MemberStage {
    pub(super) fn new(stage: &StagePassage) -> Self {
        let (begins_hours, passage) = (stage.begins_hours, &stage.passage);
        Self {
            begins_hours: begins_hours.is_finite().then_some(begins_hours),
            hours: passage.hours.is_finite().then_some(passage.hours),
            under_power_hours: passage.exposure_hours[ExposureKind::UnderPower],
            gale_hours: passage.exposure_hours[ExposureKind::Gale],
            hard_beat_hours: passage.exposure_hours[ExposureKind::HardBeat],
            ran_dry: passage.dry,
        }
    }

    /// Hours from the departure to the stage's end; none for one that does not arrive.
    pub fn arrives_hours(&self) -> Option<f64> {
        Some(self.begins_hours? + self.hours?)
    }
}

/// Each member's days from departure to arrival, and in harbour.
pub(super) struct Calendar {
    /// In the members' order.
    whole_days: Vec<f64>,
    /// In rising order.
    pub sorted_whole_days: Vec<f64>,
    /// Of those that arrive.
    in_harbour_days: Vec<f64>,
}

impl Calendar {
    /// For a route with stops.
    pub fn of(sailed: &Sailed, itinerary: &Itinerary) -> Self {
        let last_stages = sailed.stages.chunks(itinerary.stages.len());
        let last_stages = last_stages.filter_map(<[StagePassage]>::last);
        let whole_hours = last_stages.map(|stage| stage.begins_hours + stage.passage.hours);
        let whole_days: Vec<f64> = whole_hours.map(|hours| hours / 24.0).collect();
        let mut sorted_whole_days = whole_days.clone();
        sorted_whole_days.sort_unstable_by(f64::total_cmp);
        let at_sea = sailed.passages.iter().map(|passage| passage.hours / 24.0);
        let pairs = whole_days.iter().zip(at_sea);
        Self {
            in_harbour_days: pairs
                .filter(|(whole, _)| whole.is_finite())
                .map(|(whole, at_sea)| whole - at_sea)
                .collect(),
            whole_days,
            sorted_whole_days,
        }
    }

    pub fn whole_days(&self) -> DaysPercentiles {
        DaysPercentiles::of(&self.sorted_whole_days, &self.whole_days)
    }

    pub fn in_harbour_days(&self) -> Option<MedianAndP90> {
        some(self.in_harbour_days.iter().copied())
    }
}

/// Of values of which there may be none.
fn some(values: impl Iterator<Item = f64>) -> Option<MedianAndP90> {
    let found = MedianAndP90::of(values);
    (!found.p50.is_nan()).then_some(found)
}

/// Each stage of a route with stops.
pub(super) fn stage_spreads(
    itinerary: &Itinerary,
    sailed: &Sailed,
    ensemble: &Ensemble,
    engine: Option<&Engine>,
) -> Vec<StageSpread> {
    let count = itinerary.stages.len();
    let departure = ensemble.departure;
    let stages = itinerary.stages.iter().enumerate();
    stages
        .map(|(index, stage)| {
            let each = || sailed.stages.iter().skip(index).step_by(count);
            let dates = |hours: &dyn Fn(&StagePassage) -> f64| {
                let mut days: Vec<f64> = each().map(|stage| hours(stage) / 24.0).collect();
                days.sort_unstable_by(f64::total_cmp);
                DatePercentiles::of(&days, departure)
            };
            let begun = each().filter(|stage| stage.begins_hours.is_finite());
            let begun: Vec<Passage> = begun.map(|stage| stage.passage).collect();
            let summary = Summary::of(&begun, engine);
            let following = sailed.stages.iter().skip(index + 1).step_by(count);
            let stays = each().zip(following).map(|(stage, next)| {
                (next.begins_hours - (stage.begins_hours + stage.passage.hours)) / 24.0
            });
            let storms = ensemble.storms.as_ref().map(|storms| {
                let legs = storms.by_leg.iter();
                let legs = legs.filter(|leg| (stage.legs[0]..=stage.legs[1]).contains(&leg.leg));
                storm_chance(legs.map(|leg| leg.storm_days).sum())
            });
            StageSpread {
                number: index + 1,
                from: stage.from.clone(),
                to: stage.to.clone(),
                first_leg: stage.legs[0],
                last_leg: stage.legs[1],
                distance_nm: stage.end_nm - stage.start_nm,
                departure: dates(&|stage| stage.begins_hours),
                arrival: dates(&|stage| stage.begins_hours + stage.passage.hours),
                days: summary.days,
                in_harbour_days: stage
                    .stop
                    .as_ref()
                    .and_then(|_| some(stays.filter(|days| days.is_finite()))),
                exposure: summary.exposure,
                chance: summary.chance,
                litres: summary.litres,
                storm_chance: storms,
            }
        })
        .collect()
}
