//! The report as one page of HTML: no network, no script, one file to study, print and keep.
//!
//! The words come from the floors below and from the tables the terminal shows; the template
//! escapes them. Every picture is an SVG with its text alternative, drawn in two sizes of which the
//! style sheet shows one.

mod answer;
mod barb;
mod choice;
mod coast;
mod courses;
mod exposure;
mod frame;
mod graticule;
mod labels;
mod map;
mod map_labels;
mod origins;
mod page;
mod projection;
mod season;
mod shaping;
mod sheet;
mod spread;
mod svg;
mod tables;

pub use page::{Page, Subject, html_page};
