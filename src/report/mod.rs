//! Rows to show, and one file for each form they are shown in.

mod boat;
mod boat_document;
mod boat_tables;
mod calibration;
mod cautions;
mod climate;
mod climate_csv;
mod climate_document;
mod comparison;
mod csv;
mod document;
mod html;
mod land;
mod legs;
mod loading;
mod notes;
mod output;
mod polar_csv;
mod polar_drawing;
mod schema;
mod season;
mod season_document;
mod sentences;
mod shaped;
mod shaped_document;
mod soundness;
mod spread_chart;
mod table;
mod trade_off;
mod wind_figures;
mod wording;

pub use boat::boat_text;
pub use boat_document::boat_json;
pub use calibration::{calibration_json, calibration_text};
pub use climate::climate_text;
pub use climate_csv::climate_csv;
pub use climate_document::climate_json;
pub use comparison::comparison_text;
pub use csv::{comparison_csv, legs_csv};
pub use document::document_json;
pub use html::{Page, Subject, html_page};
pub use land::land_warnings;
pub use legs::legs_text;
pub use loading::{LoadingStudy, loading_csv, loading_json, loading_text};
pub use output::{Files, OutputError};
pub use polar_csv::polar_csv;
pub use schema::{JsonOutput, json_schema};
pub use season::{Year, season_text};
pub use season_document::{season_csv, season_json};
pub use shaped::{LimitCost, ShapedStudy, shaped_text};
pub use shaped_document::shaped_json;
pub use soundness::{soundness_json, soundness_text};
pub use trade_off::{TradeOff, trade_off_csv};

use crate::climate::Climate;
use crate::passage::{Ensemble, SurveyedPlace, Walk};
use crate::route::LandCheck;
use crate::stores::RoutePlan;
use crate::voyage::Voyage;

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
    /// What each route asks to be loaded, in the voyage's order; none where the voyage has no crew or
    /// the report does not say.
    pub loading: Option<&'a [RoutePlan]>,
    /// What of each route lies on land, in the voyage's order.
    pub land: &'a [LandCheck],
}

/// The climate of a place through the months, or along a route.
#[derive(Debug, Clone, Copy)]
pub struct Survey<'a> {
    /// The winds used.
    pub climate: &'a Climate,
    /// The route's name; none for one place.
    pub route: Option<&'a str>,
    /// The place month by month, or the route's places in order; never empty.
    pub places: &'a [SurveyedPlace],
}
