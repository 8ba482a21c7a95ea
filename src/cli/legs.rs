//! `offing legs`: a voyage leg by leg.

use super::arguments::LegsOptions;
use super::study::Walked;
use super::{CliError, print};
use crate::report::{document_json, legs_csv, legs_text, write_whole};

pub(super) fn run(options: &LegsOptions) -> Result<(), CliError> {
    let walked = Walked::new(&options.voyage, &options.spread, options.route.as_deref())?;
    let study = walked.study();
    if let Some(file) = &options.csv {
        write_whole(file, &legs_csv(&study))?;
    }
    print(&if options.json {
        document_json(&study)
    } else {
        legs_text(&study)
    })
}
