//! `offing compare`: a voyage's routes side by side.

use super::arguments::CompareOptions;
use super::study::Walked;
use super::typed::typed_command;
use super::{CliError, print};
use crate::report::{
    Files, Page, Subject, comparison_csv, comparison_text, document_json, html_page,
};

pub(super) fn run(options: &CompareOptions) -> Result<(), CliError> {
    let walked =
        Walked::new(&options.voyage, &options.spread, None, &options.land)?.with_loading()?;
    let study = walked.study();
    let mut files = Files::beside_read(&study.voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, comparison_csv(&study));
    }
    if let Some(file) = &options.html {
        let season = walked.season(options.spread.checked()?);
        let winds = walked.winds_around();
        let page = Page {
            subject: Subject::Comparison(study),
            winds: winds.as_ref(),
            season: Some(season.as_deref()),
            command: &typed_command(),
        };
        files.add(file, html_page(&page));
    }
    files.write()?;
    print(&if options.json {
        document_json(&study)
    } else {
        comparison_text(&study)
    })
}
