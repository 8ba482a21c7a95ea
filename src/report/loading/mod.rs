//! The loading lists of a voyage's routes: on one page, in full, and as CSV.

mod cautions;
mod csv;
mod figures;
mod places;
mod summary;
mod text;
mod words;

pub(super) use cautions::caution;
pub use csv::loading_csv;
pub(super) use figures::loading_figures;
pub(super) use places::{
    AT_ONE_PLACE, Rows, costs_rows, costs_said, places_caption, places_rows, places_said,
};
pub use summary::loading_summary;
pub use text::loading_text;
pub(super) use words::{Need, amount};
