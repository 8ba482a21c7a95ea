//! A year of several passages: when to leave on each and by which way.

use jiff::ToSpan as _;
use jiff::civil::Date;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use super::keeping::{DeadlineMissed, MOST_LATE};
use super::plan_search::{Choice, Choices, Price, Step, best_choices};
use super::{Options, StudyError};
use crate::climate::{Climate, Month, SeasonDay, StormDays, storm_chance};
use crate::geodesy::Position;
use crate::passage::{
    Ensemble, EnsembleOptions, EnsembleRunner, ExposureKind, Late, MOST_PASSAGES,
    MOST_STORM_CHANCE, PassageError,
};
use crate::route::{Goods, Land, LandCheck, Route, hours_to};
use crate::units::{Range, quantile_of_unsorted};
use crate::voyage::{PlannedStage, Voyage};

/// Through how many months departures are tried.
pub const PLAN_MONTHS: Range = Range::new("months of departures", "", 12.0, 24.0);

/// Which departures a plan is made from, and what its stages must keep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanOptions {
    /// How far apart they are, in days: 1 to 31.
    pub every_days: u8,
    /// Through how many months from the voyage's departure they run: [`PLAN_MONTHS`].
    pub months: u8,
    /// The greatest chance of a storm within 200 nm on a stage, 0 to 1, beyond which one is taken only
    /// where there is no other plan.
    pub most_storm_chance: f64,
}

impl Default for PlanOptions {
    /// Every five days through twelve months; a chance of a storm of 5 %.
    fn default() -> Self {
        Self {
            every_days: 5,
            months: 12,
            most_storm_chance: MOST_STORM_CHANCE,
        }
    }
}

/// The best dates and ways for the stages of a voyage. Each stage begins no earlier than the day on which
/// nine passages in ten of the stage before have arrived, and the least stay after it; every deadline is
/// kept in nine cases of ten. Of such plans those are best whose stages exceed the chance of a storm by
/// least in sum, in tenths of a per cent; of those the best by time and the best by hardship are given.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct YearPlan {
    /// Which voyage, boat and winds.
    pub voyage: AboutVoyage,
    /// How the passages were simulated.
    pub simulated: EnsembleOptions,
    /// The chance of a storm within 200 nm on a stage, 0 to 1, beyond which one is taken only where there
    /// is no other plan.
    pub most_storm_chance: f64,
    /// The greatest chance to be late at which a deadline counts as kept, 0 to 1.
    pub most_late_chance: f64,
    /// The first departure tried.
    #[schemars(with = "String", extend("format" = "date"))]
    pub first: Date,
    /// Through how many months departures were tried.
    pub months: u8,
    /// The last departure tried.
    #[schemars(with = "String", extend("format" = "date"))]
    pub last: Date,
    /// The stages with all that was tried, in the order they are sailed.
    pub stages: Vec<StageChoice>,
    /// The plan with the fewest days at sea, the medians of its stages added up, in tenths, or the one that
    /// ends first of several; none where there is no plan.
    pub by_time: Option<Plan>,
    /// The plan with the fewest hours of hardship, then with the fewest days at sea; none where there is
    /// none.
    pub by_hardship: Option<Plan>,
    /// The stage at which every plan ends; none where there are plans.
    pub fails: Option<FailingStage>,
}

/// One stage, with all that was tried of it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct StageChoice {
    /// Its name.
    pub name: String,
    /// The waypoint it leaves, by its first way.
    pub from: String,
    /// The waypoint it ends at, by its first way.
    pub to: String,
    /// How long she stays at its end at least, days.
    pub stay_days: f64,
    /// The first day on which she can leave its end; none where any will do.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub leave_after: Option<Date>,
    /// The last day on which she is not late at its end, UTC; none without a deadline.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub arrive_by: Option<Date>,
    /// What is to be had at its end.
    pub resupply: Vec<Goods>,
    /// The ways to choose from, in the voyage's order.
    pub ways: Vec<PlannedWay>,
}

/// One way of a stage.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct PlannedWay {
    /// Its name.
    pub name: String,
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// The storm season of its waters: the months in which a passage as long as the median of all
    /// departures, wholly within the month, would exceed the chance of a storm.
    pub storm_months: Vec<Month>,
    /// What of it lies on land.
    pub land: LandCheck,
    /// The departures tried, in order of date.
    pub departures: Vec<WayDeparture>,
}

/// What one departure brings on one way.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct WayDeparture {
    /// The day; passages begin at 00:00 UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub departure: Date,
    /// The median of the days at sea; none where half the passages do not arrive.
    pub days_p50: Option<f64>,
    /// The days at sea that nine passages in ten stay below; none where those do not arrive.
    pub days_p90: Option<f64>,
    /// The day by which half have arrived, UTC.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub arrival_p50: Option<Date>,
    /// The day by which nine in ten have arrived, UTC.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub arrival_p90: Option<Date>,
    /// The first day on which nine in ten are ready to leave again.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub ready: Option<Date>,
    /// The chance of a storm within 200 nm, 0 to 1; the greatest of its parts for a way with stops.
    pub storm_chance: Option<f64>,
    /// The chance of a gale of six hours or more, 0 to 1.
    pub gale_6h: f64,
    /// Hardship: mean hours of beating in 20 kn or more, and of wind of 34 kn or more, added up.
    pub hard_hours: f64,
    /// The greatest chance to be late, 0 to 1; none without a deadline.
    pub late_chance: Option<f64>,
    /// Days from the arrival of nine in ten to the end of the last day on which she is not late at the
    /// stage's end, negative where it is late; none without that deadline.
    pub margin_days_p90: Option<f64>,
    #[serde(skip)]
    worst: Option<Late>,
}

/// A way and a date for every stage.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Plan {
    /// The medians of the stages' days at sea, added up.
    pub days_at_sea: f64,
    /// Mean hours of beating in 20 kn or more, and of wind of 34 kn or more, added up over the stages.
    pub hard_hours: f64,
    /// The day by which half of the passages on the last stage have arrived, UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub ends: Date,
    /// The stages in the order they are sailed.
    pub stages: Vec<PlanStage>,
}

/// One stage of a plan.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct PlanStage {
    /// The stage's name.
    pub stage: String,
    /// The way's name.
    pub way: String,
    /// What it brings.
    #[serde(flatten)]
    pub sailed: WayDeparture,
    /// Days in harbour after it, from the median arrival to the next departure; none after the last stage.
    pub in_harbour_days: Option<f64>,
    /// The chance of a storm within 200 nm of the harbour in those days, 0 to 1; none after the last stage.
    /// No plan is made by it.
    pub harbour_storm_chance: Option<f64>,
}

/// Why no plan goes past a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Obstacle {
    /// A deadline is not kept in nine cases of ten, whenever she leaves.
    Deadline,
    /// One passage in ten or more does not arrive, whenever she leaves.
    NoArrival,
    /// She is not ready to leave before the last departure tried.
    NoDepartureLeft,
}

/// A stage that cannot be sailed, whatever is chosen before it.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct FailingStage {
    /// Its name.
    pub stage: String,
    /// Why it cannot.
    pub why: Obstacle,
    /// The first day on which she can be ready to leave.
    #[schemars(with = "String", extend("format" = "date"))]
    pub ready: Date,
    /// The deadline that is missed; none where it is not for that.
    pub missed: Option<DeadlineMissed>,
}

impl PlanOptions {
    /// How many stages and departures together are tried for a voyage.
    pub fn count(&self, voyage: &Voyage) -> usize {
        self.dates(voyage).len() * voyage.stages.len()
    }

    fn dates(&self, voyage: &Voyage) -> Vec<Date> {
        let first = voyage.departure;
        let end = first.saturating_add(i32::from(self.months).months());
        let every = i64::from(self.every_days.max(1)).days();
        first.series(every).take_while(|day| *day < end).collect()
    }
}

/// Finds the best dates and ways for the stages of a voyage; `done` is called as each departure of each
/// stage is finished.
///
/// # Errors
/// A gap in the climate where and when a passage needs it; too many passages in all; no day on which she
/// can leave.
pub fn year_plan(
    voyage: &Voyage,
    climate: &Climate,
    options: &Options,
    plan: PlanOptions,
    done: impl Fn() + Sync,
) -> Result<YearPlan, StudyError> {
    let dates = plan.dates(voyage);
    let last = dates.last().copied().unwrap_or(voyage.departure);
    if let Some(leave_after) = voyage.leave_after.filter(|from| *from > last) {
        let first = voyage.departure;
        return Err(PassageError::NoDeparture { first, leave_after }.into());
    }
    let members = options.ensemble.members;
    let parts: usize = voyage.routes.iter().map(|way| way.stages().len()).sum();
    if members * dates.len() * parts > MOST_PASSAGES {
        let (departures, stages) = (dates.len(), parts);
        return Err(PassageError::TooMany {
            members,
            departures,
            stages,
        }
        .into());
    }
    let stages = voyage.stages.iter();
    let stages = stages
        .map(|stage| {
            let runner = EnsembleRunner::new(&voyage.boat, &stage.ways, climate, options.ensemble);
            let sailed: Vec<Vec<WayDeparture>> = dates
                .par_iter()
                .map(|date| {
                    let ways = (0..stage.ways.len()).map(|way| {
                        let ensemble = runner.run(way, *date)?;
                        Ok(WayDeparture::new(&ensemble, stage))
                    });
                    let ways = ways.collect::<Result<_, PassageError>>()?;
                    done();
                    Ok(ways)
                })
                .collect::<Result<_, PassageError>>()?;
            Ok(StageChoice::new(stage, &sailed, plan.most_storm_chance))
        })
        .collect::<Result<Vec<_>, PassageError>>()?;
    let search = Search {
        stages: &stages,
        dates: &dates,
        harbours: voyage
            .stages
            .iter()
            .map(|stage| stage.end().position)
            .collect(),
        leave_after: voyage.leave_after,
        most_storm_chance: plan.most_storm_chance,
    };
    let [by_time, by_hardship] = [Aim::Time, Aim::Hardship].map(|aim| search.best(aim));
    let fails = by_time.is_none().then(|| search.failing()).flatten();
    Ok(YearPlan {
        voyage: AboutVoyage::new(voyage, climate),
        simulated: options.ensemble,
        most_storm_chance: plan.most_storm_chance,
        most_late_chance: MOST_LATE,
        first: voyage.departure,
        months: plan.months,
        last,
        by_time,
        by_hardship,
        fails,
        stages,
    })
}

impl WayDeparture {
    fn new(ensemble: &Ensemble, stage: &PlannedStage) -> Self {
        let departure = ensemble.departure;
        let whole_p90 = ensemble.whole_days.unwrap_or(ensemble.days).p90;
        let ready = whole_p90.map(|days| {
            let days = days + stage.stop.least_hours() / 24.0;
            let ready = departure.saturating_add((days.ceil() as i64).days());
            stage.stop.leave_after.map_or(ready, |day| ready.max(day))
        });
        let by_days = |by| hours_to(departure, by) / 24.0 + 1.0;
        let margin = stage.stop.arrive_by.zip(whole_p90);
        let hours = |kind| ensemble.exposure_hours[kind].mean;
        let worst = ensemble.worst_late();
        Self {
            departure,
            days_p50: ensemble.days.p50,
            days_p90: ensemble.days.p90,
            arrival_p50: ensemble.arrival.p50,
            arrival_p90: ensemble.arrival.p90,
            ready,
            storm_chance: ensemble.stormiest_stage().map(|(_, chance)| chance),
            gale_6h: ensemble.chance.gale_6h,
            hard_hours: hours(ExposureKind::HardBeat) + hours(ExposureKind::Gale),
            late_chance: worst.map(|late| late.chance),
            margin_days_p90: margin.map(|(by, days)| by_days(by) - days),
            worst: worst.cloned(),
        }
    }

    fn in_time(&self) -> bool {
        self.late_chance.is_none_or(|chance| chance <= MOST_LATE)
    }
}

impl StageChoice {
    /// `sailed` has for each date what it brings on each way.
    fn new(stage: &PlannedStage, sailed: &[Vec<WayDeparture>], most_storm_chance: f64) -> Self {
        let ways = stage.ways.iter().enumerate();
        Self {
            name: stage.name.clone(),
            from: stage.start().name.clone(),
            to: stage.end().name.clone(),
            stay_days: stage.stop.least_hours() / 24.0,
            leave_after: stage.stop.leave_after,
            arrive_by: stage.stop.arrive_by,
            resupply: stage.stop.resupply.clone(),
            ways: ways
                .map(|(index, way)| {
                    let departures: Vec<WayDeparture> =
                        sailed.iter().map(|ways| ways[index].clone()).collect();
                    PlannedWay {
                        name: way.name().to_owned(),
                        distance_nm: way.length_nm(),
                        storm_months: storm_months(way, &departures, most_storm_chance),
                        land: LandCheck::of(way, Land::natural_earth()),
                        departures,
                    }
                })
                .collect(),
        }
    }
}

/// The months in which a passage of the median length would exceed the chance of a storm.
fn storm_months(way: &Route, departures: &[WayDeparture], most_storm_chance: f64) -> Vec<Month> {
    /// How far apart the places are at which the rate is read, nautical miles: a fifth of the table's
    /// cells.
    const APART_NM: f64 = 60.0;
    let mut days: Vec<f64> = departures.iter().filter_map(|one| one.days_p50).collect();
    let Some(days) = quantile_of_unsorted(&mut days, 0.5) else {
        return Vec::new();
    };
    let storms = StormDays::observed();
    let count = (way.length_nm() / APART_NM).ceil().max(1.0);
    let places = (0..count as u32).map(|place| (f64::from(place) + 0.5) / count * way.length_nm());
    let rates: Vec<_> = places
        .filter_map(|run_nm| Some(storms.at(way.at_nm(run_nm)?.1.position)))
        .collect();
    let chance = |month: &Month| {
        let sum: f64 = rates.iter().map(|rate| rate.in_month(*month)).sum();
        storm_chance(sum / rates.len() as f64 * days)
    };
    let months = Month::ALL.into_iter();
    months
        .filter(|month| chance(month) > most_storm_chance)
        .collect()
}

/// What a plan is made by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Aim {
    Time,
    Hardship,
}

/// The stages as they are searched.
struct Search<'a> {
    stages: &'a [StageChoice],
    dates: &'a [Date],
    /// Where each stage ends.
    harbours: Vec<Position>,
    leave_after: Option<Date>,
    most_storm_chance: f64,
}

impl Search<'_> {
    /// The number of the first date that is not before a day.
    fn number(&self, day: Date) -> usize {
        self.dates.partition_point(|date| *date < day)
    }

    /// The number of the first date on which she can leave at all.
    fn first(&self) -> usize {
        self.leave_after.map_or(0, |day| self.number(day))
    }

    /// A departure as a step of the search; none where it cannot be taken.
    fn step(&self, stage: usize, sailed: &WayDeparture, aim: Aim) -> Option<Step> {
        let (days, ready) = (sailed.days_p50?, sailed.ready?);
        let (storms, arrival) = (sailed.storm_chance?, sailed.arrival_p50?);
        if !sailed.in_time() {
            return None;
        }
        let tenths = |value: f64| (value * 10.0).round() as u32;
        let (days, hours) = (tenths(days), tenths(sailed.hard_hours));
        let beyond = (storms - self.most_storm_chance).max(0.0);
        let (first, second) = match aim {
            Aim::Time => (days, 0),
            Aim::Hardship => (hours, days),
        };
        let is_last = stage + 1 == self.stages.len();
        let ends = (hours_to(self.dates[0], arrival) / 24.0) as u32;
        let price = Price {
            storms: (beyond * 1000.0).ceil() as u32,
            first,
            second,
            end: if is_last { ends } else { 0 },
        };
        let ready = self.number(ready);
        Some(Step { price, ready })
    }

    fn choices(&self, aim: Aim) -> Vec<Choices> {
        let stages = self.stages.iter().enumerate();
        let choices = stages.map(|(number, stage)| {
            let first = if number == 0 { self.first() } else { 0 };
            let ways = stage.ways.iter().map(|way| {
                let departures = way.departures.iter().enumerate();
                let steps = departures.map(|(date, sailed)| {
                    (date >= first).then(|| self.step(number, sailed, aim))?
                });
                steps.collect()
            });
            ways.collect()
        });
        choices.collect()
    }

    fn best(&self, aim: Aim) -> Option<Plan> {
        let choices = best_choices(&self.choices(aim))?;
        self.plan(&choices)
    }

    fn plan(&self, choices: &[Choice]) -> Option<Plan> {
        let sailed = |stage: usize| {
            let (way, date) = *choices.get(stage)?;
            let way = &self.stages[stage].ways[way];
            Some((way, &way.departures[date]))
        };
        let stages: Option<Vec<PlanStage>> = (0..self.stages.len())
            .map(|stage| {
                let (way, here) = sailed(stage)?;
                let arrival = here.arrival_p50?;
                let next = sailed(stage + 1).map(|(_, next)| next.departure);
                let storms = next.map(|next| self.harbour_storms(stage, arrival, next));
                Some(PlanStage {
                    stage: self.stages[stage].name.clone(),
                    way: way.name.clone(),
                    sailed: here.clone(),
                    in_harbour_days: next.map(|next| hours_to(arrival, next) / 24.0),
                    harbour_storm_chance: storms,
                })
            })
            .collect();
        let stages = stages?;
        let days = stages.iter().filter_map(|stage| stage.sailed.days_p50);
        Some(Plan {
            days_at_sea: days.sum(),
            hard_hours: stages.iter().map(|stage| stage.sailed.hard_hours).sum(),
            ends: stages.last()?.sailed.arrival_p50?,
            stages,
        })
    }

    /// The chance of a storm at a stage's end between two days.
    fn harbour_storms(&self, stage: usize, from: Date, to: Date) -> f64 {
        let rate = StormDays::observed().at(self.harbours[stage]);
        let days = from.series(1.days()).take_while(|day| *day < to);
        storm_chance(days.map(|day| rate.on(SeasonDay::from_date(day))).sum())
    }

    /// The first stage that cannot be sailed, whatever is chosen before it; none where all can.
    fn failing(&self) -> Option<FailingStage> {
        let mut ready = self.dates[self.first().min(self.dates.len() - 1)];
        for (number, stage) in self.stages.iter().enumerate() {
            let from = self.number(ready);
            let ways = stage.ways.iter();
            let left: Vec<&WayDeparture> = ways
                .flat_map(|way| way.departures.iter().skip(from))
                .collect();
            let taken = left
                .iter()
                .filter(|sailed| self.step(number, sailed, Aim::Time).is_some());
            let Some(next) = taken.filter_map(|sailed| sailed.ready).min() else {
                return Some(FailingStage::new(stage, ready, &left));
            };
            ready = next;
        }
        None
    }
}

impl FailingStage {
    /// `left` are the departures from the first day on which she can be ready.
    fn new(stage: &StageChoice, ready: Date, left: &[&WayDeparture]) -> Self {
        let arriving = left.iter().filter(|sailed| sailed.ready.is_some());
        let nearest = arriving
            .filter_map(|sailed| Some((sailed.departure, sailed.worst.as_ref()?)))
            .min_by(|(_, a), (_, b)| a.chance.total_cmp(&b.chance));
        let why = match nearest {
            _ if left.is_empty() => Obstacle::NoDepartureLeft,
            Some((_, late)) if late.chance > MOST_LATE => Obstacle::Deadline,
            _ => Obstacle::NoArrival,
        };
        let missed = nearest.filter(|_| why == Obstacle::Deadline);
        Self {
            stage: stage.name.clone(),
            why,
            ready,
            missed: missed.map(|(departure, late)| DeadlineMissed {
                at: late.at.clone(),
                stage: late.stage,
                by: late.by,
                departure,
                chance: late.chance,
            }),
        }
    }
}
