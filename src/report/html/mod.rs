//! The report as one page of HTML: no network, no script, one file to study, print and keep.
//!
//! The words come from the tables and sentences that the terminal shows; the template escapes them.
//! Every picture is an SVG with its text alternative, drawn in two sizes of which the style sheet
//! shows one.

mod answer;
mod barb;
mod calendar;
mod choice;
mod coast;
mod curves;
mod frame;
mod key;
mod labels;
mod map;
mod map_labels;
mod page;
mod plan;
mod projection;
mod sea_winds;
mod shade;
mod shaping;
mod sheet;
mod spread;
mod svg;
mod swings;
mod tables;
mod years;

pub use page::{Page, Subject, html_page};
pub use plan::{PlanPage, plan_page};
