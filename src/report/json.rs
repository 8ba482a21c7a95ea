//! A result as JSON: the result itself, serialised, with what the reader should know beside it.

use schemars::JsonSchema;
use serde::Serialize;

use super::cautions::{
    BOAT_CAUTIONS, FIT_CAUTIONS, LEARN_CAUTIONS, MEASURED_CAUTIONS, voyage_cautions, wind_cautions,
    years_cautions,
};
use super::notes::{AboutRoutes, boat_notes, rally_notes};
use crate::climate::MeasuredWinds;
use crate::study::{
    BoatSpeeds, CheckedVoyage, Comparison, FittedFactor, LearnedBoat, Legs, Loading, Rally,
    RealYears, Season, Shaping, SurveyedWinds, YearPlan,
};
use crate::units::OutputUnits;

/// A result with its notes and cautions.
#[derive(JsonSchema, Serialize)]
pub(super) struct WithNotes<'a, T> {
    #[serde(flatten)]
    pub result: &'a T,
    /// What was assumed or changed about boat, winds and land, a sentence each.
    pub notes: Vec<String>,
    /// What to know before trusting the figures, a sentence each.
    pub cautions: Vec<&'static str>,
}

/// A result that can be shown as JSON, with the notes and cautions that go with it.
pub trait Noted: Serialize + JsonSchema {
    /// What was assumed or changed about boat, winds and land, a sentence each.
    fn notes(&self) -> Vec<String>;
    /// What to know before trusting the figures, a sentence each.
    fn cautions(&self) -> Vec<&'static str>;
}

/// A result as JSON, indented: stable names, shares from 0 to 1, `null` where a figure is not
/// available; `notes` and `cautions` beside it.
pub fn to_json<T: Noted>(result: &T) -> String {
    let noted = WithNotes {
        result,
        notes: result.notes(),
        cautions: result.cautions(),
    };
    written(&noted)
}

/// Anything as JSON, indented.
pub(super) fn written(document: &impl Serialize) -> String {
    serde_json::to_string_pretty(document).expect("plain records can be written") + "\n"
}

macro_rules! noted {
    ($($result:ty: $notes:expr, $cautions:expr;)*) => {
        $(impl Noted for $result {
            fn notes(&self) -> Vec<String> {
                let of: fn(&Self) -> Vec<String> = $notes;
                of(self)
            }

            fn cautions(&self) -> Vec<&'static str> {
                let of: fn(&Self) -> Vec<&'static str> = $cautions;
                of(self)
            }
        })*
    };
}

noted! {
    Comparison: |result| result.noticed().notes(), |result| voyage_cautions(&result.voyage);
    Legs: |result| result.comparison.noticed().notes(),
        |result| voyage_cautions(&result.comparison.voyage);
    Rally: |result| rally_notes(result), |result| voyage_cautions(&result.voyage);
    Season: |result| result.noticed().notes(), |result| voyage_cautions(&result.voyage);
    YearPlan: |result| result.noticed().notes(), |result| voyage_cautions(&result.voyage);
    RealYears: |result| result.noticed().notes(), |result| years_cautions(&result.voyage);
    Loading: |result| result.noticed().notes(), |result| voyage_cautions(&result.voyage);
    CheckedVoyage: |result| result.noticed().notes(), |result| voyage_cautions(&result.voyage);
    Shaping: |result| result.comparison.noticed().notes(),
        |result| voyage_cautions(&result.comparison.voyage);
    MeasuredWinds: |result| result.notes.clone(), |_| MEASURED_CAUTIONS.to_vec();
    SurveyedWinds: |result| result.winds.notes.clone(), |_| wind_cautions();
    BoatSpeeds: |result| boat_notes(&result.boat, OutputUnits::Metric), |_| BOAT_CAUTIONS.to_vec();
    LearnedBoat: |result| boat_notes(&result.boat, OutputUnits::Metric), |_| LEARN_CAUTIONS.to_vec();
    FittedFactor: |result| boat_notes(&result.boat, OutputUnits::Metric), |_| FIT_CAUTIONS.to_vec();
}
