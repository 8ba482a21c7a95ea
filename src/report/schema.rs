//! The JSON Schema of what each command prints with `--json`, made from the results it is written
//! from.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

use super::json::{WithNotes, written};
use crate::climate::MeasuredWinds;
use crate::study::{
    BoatSpeeds, CheckedVoyage, Comparison, FittedFactor, LearnedBoat, Legs, Loading, RealYears,
    Season, Shaping, SurveyedWinds, YearPlan,
};

/// How to read every document; stands under what is its own.
const CONVENTIONS: &str = "Shares and chances run from 0 to 1. Every name is always there; a value \
     that a description calls none is null.";

/// What a command prints with `--json`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JsonOutput {
    /// Of `offing compare`.
    Compare,
    /// Of `offing legs`.
    Legs,
    /// Of `offing check`.
    Check,
    /// Of `offing shape`.
    Shape,
    /// Of `offing boat`.
    Boat,
    /// Of `offing boat fit`.
    BoatFit,
    /// Of `offing boat learn`.
    BoatLearn,
    /// Of `offing season`.
    Season,
    /// Of `offing season` on a voyage with stages.
    SeasonPlan,
    /// Of `offing years`.
    Years,
    /// Of `offing climate`.
    Climate,
    /// Of `offing winds`.
    Winds,
    /// Of `offing stores`.
    Stores,
}

impl JsonOutput {
    /// All there are, in the order of the commands.
    pub const ALL: [Self; 13] = [
        Self::Compare,
        Self::Legs,
        Self::Check,
        Self::Shape,
        Self::Boat,
        Self::BoatFit,
        Self::BoatLearn,
        Self::Season,
        Self::SeasonPlan,
        Self::Years,
        Self::Climate,
        Self::Winds,
        Self::Stores,
    ];

    /// The command's words, joined by hyphens; for a year's plan `season-plan`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Compare => "compare",
            Self::Legs => "legs",
            Self::Check => "check",
            Self::Shape => "shape",
            Self::Boat => "boat",
            Self::BoatFit => "boat-fit",
            Self::BoatLearn => "boat-learn",
            Self::Season => "season",
            Self::SeasonPlan => "season-plan",
            Self::Years => "years",
            Self::Climate => "climate",
            Self::Winds => "winds",
            Self::Stores => "stores",
        }
    }
}

/// The JSON Schema (draft 2020-12) of what a command prints with `--json`, indented.
pub fn json_schema(output: JsonOutput) -> String {
    let mut schema = match output {
        JsonOutput::Compare => schema_of::<Comparison>(),
        JsonOutput::Legs => schema_of::<Legs>(),
        JsonOutput::Check => schema_of::<CheckedVoyage>(),
        JsonOutput::Shape => schema_of::<Shaping>(),
        JsonOutput::Boat => schema_of::<BoatSpeeds>(),
        JsonOutput::BoatFit => schema_of::<FittedFactor>(),
        JsonOutput::BoatLearn => schema_of::<LearnedBoat>(),
        JsonOutput::Season => schema_of::<Season>(),
        JsonOutput::SeasonPlan => schema_of::<YearPlan>(),
        JsonOutput::Years => schema_of::<RealYears>(),
        JsonOutput::Winds => schema_of::<MeasuredWinds>(),
        JsonOutput::Climate => schema_of::<SurveyedWinds>(),
        JsonOutput::Stores => schema_of::<Loading>(),
    };
    let command = match output {
        JsonOutput::SeasonPlan => "season".to_owned(),
        _ => output.name().replace('-', " "),
    };
    schema.insert(
        "title".to_owned(),
        format!("offing {command} --json").into(),
    );
    if let Some(Value::String(description)) = schema.get_mut("description") {
        *description = format!("{description} {CONVENTIONS}");
    }
    written(&schema)
}

fn schema_of<Result: JsonSchema + 'static>() -> Schema {
    let settings = SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(RecursiveTransform(close))
        .with_transform(RecursiveTransform(unwrap_lines));
    let result = settings
        .clone()
        .into_generator()
        .into_root_schema_for::<Result>();
    let mut schema = settings
        .into_generator()
        .into_root_schema_for::<WithNotes<'static, Result>>();
    // What it is about is the result's own to say.
    if let Some(description) = result.get("description") {
        schema.insert("description".to_owned(), description.clone());
    }
    schema
}

/// Allows an object no names but its own.
fn close(schema: &mut Schema) {
    if schema.get("properties").is_some_and(Value::is_object) {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}

/// Joins a description's lines, which are broken where the source's are.
fn unwrap_lines(schema: &mut Schema) {
    if let Some(Value::String(description)) = schema.get_mut("description") {
        *description = description.replace('\n', " ");
    }
}
