//! A result as JSON: the result itself, serialised, with what the reader should know beside it.

use schemars::JsonSchema;
use serde::Serialize;

use super::cautions::{BOAT_CAUTIONS, CAUTIONS, FIT_CAUTIONS};
use super::notes::{AboutRoutes, boat_notes};
use crate::study::{
    BoatSpeeds, CheckedVoyage, Comparison, FittedFactor, Loading, Season, Shaping, SurveyedWinds,
};

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
    fn cautions() -> Vec<&'static str>;
}

/// A result as JSON, indented: stable names, shares from 0 to 1, `null` where a figure is not
/// available; `notes` and `cautions` beside it.
pub fn to_json<T: Noted>(result: &T) -> String {
    let noted = WithNotes {
        result,
        notes: result.notes(),
        cautions: T::cautions(),
    };
    written(&noted)
}

/// Anything as JSON, indented.
pub(super) fn written(document: &impl Serialize) -> String {
    serde_json::to_string_pretty(document).expect("plain records can be written") + "\n"
}

macro_rules! noted {
    ($($result:ty: |$this:ident| $notes:expr, $cautions:expr;)*) => {
        $(impl Noted for $result {
            fn notes(&self) -> Vec<String> {
                let $this = self;
                $notes
            }

            fn cautions() -> Vec<&'static str> {
                $cautions.to_vec()
            }
        })*
    };
}

noted! {
    Comparison: |result| result.noticed().notes(), CAUTIONS;
    Season: |result| result.noticed().notes(), CAUTIONS;
    Loading: |result| result.noticed().notes(), CAUTIONS;
    CheckedVoyage: |result| result.noticed().notes(), CAUTIONS;
    Shaping: |result| result.comparison.noticed().notes(), CAUTIONS;
    SurveyedWinds: |result| result.winds.notes.clone(), CAUTIONS;
    BoatSpeeds: |result| boat_notes(&result.boat), BOAT_CAUTIONS;
    FittedFactor: |result| boat_notes(&result.boat), FIT_CAUTIONS;
}
