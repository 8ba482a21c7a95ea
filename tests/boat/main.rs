//! The boat: polar, course made good, log, polar from dimensions.

#[path = "../support/rows.rs"]
mod rows;

mod calibration;
mod course_made_good;
mod generic;
mod learn;
mod logbook;
mod noise;
mod polar_file;
mod reference;
