//! From the options that every command shares to a voyage and how its passages are simulated.

use std::path::Path;

use super::arguments::{LandOptions, SpreadOptions, VoyageOptions};
use super::{CliError, guarded, warn};
use crate::climate::{Climate, Region};
use crate::passage::EnsembleOptions;
use crate::report::{AboutRoutes, land_crossings, land_warnings};
use crate::study::Options;
use crate::voyage::{ClimateChoice, CurrentChoice, Voyage};

/// How far around the routes a map may show winds, in degrees.
const MAP_MARGIN_DEG: f64 = 30.0;

/// Reads the voyage file, or the demonstration where there is none.
pub(super) fn read_voyage(file: Option<&Path>) -> Result<Voyage, CliError> {
    let mut voyage = match file {
        Some(file) => Voyage::read(file)?,
        None => Voyage::demo()?,
    };
    voyage.guard_files(&guarded::guard());
    Ok(voyage)
}

/// Reads the voyage, or the demonstration; with another departure or only one route, if asked.
///
/// # Errors
/// Stages of which none is picked.
pub(super) fn open_voyage(options: &VoyageOptions, only: Option<&str>) -> Result<Voyage, CliError> {
    let voyage = open_year(options, only)?;
    if voyage.has_stages() {
        let names = stage_names(&voyage);
        return Err(CliError::Stages { names });
    }
    Ok(voyage)
}

/// The same, with all its stages where it has some and none is picked.
pub(super) fn open_year(options: &VoyageOptions, only: Option<&str>) -> Result<Voyage, CliError> {
    let mut voyage = read_voyage(options.voyage.as_deref())?;
    if let Some(name) = &options.stage {
        voyage = voyage.stage(name).ok_or_else(|| CliError::NoSuchStage {
            found: name.clone(),
            names: stage_names(&voyage),
        })?;
        if options.departure.is_none() {
            voyage.check_departure()?;
        }
    }
    if let Some(departure) = options.departure {
        voyage
            .leave_on(departure)
            .map_err(CliError::option("--departure"))?;
        voyage.check_departure()?;
    }
    if let Some(only) = only {
        let names = voyage
            .routes
            .iter()
            .map(|route| route.name().to_owned())
            .collect();
        voyage.routes.retain(|route| route.name() == only);
        if voyage.routes.is_empty() {
            return Err(CliError::NoSuchRoute {
                found: only.to_owned(),
                names,
            });
        }
    }
    Ok(voyage)
}

fn stage_names(voyage: &Voyage) -> Vec<String> {
    let stages = voyage.stages.iter();
    stages.map(|stage| stage.name.clone()).collect()
}

/// The climate of an option for a second opinion, for the waters of the voyage and with the currents
/// under its own winds.
///
/// # Errors
/// Winds that cannot be read.
pub(super) fn open_second(
    voyage: &Voyage,
    climate: &Climate,
    file: &Path,
) -> Result<Climate, CliError> {
    let mut second = voyage.clone();
    second.current = CurrentChoice::None;
    let built_in = file == Path::new(BUILT_IN);
    second.climate = ClimateChoice {
        file: (!built_in).then(|| file.to_owned()),
        ..ClimateChoice::default()
    };
    second.guard_files(&guarded::guard());
    let second = second.open_climate()?;
    Ok(second.with_currents(climate.currents().clone()))
}

/// What the winds that come with the program are called on the command line.
const BUILT_IN: &str = "built-in";

/// Warns of each route of a result that crosses land, or refuses its crossings where asked.
pub(super) fn warn_of_land(
    result: &impl AboutRoutes,
    options: &LandOptions,
) -> Result<(), CliError> {
    let warnings = land_warnings(result);
    if options.strict && !warnings.is_empty() {
        return Err(CliError::OverLand {
            crossings: land_crossings(result),
        });
    }
    for warning in warnings {
        warn(&warning);
    }
    Ok(())
}

/// The winds of the sea around the routes for a map, farther out than the passages need them; those
/// of the passages where the file has no more.
///
/// # Errors
/// Winds that cannot be read.
pub(super) fn winds_around(voyage: &Voyage) -> Result<Climate, CliError> {
    let legs = voyage.routes.iter().flat_map(|route| route.legs());
    let places = legs
        .flat_map(|leg| leg.track.segments(voyage.step))
        .map(|segment| segment.midpoint.position)
        .map(|place| (place.latitude_deg(), place.longitude_deg()));
    let around = Region::covering(places, MAP_MARGIN_DEG)
        .and_then(|region| voyage.open_climate_of(&region).ok());
    match around {
        Some(around) => Ok(around),
        None => Ok(voyage.open_climate()?),
    }
}

impl SpreadOptions {
    /// The options, each within its range.
    pub(super) fn checked(&self) -> Result<Options, CliError> {
        EnsembleOptions::MEMBERS
            .check(self.members as f64)
            .map_err(CliError::option("--members"))?;
        let usual = EnsembleOptions::default();
        let fast_hours = self.persistence.unwrap_or(usual.fast_hours);
        EnsembleOptions::CORRELATION_HOURS
            .check(fast_hours)
            .map_err(CliError::option("--persistence"))?;
        Ok(Options::default().with_ensemble(EnsembleOptions {
            members: self.members,
            seed: self.seed,
            fast_hours,
            measured_memory: self.persistence.is_none(),
            ..usual
        }))
    }
}
