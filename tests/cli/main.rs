//! The program as a user runs it.

#[path = "../support/command.rs"]
mod command;

mod boat;
mod boat_learn;
mod climate;
mod compare;
#[cfg(unix)]
mod faults;
mod files;
mod help;
mod legs;
mod new;
mod new_own;
mod readme;
mod routes;
mod schema;
mod shape;
mod stores;
