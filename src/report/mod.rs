//! Results in the forms they are shown in: text for a terminal, CSV, JSON, a page. Nothing is
//! computed or decided here.

mod cautions;
mod json;
mod notes;
mod output;
mod schema;
mod table;
mod wording;

pub use json::{Noted, to_json};
pub use notes::{AboutRoutes, land_warnings};
pub use output::{Files, OutputError};
pub use schema::{JsonOutput, json_schema};
