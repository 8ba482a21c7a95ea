//! The questions a crew asks, each one call with one owned result: which route, when to leave, which
//! course, what to load.
//!
//! A result holds all that a report shows, and serialises as what `--json` prints. Nothing is decided
//! after it.

mod about;
mod atlas;
mod boat;
mod check;
mod compare;
mod error;
mod first_routes;
mod keeping;
mod legs;
mod loading;
mod plan;
mod plan_search;
mod rally;
mod sea_ends;
mod season;
mod shape;
mod swings;
mod trade_off;
mod verdict;
mod winds;
mod years;

pub use about::{AboutCurrents, AboutVoyage, AboutWinds};
pub use atlas::{AtlasAsk, AtlasFigures, AtlasPassage, AtlasPlace, AtlasWay, atlas};
pub use boat::{
    AboutBoat, BestHeadings, BoatSpeeds, CourseMadeGoodTable, FittedFactor, LearnedBoat,
    PolarTable, boat_speeds, fit, learn,
};
pub use check::{CheckedRoute, CheckedVoyage, check};
pub use compare::{Comparison, DaysGained, Pair, RouteResult, SecondWinds, compare, compare_also};
pub use error::StudyError;
pub use first_routes::{FirstRoutes, InTheWay, first_routes};
pub use keeping::{
    DateSpan, DeadlineMissed, DeadlinesKept, Keeping, MOST_LATE, StageInStorms, StormsKept,
};
pub use legs::{LaidOffRoute, Legs, laid_off, legs};
pub use loading::{Loading, RouteLoading, stores};
pub use plan::{
    FailingStage, Obstacle, PLAN_MONTHS, Plan, PlanOptions, PlanStage, PlannedWay, StageChoice,
    WayDeparture, YearPlan, year_plan,
};
pub use rally::{BoatInRally, Entry, Rally, RallyRoute, rally};
pub use sea_ends::InlandEnd;
pub use season::{MonthOfDeparture, Season, SeasonOptions, SeasonRoute, season};
pub use shape::{LimitCost, ShapeOptions, ShapedCourse, Shaping, shape};
pub use swings::{Assumption, Swing, SwungDifference, SwungRoute};
pub use trade_off::{TradeOff, TradeOffCourse};
pub use verdict::Verdict;
pub use winds::{
    Components, ForceFigures, PlaceWinds, SECTORS, SectorFigures, SpeedShares, SurveyedWinds,
    WindFigures, winds_along, winds_at,
};
pub use years::{DaysOfYear, RealYear, RealYears, YearsOfRoute, years};

use crate::passage::EnsembleOptions;

/// How a question is answered; the default is that of the command line.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Options {
    /// How many simulated passages, from which seed.
    pub ensemble: EnsembleOptions,
    /// Whether a comparison tries its assumptions out.
    pub swings: bool,
    /// Whether a comparison works out what to load, where the voyage says who is aboard.
    pub loading: bool,
}

impl Default for Options {
    /// The usual ensemble, with swings and what to load.
    fn default() -> Self {
        Self {
            ensemble: EnsembleOptions::default(),
            swings: true,
            loading: true,
        }
    }
}

impl Options {
    /// These options without swings: the verdict then rests on the difference of the days alone.
    pub fn without_swings(mut self) -> Self {
        self.swings = false;
        self
    }

    /// These options without what to load.
    pub fn without_loading(mut self) -> Self {
        self.loading = false;
        self
    }

    /// These options with another ensemble.
    pub fn with_ensemble(mut self, ensemble: EnsembleOptions) -> Self {
        self.ensemble = ensemble;
        self
    }
}
