//! Results in the forms they are shown in: text for a terminal, CSV, JSON, a page. Nothing is
//! computed or decided here.

mod cautions;
mod compare;
mod csv;
mod figures;
mod html;
mod json;
mod legs;
mod loading;
mod notes;
mod output;
mod schema;
mod season;
mod sentences;
mod shaped;
mod spread_chart;
mod table;
mod wording;

pub use compare::comparison_text;
pub use csv::{comparison_csv, legs_csv, season_csv, trade_off_csv};
pub use html::{Page, Subject, html_page};
pub use json::{Noted, to_json};
pub use legs::legs_text;
pub use loading::{loading_csv, loading_text};
pub use notes::{AboutRoutes, land_warnings};
pub use output::{Files, OutputError};
pub use schema::{JsonOutput, json_schema};
pub use season::season_text;
pub use shaped::shaped_text;
