//! `offing boat`: the boat's speeds, and the factor that a log of hers shows.

use super::arguments::{BoatCommand, BoatOptions, FitOptions};
use super::study::read_voyage;
use super::{CliError, print};
use crate::boat::{Calibration, Logbook};
use crate::report::{Files, boat_json, boat_text, calibration_json, calibration_text, polar_csv};

pub(super) fn run(options: &BoatOptions) -> Result<(), CliError> {
    if let Some(BoatCommand::Fit(options)) = &options.fit {
        return fit(options);
    }
    let voyage = read_voyage(options.voyage.as_deref())?;
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, polar_csv(&voyage));
    }
    files.write()?;
    print(&if options.json {
        boat_json(&voyage)
    } else {
        boat_text(&voyage)
    })
}

fn fit(options: &FitOptions) -> Result<(), CliError> {
    let voyage = read_voyage(options.voyage.as_deref())?;
    let logbook = Logbook::read(&options.log)?;
    let calibration = Calibration::new(&logbook, voyage.boat.given_polar())?;
    print(&if options.json {
        calibration_json(&voyage, &calibration)
    } else {
        calibration_text(&voyage, &calibration)
    })
}
