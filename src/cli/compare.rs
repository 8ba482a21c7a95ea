//! `offing compare`: a voyage's routes side by side.

use super::arguments::CompareOptions;
use super::typed::typed_command;
use super::voyage::{open_voyage, warn_of_land, winds_around};
use super::{CliError, deliver, print_data, screen, show};
use crate::passage::EnsembleOptions;
use crate::report::{
    Files, Page, Subject, comparison_csv, comparison_summary, comparison_text, html_page, to_json,
};
use crate::study::{SeasonOptions, compare, season};

pub(super) fn run(options: &CompareOptions) -> Result<(), CliError> {
    let asked = options.spread.checked()?;
    let voyage = open_voyage(&options.voyage, None)?;
    let climate = voyage.open_climate()?;
    let comparison = compare(&voyage, &climate, &asked)?;
    warn_of_land(&comparison, &options.land)?;
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, comparison_csv(&comparison));
    }
    if let Some(file) = &options.html {
        // Curves need no more passages than is usual, and there are many of them.
        let members = asked
            .ensemble
            .members
            .min(EnsembleOptions::default().members);
        let fewer = asked.with_ensemble(EnsembleOptions {
            members,
            ..asked.ensemble
        });
        let season = season(&voyage, &climate, &fewer, SeasonOptions::default(), || ());
        let page = Page {
            subject: Subject::Comparison(&comparison),
            winds: &winds_around(&voyage)?,
            season: Some(season.as_ref()),
            command: &typed_command(),
        };
        files.add(file, html_page(&page));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&comparison))
        } else if options.full {
            show(&comparison_text(&comparison, screen()))
        } else {
            show(&comparison_summary(&comparison, screen()))
        }
    })
}
