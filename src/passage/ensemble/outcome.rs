//! What an ensemble says: the spread of days, what is met, and the chances.

use jiff::SignedDuration;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::late::{Late, late};
use super::passages::{Passage, StagePassage};
use super::stages::{Calendar, MemberStage, StageSpread, stage_spreads};
use super::steps::{MOST_DAYS, STEP_HOURS};
use super::track::TrackClimate;
use crate::boat::Engine;
use crate::passage::{ByKind, Exposure, ExposureKind, Storms};
use crate::units::{quantile, quantile_of_unsorted};

/// Beating in 20 kn or more for longer than this is counted as a long one, in hours.
const LONG_HARD_BEAT_HOURS: f64 = 24.0;

/// Many passages along one route, and how they spread.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Ensemble {
    /// The day the passages begin.
    #[serde(skip)]
    pub departure: Date,
    /// Days under way: at sea, without those in harbour.
    pub days: DaysPercentiles,
    /// The day of arrival, UTC.
    pub arrival: DatePercentiles,
    /// Days from departure to arrival, with those in harbour; none for a route without stops.
    pub whole_days: Option<DaysPercentiles>,
    /// Days in harbour, of the passages that arrive; none for a route without stops, or where none does.
    pub in_harbour_days: Option<MedianAndP90>,
    /// What is met, as shares of all the passages' time together.
    pub exposure: Exposure,
    /// What is met, in hours.
    pub exposure_hours: ByKind<MeanAnd90>,
    /// Chances over a whole passage, 0 to 1.
    pub chance: Chance,
    /// The storms to be expected; none where half the passages do not arrive.
    pub storms: Option<Storms>,
    /// The longest spell of wind below 6 kn, hours.
    pub longest_light_air_hours: MedianAndP90,
    /// Diesel burnt under power, litres; none without an engine.
    pub litres: Option<MedianAndP90>,
    /// Each stage by itself, in the order they are sailed; empty for a route without stops.
    pub stages: Vec<StageSpread>,
    /// Each deadline, in the order they are reached; empty for a route without.
    pub late: Vec<Late>,
    /// Every passage's days, in rising order; infinite for one that does not arrive in 400 days.
    #[serde(skip)]
    sorted_days: Vec<f64>,
    /// Every passage by itself, in the members' order.
    #[serde(skip)]
    each: Vec<MemberPassage>,
    #[serde(skip)]
    each_stage: Vec<MemberStage>,
}

/// Days that a share of the passages stay below; none where that share does not arrive in 400 days.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DaysPercentiles {
    /// Days that 5 % of the passages stay below.
    pub p5: Option<f64>,
    /// Days that 10 % of the passages stay below.
    pub p10: Option<f64>,
    /// Days that 25 % of the passages stay below.
    pub p25: Option<f64>,
    /// Days that half the passages stay below: the median.
    pub p50: Option<f64>,
    /// Days that 75 % of the passages stay below.
    pub p75: Option<f64>,
    /// Days that 90 % of the passages stay below.
    pub p90: Option<f64>,
    /// Days that 95 % of the passages stay below.
    pub p95: Option<f64>,
    /// The mean of the days; none where any passage does not arrive.
    pub mean: Option<f64>,
    /// Standard error of P10 from the number of passages, days; none with fewer than 100 of them, or
    /// where too few arrive.
    pub p10_se: Option<f64>,
    /// Standard error of the median, days; none as for P10.
    pub p50_se: Option<f64>,
    /// Standard error of P90, days; none as for P10.
    pub p90_se: Option<f64>,
}

/// The day by which a share of the passages have come so far, UTC; none where that share does not.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DatePercentiles {
    /// The day by which 10 % have.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub p10: Option<Date>,
    /// The day by which half have.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub p50: Option<Date>,
    /// The day by which 90 % have.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub p90: Option<Date>,
}

/// The median and P90, in the unit of the figure they belong to.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct MedianAndP90 {
    /// What half the passages stay below: the median.
    pub p50: f64,
    /// What 90 % of the passages stay below.
    pub p90: f64,
}

/// What came of one passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberPassage {
    /// The factor on her boat, beside that of the voyage.
    pub boat_factor: f64,
    /// Hours at sea; none for one that does not arrive in 400 days of them.
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

/// Chances over a whole passage, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Chance {
    /// Chance of at least one gale of six hours or more.
    pub gale_6h: f64,
    /// Chance of beating in 20 kn or more for over 24 hours at least once.
    pub hard_beat_24h: f64,
    /// Chance that the engine is wanted to make way after its fuel is spent; none without an engine.
    /// Charging and a reserve for the arrival are not in it.
    pub dry_tanks: Option<f64>,
    /// Chance that the passage is not over after 400 days at sea.
    pub no_arrival: f64,
}

/// All that came of the members of a run.
pub(super) struct Sailed {
    /// Each member's whole passage.
    pub passages: Vec<Passage>,
    /// Each member's stages, one member after the other; empty where there is but one stage.
    pub stages: Vec<StagePassage>,
    /// Each member's hours from the departure to each mark, one member after the other; empty where
    /// there is but one mark.
    pub reached_hours: Vec<f64>,
    /// The number of each deadline's mark.
    pub deadline_marks: Vec<usize>,
}

impl Sailed {
    /// Each member's hours from the departure to the mark with this number.
    pub fn reached_hours(&self, mark: usize) -> Vec<f64> {
        let marks = self.reached_hours.len() / self.passages.len();
        if marks == 0 {
            return self.passages.iter().map(|passage| passage.hours).collect();
        }
        let from_mark = self.reached_hours.iter().skip(mark);
        from_mark.step_by(marks).copied().collect()
    }
}

/// What some passages, or stages of passages, come to.
pub(super) struct Summary {
    pub days: DaysPercentiles,
    pub sorted_days: Vec<f64>,
    pub exposure: Exposure,
    pub exposure_hours: ByKind<MeanAnd90>,
    pub chance: Chance,
    pub longest_light_air_hours: MedianAndP90,
    pub litres: Option<MedianAndP90>,
}

impl Summary {
    pub fn of(passages: &[Passage], engine: Option<&Engine>) -> Self {
        let share = |is: &dyn Fn(&Passage) -> bool| {
            passages.iter().filter(|passage| is(passage)).count() as f64 / passages.len() as f64
        };
        let met = |kind: ExposureKind| {
            let hours = passages.iter().map(|passage| passage.exposure_hours[kind]);
            let mut hours: Vec<f64> = hours.collect();
            MeanAnd90 {
                mean: hours.iter().sum::<f64>() / hours.len() as f64,
                p90: quantile_of_unsorted(&mut hours, 0.9).unwrap_or(f64::NAN),
            }
        };
        let median_and_p90 =
            |value: &dyn Fn(&Passage) -> f64| MedianAndP90::of(passages.iter().map(value));
        let long_steps = (LONG_HARD_BEAT_HOURS / STEP_HOURS) as u32;
        let days: Vec<f64> = passages
            .iter()
            .map(|passage| passage.hours / 24.0)
            .collect();
        let mut sorted_days = days.clone();
        sorted_days.sort_unstable_by(f64::total_cmp);
        let mean_hours = passages
            .iter()
            .map(|passage| passage.hours.min(MOST_DAYS as f64 * 24.0))
            .sum::<f64>()
            / passages.len() as f64;
        let exposure_hours = ByKind::of(met);
        Self {
            days: DaysPercentiles::of(&sorted_days, &days),
            sorted_days,
            exposure: ByKind::of(|kind| exposure_hours[kind].mean / mean_hours),
            exposure_hours,
            chance: Chance {
                gale_6h: share(&|passage| passage.gale_spell),
                hard_beat_24h: share(&|passage| passage.hard_beat_steps > long_steps),
                dry_tanks: engine.map(|_| share(&|passage| passage.dry)),
                no_arrival: share(&|passage| passage.hours.is_infinite()),
            },
            longest_light_air_hours: median_and_p90(&|passage| {
                f64::from(passage.light_air_steps) * STEP_HOURS
            }),
            litres: engine.map(|engine| {
                median_and_p90(&|passage| {
                    passage.exposure_hours[ExposureKind::UnderPower] * engine.litres_per_hour()
                })
            }),
        }
    }
}

impl MedianAndP90 {
    /// Of values in any order; not a number without any.
    pub(super) fn of(values: impl Iterator<Item = f64>) -> Self {
        let mut values: Vec<f64> = values.collect();
        values.sort_unstable_by(f64::total_cmp);
        let at = |share| quantile(&values, share).unwrap_or(f64::NAN);
        Self {
            p50: at(0.5),
            p90: at(0.9),
        }
    }
}

impl Ensemble {
    pub(super) fn new(
        sailed: &Sailed,
        factors: &[f64],
        departure: Date,
        engine: Option<&Engine>,
        track: &TrackClimate,
    ) -> Self {
        let summary = Summary::of(&sailed.passages, engine);
        let itinerary = track.itinerary();
        let calendar = itinerary
            .has_stops()
            .then(|| Calendar::of(sailed, itinerary));
        let arrival = calendar
            .as_ref()
            .map_or(&summary.sorted_days, |calendar| &calendar.sorted_whole_days);
        let mut ensemble = Self {
            departure,
            days: summary.days,
            arrival: DatePercentiles::of(arrival, departure),
            whole_days: calendar.as_ref().map(Calendar::whole_days),
            in_harbour_days: calendar.as_ref().and_then(Calendar::in_harbour_days),
            exposure: summary.exposure,
            exposure_hours: summary.exposure_hours,
            chance: summary.chance,
            storms: None,
            longest_light_air_hours: summary.longest_light_air_hours,
            litres: summary.litres,
            stages: Vec::new(),
            late: late(itinerary, sailed, departure),
            sorted_days: summary.sorted_days,
            each: sailed
                .passages
                .iter()
                .zip(factors)
                .map(|(passage, factor)| MemberPassage::new(passage, *factor))
                .collect(),
            each_stage: sailed.stages.iter().map(MemberStage::new).collect(),
        };
        ensemble.storms = Storms::of(&ensemble, track.storms(), itinerary);
        if itinerary.has_stops() {
            ensemble.stages = stage_spreads(itinerary, sailed, &ensemble, engine);
        }
        ensemble
    }

    /// Every member's stages, one member after the other, as many for each as [`Self::stages`] has;
    /// empty for a route without stops.
    pub fn each_stage(&self) -> &[MemberStage] {
        &self.each_stage
    }

    /// Every member's hours from departure to arrival, with her days in harbour, in the members' order;
    /// infinite for one that does not arrive.
    pub fn arrival_hours(&self) -> Vec<f64> {
        if self.stages.is_empty() {
            let hours = self.each.iter().map(|member| member.hours);
            return hours.map(|hours| hours.unwrap_or(f64::INFINITY)).collect();
        }
        let last_stages = self.each_stage.chunks(self.stages.len());
        let last_stages = last_stages.filter_map(<[MemberStage]>::last);
        last_stages
            .map(|stage| stage.arrives_hours().unwrap_or(f64::INFINITY))
            .collect()
    }

    /// The days that a share of the passages stay below; none where that share does not arrive.
    pub fn days_at(&self, share: f64) -> Option<f64> {
        days_at(&self.sorted_days, share)
    }

    /// Every passage's days at sea in rising order; infinite for one that does not arrive.
    pub fn sorted_days(&self) -> &[f64] {
        &self.sorted_days
    }

    /// Every passage by itself, in the members' order.
    pub fn each_member(&self) -> &[MemberPassage] {
        &self.each
    }
}

/// The standard error of a figure of so many members in their order, from its scatter over batches of
/// them. Any members that follow one another have boats spread evenly over the distribution, as all of
/// them have, so that a batch is an ensemble in small; independent draws would not scatter like that.
/// None with fewer than 100 members, or where a batch has no such figure.
pub fn standard_error(
    members: usize,
    figure: impl Fn(std::ops::Range<usize>) -> Option<f64>,
) -> Option<f64> {
    const MOST_BATCHES: usize = 20;
    const LEAST_MEMBERS: usize = 100;
    /// Fewer say nothing of P10 and P90.
    const LEAST_IN_BATCH: usize = 20;
    if members < LEAST_MEMBERS {
        return None;
    }
    let batches = MOST_BATCHES.min(members / LEAST_IN_BATCH);
    let figures: Option<Vec<f64>> = (0..batches)
        .map(|batch| figure(batch * members / batches..(batch + 1) * members / batches))
        .collect();
    let figures = figures.filter(|figures| figures.iter().all(|figure| figure.is_finite()))?;
    let count = batches as f64;
    let mean = figures.iter().sum::<f64>() / count;
    let squares = figures.iter().map(|figure| (figure - mean).powi(2));
    Some((squares.sum::<f64>() / (count - 1.0) / count).sqrt())
}

/// The days that a share of the passages stay below; none where that share does not arrive.
fn days_at(sorted_days: &[f64], share: f64) -> Option<f64> {
    quantile(sorted_days, share).filter(|days| days.is_finite())
}

impl DaysPercentiles {
    /// Of the days in rising order and in the members' order.
    pub(super) fn of(sorted_days: &[f64], days: &[f64]) -> Self {
        let at = |share| days_at(sorted_days, share);
        let error = |share| {
            standard_error(days.len(), |batch| {
                quantile_of_unsorted(&mut days[batch].to_vec(), share)
            })
        };
        let mean = sorted_days.iter().sum::<f64>() / sorted_days.len() as f64;
        Self {
            p5: at(0.05),
            p10: at(0.1),
            p25: at(0.25),
            p50: at(0.5),
            p75: at(0.75),
            p90: at(0.9),
            p95: at(0.95),
            mean: mean.is_finite().then_some(mean),
            p10_se: error(0.1),
            p50_se: error(0.5),
            p90_se: error(0.9),
        }
    }
}

impl DatePercentiles {
    /// Of days from the departure in rising order.
    pub(super) fn of(sorted_days: &[f64], departure: Date) -> Self {
        let at = |share| {
            let hours = days_at(sorted_days, share)? * 24.0;
            let left = departure.at(0, 0, 0, 0);
            Some(
                left.saturating_add(SignedDuration::from_secs_f64(hours * 3600.0))
                    .date(),
            )
        };
        Self {
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
        }
    }
}

impl MemberPassage {
    fn new(passage: &Passage, boat_factor: f64) -> Self {
        let hours = passage.hours;
        Self {
            boat_factor,
            hours: hours.is_finite().then_some(hours),
            under_power_hours: passage.exposure_hours[ExposureKind::UnderPower],
            gale_hours: passage.exposure_hours[ExposureKind::Gale],
            hard_beat_hours: passage.exposure_hours[ExposureKind::HardBeat],
            ran_dry: passage.dry,
        }
    }
}

/// The chance that a passage along `first` arrives before one along `second` that leaves with it; days
/// in harbour count. The same boat is on both, the winds are drawn independently. Each passage of the
/// one is set against those of the other whose boats are nearest to hers in speed; an equal pair counts
/// half.
pub fn chance_first_arrives_before(first: &Ensemble, second: &Ensemble) -> f64 {
    /// So many to either side by rank of the boat's factor.
    const BESIDE: usize = 32;
    let by_factor = |ensemble: &Ensemble| {
        let mut each: Vec<(f64, f64)> = ensemble
            .each
            .iter()
            .map(|member| member.boat_factor)
            .zip(ensemble.arrival_hours())
            .collect();
        each.sort_by(|a, b| a.0.total_cmp(&b.0));
        each.into_iter()
            .map(|(_, hours)| hours)
            .collect::<Vec<f64>>()
    };
    let (first, second) = (by_factor(first), by_factor(second));
    let (mut won, mut pairs) = (0.0, 0.0);
    for (rank, hours) in first.iter().enumerate() {
        let middle = rank * second.len() / first.len();
        let beside = middle.saturating_sub(BESIDE)..(middle + BESIDE + 1).min(second.len());
        for other in &second[beside] {
            won += match hours.total_cmp(other) {
                std::cmp::Ordering::Less => 1.0,
                std::cmp::Ordering::Equal => 0.5,
                std::cmp::Ordering::Greater => 0.0,
            };
            pairs += 1.0;
        }
    }
    won / pairs
}
