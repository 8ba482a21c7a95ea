//! Whether a voyage can be sailed on paper at all: what was read, before the routes are walked.

use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use crate::climate::{Climate, Month};
use crate::passage::months_without_wind;
use crate::route::{Land, LandCheck, Port};
use crate::voyage::Voyage;

/// A voyage that was read without complaint.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct CheckedVoyage {
    /// Which voyage, boat and winds.
    pub voyage: AboutVoyage,
    /// Each route, in the voyage's order; of a voyage with stages the ways of all of them.
    pub routes: Vec<CheckedRoute>,
    /// The ports that waypoints are given by, and where they were found.
    pub ports: Vec<Port>,
}

/// One route as it was read.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct CheckedRoute {
    /// The stage whose way it is; none for a voyage without stages.
    pub stage: Option<String>,
    /// The route's name.
    pub name: String,
    /// How many legs it has.
    pub legs: usize,
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// The months in which some part of the route has no wind data.
    pub months_without_wind: Vec<Month>,
    /// What of it lies on land.
    pub land: LandCheck,
}

/// Looks a voyage over without walking its routes.
pub fn check(voyage: &Voyage, climate: &Climate) -> CheckedVoyage {
    let stages = voyage.stages.iter();
    let of_stages = stages.flat_map(|stage| stage.ways.iter().map(|_| Some(stage.name.clone())));
    // Of a voyage without stages there are no names to go with its routes.
    let of_stages = of_stages.chain(std::iter::repeat(None));
    let routes = voyage.routes.iter().zip(of_stages);
    let routes = routes.map(|(route, stage)| CheckedRoute {
        stage,
        name: route.name().to_owned(),
        legs: route.legs().len(),
        distance_nm: route.length_nm(),
        months_without_wind: months_without_wind(route, voyage.step, climate),
        land: LandCheck::of(route, Land::natural_earth()),
    });
    CheckedVoyage {
        voyage: AboutVoyage::new(voyage, climate),
        routes: routes.collect(),
        ports: voyage.ports.clone(),
    }
}
