//! `offing` compares ocean sailing routes on real wind climatology.
//!
//! Floors, each importing only from those before it: [`units`], [`voyage_file`], [`geodesy`], then
//! [`climate`], [`boat`] and [`route`] side by side, [`passage`], [`stores`], [`report`], [`cli`].

pub mod boat;
pub mod cli;
pub mod climate;
pub mod geodesy;
pub mod passage;
pub mod report;
pub mod route;
pub mod stores;
pub mod units;
pub mod voyage_file;
