//! The program as a user runs it.

#[path = "../support/command.rs"]
mod command;
// What these tests do not need of it, the climate's own tests do.
#[allow(dead_code)]
#[path = "../climate/files/writing.rs"]
mod climate_files;

// Likewise.
#[allow(dead_code)]
#[path = "../climate/series/writing.rs"]
mod series_files;

mod boat;
mod boat_learn;
mod climate;
mod compare;
mod damaged;
mod errors;
#[cfg(unix)]
mod faults;
mod files;
mod help;
mod legs;
mod measured;
mod new;
mod new_own;
mod plan;
mod readme;
mod routes;
mod schema;
mod shape;
mod stops;
mod stores;
mod winds;
mod years;
