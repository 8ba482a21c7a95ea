//! `offing boat`: the boat's speeds, and the factor that a log of hers shows.

use super::arguments::{BoatCommand, BoatOptions, FitOptions};
use super::voyage::read_voyage;
use super::{CliError, print};
use crate::boat::Logbook;
use crate::report::{Files, boat_text, fit_text, polar_csv, to_json};
use crate::study::{self, boat_speeds};

pub(super) fn run(options: &BoatOptions) -> Result<(), CliError> {
    if let Some(BoatCommand::Fit(options)) = &options.fit {
        return fit(options);
    }
    let voyage = read_voyage(options.voyage.as_deref())?;
    let speeds = boat_speeds(&voyage);
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, polar_csv(&speeds));
    }
    files.write()?;
    print(&if options.json {
        to_json(&speeds)
    } else {
        boat_text(&speeds)
    })
}

fn fit(options: &FitOptions) -> Result<(), CliError> {
    let voyage = read_voyage(options.voyage.as_deref())?;
    let fitted = study::fit(&voyage, &Logbook::read(&options.log)?)?;
    print(&if options.json {
        to_json(&fitted)
    } else {
        fit_text(&fitted)
    })
}
