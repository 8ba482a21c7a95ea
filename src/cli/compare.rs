//! `offing compare`: a voyage's routes side by side.

use super::arguments::CompareOptions;
use super::study::Walked;
use super::{CliError, print};
use crate::report::{Files, Page, comparison_csv, comparison_text, document_json, html_page};

pub(super) fn run(options: &CompareOptions) -> Result<(), CliError> {
    let walked =
        Walked::new(&options.voyage, &options.spread, None, &options.land)?.with_loading()?;
    let study = walked.study();
    let mut files = Files::new();
    if let Some(file) = &options.csv {
        files.add(file, comparison_csv(&study));
    }
    if let Some(file) = &options.html {
        let season = walked.season(options.spread.checked()?);
        let winds = walked.winds_around();
        let page = Page {
            study,
            winds: winds.as_ref(),
            season: season.as_deref(),
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

/// The command line word by word, as it would be typed in a shell, whatever the program's own file is called.
fn typed_command() -> Vec<String> {
    let arguments = std::env::args_os().skip(1);
    std::iter::once("offing".to_owned())
        .chain(arguments.map(|argument| {
            let argument = argument.to_string_lossy();
            // No shell can be given a nul byte, so no argument holds one.
            shlex::try_quote(&argument).map_or_else(|_| argument.to_string(), Into::into)
        }))
        .collect()
}
