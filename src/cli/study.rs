//! From the options that every command shares to a voyage whose routes are walked.

use std::path::Path;

use super::CliError;
use super::arguments::{LandOptions, SpreadOptions, VoyageOptions};
use super::land::look_out;
use crate::climate::{Climate, Region};
use crate::passage::{
    Departure, Ensemble, EnsembleOptions, EnsembleRunner, PassageError, Walk, season,
};
use crate::report::Study;
use crate::route::LandCheck;
use crate::stores::{RoutePlan, StoresSettings, ThresholdTrial, passage_outcome};
use crate::voyage::Voyage;

/// How far around the routes a map may show winds, in degrees.
const MAP_MARGIN_DEG: f64 = 30.0;
/// How far apart the departures of a page's season are, in days.
const SEASON_STEP_DAYS: u8 = 5;

/// A voyage, its winds and what came of its routes, owned.
pub(super) struct Walked {
    voyage: Voyage,
    climate: Climate,
    walks: Vec<Walk>,
    ensembles: Vec<Ensemble>,
    loading: Option<Vec<RoutePlan>>,
    land: Vec<LandCheck>,
}

impl Walked {
    /// Walks every route of the voyage, or only the one called `only`.
    pub(super) fn new(
        options: &VoyageOptions,
        spread: &SpreadOptions,
        only: Option<&str>,
        land: &LandOptions,
    ) -> Result<Self, CliError> {
        let spread = spread.checked()?;
        let voyage = open_voyage(options, only)?;
        let climate = voyage.open_climate()?;
        Self::walk(voyage, climate, spread, land)
    }

    /// Walks every route of a voyage through a climate.
    pub(super) fn walk(
        voyage: Voyage,
        climate: Climate,
        spread: EnsembleOptions,
        land: &LandOptions,
    ) -> Result<Self, CliError> {
        let land = look_out(&voyage.routes, land)?;
        let walks = voyage
            .routes
            .iter()
            .map(|route| voyage.walk(route, &climate))
            .collect::<Result<_, _>>()?;
        let ensembles = run_ensembles(&voyage, &climate, spread)?;
        Ok(Self {
            voyage,
            climate,
            walks,
            ensembles,
            loading: None,
            land,
        })
    }

    /// Adds what each route asks to be loaded, where the voyage says who is aboard.
    pub(super) fn with_loading(mut self) -> Result<Self, CliError> {
        if let Some(settings) = &self.voyage.stores {
            let none = vec![Vec::new(); self.ensembles.len()];
            let (voyage, climate) = (&self.voyage, &self.climate);
            self.loading = Some(plan_routes(
                settings,
                voyage,
                climate,
                &self.ensembles,
                none,
            )?);
        }
        Ok(self)
    }

    /// What leaving on other days of the year would bring, by no more passages each than is usual:
    /// curves need no more, and there are many of them.
    pub(super) fn season(&self, spread: EnsembleOptions) -> Result<Vec<Departure>, PassageError> {
        let spread = EnsembleOptions {
            members: spread.members.min(EnsembleOptions::default().members),
            ..spread
        };
        season(
            &self.voyage.boat,
            &self.voyage.routes,
            &self.climate,
            self.voyage.departure.year(),
            spread,
            SEASON_STEP_DAYS,
            || (),
        )
    }

    /// The winds of the sea around the routes, farther out than the walk needs them.
    pub(super) fn winds_around(&self) -> Option<Climate> {
        let legs = self.voyage.routes.iter().flat_map(|route| route.legs());
        let places = legs
            .flat_map(|leg| leg.track.segments(self.voyage.step))
            .map(|segment| segment.midpoint.position)
            .map(|place| (place.latitude_deg(), place.longitude_deg()));
        let region = Region::covering(places, MAP_MARGIN_DEG)?;
        self.voyage.open_climate_of(&region).ok()
    }

    pub(super) fn study(&self) -> Study<'_> {
        Study {
            voyage: &self.voyage,
            climate: &self.climate,
            walks: &self.walks,
            ensembles: &self.ensembles,
            loading: self.loading.as_deref(),
            land: &self.land,
        }
    }
}

/// The spread of passages along each route of the voyage.
pub(super) fn run_ensembles(
    voyage: &Voyage,
    climate: &Climate,
    spread: EnsembleOptions,
) -> Result<Vec<Ensemble>, CliError> {
    let runner = EnsembleRunner::new(&voyage.boat, spread);
    let routes = voyage.routes.iter();
    let ensembles = routes.map(|route| runner.run(route, climate, voyage.departure));
    Ok(ensembles.collect::<Result<_, _>>()?)
}

/// What each route of the voyage asks to be loaded; `trials` has each route's other thresholds.
pub(super) fn plan_routes(
    settings: &StoresSettings,
    voyage: &Voyage,
    climate: &Climate,
    ensembles: &[Ensemble],
    trials: Vec<Vec<ThresholdTrial>>,
) -> Result<Vec<RoutePlan>, CliError> {
    let routes = voyage.routes.iter().zip(ensembles).zip(trials);
    routes
        .map(|((route, ensemble), trials)| {
            let outcome = passage_outcome(route, ensemble, climate, trials)?;
            Ok(RoutePlan::of(settings, &outcome)?)
        })
        .collect()
}

/// Reads the voyage file, or the demonstration where there is none.
pub(super) fn read_voyage(file: Option<&Path>) -> Result<Voyage, CliError> {
    let voyage = match file {
        Some(file) => Voyage::read(file),
        None => Voyage::demo(),
    };
    Ok(voyage?)
}

/// Reads the voyage, or the demonstration; with another departure or only one route, if asked.
pub(super) fn open_voyage(options: &VoyageOptions, only: Option<&str>) -> Result<Voyage, CliError> {
    let mut voyage = read_voyage(options.voyage.as_deref())?;
    if let Some(departure) = options.departure {
        voyage
            .leave_on(departure)
            .map_err(CliError::option("--departure"))?;
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

impl SpreadOptions {
    /// The options, each within its range.
    pub(super) fn checked(&self) -> Result<EnsembleOptions, CliError> {
        EnsembleOptions::MEMBERS
            .check(self.members as f64)
            .map_err(CliError::option("--members"))?;
        EnsembleOptions::PERSISTENCE_HOURS
            .check(self.persistence)
            .map_err(CliError::option("--persistence"))?;
        Ok(EnsembleOptions {
            members: self.members,
            seed: self.seed,
            persistence_hours: self.persistence,
        })
    }
}
