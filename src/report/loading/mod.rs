//! The loading lists of a voyage's routes: for a terminal and as CSV.

mod csv;
mod figures;
mod text;
mod words;

pub use csv::loading_csv;
pub(super) use figures::loading_figures;
pub use text::loading_text;
pub(super) use words::{amount, caution};
