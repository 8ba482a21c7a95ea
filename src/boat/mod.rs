//! How fast the boat goes: polar, course made good, handling, engine.
//!
//! - [`Polar`]: boat speed through the water over true wind speed and true wind angle.
//! - [`CourseMadeGood`]: what that is worth along a course, tacking or gybing where it pays.
//! - [`GenericBoat`]: a polar from a boat's dimensions, for those without one.
//! - [`Calibration`]: the factor on a polar that a crew's own [`Logbook`] shows.
//! - [`Boat`]: a polar, a factor on it, how the crew handles her and perhaps an engine.
//!
//! Angles here are between the wind and a heading or a course, never compass directions: 0 is
//! straight into the wind, 180 straight before it, port and starboard alike.

mod apparent_wind;
mod best_angles;
mod between_fixes;
mod burn;
mod calibration;
mod course_made_good;
mod engine;
mod error;
mod fuel_supply;
mod generic;
mod handling;
mod headings;
mod hull;
mod hull_resistance;
mod hull_speed;
mod logbook;
mod polar;
mod polar_file;
pub mod ranges;
mod sail_drive;
mod tidy;
mod vessel;

pub use apparent_wind::{ApparentWind, apparent_wind};
pub use best_angles::MadeGood;
pub use burn::{Burn, DIESEL_KG_PER_LITRE, PowerCurve, SPECIFIC_CONSUMPTION_G_PER_KWH};
pub use calibration::{
    Calibration, DropReason, DroppedEntries, FactorEstimate, PointOfSailing, PointOfSailingFactor,
    SpeedSource,
};
pub use course_made_good::CourseMadeGood;
pub use engine::Engine;
pub use error::BoatError;
pub use fuel_supply::{FuelSupply, USABLE_SHARE};
pub use generic::{GenericBoat, Keel, Rig};
pub use handling::Handling;
pub use hull::course_made_good_kn;
pub use hull_speed::hull_speed_kn;
pub use logbook::{LogEntry, Logbook};
pub use polar::Polar;
pub use vessel::{Boat, Progress};
