//! `offing` compares ocean sailing routes on real wind climatology.
//!
//! Floors, each importing only from those before it: [`text`] and [`units`], [`geodesy`], then
//! [`climate`], [`boat`] and [`route`] side by side, [`passage`], then [`shaping`] and [`stores`],
//! [`voyage`], [`report`], [`cli`].

pub mod boat;
pub mod cli;
pub mod climate;
pub mod geodesy;
pub mod passage;
pub mod report;
pub mod route;
pub mod shaping;
pub mod stores;
pub mod study;
pub mod text;
pub mod units;
pub mod voyage;
