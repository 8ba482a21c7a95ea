//! `offing stores`: what each route asks to be loaded.

use super::arguments::StoresOptions;
use super::land::look_out;
use super::study::{open_voyage, plan_routes, run_ensembles};
use super::{CliError, print};
use crate::report::{Files, LoadingStudy, loading_csv, loading_json, loading_text};
use crate::stores::{CONFIDENCE, threshold_trials};

pub(super) fn run(options: &StoresOptions) -> Result<(), CliError> {
    let spread = options.spread.checked()?;
    let voyage = open_voyage(&options.voyage, options.route.as_deref())?;
    let mut settings = voyage.stores_of_crew()?.clone();
    if let Some(percent) = options.confidence {
        let checked = CONFIDENCE
            .check(percent)
            .map_err(CliError::option("--confidence"))?;
        settings.reserve.confidence_percent = Some(checked);
    }
    let land = look_out(&voyage.routes, &options.land)?;
    let climate = voyage.open_climate()?;
    let ensembles = run_ensembles(&voyage, &climate, spread)?;
    let trials = threshold_trials(
        &voyage.boat,
        &voyage.routes,
        &climate,
        voyage.departure,
        &spread,
    )?;
    let plans = plan_routes(&settings, &voyage, &climate, &ensembles, trials)?;
    let study = LoadingStudy {
        voyage: &voyage,
        climate: &climate,
        land: &land,
        ensembles: &ensembles,
        plans: &plans,
    };
    let mut files = Files::beside_read(&voyage.files);
    if let Some(file) = &options.csv {
        files.add(file, loading_csv(&study));
    }
    files.write()?;
    print(&if options.json {
        loading_json(&study)
    } else {
        loading_text(&study)
    })
}
