//! Which departures keep the deadlines in nine cases of ten, and which keep every stage out of the storms.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::passage::{Departure, Ensemble};

/// The greatest chance to be late at which a deadline counts as kept, 0 to 1: nine cases of ten are in
/// time.
pub const MOST_LATE: f64 = 0.1;

/// What of the year keeps a route's deadlines, and what keeps its stages out of the storms.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Keeping {
    /// How the deadlines can be kept; none for a route without.
    pub deadlines: Option<DeadlinesKept>,
    /// When every stage keeps within the chance of a storm.
    pub storms: StormsKept,
    /// The latest departure that keeps both; none where none does.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub latest: Option<Date>,
}

/// How the year keeps a route's deadlines.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct DeadlinesKept {
    /// The latest departure tried that keeps every deadline in nine cases of ten; none where none does.
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub latest: Option<Date>,
    /// The greatest chance to be late on that departure, 0 to 1.
    pub late_chance: Option<f64>,
    /// Which deadline is missed; none where they can be kept.
    pub missed: Option<DeadlineMissed>,
}

/// A deadline that no departure keeps.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct DeadlineMissed {
    /// The waypoint's name.
    pub at: String,
    /// The number, from 1, of the stage on which or at whose end it lies.
    pub stage: usize,
    /// The last day on which she is not late, UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub by: Date,
    /// The departure that comes nearest to keeping all of them.
    #[schemars(with = "String", extend("format" = "date"))]
    pub departure: Date,
    /// The chance to be late there on that departure, 0 to 1.
    pub chance: f64,
}

/// When every stage of a route keeps within the chance of a storm.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StormsKept {
    /// The departures that do, those that follow one another together.
    pub departures: Vec<DateSpan>,
    /// The stage that does not on any; none where there are such departures, or no figures.
    pub fails: Option<StageInStorms>,
}

/// Departures that follow one another.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DateSpan {
    /// The first.
    #[schemars(with = "String", extend("format" = "date"))]
    pub first: Date,
    /// The last.
    #[schemars(with = "String", extend("format" = "date"))]
    pub last: Date,
}

/// A stage that meets more storms than allowed, whenever she leaves.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StageInStorms {
    /// Its number on its route, from 1.
    pub stage: usize,
    /// The waypoint it leaves; none for a route without stops.
    pub from: Option<String>,
    /// The waypoint it ends at; none for a route without stops.
    pub to: Option<String>,
    /// The departure on which the worst stage has least.
    #[schemars(with = "String", extend("format" = "date"))]
    pub departure: Date,
    /// The chance of a storm within 200 nm on that departure, 0 to 1.
    pub chance: f64,
}

/// Whether every deadline is kept in nine cases of ten.
pub(super) fn in_time(ensemble: &Ensemble) -> bool {
    ensemble
        .worst_late()
        .is_none_or(|late| late.chance <= MOST_LATE)
}

/// Whether every stage keeps within a chance of a storm.
pub(super) fn clear_of_storms(ensemble: &Ensemble, most_storm_chance: f64) -> bool {
    ensemble
        .stormiest_stage()
        .is_some_and(|(_, chance)| chance <= most_storm_chance)
}

impl Keeping {
    /// On the route numbered `route`.
    pub(super) fn of(departures: &[Departure], route: usize, most_storm_chance: f64) -> Self {
        let each = || {
            let departures = departures.iter();
            departures.map(move |departure| (departure.date, &departure.routes[route].ensemble))
        };
        let clear = |ensemble: &Ensemble| clear_of_storms(ensemble, most_storm_chance);
        let mut both = each().filter(|(_, ensemble)| in_time(ensemble) && clear(ensemble));
        Self {
            deadlines: DeadlinesKept::of(each()),
            storms: StormsKept::of(each(), clear),
            latest: both.next_back().map(|(date, _)| date),
        }
    }
}

impl DeadlinesKept {
    fn of<'a>(departures: impl Iterator<Item = (Date, &'a Ensemble)> + Clone) -> Option<Self> {
        let worst = departures.filter_map(|(date, ensemble)| Some((date, ensemble.worst_late()?)));
        let least = worst.clone();
        let (departure, least) = least.min_by(|a, b| a.1.chance.total_cmp(&b.1.chance))?;
        let kept = worst.filter(|(_, late)| late.chance <= MOST_LATE).last();
        Some(Self {
            latest: kept.map(|(date, _)| date),
            late_chance: kept.map(|(_, late)| late.chance),
            missed: kept.is_none().then(|| DeadlineMissed {
                at: least.at.clone(),
                stage: least.stage,
                by: least.by,
                departure,
                chance: least.chance,
            }),
        })
    }
}

impl StormsKept {
    fn of<'a>(
        departures: impl Iterator<Item = (Date, &'a Ensemble)> + Clone,
        clear: impl Fn(&Ensemble) -> bool,
    ) -> Self {
        let mut spans: Vec<DateSpan> = Vec::new();
        let mut goes_on = false;
        for (date, ensemble) in departures.clone() {
            let is_clear = clear(ensemble);
            match spans.last_mut() {
                Some(span) if is_clear && goes_on => span.last = date,
                _ if is_clear => spans.push(DateSpan {
                    first: date,
                    last: date,
                }),
                _ => {}
            }
            goes_on = is_clear;
        }
        let worst = departures
            .filter_map(|(date, ensemble)| Some((date, ensemble, ensemble.stormiest_stage()?)));
        let least = worst.min_by(|(.., a), (.., b)| a.1.total_cmp(&b.1));
        let least = least.filter(|_| spans.is_empty());
        Self {
            departures: spans,
            fails: least.map(|(departure, ensemble, (index, chance))| {
                let stage = ensemble.stages.get(index);
                StageInStorms {
                    stage: index + 1,
                    from: stage.map(|stage| stage.from.clone()),
                    to: stage.map(|stage| stage.to.clone()),
                    departure,
                    chance,
                }
            }),
        }
    }
}
