//! The voyage file's tables about stores: `[crew]`, and what a crew may say of its reserve,
//! resupply, water, power, food, service, watches and the units of the list.
//!
//! Only `[crew]` must be there. What is left out has the default of its subject's module. A key
//! whose name says its unit takes a number; a key without takes a quantity with its unit in quotes,
//! such as `"130 US gal"`. In a list (water's uses, electric loads, kinds of food, service items) an
//! entry with the name of a default stands in its place, any other is added, and
//! `only_listed = true` leaves the defaults out.

mod crew;
mod food;
mod lists;
mod power;
mod read;
mod reserve;
mod service;
#[cfg(test)]
mod template_tests;
#[cfg(test)]
mod tests;
mod water;

pub(super) use read::{read_output, read_settings, read_settings_if_any};
