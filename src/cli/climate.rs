//! `offing climate`: the winds of a place through the months, or along a route.

use std::path::PathBuf;

use super::arguments::{ClimateOptions, VoyageOptions};
use super::voyage::{open_voyage, read_voyage};
use super::{CliError, deliver, print, print_data};
use crate::climate::Month;
use crate::geodesy::Position;
use crate::report::{Files, climate_csv, climate_text, to_json};
use crate::study::{SurveyedWinds, winds_along, winds_at};
use crate::voyage::ClimateChoice;

/// The winds, and the files read for them.
type WindsRead = (SurveyedWinds, Vec<PathBuf>);

pub(super) fn run(options: &ClimateOptions) -> Result<(), CliError> {
    let (winds, mut read) = match (&options.route, options.position) {
        (Some(route), _) => along(route, options)?,
        (None, Some(position)) => around(position, options)?,
        (None, None) => unreachable!("the command line asks for one of them"),
    };
    read.extend(options.climate.clone());
    let mut files = Files::beside_read(&read);
    if let Some(file) = &options.csv {
        files.add(file, climate_csv(&winds));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&winds))
        } else {
            print(&climate_text(&winds))
        }
    })
}

fn around(position: Position, options: &ClimateOptions) -> Result<WindsRead, CliError> {
    let one_month = options.month.map(|month| [month]);
    let months = one_month.as_ref().map_or(&Month::ALL[..], |month| month);
    let voyage = read_voyage(options.voyage.as_deref())?;
    let winds = winds_at(position, months, &winds_chosen(voyage.climate, options))?;
    Ok((winds, voyage.files))
}

fn along(route: &str, options: &ClimateOptions) -> Result<WindsRead, CliError> {
    let voyage = VoyageOptions {
        voyage: options.voyage.clone(),
        departure: None,
        stage: options.stage.clone(),
    };
    let mut voyage = open_voyage(&voyage, Some(route))?;
    voyage.climate = winds_chosen(voyage.climate, options);
    let winds = winds_along(&voyage, options.month)?;
    Ok((winds, voyage.files))
}

/// The voyage's winds, or those of the file named instead, read as the voyage says.
fn winds_chosen(voyage: ClimateChoice, options: &ClimateOptions) -> ClimateChoice {
    ClimateChoice {
        file: options.climate.clone().or(voyage.file),
        ..voyage
    }
}
