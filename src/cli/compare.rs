//! `offing compare`: a voyage's routes side by side.

use super::arguments::CompareOptions;
use super::typed::typed_command;
use super::voyage::{open_second, open_voyage, warn_of_land, winds_around};
use super::{CliError, deliver, print_data, screen, show};
use crate::climate::{Climate, ClimateFault, SeasonDay};
use crate::passage::{EnsembleOptions, LayOff};
use crate::report::{
    Files, Page, Subject, comparison_csv, comparison_summary, comparison_text, html_page, to_json,
};
use crate::study::{Options, RealYears, SeasonOptions, compare_also, laid_off, season, years};
use crate::voyage::Voyage;

/// The page's season is a picture of the year, which half a month and fewer passages draw as well:
/// `offing season` has the figures. It says what it was made from.
const PAGE_SEASON_EVERY_DAYS: u8 = 15;
const PAGE_SEASON_MEMBERS: usize = 600;

/// The whole comparison has two lines of the years and the page a picture: `offing years` has the
/// figures.
const YEARS_MEMBERS: usize = 500;

pub(super) fn run(options: &CompareOptions) -> Result<(), CliError> {
    let asked = options.spread.checked()?;
    let voyage = open_voyage(&options.voyage, None)?;
    let mut climate = voyage.open_climate()?;
    if let Some(year) = options.real_year {
        let departure = SeasonDay::from_date(voyage.departure);
        climate = climate.in_year(&voyage.open_years()?, year, departure)?;
    }
    let second = options.also.as_deref();
    let second = second
        .map(|file| open_second(&voyage, &climate, file))
        .transpose()?;
    let comparison = compare_also(&voyage, &climate, second.as_ref(), &asked)?;
    warn_of_land(&comparison, &options.land)?;
    let real_years = if (options.full && !options.json) || options.html.is_some() {
        real_years(&voyage, &climate, &asked)?
    } else {
        None
    };
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
            years: real_years.as_ref(),
            by_day: &laid_off(&voyage, &comparison, LayOff::Day)?,
            command: &typed_command(),
        };
        files.add(file, html_page(&page));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&comparison))
        } else if options.full {
            show(&comparison_text(&comparison, real_years.as_ref(), screen()))
        } else {
            show(&comparison_summary(&comparison, screen()))
        }
    })
}

/// The voyage in each of its real years; none where its winds have none, or are those of one already.
fn real_years(
    voyage: &Voyage,
    climate: &Climate,
    asked: &Options,
) -> Result<Option<RealYears>, CliError> {
    if climate.real_year().is_some() {
        return Ok(None);
    }
    let found = match voyage.open_years() {
        Err(error) if matches!(*error.fault, ClimateFault::NoYears) => return Ok(None),
        found => found?,
    };
    let fewer = asked.with_ensemble(EnsembleOptions {
        members: asked.ensemble.members.min(YEARS_MEMBERS),
        ..asked.ensemble
    });
    let years = years(voyage, climate, &found, &fewer)?;
    Ok((years.years.len() > 1).then_some(years))
}
