//! Many boats over one set of routes, in the same winds: how long each takes, and in what order they
//! are to be expected.

use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use super::boat::AboutBoat;
use super::{Options, StudyError};
use crate::boat::{Boat, GenericBoat};
use crate::climate::Climate;
use crate::passage::{DatePercentiles, DaysPercentiles, Ensemble, EnsembleOptions, EnsembleRunner};
use crate::route::{Land, LandCheck};
use crate::units::quantile_of_unsorted;
use crate::voyage::Voyage;

/// A boat that takes part.
#[derive(Debug, Clone)]
pub struct Entry {
    /// What she is called; no two have one name.
    pub name: String,
    /// The boat, and how she is handled.
    pub boat: Boat,
    /// The dimensions her polar was made from; none where it was given.
    pub generic: Option<GenericBoat>,
}

/// Boats over the routes of a voyage.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Rally {
    /// The voyage whose routes, day and winds these are; its own boat sails only where she is one of the
    /// boats.
    pub voyage: AboutVoyage,
    /// How the passages were simulated.
    pub simulated: EnsembleOptions,
    /// The boats, in the order they were entered.
    pub boats: Vec<AboutBoat>,
    /// Each route, in the voyage's order.
    pub routes: Vec<RallyRoute>,
}

/// The boats on one route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct RallyRoute {
    /// The route's name.
    pub name: String,
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// The boats in the order in which they are to be expected: by their mean place.
    pub boats: Vec<BoatInRally>,
    /// What of the route lies on land.
    pub land: LandCheck,
}

/// One boat on a route.
///
/// Places are those within a member: all boats of a member meet the same departures from the mean wind at
/// the same hour, wherever they are, and each has her own factor. Boats that arrive in the same hour share
/// their places, as do all that do not arrive, which come last.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct BoatInRally {
    /// What she is called.
    pub name: String,
    /// Days under way.
    pub days: DaysPercentiles,
    /// The day of arrival, UTC.
    pub arrival: DatePercentiles,
    /// Chance that her passage is not over after 400 days, 0 to 1.
    pub no_arrival: f64,
    /// Her mean place, from 1.
    pub mean_place: f64,
    /// P10 of her place: in 10 % of the members she comes in ahead of it.
    pub place_p10: f64,
    /// P90 of her place: in 10 % of the members she comes in behind it.
    pub place_p90: f64,
    /// Chance that she is first, 0 to 1; a first place shared counts as a part of one.
    pub chance_first: f64,
    /// Every passage, in the members' order.
    #[serde(skip)]
    pub ensemble: Ensemble,
}

/// Sails every boat over every route of a voyage, from its day, in one climate.
///
/// # Errors
/// No boats, or two of one name; a gap in the climate where and when a passage needs it.
pub fn rally(
    voyage: &Voyage,
    boats: &[Entry],
    climate: &Climate,
    options: &Options,
) -> Result<Rally, StudyError> {
    let first = boats.first().ok_or(StudyError::NoBoats)?;
    for (index, entry) in boats.iter().enumerate() {
        if boats[..index].iter().any(|other| other.name == entry.name) {
            return Err(StudyError::BoatTwice(entry.name.clone()));
        }
    }
    let (routes, departure) = (&voyage.routes, voyage.departure);
    let runner = EnsembleRunner::new(&first.boat, routes, climate, options.ensemble);
    let mut ensembles: Vec<Vec<Ensemble>> = vec![Vec::new(); routes.len()];
    for entry in boats {
        let runner = runner
            .with_boat(&entry.boat)
            .with_factors_dealt(&entry.name);
        for (route, of_route) in ensembles.iter_mut().enumerate() {
            of_route.push(runner.run(route, departure)?);
        }
    }
    let routes = routes.iter().zip(ensembles);
    let routes = routes.map(|(route, of_boats)| RallyRoute {
        name: route.name().to_owned(),
        distance_nm: route.length_nm(),
        boats: in_order(boats, of_boats),
        land: LandCheck::of(route, Land::natural_earth()),
    });
    Ok(Rally {
        routes: routes.collect(),
        boats: boats.iter().map(|entry| entry.about(voyage)).collect(),
        voyage: AboutVoyage::new(voyage, climate),
        simulated: options.ensemble,
    })
}

impl Entry {
    fn about(&self, voyage: &Voyage) -> AboutBoat {
        let mut sailed = voyage.clone();
        sailed.boat = self.boat.clone();
        sailed.boat_name = Some(self.name.clone());
        sailed.generic_boat = self.generic;
        AboutBoat::new(&sailed)
    }
}

/// The boats by their mean place; those with one mean place as they were entered.
fn in_order(boats: &[Entry], ensembles: Vec<Ensemble>) -> Vec<BoatInRally> {
    let hours: Vec<Vec<f64>> = ensembles.iter().map(Ensemble::arrival_hours).collect();
    let results = boats.iter().zip(ensembles).zip(places(&hours));
    let mut results: Vec<BoatInRally> = results
        .map(|((entry, ensemble), mut of_boat)| {
            let count = of_boat.places.len() as f64;
            let mut at =
                |share| quantile_of_unsorted(&mut of_boat.places, share).unwrap_or(f64::NAN);
            BoatInRally {
                name: entry.name.clone(),
                days: ensemble.days,
                arrival: ensemble.arrival,
                no_arrival: ensemble.chance.no_arrival,
                place_p10: at(0.1),
                place_p90: at(0.9),
                mean_place: of_boat.places.iter().sum::<f64>() / count,
                chance_first: of_boat.firsts / count,
                ensemble,
            }
        })
        .collect();
    results.sort_by(|a, b| a.mean_place.total_cmp(&b.mean_place));
    results
}

/// One boat's places, member by member, and how often she is first.
#[derive(Default)]
struct Places {
    places: Vec<f64>,
    firsts: f64,
}

/// Each boat's places by the hours she takes, a list of members a boat.
fn places(hours: &[Vec<f64>]) -> Vec<Places> {
    let members = hours.first().map_or(0, Vec::len);
    let mut places: Vec<Places> = hours.iter().map(|_| Places::default()).collect();
    let mut order: Vec<usize> = (0..hours.len()).collect();
    let at = |boat: usize, member: usize| hours[boat][member];
    for member in 0..members {
        order.sort_by(|&a, &b| at(a, member).total_cmp(&at(b, member)));
        let mut ahead = 0;
        for level in order.chunk_by(|&a, &b| at(a, member) == at(b, member)) {
            let place = ahead as f64 + (level.len() as f64 + 1.0) / 2.0;
            for &boat in level {
                places[boat].places.push(place);
                if ahead == 0 && at(boat, member).is_finite() {
                    places[boat].firsts += 1.0 / level.len() as f64;
                }
            }
            ahead += level.len();
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(voyage: &Voyage, name: &str, factor: f64) -> Entry {
        let polar = include_str!("../../fixtures/demo/cutter-12m.csv");
        let polar = crate::boat::Polar::parse(polar, "cutter-12m.csv").unwrap();
        let boat = Boat::new(
            &polar,
            factor,
            voyage.boat.engine().cloned(),
            *voyage.boat.handling(),
        );
        Entry {
            name: name.to_owned(),
            boat: boat.unwrap(),
            generic: None,
        }
    }

    #[test]
    fn places_are_shared_by_those_that_arrive_together_or_not_at_all() {
        let never = f64::INFINITY;
        let hours = [
            vec![10.0, 5.0, never],
            vec![12.0, 5.0, never],
            vec![11.0, never, 9.0],
        ];
        let found = places(&hours);
        let of = |boat: usize| (found[boat].places.clone(), found[boat].firsts);
        assert_eq!(of(0), (vec![1.0, 1.5, 2.5], 1.5));
        assert_eq!(of(1), (vec![3.0, 1.5, 2.5], 0.5));
        assert_eq!(of(2), (vec![2.0, 3.0, 1.0], 1.0));
    }

    #[test]
    fn faster_boats_come_first_and_alike_boats_are_first_as_often() {
        let voyage = Voyage::demo().unwrap();
        let boats = [
            entry(&voyage, "Slow", 0.7),
            entry(&voyage, "Petrel", 0.85),
            entry(&voyage, "Gannet", 0.85),
        ];
        let ensemble = EnsembleOptions {
            members: 400,
            ..EnsembleOptions::default()
        };
        let options = Options::default().with_ensemble(ensemble);
        let climate = voyage.open_climate().unwrap();
        let found = rally(&voyage, &boats, &climate, &options).unwrap();
        for route in &found.routes {
            let boats = &route.boats;
            assert_eq!(boats[2].name, "Slow");
            assert!(boats[2].mean_place > 2.0 && boats[2].chance_first < 0.3);
            let firsts: f64 = boats.iter().map(|boat| boat.chance_first).sum();
            approx::assert_abs_diff_eq!(firsts, 1.0, epsilon = 1e-9);
            let places: f64 = boats.iter().map(|boat| boat.mean_place).sum();
            approx::assert_abs_diff_eq!(places, 6.0, epsilon = 1e-9);
            // Two boats alike: of 400 members each is ahead in half of them, to four standard errors.
            let apart = (boats[0].mean_place - boats[1].mean_place).abs();
            assert!(apart < 0.2, "{apart}");
        }
    }

    #[test]
    fn a_rally_needs_boats_with_names_of_their_own() {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let refused = |boats: &[Entry]| {
            let refused = rally(&voyage, boats, &climate, &Options::default());
            refused.unwrap_err().to_string()
        };
        assert_eq!(refused(&[]), "a rally needs boats: found none");
        let one = entry(&voyage, "Petrel", 0.85);
        assert_eq!(
            refused(&[one.clone(), one]),
            "two boats of the rally are called 'Petrel'; give each a name of her own"
        );
    }
}
