//! `offing boat`: the boat's speeds, and the factor or the polar that logs of hers show.

use std::path::PathBuf;

use super::arguments::{BoatCommand, BoatOptions, FitOptions, LearnOptions};
use super::voyage::read_voyage;
use super::{CliError, deliver, print, print_data};
use crate::boat::{Logbook, WindErrors, ranges};
use crate::report::{Files, boat_text, fit_text, learned_csv, learned_text, polar_csv, to_json};
use crate::study::{self, boat_speeds};

pub(super) fn run(options: &BoatOptions) -> Result<(), CliError> {
    match &options.command {
        Some(BoatCommand::Fit(options)) => return fit(options),
        Some(BoatCommand::Learn(options)) => return learn(options),
        None => {}
    }
    let voyage = read_voyage(options.voyage.as_deref())?;
    let speeds = boat_speeds(&voyage);
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, polar_csv(&speeds));
    }
    deliver(files, || {
        if options.json {
            print_data(&to_json(&speeds))
        } else {
            print(&boat_text(&speeds))
        }
    })
}

fn fit(options: &FitOptions) -> Result<(), CliError> {
    let voyage = read_voyage(options.voyage.as_deref())?;
    let fitted = study::fit(&voyage, &Logbook::read(&options.log)?)?;
    if options.json {
        print_data(&to_json(&fitted))
    } else {
        print(&fit_text(&fitted))
    }
}

fn learn(options: &LearnOptions) -> Result<(), CliError> {
    if let Some(twice) = repeated(&options.logs) {
        return Err(CliError::Arguments(format!(
            "{} is given twice: its entries would count twice",
            twice.display()
        )));
    }
    let usual = WindErrors::default();
    let speed_kn = options.wind_error_kn.unwrap_or(usual.speed_kn);
    let direction_deg = options.wind_error_deg.unwrap_or(usual.direction_deg);
    let errors = WindErrors {
        speed_kn: ranges::WIND_SPEED_ERROR
            .check(speed_kn)
            .map_err(CliError::option("--wind-error-kn"))?,
        direction_deg: ranges::WIND_DIRECTION_ERROR
            .check(direction_deg)
            .map_err(CliError::option("--wind-error-deg"))?,
    };
    let voyage = read_voyage(options.voyage.as_deref())?;
    let logs = options.logs.iter().map(|file| Logbook::read(file));
    let logs = logs.collect::<Result<Vec<_>, _>>()?;
    let learned = study::learn(&voyage, &logs, &errors)?;
    let mut files = Files::beside_read(&[&voyage.files[..], &options.logs].concat());
    if let Some(file) = &options.out {
        files.add(file, learned_csv(&learned));
    }
    deliver(files, || {
        let written_to = options.out.as_ref().and_then(|file| file.file_name());
        if options.json {
            print_data(&to_json(&learned))
        } else {
            print(&learned_text(
                &learned,
                written_to.map(|name| name.to_string_lossy()).as_deref(),
            ))
        }
    })
}

/// A file that is there twice.
fn repeated(files: &[PathBuf]) -> Option<&PathBuf> {
    let mut all = files.iter().enumerate();
    let found = all.find(|(place, file)| files[..*place].contains(file));
    found.map(|(_, file)| file)
}
