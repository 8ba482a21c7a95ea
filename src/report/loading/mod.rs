//! The loading lists of a voyage's routes: for a terminal and as CSV.

mod amounts;
mod csv;
mod sections;
mod side_by_side;
mod text;

pub use csv::loading_csv;
pub(super) use side_by_side::loading_figures;
pub(super) use text::caution;
pub use text::loading_text;
