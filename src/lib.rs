//! `offing` compares ocean sailing routes using average winds by month: how far, how many days in
//! the median and at P90, and what is met on the way. It is a planning aid from averages, not a
//! forecast; the skipper decides.
//!
//! Two routes for a boat of which only the dimensions are known:
//!
//! ```
//! use offing::{Boat, GenericBoat, Handling, Keel, LegKind, Options, Rig, Route, Voyage, Waypoint};
//!
//! let size = GenericBoat { waterline_length_m: 10.2, displacement_kg: 11e3, sail_area_m2: 80.0,
//!     rig: Rig::Cutter, keel: Keel::Long };
//! let boat = Boat::new(&size.polar()?, 0.85, None, Handling::default())?;
//! let route = |name: &str, line| -> Result<Route, Box<dyn std::error::Error>> {
//!     let ends = [("Fremantle", "32 03 S, 115 40 E"), ("Durban", "29 52 S, 31 06 E")];
//!     let ends = ends.map(|(name, place)| Waypoint::new(name, place.parse().unwrap(), line));
//!     Ok(Route::new(name, ends.to_vec())?)
//! };
//! let routes = vec![route("Direct", LegKind::GreatCircle)?, route("Rhumb", LegKind::Rhumb)?];
//! let voyage = Voyage::new("To Durban", jiff::civil::date(2027, 5, 1), boat, routes)?;
//! let comparison = offing::compare(&voyage, &voyage.open_climate()?, &Options::default())?;
//! for route in &comparison.routes {
//!     println!("{}: {:.0} nm, {:?} days", route.name, route.distance_nm, route.ensemble.days.p50);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Floors, each importing only from those before it: [`text`] and [`units`], [`geodesy`], then
//! [`climate`], [`boat`] and [`route`] side by side, [`passage`], then [`shaping`] and [`mod@stores`],
//! [`voyage`], [`study`], and with the features of these names `report` and `cli`.

pub mod boat;
#[cfg(feature = "cli")]
pub mod cli;
pub mod climate;
pub mod geodesy;
pub mod passage;
#[cfg(feature = "report")]
pub mod report;
pub mod route;
pub mod shaping;
pub mod stores;
pub mod study;
pub mod text;
pub mod units;
pub mod voyage;

pub use boat::{Boat, Engine, GenericBoat, Handling, Keel, Polar, Rig};
pub use climate::Climate;
pub use geodesy::{LegKind, Position};
pub use passage::EnsembleOptions;
pub use route::{Route, Waypoint};
pub use study::{
    Comparison, Loading, Options, RouteResult, Season, SeasonOptions, ShapeOptions, Shaping,
    StudyError as Error, compare, legs, rally, season, shape, stores, years,
};
pub use voyage::Voyage;
