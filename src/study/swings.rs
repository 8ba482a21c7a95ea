//! What the answer hangs on: the days of each route with one assumption moved at a time.
//!
//! Every swing has the same members as the comparison, with the same winds and boats by number, so
//! that what it changes stands out from what chance decides. It sails the first of them alone, and
//! moves the comparison's figures by what changes for these.

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::StudyError;
use super::compare::{Pair, RouteResult};
use crate::boat::{AtSea, Boat, BoatError, Handling, ranges::SEA_BRAKE};
use crate::climate::{Climate, MeasuredFigure};
use crate::passage::{Ensemble, EnsembleOptions, EnsembleRunner, MemberPassage, standard_error};
use crate::units::quantile_of_unsorted;
use crate::voyage::Voyage;

/// How many members a swing sails on each route.
const MOST_MEMBERS: usize = 500;
/// By how much winds are moved (common practice, no source).
const WINDS_BY: f64 = 0.10;
/// The fast part's correlation time, at either end of what the moorings allow and some more, hours.
const FAST_HOURS: [f64; 2] = [18.0, 36.0];
/// The same as multiples of what was measured.
const FAST_SCALES: [f64; 2] = [0.75, 1.5];
/// A crew that stops beating early, knots of true wind (common practice, no source).
const EARLY_BEAT_UNTIL_KN: f64 = 26.0;
/// Sails that slat in more wind than usual, knots of apparent wind (common practice, no source).
const MORE_SLAT_BELOW_KN: f64 = 6.0;

/// An assumption moved one way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Assumption {
    /// A slower boat, by the uncertainty of her factor.
    BoatSlower,
    /// A faster boat, by the uncertainty of her factor.
    BoatFaster,
    /// No currents.
    CurrentsNone,
    /// Currents twice as strong.
    CurrentsDoubled,
    /// Winds 10 % weaker, mean and standard deviation.
    WindsWeaker,
    /// Winds 10 % stronger, mean and standard deviation.
    WindsStronger,
    /// The wind's fast part lasts 18 hours, or three quarters of what was measured.
    FastPartShorter,
    /// The wind's fast part lasts 36 hours, or half as long again as measured.
    FastPartLonger,
    /// The wind has no slow part.
    SlowPartNone,
    /// The wind's slow part has twice the share of the variance.
    SlowPartDoubled,
    /// The sea does not brake her.
    SeaBrakeNone,
    /// The sea brakes her twice as much, or as much as is allowed.
    SeaBrakeDoubled,
    /// The crew stops beating at 26 kn.
    BeatingEndsEarly,
    /// The crew beats in any wind in which she is not hove to.
    BeatingNeverEnds,
    /// Sails never slat.
    SlattingNone,
    /// Sails slat below 6 kn of apparent wind.
    SlattingMore,
    /// The winds are those of the second climate.
    SecondClimate,
}

/// The days with one assumption moved.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Swing {
    /// Which assumption, and which way.
    pub assumption: Assumption,
    /// The same for a reader.
    pub label: String,
    /// Each route, in the voyage's order.
    pub routes: Vec<SwungRoute>,
    /// How far the quickest route stays ahead of the second: those of `verdict.first_two`, in its
    /// order; none where fewer than two arrive in the first place.
    pub first_faster_by_days: Option<SwungDifference>,
}

/// A route's days with one assumption moved; none where that share does not arrive.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct SwungRoute {
    /// The route's name.
    pub name: String,
    /// The median, days.
    pub p50: Option<f64>,
    /// P90, days.
    pub p90: Option<f64>,
}

/// Days by which the first route is faster than the second with one assumption moved; none where one
/// of the two does not arrive.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct SwungDifference {
    /// At the median.
    pub p50: Option<f64>,
    /// At P90.
    pub p90: Option<f64>,
    /// Standard error of the difference at the median from the number of passages, days; none with
    /// fewer than 100 of them.
    pub p50_se: Option<f64>,
}

/// Moves each assumption that the voyage makes; those that move the difference of the medians most
/// come first. `runner` is that of the routes' ensembles.
///
/// # Errors
/// A gap in a climate where and when a passage needs it.
pub(super) fn swings(
    voyage: &Voyage,
    (climate, second): (&Climate, Option<&Climate>),
    runner: &EnsembleRunner,
    options: EnsembleOptions,
    routes: &[RouteResult],
    first_two: Option<&Pair>,
) -> Result<Vec<Swing>, StudyError> {
    let sea = Sea {
        voyage,
        climate,
        second,
        options: EnsembleOptions {
            members: options.members.min(MOST_MEMBERS),
            ..options
        },
    };
    let few = runner.with_options(&voyage.routes, climate, sea.options);
    let moved = sea.moved(&few);
    let mut swings = moved
        .into_par_iter()
        .map(|(assumption, label, how)| {
            let runner = sea.runner(&few, how);
            let ensembles = (0..routes.len())
                .map(|route| runner.run(route, voyage.departure))
                .collect::<Result<Vec<_>, _>>()
                .map_err(|error| match assumption {
                    Assumption::SecondClimate => StudyError::SecondClimate(error),
                    _ => error.into(),
                })?;
            Ok(Swing::of(assumption, label, routes, &ensembles, first_two))
        })
        .collect::<Result<Vec<_>, StudyError>>()?;
    let base = first_two.and_then(|pair| pair.first_faster_by_days.p50);
    swings.sort_by(|a, b| b.size(base).total_cmp(&a.size(base)));
    Ok(swings)
}

/// What a swing changes.
enum Moved<'a> {
    BoatTimes(f64),
    Boat(Box<Boat>),
    CurrentsTimes(f64),
    WindsTimes(f64),
    Memory(EnsembleOptions),
    SecondClimate(&'a Climate),
}

/// What all swings share.
struct Sea<'a> {
    voyage: &'a Voyage,
    climate: &'a Climate,
    second: Option<&'a Climate>,
    options: EnsembleOptions,
}

impl<'a> Sea<'a> {
    /// The assumptions that can be moved here: one that takes nothing off has nothing to double.
    fn moved(&self, runner: &EnsembleRunner) -> Vec<(Assumption, String, Moved<'a>)> {
        use Assumption::*;
        let boat = &self.voyage.boat;
        let options = self.options;
        let second = self.second.map(Moved::SecondClimate);
        let second = second.map(|moved| (SecondClimate, "the second climate".to_owned(), moved));
        let mut moved: Vec<_> = second.into_iter().collect();
        let uncertainty = boat.factor_uncertainty();
        if uncertainty > 0.0 {
            let per_cent = 100.0 * uncertainty;
            moved.extend([
                (
                    BoatSlower,
                    format!("boat {per_cent:.0} % slower"),
                    Moved::BoatTimes(1.0 - uncertainty),
                ),
                (
                    BoatFaster,
                    format!("boat {per_cent:.0} % faster"),
                    Moved::BoatTimes(1.0 + uncertainty),
                ),
            ]);
        }
        if runner.has_currents() {
            moved.extend([
                (
                    CurrentsNone,
                    "no currents".into(),
                    Moved::CurrentsTimes(0.0),
                ),
                (
                    CurrentsDoubled,
                    "currents doubled".into(),
                    Moved::CurrentsTimes(2.0),
                ),
            ]);
        }
        let per_cent = 100.0 * WINDS_BY;
        moved.extend([
            (
                WindsWeaker,
                format!("winds {per_cent:.0} % weaker"),
                Moved::WindsTimes(1.0 - WINDS_BY),
            ),
            (
                WindsStronger,
                format!("winds {per_cent:.0} % stronger"),
                Moved::WindsTimes(1.0 + WINDS_BY),
            ),
        ]);
        if options.measured_memory && self.climate.measured().contains(&MeasuredFigure::Memory) {
            for (assumption, fast_scale) in [FastPartShorter, FastPartLonger]
                .into_iter()
                .zip(FAST_SCALES)
            {
                moved.push((
                    assumption,
                    format!("winds persist {fast_scale} times as long"),
                    Moved::Memory(EnsembleOptions {
                        fast_scale: fast_scale * options.fast_scale,
                        ..options
                    }),
                ));
            }
        } else {
            moved.extend(self.persisting());
        }
        if options.slow_scale > 0.0 {
            let scaled = |times: f64| {
                Moved::Memory(EnsembleOptions {
                    slow_scale: times * options.slow_scale,
                    ..options
                })
            };
            moved.extend([
                (SlowPartNone, "no slow part of the wind".into(), scaled(0.0)),
                (SlowPartDoubled, "slow part doubled".into(), scaled(2.0)),
            ]);
        }
        let handled = handled(boat.handling().at_sea());
        moved.extend(
            handled
                .into_iter()
                .filter_map(|(assumption, label, at_sea)| {
                    // The figures are within their ranges.
                    let boat = taking(boat, at_sea).ok()?;
                    Some((assumption, label, Moved::Boat(Box::new(boat))))
                }),
        );
        moved
    }

    /// The fast part's time moved where it is assumed.
    fn persisting(&self) -> Vec<(Assumption, String, Moved<'a>)> {
        let options = self.options;
        let times = [
            (Assumption::FastPartShorter, FAST_HOURS[0]),
            (Assumption::FastPartLonger, FAST_HOURS[1]),
        ];
        let moves = |(assumption, fast_hours): &(Assumption, f64)| {
            let is_shorter = *assumption == Assumption::FastPartShorter;
            *fast_hours != options.fast_hours && (*fast_hours < options.fast_hours) == is_shorter
        };
        let moved = times.into_iter().filter(moves);
        let moved = moved.map(|(assumption, fast_hours)| {
            let moved = Moved::Memory(EnsembleOptions {
                fast_hours,
                ..options
            });
            let label = format!("winds persist for {fast_hours:.0} h");
            (assumption, label, moved)
        });
        moved.collect()
    }

    fn runner(&self, few: &EnsembleRunner, moved: Moved<'_>) -> EnsembleRunner {
        match moved {
            Moved::SecondClimate(second) => few.with_climate(&self.voyage.routes, second),
            Moved::BoatTimes(times) => few.with_boat_times(times),
            Moved::Boat(boat) => few.with_boat(&boat),
            Moved::CurrentsTimes(times) => few.with_currents_times(times),
            Moved::WindsTimes(times) => few.with_winds_times(times),
            Moved::Memory(options) => few.with_options(&self.voyage.routes, self.climate, options),
        }
    }
}

/// What the sea and the crew take off her speeds, moved.
fn handled(at_sea: AtSea) -> Vec<(Assumption, String, AtSea)> {
    use Assumption::*;
    let mut moved = Vec::new();
    if at_sea.sea_brake > 0.0 {
        let doubled = (2.0 * at_sea.sea_brake).min(SEA_BRAKE.max);
        for (assumption, label, sea_brake) in [
            (SeaBrakeNone, "no loss to waves".to_owned(), 0.0),
            (
                SeaBrakeDoubled,
                if doubled == 2.0 * at_sea.sea_brake {
                    "twice the loss to waves".to_owned()
                } else {
                    format!("{doubled:.1} times the usual loss to waves")
                },
                doubled,
            ),
        ] {
            // The strongest brake there is has no double.
            if sea_brake != at_sea.sea_brake {
                moved.push((
                    assumption,
                    label,
                    AtSea {
                        sea_brake,
                        ..at_sea
                    },
                ));
            }
        }
    }
    for (assumption, label, beat_until_kn) in [
        (
            BeatingEndsEarly,
            format!("no beating from {EARLY_BEAT_UNTIL_KN:.0} kn"),
            Some(EARLY_BEAT_UNTIL_KN),
        ),
        (BeatingNeverEnds, "beating in any wind".to_owned(), None),
    ] {
        let is_another = match (beat_until_kn, at_sea.beat_until_kn) {
            (Some(moved_kn), Some(kn)) => moved_kn < kn,
            (moved_kn, kn) => moved_kn != kn,
        };
        if is_another {
            moved.push((
                assumption,
                label,
                AtSea {
                    beat_until_kn,
                    ..at_sea
                },
            ));
        }
    }
    if at_sea.slat_below_kn.is_some() {
        for (assumption, label, slat_below_kn) in [
            (SlattingNone, "sails never slat".to_owned(), None),
            (
                SlattingMore,
                format!("sails slat below {MORE_SLAT_BELOW_KN:.0} kn"),
                Some(MORE_SLAT_BELOW_KN),
            ),
        ] {
            // None is never to slat, and less than any wind.
            let is_more = slat_below_kn > at_sea.slat_below_kn;
            if is_more == (assumption == SlattingMore) {
                moved.push((
                    assumption,
                    label,
                    AtSea {
                        slat_below_kn,
                        ..at_sea
                    },
                ));
            }
        }
    }
    moved
}

/// The boat with something else taken off her speeds.
fn taking(boat: &Boat, at_sea: AtSea) -> Result<Boat, BoatError> {
    let handling: Handling = boat.handling().with_at_sea(at_sea)?;
    boat.handled(boat.engine().cloned(), handling)
}

impl Swing {
    fn of(
        assumption: Assumption,
        label: String,
        routes: &[RouteResult],
        swung: &[Ensemble],
        first_two: Option<&Pair>,
    ) -> Self {
        let all = || routes.iter().zip(swung);
        let found = |name: &str| all().find(|(route, _)| route.name == name);
        Self {
            assumption,
            label,
            routes: all()
                .map(|(route, swung)| SwungRoute {
                    name: route.name.clone(),
                    p50: moved_days(&route.ensemble, swung, 0.5),
                    p90: moved_days(&route.ensemble, swung, 0.9),
                })
                .collect(),
            first_faster_by_days: first_two
                .and_then(|pair| Some((found(&pair.first)?, found(&pair.second)?)))
                .map(|(first, second)| {
                    let ahead = |share| {
                        let [a, b] = [first, second]
                            .map(|(route, swung)| moved_days(&route.ensemble, swung, share));
                        Some(b? - a?)
                    };
                    SwungDifference {
                        p50: ahead(0.5),
                        p90: ahead(0.9),
                        p50_se: difference_error([first, second]),
                    }
                }),
        }
    }

    /// By how much the difference of the medians moves, days; infinite where a route does not arrive.
    fn size(&self, base: Option<f64>) -> f64 {
        let swung = self.first_faster_by_days.and_then(|by| by.p50);
        match (swung, base) {
            (Some(swung), Some(base)) => (swung - base).abs(),
            _ => f64::INFINITY,
        }
    }
}

/// A share's days, moved by what changes for the members that were sailed anew.
fn moved_days(base: &Ensemble, swung: &Ensemble, share: f64) -> Option<f64> {
    let same = &base.each_member()[..swung.each_member().len()];
    let before = arrived_by(same, share)?;
    Some(base.days_at(share)? + (swung.days_at(share)? - before))
}

/// The standard error of the difference of two moved medians: that of the medians, and that of how
/// far they move.
fn difference_error(pair: [(&RouteResult, &Ensemble); 2]) -> Option<f64> {
    let [first, second] = pair;
    let medians = [first, second].map(|(route, _)| route.ensemble.days.p50_se);
    let members = first.1.each_member().len();
    let moves = standard_error(members, |batch| {
        let [a, b] = pair.map(|(route, swung)| {
            let at = |ensemble: &Ensemble| arrived_by(&ensemble.each_member()[batch.clone()], 0.5);
            Some(at(swung)? - at(&route.ensemble)?)
        });
        Some(b? - a?)
    });
    Some((medians[0]?.powi(2) + medians[1]?.powi(2) + moves?.powi(2)).sqrt())
}

/// The days that a share of some members stay below; none where that share does not arrive.
fn arrived_by(members: &[MemberPassage], share: f64) -> Option<f64> {
    let hours = members
        .iter()
        .map(|member| member.hours.unwrap_or(f64::INFINITY));
    let mut days: Vec<f64> = hours.map(|hours| hours / 24.0).collect();
    quantile_of_unsorted(&mut days, share).filter(|days| days.is_finite())
}

#[cfg(test)]
#[path = "swings_tests.rs"]
mod tests;
