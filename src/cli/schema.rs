//! `offing schema`: what `--json` prints, described.

use clap::ValueEnum;
use clap::builder::PossibleValue;

use super::arguments::SchemaOptions;
use super::{CliError, print};
use crate::report::{JsonOutput, json_schema};

pub(super) fn run(options: &SchemaOptions) -> Result<(), CliError> {
    print(&json_schema(options.command))
}

impl ValueEnum for JsonOutput {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.name()))
    }
}
