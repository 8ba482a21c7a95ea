//! What to load for each of a voyage's routes.

use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use super::{Options, StudyError};
use crate::climate::Climate;
use crate::passage::{Ensemble, EnsembleOptions, EnsembleRunner, ExpectedPassage};
use crate::route::{Land, LandCheck, Route};
use crate::stores::{
    self, RoutePlan, StoresSettings, ThresholdTrial, passage_outcome, threshold_trials,
};
use crate::voyage::Voyage;

/// What to load for each of a voyage's routes.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Loading {
    /// Which voyage, boat and winds.
    pub voyage: AboutVoyage,
    /// How the passages were simulated.
    pub simulated: EnsembleOptions,
    /// Each route, in the voyage's order.
    pub routes: Vec<RouteLoading>,
}

/// What to load for one route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct RouteLoading {
    /// The route's name.
    pub name: String,
    /// The list, or why there is none.
    pub loading: RoutePlan,
    /// What of the route lies on land.
    pub land: LandCheck,
}

/// Works out what to load, with the table of diesel against the motoring threshold.
///
/// # Errors
/// A voyage that does not say who is aboard, a gap in the climate, stores that cannot be worked out.
pub fn stores(
    voyage: &Voyage,
    climate: &Climate,
    options: &Options,
) -> Result<Loading, StudyError> {
    let settings = voyage.stores_of_crew()?;
    let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, climate, options.ensemble);
    let trials = threshold_trials(
        &voyage.boat,
        &voyage.routes,
        climate,
        voyage.departure,
        &options.ensemble,
        settings.reserve.confidence().value,
    )?;
    let routes = voyage.routes.iter().zip(trials).enumerate();
    let routes = routes.map(|(index, (route, trials))| {
        let ensemble = runner.run(index, voyage.departure)?;
        let walk = voyage.walk(route, climate)?.arrives();
        Ok(RouteLoading {
            name: route.name().to_owned(),
            loading: plan(settings, climate, route, walk.as_ref(), &ensemble, trials)?,
            land: LandCheck::of(route, Land::natural_earth()),
        })
    });
    Ok(Loading {
        voyage: AboutVoyage::new(voyage, climate),
        simulated: options.ensemble,
        routes: routes.collect::<Result<_, StudyError>>()?,
    })
}

/// One route's list; `walk` is that on the mean wind, `trials` has its other motoring thresholds.
pub(super) fn plan(
    settings: &StoresSettings,
    climate: &Climate,
    route: &Route,
    walk: Option<&ExpectedPassage>,
    ensemble: &Ensemble,
    trials: Vec<ThresholdTrial>,
) -> Result<RoutePlan, StudyError> {
    let outcome = passage_outcome(route, walk, ensemble, climate, trials)?;
    Ok(stores::plan(settings, &outcome)?)
}
