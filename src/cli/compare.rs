//! `offing compare`: a voyage's routes side by side.

use super::arguments::CompareOptions;
use super::typed::typed_command;
use super::voyage::{open_voyage, warn_of_land, winds_around};
use super::{CliError, deliver, print_data, screen, show};
use crate::passage::{EnsembleOptions, LayOff};
use crate::report::{
    Files, Page, Subject, comparison_csv, comparison_summary, comparison_text, html_page, to_json,
};
use crate::study::{SeasonOptions, compare, laid_off, season};

/// The page's season is a picture of the year, which half a month and fewer passages draw as well:
/// `offing season` has the figures. It says what it was made from.
const PAGE_SEASON_EVERY_DAYS: u8 = 15;
const PAGE_SEASON_MEMBERS: usize = 600;

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
        let members = asked.ensemble.members.min(PAGE_SEASON_MEMBERS);
        let fewer = asked.with_ensemble(EnsembleOptions {
            members,
            ..asked.ensemble
        });
        let departures = SeasonOptions {
            every_days: PAGE_SEASON_EVERY_DAYS,
            ..SeasonOptions::default()
        };
        let season = season(&voyage, &climate, &fewer, departures, || ());
        let page = Page {
            subject: Subject::Comparison(&comparison),
            winds: &winds_around(&voyage)?,
            season: Some(season.as_ref()),
            by_day: &laid_off(&voyage, &comparison, LayOff::Day)?,
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
