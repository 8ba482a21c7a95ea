//! When to leave: departures through a year, on every route.

use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use super::keeping::{Keeping, clear_of_storms, in_time};
use super::{Options, StudyError};
use crate::climate::{Climate, Month};
use crate::passage::{
    self, Departure, EnsembleOptions, ExposureKind, MOST_STORM_CHANCE, SeasonDates, SeasonPassage,
    Window, best_window,
};
use crate::route::{Land, LandCheck};
use crate::voyage::Voyage;

/// Which departures are tried, and what a window to leave in must keep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonOptions {
    /// How far apart they are, in days: 1 to 31.
    pub every_days: u8,
    /// The greatest chance of a storm within 200 nm, 0 to 1, beyond which a window is taken only
    /// where none has less.
    pub most_storm_chance: f64,
}

impl SeasonOptions {
    /// The departures tried for a voyage: through the twelve months from its own, and none before
    /// [`Voyage::leave_after`].
    pub fn dates(&self, voyage: &Voyage) -> SeasonDates {
        SeasonDates {
            first: voyage.departure,
            every_days: self.every_days,
            leave_after: voyage.leave_after,
        }
    }
}

impl Default for SeasonOptions {
    /// Every five days; a chance of a storm of 5 %.
    fn default() -> Self {
        Self {
            every_days: 5,
            most_storm_chance: MOST_STORM_CHANCE,
        }
    }
}

/// Departures through the twelve months from the voyage's, on every route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Season {
    /// Which voyage, boat and winds.
    pub voyage: AboutVoyage,
    /// How the passages were simulated.
    pub simulated: EnsembleOptions,
    /// The chance of a storm within 200 nm, 0 to 1, beyond which a window is taken only where none
    /// has less.
    pub most_storm_chance: f64,
    /// The departures tried, in order of date.
    pub departures: Vec<Departure>,
    /// Each route, in the voyage's order.
    pub routes: Vec<SeasonRoute>,
}

/// The year on one route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct SeasonRoute {
    /// The route's name.
    pub name: String,
    /// The best thirty days to leave in; none where in every thirty days some departure has one
    /// passage in ten that does not arrive.
    pub window: Option<Window>,
    /// The months that have departures, that of the first departure first.
    pub months: Vec<MonthOfDeparture>,
    /// Which departures keep the deadlines, and which keep every stage out of the storms.
    pub keeping: Keeping,
    /// What of the route lies on land.
    pub land: LandCheck,
}

/// What a month's departures bring on one route: means over them. One departure without a figure
/// leaves the month without it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct MonthOfDeparture {
    /// The month of departure.
    pub month: Month,
    /// Mean of the median days.
    pub days_p50: Option<f64>,
    /// Mean of the days at P90.
    pub days_p90: Option<f64>,
    /// Mean share of time with a headwind, 0 to 1.
    pub headwind: f64,
    /// Mean chance of a gale of six hours or more, 0 to 1.
    pub gale_6h: f64,
    /// The lowest monthly mean of the air met, degrees Celsius.
    pub lowest_air_c: Option<f64>,
    /// Mean chance of a storm within 200 nm, 0 to 1.
    pub storm_chance: Option<f64>,
    /// The share of its departures, 0 to 1, that keep every deadline in nine cases of ten and every stage
    /// within the chance of a storm.
    pub keeping: f64,
}

impl Season {
    /// The route with the best window, by the rule that picks a route's: the shortest bad case of those
    /// that keep the chance of a storm, or the least chance. None where no route has a window.
    pub fn best(&self) -> Option<(&SeasonRoute, &Window)> {
        let beyond = |window: &Window| (window.storm_chance - self.most_storm_chance).max(0.0);
        let windows = self.routes.iter();
        windows
            .filter_map(|route| Some((route, route.window.as_ref()?)))
            .min_by(|(_, a), (_, b)| {
                let by_storms = beyond(a).total_cmp(&beyond(b));
                by_storms.then(a.days_p90.total_cmp(&b.days_p90))
            })
    }
}

/// Tries departures through the twelve months from the voyage's; `done` is called as each is finished.
///
/// # Errors
/// A gap in the climate where and when a passage needs it; too many passages in all.
pub fn season(
    voyage: &Voyage,
    climate: &Climate,
    options: &Options,
    season: SeasonOptions,
    done: impl Fn() + Sync,
) -> Result<Season, StudyError> {
    let departures = passage::season(
        &voyage.boat,
        &voyage.routes,
        climate,
        season.dates(voyage),
        options.ensemble,
        done,
    )?;
    let routes = voyage.routes.iter().enumerate();
    let routes = routes.map(|(index, route)| SeasonRoute {
        name: route.name().to_owned(),
        window: best_window(&departures, index, season.most_storm_chance),
        months: Month::ALL
            .into_iter()
            .cycle()
            .skip(voyage.departure.month().unsigned_abs() as usize - 1)
            .take(Month::ALL.len())
            .filter_map(|month| {
                MonthOfDeparture::of(&departures, index, month, season.most_storm_chance)
            })
            .collect(),
        keeping: Keeping::of(&departures, index, season.most_storm_chance),
        land: LandCheck::of(route, Land::natural_earth()),
    });
    Ok(Season {
        voyage: AboutVoyage::new(voyage, climate),
        simulated: options.ensemble,
        most_storm_chance: season.most_storm_chance,
        routes: routes.collect(),
        departures,
    })
}

impl MonthOfDeparture {
    /// The means over a month's departures on the route numbered `route`; none without departures.
    fn of(
        departures: &[Departure],
        route: usize,
        month: Month,
        most_storm_chance: f64,
    ) -> Option<Self> {
        let passages: Vec<&SeasonPassage> = departures
            .iter()
            .filter(|departure| departure.date.month().unsigned_abs() == month.number())
            .map(|departure| &departure.routes[route])
            .collect();
        if passages.is_empty() {
            return None;
        }
        let mean = |figure: &dyn Fn(&SeasonPassage) -> Option<f64>| {
            let figures: Option<Vec<f64>> =
                passages.iter().map(|passage| figure(passage)).collect();
            Some(figures?.iter().sum::<f64>() / passages.len() as f64)
        };
        Some(Self {
            month,
            days_p50: mean(&|passage| passage.ensemble.days.p50),
            days_p90: mean(&|passage| passage.ensemble.days.p90),
            headwind: mean(&|passage| Some(passage.ensemble.exposure[ExposureKind::Headwind]))?,
            gale_6h: mean(&|passage| Some(passage.ensemble.chance.gale_6h))?,
            lowest_air_c: passages
                .iter()
                .filter_map(|passage| Some(passage.air_temperature_c?.lowest))
                .min_by(f64::total_cmp),
            storm_chance: mean(&|passage| Some(passage.ensemble.storms.as_ref()?.chance)),
            keeping: mean(&|passage| {
                let kept = in_time(&passage.ensemble)
                    && clear_of_storms(&passage.ensemble, most_storm_chance);
                Some(f64::from(u8::from(kept)))
            })?,
        })
    }
}
