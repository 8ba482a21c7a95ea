//! From the spread of passage days to diesel, water, food, power, spares and watches.
//!
//! [`read_settings`] decodes what the voyage says, [`passage_outcome`] gathers what the ensemble
//! found. The rest is pure calculation: [`StoresSettings`] and a [`PassageOutcome`] go into
//! [`LoadingPlan::of`]. Every [`Line`] carries its quantity and unit, the
//! days, rate and reserve it came from, and the rule with its origin and how far that was followed.
//!
//! Each subject's module holds its settings, defaults and allowed ranges; the types most callers need
//! are named here.
//!
//! Minimums are not targets; the skipper decides.

pub mod basis;
pub mod crew;
pub mod days;
pub mod energy;
pub mod engine;
pub mod error;
pub mod food;
pub mod fuel;
pub mod line;
pub mod loading;
pub mod of_passage;
pub mod outcome;
pub mod power;
pub mod power_sources;
pub mod provisions;
pub mod route_plan;
mod samples;
pub mod service;
pub mod settings_file;
pub mod sun;
pub mod watches;
pub mod water;
pub mod watermaker;

pub use basis::{Basis, Known, Status};
pub use crew::{Activity, Animal, Body, CrewSettings, FoodNeed, Person, Pet, Sex};
pub use days::{DaysPlan, ReserveSettings, ResupplySettings, Supply};
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
pub use power_sources::{Alternator, Battery, Solar, WindGenerator};
pub use provisions::{FoodKind, Keeping, default_kinds};
pub use route_plan::{RoutePlan, TooFewArrive};
pub use service::{Interval, Prompt, ServiceItem, ServicePlan, ServiceSettings, System};
pub use settings_file::{read_settings, read_settings_if_any};
pub use sun::{SunDay, daylight_h};
pub use watches::{Turn, WatchPlan, WatchSettings};
pub use water::{WaterPlan, WaterSettings, WaterUse};
pub use watermaker::{Watermaker, WatermakerPlan};
