//! The loading lists of a voyage's routes: on one page, in full, and as CSV.

mod cautions;
mod csv;
mod figures;
mod summary;
mod text;
mod words;

pub(super) use cautions::caution;
pub use csv::loading_csv;
pub(super) use figures::loading_figures;
pub use summary::loading_summary;
pub use text::loading_text;
pub(super) use words::{Need, amount};
