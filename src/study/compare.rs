//! A voyage's routes side by side.

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use super::loading::plan;
use super::swings::{Swing, swings};
use super::verdict::Verdict;
use super::{Options, StudyError};
use crate::climate::{Climate, Currents};
use crate::passage::{
    Ensemble, EnsembleOptions, EnsembleRunner, ExpectedPassage, PassageError, Stall, Walk,
    chance_first_arrives_before,
};
use crate::route::{FarFromLand, Land, LandCheck, Route};
use crate::stores::RoutePlan;
use crate::voyage::Voyage;

/// A voyage's routes: each on the mean wind and through many passages, and which is quicker.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Comparison {
    /// Which voyage, boat and winds.
    pub voyage: AboutVoyage,
    /// How the passages were simulated.
    pub simulated: EnsembleOptions,
    /// Each route, in the voyage's order.
    pub routes: Vec<RouteResult>,
    /// Every pair of routes, each once, in the voyage's order.
    pub pairs: Vec<Pair>,
    /// Which route is quicker.
    pub verdict: Verdict,
    /// What the answer hangs on: the days with one assumption moved at a time, those that move the
    /// difference of the first two most coming first. Empty where it was not asked for.
    pub swings: Vec<Swing>,
    /// The second climate, of which `swings` has the days; none where none was given.
    pub second_winds: Option<SecondWinds>,
}

/// The winds of a second opinion.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct SecondWinds {
    /// The file, and its title where it has one.
    pub label: String,
    /// What was assumed or changed when they were read, a sentence each.
    pub notes: Vec<String>,
}

/// One route. Either `expected` or `stalled` is there.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct RouteResult {
    /// The route's name.
    pub name: String,
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// The passage on the mean wind; none where the boat stalls on it.
    pub expected: Option<ExpectedPassage>,
    /// Where the boat makes next to no progress on the mean wind; none where she arrives.
    pub stalled: Option<Stall>,
    /// Days by which the current shortens the passage on the mean wind, negative where it lengthens
    /// it; none where no currents are reckoned with, or where the boat stalls with them or without.
    pub current_days: Option<f64>,
    /// Many passages, and how they spread.
    pub ensemble: Ensemble,
    /// What to load; none where the voyage does not say who is aboard, or it was not asked for.
    pub loading: Option<RoutePlan>,
    /// What of it lies on land.
    pub land: LandCheck,
    /// How far it goes from land, where help is.
    pub far_from_land: FarFromLand,
    /// The route itself.
    #[serde(skip)]
    pub route: Route,
}

/// Two routes against each other.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Pair {
    /// The first route's name.
    pub first: String,
    /// The second route's name.
    pub second: String,
    /// Chance that a passage of the first arrives earlier than one of the second, days in harbour counted, 0
    /// to 1.
    pub chance_first_arrives_before: f64,
    /// Days at sea by which the first is faster than the second; negative where it is slower.
    pub first_faster_by_days: DaysGained,
}

/// Days by which one route is faster than another at the same percentile of each; none where one of
/// the two does not arrive.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DaysGained {
    /// At P10.
    pub p10: Option<f64>,
    /// At the median.
    pub p50: Option<f64>,
    /// At P90.
    pub p90: Option<f64>,
}

/// Compares the routes of a voyage in a climate.
///
/// # Errors
/// A gap in the climate where and when a passage needs it; stores that cannot be worked out.
pub fn compare(
    voyage: &Voyage,
    climate: &Climate,
    options: &Options,
) -> Result<Comparison, StudyError> {
    compare_also(voyage, climate, None, options)
}

/// Compares the routes of a voyage in a climate, and in a second one as one more swing where swings are
/// asked for.
///
/// # Errors
/// As [`compare`]; a gap in the second climate.
pub fn compare_also(
    voyage: &Voyage,
    climate: &Climate,
    second: Option<&Climate>,
    options: &Options,
) -> Result<Comparison, StudyError> {
    let (mut comparison, runner) = sail(voyage, climate, options)?;
    if options.swings {
        let (routes, first_two) = (&comparison.routes, comparison.verdict.first_two.as_ref());
        comparison.swings = swings(
            voyage,
            (climate, second),
            &runner,
            options.ensemble,
            routes,
            first_two,
        )?;
        comparison.verdict = Verdict::of(&comparison.routes, &comparison.swings);
        comparison.second_winds = second.map(|second| SecondWinds {
            label: second.label().to_owned(),
            notes: second.notes().to_vec(),
        });
    }
    if let Some(settings) = voyage.stores.as_ref().filter(|_| options.loading) {
        for route in &mut comparison.routes {
            route.loading = Some(plan(
                settings,
                climate,
                &route.route,
                route.expected.as_ref(),
                &route.ensemble,
                Vec::new(),
            )?);
        }
    }
    Ok(comparison)
}

/// The comparison without swings and what to load, and what ran its ensembles.
pub(super) fn sail(
    voyage: &Voyage,
    climate: &Climate,
    options: &Options,
) -> Result<(Comparison, EnsembleRunner), StudyError> {
    let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, climate, options.ensemble);
    let still = climate.currents().are_used().then(|| climate.clone());
    let still = still.map(|climate| climate.with_currents(Currents::None));
    let routes = voyage
        .routes
        .par_iter()
        .enumerate()
        .map(|(index, route)| {
            let ensemble = runner.run(index, voyage.departure)?;
            let (expected, stalled) = match voyage.walk(route, climate)? {
                Walk::Arrives(passage) => (Some(*passage), None),
                Walk::Stalls(stall) => (None, Some(stall)),
            };
            let without_current = match &still {
                Some(climate) => voyage.walk(route, climate)?.arrives(),
                None => None,
            };
            let gained = |with: &ExpectedPassage| Some(without_current?.days - with.days);
            Ok(RouteResult {
                current_days: expected.as_ref().and_then(gained),
                name: route.name().to_owned(),
                distance_nm: route.length_nm(),
                expected,
                stalled,
                ensemble,
                loading: None,
                land: LandCheck::of(route, Land::natural_earth()),
                far_from_land: FarFromLand::of(route, Land::natural_earth()),
                route: route.clone(),
            })
        })
        .collect::<Result<Vec<_>, PassageError>>()?;
    let comparison = Comparison {
        voyage: AboutVoyage::new(voyage, climate),
        simulated: options.ensemble,
        pairs: pairs(&routes),
        verdict: Verdict::of(&routes, &[]),
        routes,
        swings: Vec::new(),
        second_winds: None,
    };
    Ok((comparison, runner))
}

fn pairs(routes: &[RouteResult]) -> Vec<Pair> {
    let firsts = routes.iter().enumerate();
    firsts
        .flat_map(|(index, first)| {
            let seconds = routes[index + 1..].iter();
            seconds.map(move |second| Pair::of(first, second))
        })
        .collect()
}

impl Pair {
    /// One route against another.
    pub fn of(first: &RouteResult, second: &RouteResult) -> Self {
        let gained = |a: Option<f64>, b: Option<f64>| Some(b? - a?);
        let (a, b) = (&first.ensemble, &second.ensemble);
        Self {
            first: first.name.clone(),
            second: second.name.clone(),
            chance_first_arrives_before: chance_first_arrives_before(a, b),
            first_faster_by_days: DaysGained {
                p10: gained(a.days.p10, b.days.p10),
                p50: gained(a.days.p50, b.days.p50),
                p90: gained(a.days.p90, b.days.p90),
            },
        }
    }
}

impl Comparison {
    /// The result of a route.
    pub fn route(&self, name: &str) -> Option<&RouteResult> {
        self.routes.iter().find(|route| route.name == name)
    }
}
