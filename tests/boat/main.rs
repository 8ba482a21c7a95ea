//! The boat: polar, course made good, log, polar from dimensions.

#[path = "../support/rows.rs"]
mod rows;

#[path = "../support/noise.rs"]
mod noise;

mod calibration;
mod course_made_good;
mod generic;
mod learn;
mod logbook;
mod polar_file;
mod reference;
