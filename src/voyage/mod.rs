//! The voyage: what a crew has in mind, made in memory or read from a TOML file.
//!
//! A file is decoded by serde into plain settings; keys are checked against their schema, a value
//! by its own type, and what goes together as the settings become a [`Voyage`]. Complaints say the
//! key, and where there is a file, its line.

mod check;
mod departure;
mod error;
mod load;
mod load_prices;
mod load_stores;
mod locate;
mod model;
mod read;
mod schema;
mod settings;
mod settings_prices;
mod settings_stores;
mod stages;
#[cfg(test)]
mod stages_tests;
#[cfg(test)]
mod stores_tests;
#[cfg(test)]
mod template_tests;
#[cfg(test)]
mod tests;
mod values;
mod written;

pub use departure::DepartureTime;
pub use error::{Fault, Problem, VoyageError};
pub use model::{ClimateChoice, CurrentChoice, Voyage};
pub use schema::voyage_schema;
pub use stages::PlannedStage;
pub use written::route_toml;
