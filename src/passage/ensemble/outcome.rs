//! What an ensemble says: the spread of days, what is met, and the chances.

use jiff::SignedDuration;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::block::{MOST_DAYS, Passage, STEP_HOURS};
use super::look_up::{ABAFT, GALE, HARD_BEAT, HEADWIND, LIGHT_AIR, STRONG, UNDER_POWER};
use super::options::EnsembleOptions;
use crate::boat::Engine;
use crate::passage::cyclone_time::Reach;
use crate::passage::{CycloneTime, Exposure};
use crate::units::{quantile, quantile_of_unsorted};

/// A hard beat longer than this is counted as a long one, in hours.
const LONG_HARD_BEAT_HOURS: f64 = 24.0;

/// The spread of many passages along one route.
#[derive(Debug, Clone, PartialEq)]
pub struct Ensemble {
    /// The day the passages begin.
    pub departure: Date,
    /// How many passages there are.
    pub members: usize,
    /// The seed they came from.
    pub seed: u64,
    /// How long winds persist, in hours.
    pub persistence_hours: f64,
    /// Every passage's days, in rising order; infinite for one that does not arrive in 400 days.
    days: Vec<f64>,
    /// The mean time under way in hours, 400 days for a passage that does not arrive.
    mean_hours: f64,
    /// What the passages meet, in hours.
    pub exposure_hours: ExposureHours,
    /// Chances, 0 to 1.
    pub chance: Chance,
    /// The time in cyclone waters in their season; none where half the passages do not arrive.
    pub cyclone_time: Option<CycloneTime>,
    /// Every passage's longest spell of light air, in hours, in rising order.
    longest_light_air_h: Vec<f64>,
    /// Every passage's diesel, in litres, in rising order; none without an engine.
    litres: Option<Vec<f64>>,
    /// Every passage by itself, in the members' order.
    each: Vec<MemberPassage>,
}

/// What came of one passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberPassage {
    /// Hours under way; none for one that does not arrive in 400 days.
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

/// The mean and the value that nine passages in ten stay below, in hours.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct MeanAnd90 {
    /// The mean over all passages, hours.
    pub mean: f64,
    /// What 90 passages in a hundred stay below, hours.
    pub p90: f64,
}

/// Hours of each kind of exposure.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct ExposureHours {
    /// Hours with the wind less than 60 degrees off the course.
    pub headwind: MeanAnd90,
    /// Hours with a headwind of 20 kn or more.
    pub hard_beat: MeanAnd90,
    /// Hours with the wind more than 110 degrees off the course.
    pub abaft: MeanAnd90,
    /// Hours with wind below 6 kn.
    pub light_air: MeanAnd90,
    /// Hours with wind of 22 kn or more.
    pub strong: MeanAnd90,
    /// Hours with wind of 34 kn or more.
    pub gale: MeanAnd90,
    /// Hours under power.
    pub under_power: MeanAnd90,
}

/// Chances over a whole passage, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Chance {
    /// Chance of at least one gale of six hours or more.
    pub gale_6h: f64,
    /// Chance of at least one hard beat of more than 24 hours.
    pub hard_beat_24h: f64,
    /// Chance that the engine is wanted to make way after its fuel is spent; none without an engine.
    /// Charging and a reserve for the arrival are not in it.
    pub dry_tanks: Option<f64>,
    /// Chance that the passage is not over after 400 days.
    pub no_arrival: f64,
}

impl Ensemble {
    pub(super) fn new(
        passages: &[Passage],
        departure: Date,
        options: &EnsembleOptions,
        engine: Option<&Engine>,
        cyclone_reaches: &[Reach],
    ) -> Self {
        let sorted = |value: &dyn Fn(&Passage) -> f64| {
            let mut values: Vec<f64> = passages.iter().map(value).collect();
            values.sort_unstable_by(f64::total_cmp);
            values
        };
        let share = |is: &dyn Fn(&Passage) -> bool| {
            passages.iter().filter(|passage| is(passage)).count() as f64 / passages.len() as f64
        };
        let met = |kind: usize| {
            let hours = passages.iter().map(|passage| passage.exposure_hours[kind]);
            let mut hours: Vec<f64> = hours.collect();
            MeanAnd90 {
                mean: hours.iter().sum::<f64>() / hours.len() as f64,
                p90: quantile_of_unsorted(&mut hours, 0.9).unwrap_or(f64::NAN),
            }
        };
        let long_steps = (LONG_HARD_BEAT_HOURS / STEP_HOURS) as u32;
        let mut ensemble = Self {
            departure,
            members: options.members,
            seed: options.seed,
            persistence_hours: options.persistence_hours,
            days: sorted(&|passage| passage.hours / 24.0),
            mean_hours: passages
                .iter()
                .map(|passage| passage.hours.min(MOST_DAYS as f64 * 24.0))
                .sum::<f64>()
                / passages.len() as f64,
            exposure_hours: ExposureHours {
                headwind: met(HEADWIND),
                hard_beat: met(HARD_BEAT),
                abaft: met(ABAFT),
                light_air: met(LIGHT_AIR),
                strong: met(STRONG),
                gale: met(GALE),
                under_power: met(UNDER_POWER),
            },
            chance: Chance {
                gale_6h: share(&|passage| passage.gale_spell),
                hard_beat_24h: share(&|passage| passage.hard_beat_steps > long_steps),
                dry_tanks: engine.map(|_| share(&|passage| passage.dry)),
                no_arrival: share(&|passage| passage.hours.is_infinite()),
            },
            cyclone_time: None,
            longest_light_air_h: sorted(&|passage| f64::from(passage.light_air_steps) * STEP_HOURS),
            litres: engine.map(|engine| {
                sorted(&|passage| passage.exposure_hours[UNDER_POWER] * engine.litres_per_hour())
            }),
            each: passages.iter().map(MemberPassage::new).collect(),
        };
        ensemble.cyclone_time = CycloneTime::of(&ensemble, cyclone_reaches);
        ensemble
    }

    /// Shares of all the passages' time together.
    pub fn exposure(&self) -> Exposure {
        let share = |hours: MeanAnd90| hours.mean / self.mean_hours;
        let hours = &self.exposure_hours;
        Exposure {
            headwind: share(hours.headwind),
            hard_beat: share(hours.hard_beat),
            abaft: share(hours.abaft),
            light_air: share(hours.light_air),
            strong: share(hours.strong),
            gale: share(hours.gale),
            under_power: share(hours.under_power),
        }
    }

    /// The share of time in cyclone waters in their season, at the pace that has most of it; none
    /// where half the passages do not arrive.
    pub fn cyclone_share(&self) -> Option<f64> {
        Some(self.cyclone_time.as_ref()?.share)
    }

    /// The days that a share of the passages stay below; none where that share does not arrive.
    pub fn days_at(&self, share: f64) -> Option<f64> {
        quantile(&self.days, share).filter(|days| days.is_finite())
    }

    /// The date by which a share of the passages have arrived, UTC; none where that share does not
    /// arrive.
    pub fn arrival_at(&self, share: f64) -> Option<Date> {
        let hours = self.days_at(share)? * 24.0;
        let left = self.departure.at(0, 0, 0, 0);
        Some(
            left.saturating_add(SignedDuration::from_secs_f64(hours * 3600.0))
                .date(),
        )
    }

    /// The mean of the days; none where a passage does not arrive.
    pub fn mean_days(&self) -> Option<f64> {
        let mean = self.days.iter().sum::<f64>() / self.days.len() as f64;
        mean.is_finite().then_some(mean)
    }

    /// Every passage's days in rising order; infinite for one that does not arrive.
    pub fn days(&self) -> &[f64] {
        &self.days
    }

    /// Every passage by itself, in the members' order.
    pub fn each_member(&self) -> &[MemberPassage] {
        &self.each
    }

    /// The longest spell of light air that a share of the passages stay below, in hours.
    pub fn longest_light_air_h_at(&self, share: f64) -> Option<f64> {
        quantile(&self.longest_light_air_h, share)
    }

    /// The diesel that a share of the passages stay below, in litres; none without an engine.
    pub fn litres_at(&self, share: f64) -> Option<f64> {
        quantile(self.litres.as_deref()?, share)
    }
}

impl MemberPassage {
    fn new(passage: &Passage) -> Self {
        let hours = passage.hours;
        Self {
            hours: hours.is_finite().then_some(hours),
            under_power_hours: passage.exposure_hours[UNDER_POWER],
            gale_hours: passage.exposure_hours[GALE],
            hard_beat_hours: passage.exposure_hours[HARD_BEAT],
            ran_dry: passage.dry,
        }
    }
}

/// The chance that a passage of `first` takes fewer days than one of `second`, drawn independently:
/// the share of all pairs, an equal pair counting half.
pub fn chance_first_arrives_before(first: &Ensemble, second: &Ensemble) -> f64 {
    let mut won = 0.0;
    for days in &first.days {
        let not_after = second.days.partition_point(|other| other <= days);
        let before = second.days.partition_point(|other| other < days);
        won += (second.days.len() - not_after) as f64 + 0.5 * (not_after - before) as f64;
    }
    won / (first.days.len() as f64 * second.days.len() as f64)
}
