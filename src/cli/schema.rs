//! `offing schema`: what a voyage file may hold, and what `--json` prints.

use std::sync::LazyLock;

use clap::ValueEnum;
use clap::builder::PossibleValue;

use super::arguments::SchemaOptions;
use super::{CliError, print_data};
use crate::report::{JsonOutput, json_schema};
use crate::voyage::voyage_schema;

/// What a schema describes.
#[derive(Debug, Clone, Copy)]
pub(super) enum Described {
    /// The voyage file.
    Voyage,
    /// What a command prints.
    Output(JsonOutput),
}

pub(super) fn run(options: &SchemaOptions) -> Result<(), CliError> {
    print_data(&match options.of {
        Described::Voyage => format!("{:#}\n", voyage_schema().as_value()),
        Described::Output(output) => json_schema(output),
    })
}

impl ValueEnum for Described {
    fn value_variants<'a>() -> &'a [Self] {
        static ALL: LazyLock<Vec<Described>> = LazyLock::new(|| {
            let outputs = JsonOutput::ALL.into_iter().map(Described::Output);
            std::iter::once(Described::Voyage).chain(outputs).collect()
        });
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(match self {
            Self::Voyage => "voyage",
            Self::Output(output) => output.name(),
        }))
    }
}
