//! The program as a user runs it.

#[path = "../support/command.rs"]
mod command;

mod boat;
mod boat_learn;
mod climate;
mod compare;
mod damaged;
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
mod winds;
mod years;
