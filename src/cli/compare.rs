//! `offing compare`: a voyage's routes side by side.

use super::arguments::CompareOptions;
use super::study::Walked;
use super::{CliError, print};
use crate::report::{comparison_csv, comparison_text, document_json, write_whole};

pub(super) fn run(options: &CompareOptions) -> Result<(), CliError> {
    let walked =
        Walked::new(&options.voyage, &options.spread, None, &options.land)?.with_loading()?;
    let study = walked.study();
    if let Some(file) = &options.csv {
        write_whole(file, &comparison_csv(&study))?;
    }
    print(&if options.json {
        document_json(&study)
    } else {
        comparison_text(&study)
    })
}
