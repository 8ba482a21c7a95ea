//! From the spread of passage days to diesel, water, food, power, spares and watches.
//!
//! [`passage_outcome`] gathers what the ensemble found. The rest is pure calculation: [`plan`] takes
//! [`StoresSettings`] and a [`PassageOutcome`] and gives a [`LoadingPlan`]. Every [`Line`] carries its
//! quantity and unit, the days, rate, reserve and other numbers it came from, and where its rule comes
//! from; the words for it are made by whoever shows it.
//!
//! Settings hold what the crew gives: `None` takes the default, and each line says which it was.
//! All results are metric.
//!
//! Minimums are not targets; the skipper decides.

mod basis;
pub(crate) mod crew;
pub(crate) mod days;
mod error;
pub(crate) mod food;
pub(crate) mod fuel;
mod line;
mod of_passage;
pub(crate) mod outcome;
mod places;
mod plan;
mod power;
pub(crate) mod power_sources;
pub(crate) mod prices;
pub(crate) mod provisions;
pub(crate) mod service;
mod stages;
pub(crate) mod watches;
pub(crate) mod water;
pub(crate) mod watermaker;

pub use basis::{Basis, Figure, Status};
pub use crew::{
    Activity, Animal, Body, CrewSettings, FoodNeed, Person, Pet, Sex, daily_kcal, pet_daily_kcal,
    pet_resting_kcal, resting_cross_check_kcal, resting_kcal,
};
pub use days::{CONFIDENCE, DaysPlan, ReserveSettings, ResupplySettings, Supply};
pub use error::StoresError;
pub use food::{FoodPlan, FoodSettings, Provision};
pub use fuel::{EngineSettings, FuelNeed, FuelPlan};
pub use line::{Caution, Item, Line, Per, Rate, Rule, Subject};
pub use of_passage::{passage_outcome, threshold_trials};
pub use outcome::{
    DaysAndLitres, MemberOutcome, PassageOutcome, Percentile, ThresholdTrial, TrackDay,
};
pub use places::{HarbourStay, LoadedFood, LoadedLitres, PlaceStores, StagedStores, Stages};
pub use plan::{LoadingPlan, RoutePlan, StoresSettings, TooFewArrive, plan};
pub use power::{DayBalance, Load, PowerPlan, PowerSettings, Running};
pub use power_sources::{Alternator, Battery, BatteryKind, Solar, WindGenerator};
pub use prices::{Costs, PRICE, PriceSettings, Priced, Prices, Purchase};
pub use provisions::{DENSITY_BASIS, FoodKind, Keeping, default_kinds};
pub use service::{Interval, ServiceItem, ServicePlan, ServiceSettings};
pub use stages::StageOutcome;
pub use watches::{LEAST_SLEEP, LOOKOUT, Turn, WatchPlan, WatchSettings};
pub use water::{
    DRINKING_AND_COOKING, Purpose, RATION, SHORE_COOKING, SHORE_DRINKING, SHORE_TOTAL,
    SHORE_WASHING, WaterPlan, WaterSettings, WaterUse,
};
pub use watermaker::{Watermaker, WatermakerPlan};
