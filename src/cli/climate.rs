//! `offing climate`: the winds of a place through the months, or along a route.

use std::path::PathBuf;

use super::arguments::{ClimateOptions, VoyageOptions};
use super::study::{open_voyage, read_voyage};
use super::{CliError, print};
use crate::climate::{Climate, ClimateFault, Month, Region, SeasonDay};
use crate::geodesy::Position;
use crate::passage::{PassageError, SurveyedPlace, survey_place, survey_route};
use crate::report::{Files, Survey, climate_csv, climate_json, climate_text};
use crate::voyage::ClimateChoice;

/// Room around a place for which climate is read, so that the nodes on all sides of it are there
/// even on a coarse grid.
const MARGIN_DEG: f64 = 5.0;

/// The winds, the places looked at, and the files read for them.
type Surveyed = (Climate, Vec<SurveyedPlace>, Vec<PathBuf>);

pub(super) fn run(options: &ClimateOptions) -> Result<(), CliError> {
    let (climate, places, mut read) = match (&options.route, options.position) {
        (Some(route), _) => along(route, options)?,
        (None, Some(position)) => around(position, options)?,
        (None, None) => unreachable!("the command line asks for one of them"),
    };
    let survey = Survey {
        climate: &climate,
        route: options.route.as_deref(),
        places: &places,
    };
    read.extend(options.climate.clone());
    let mut files = Files::beside_read(&read);
    if let Some(file) = &options.csv {
        files.add(file, climate_csv(&survey));
    }
    files.write()?;
    print(&if options.json {
        climate_json(&survey)
    } else {
        climate_text(&survey)
    })
}

fn around(position: Position, options: &ClimateOptions) -> Result<Surveyed, CliError> {
    let place = (position.latitude_deg(), position.longitude_deg());
    let region = Region::covering([place], MARGIN_DEG).unwrap_or(Region::world());
    let one_month = options.month.map(|month| [month]);
    let months = one_month.as_ref().map_or(&Month::ALL[..], |month| month);
    let voyage = read_voyage(options.voyage.as_deref())?;
    let choice = winds_chosen(voyage.climate, options);
    let climate = choice.open(&region).map_err(|error| match *error.fault {
        // To one who asks about a place, what matters is the place.
        ClimateFault::AllMissing { .. } | ClimateFault::NoWind { .. } => {
            CliError::from(PassageError::no_winds(position, months))
        }
        _ => error.into(),
    })?;
    let places = survey_place(&climate, position, months)?;
    Ok((climate, places, voyage.files))
}

/// The voyage's winds, or those of the file named instead, read as the voyage says.
fn winds_chosen(voyage: ClimateChoice, options: &ClimateOptions) -> ClimateChoice {
    ClimateChoice {
        file: options.climate.clone().or(voyage.file),
        options: voyage.options,
    }
}

fn along(route: &str, options: &ClimateOptions) -> Result<Surveyed, CliError> {
    let voyage = VoyageOptions {
        voyage: options.voyage.clone(),
        departure: None,
    };
    let mut voyage = open_voyage(&voyage, Some(route))?;
    voyage.climate = winds_chosen(voyage.climate, options);
    let climate = voyage.open_climate()?;
    let leaving = SeasonDay::from_date(voyage.departure).month();
    let month = options.month.unwrap_or(leaving);
    let places = survey_route(&climate, &voyage.routes[0], month)?;
    Ok((climate, places, voyage.files))
}
