//! The loading lists of a voyage's routes: for a terminal, as JSON and as CSV.

mod data;
mod figures;
mod text;
mod words;

pub(super) use data::Document;
pub use data::{loading_csv, loading_json};
pub(super) use figures::loading_figures;
pub use text::loading_text;
pub(super) use words::{amount, caution};

use crate::climate::Climate;
use crate::passage::Ensemble;
use crate::route::LandCheck;
use crate::stores::RoutePlan;
use crate::voyage::Voyage;

/// A voyage and what its routes ask to be loaded: what every form of the loading list shows.
#[derive(Debug, Clone, Copy)]
pub struct LoadingStudy<'a> {
    /// The voyage.
    pub voyage: &'a Voyage,
    /// The winds used.
    pub climate: &'a Climate,
    /// What of each route lies on land, in the voyage's order.
    pub land: &'a [LandCheck],
    /// Each route's spread of passages, in the voyage's order.
    pub ensembles: &'a [Ensemble],
    /// Each route's loading list, in the voyage's order.
    pub plans: &'a [RoutePlan],
}
