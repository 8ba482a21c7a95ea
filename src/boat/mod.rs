//! How fast the boat goes: polar, course made good, handling, engine.
//!
//! - [`Polar`]: boat speed through the water over true wind speed and true wind angle.
//! - [`CourseMadeGood`]: what that is worth along a course, tacking or gybing where it pays.
//! - [`GenericBoat`]: a polar from a boat's dimensions, for those without one.
//! - [`Calibration`]: the factor on a polar that a crew's own [`Logbook`] shows.
//! - [`LearnedPolar`]: a polar [learned](learn) from such logs.
//! - [`Boat`]: a polar, a factor on it, how the crew handles her and perhaps an engine.
//!
//! Angles here are between the wind and a heading or a course, never compass directions: 0 is
//! straight into the wind, 180 straight downwind, the same to port and to starboard.

mod at_sea;
mod calibration;
mod convex_hull;
mod course_made_good;
mod engine;
mod error;
mod factor_surface;
mod generic;
mod headings;
mod hull_resistance;
mod learn;
mod logbook;
mod observation;
mod over_ground;
mod point_factors;
mod polar;
mod polar_file;
pub mod ranges;
mod sail_drive;
mod speed_lattice;
mod surface_fit;
mod tidy;
mod true_winds;
mod vessel;
mod waiting;

pub use at_sea::{AtSea, PolarFrom};
pub use calibration::{
    Calibration, DropReason, DroppedEntries, FactorEstimate, PointOfSailing, PointOfSailingFactor,
    SpeedSource,
};
pub use convex_hull::course_made_good_kn;
pub use course_made_good::CourseMadeGood;
pub use engine::{
    Burn, DIESEL_KG_PER_LITRE, Engine, FuelSupply, PowerCurve, SPECIFIC_CONSUMPTION_G_PER_KWH,
    USABLE_SHARE,
};
pub use error::BoatError;
pub use generic::{GenericBoat, Keel, Rig};
pub use headings::MadeGood;
pub use hull_resistance::hull_speed_kn;
pub use learn::{LearnedPart, LearnedPolar, WindErrors, learn, learn_from_logs};
pub use logbook::{LogEntry, Logbook};
pub use observation::{SpeedObservation, WindObservation};
pub use over_ground::{CourseCurrent, CourseWind, Progress, held_by_engine_kn};
pub use point_factors::PointFactors;
pub use polar::Polar;
pub use sail_drive::{ApparentWind, apparent_wind};
pub use vessel::{Boat, Handling, OWN_LOG_UNCERTAINTY};
pub use waiting::{ForecastSkill, ForecastWord, WaitForWeather};
