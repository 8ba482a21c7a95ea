//! Results in the forms they are shown in: text for a terminal, CSV, JSON, a page. Nothing is
//! computed or decided here.

mod boat;
mod boat_tables;
mod calibration;
mod cautions;
mod check;
mod climate;
mod climate_csv;
mod compare;
mod csv;
mod figures;
mod html;
mod json;
mod legs;
mod loading;
mod notes;
mod output;
mod polar_csv;
mod polar_drawing;
mod schema;
mod season;
mod sentences;
mod shaped;
mod spread_chart;
mod swings;
mod table;
mod wind_figures;
mod wording;

pub use boat::boat_text;
pub use calibration::fit_text;
pub use check::check_text;
pub use climate::climate_text;
pub use climate_csv::climate_csv;
pub use compare::comparison_text;
pub use csv::{comparison_csv, legs_csv, season_csv, trade_off_csv};
pub use html::{Page, Subject, html_page};
pub use json::{Noted, to_json};
pub use legs::legs_text;
pub use loading::{loading_csv, loading_text};
pub use notes::{AboutRoutes, land_warnings};
pub use output::{Files, OutputError};
pub use polar_csv::polar_csv;
pub use schema::{JsonOutput, json_schema};
pub use season::season_text;
pub use shaped::shaped_text;
