//! Rows to show, and one file for each form they are shown in.

mod cautions;
mod comparison;
mod csv;
mod document;
mod legs;
mod output;
mod sentences;
mod shaped;
mod shaped_document;
mod soundness;
mod table;
mod wording;

pub use comparison::comparison_text;
pub use csv::{comparison_csv, legs_csv};
pub use document::document_json;
pub use legs::legs_text;
pub use output::{OutputError, write_whole};
pub use shaped::{LimitCost, ShapedStudy, TradeOff, shaped_text, trade_off_csv};
pub use shaped_document::shaped_json;
pub use soundness::{soundness_json, soundness_text};

use crate::climate::Climate;
use crate::passage::{Ensemble, Voyage, Walk};

/// A voyage and what came of walking its routes: what every form of the report shows.
#[derive(Debug, Clone, Copy)]
pub struct Study<'a> {
    /// The voyage.
    pub voyage: &'a Voyage,
    /// The winds used.
    pub climate: &'a Climate,
    /// How each route's walk ended, in the voyage's order.
    pub walks: &'a [Walk],
    /// Each route's spread of passages, in the voyage's order.
    pub ensembles: &'a [Ensemble],
}
