//! From the spread of passage days to diesel, water, food, power, spares and watches.
//!
//! [`passage_outcome`] gathers what the ensemble found. The rest is pure calculation: [`StoresSettings`] and a [`PassageOutcome`] go into
//! [`LoadingPlan::of`]. Every [`Line`] carries its quantity and unit, the
//! days, rate and reserve it came from, and the rule with its origin and how far that was followed.
//!
//! Settings hold what the crew gives: `None` takes the default, and each line says which it was.
//!
//! Minimums are not targets; the skipper decides.

mod basis;
pub(crate) mod crew;
pub(crate) mod days;
mod energy;
mod engine;
mod error;
pub(crate) mod food;
pub(crate) mod fuel;
mod line;
mod loading;
mod of_passage;
pub(crate) mod outcome;
mod power;
pub(crate) mod power_sources;
pub(crate) mod provisions;
mod route_plan;
pub(crate) mod service;
mod sun;
pub(crate) mod watches;
pub(crate) mod water;
pub(crate) mod watermaker;

pub use basis::{Basis, Figure, Status};
pub use crew::{Activity, Animal, Body, CrewSettings, FoodNeed, Person, Pet, Sex};
pub use days::{CONFIDENCE, DaysPlan, ReserveSettings, ResupplySettings, Supply};
pub use energy::{
    daily_kcal, pet_daily_kcal, pet_resting_kcal, resting_cross_check_kcal, resting_kcal,
};
pub use error::StoresError;
pub use food::{FoodPlan, FoodSettings, Provision};
pub use fuel::{EngineSettings, FuelNeed, FuelPlan, ThresholdRow};
pub use line::{Caution, Line, Rate, Subject};
pub use loading::{Amount, LoadingPlan, StoresSettings, Summary};
pub use of_passage::{passage_outcome, threshold_trials};
pub use outcome::{
    DaysAndLitres, MemberOutcome, PassageOutcome, Percentile, ThresholdTrial, TrackDay,
};
pub use power::{DayBalance, Load, PowerPlan, PowerSettings, Running};
pub use power_sources::{Alternator, Battery, BatteryKind, Solar, WindGenerator};
pub use provisions::{DENSITY_BASIS, FoodKind, Keeping, default_kinds};
pub use route_plan::{RoutePlan, TooFewArrive};
pub use service::{Interval, Prompt, ServiceItem, ServicePlan, ServiceSettings, System};
pub use sun::{SunDay, daylight_h};
pub use watches::{Turn, WatchPlan, WatchSettings};
pub use water::{WaterPlan, WaterSettings, WaterUse};
pub use watermaker::{Watermaker, WatermakerPlan};
