//! Departures through the year: what leaving on each day brings, and the best time to leave.

use jiff::ToSpan as _;
use jiff::civil::Date;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::itinerary::Itinerary;
use super::{AirTemperature, Ensemble, EnsembleOptions, EnsembleRunner, PassageError};
use crate::boat::Boat;
use crate::climate::{Climate, SeasonDay};
use crate::route::Route;
use crate::units::Range;

/// How far apart departures may be, in days.
pub const SEASON_EVERY_DAYS: Range = Range::new("days between departures", "", 1.0, 31.0);

/// How long a window of departures is, in days.
const WINDOW_DAYS: i32 = 30;

/// The chance of a storm within 200 nm above which a window is taken only where none has less, unless
/// the crew gives another, 0 to 1 (our definition).
pub const MOST_STORM_CHANCE: f64 = 0.05;

/// One departure, and what it brings on every route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Departure {
    /// The day; passages begin at 00:00 UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub date: Date,
    /// Each route, in the voyage's order.
    pub routes: Vec<SeasonPassage>,
}

/// What one departure brings on one route.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct SeasonPassage {
    /// The route's name.
    pub name: String,
    /// The spread of passages.
    pub ensemble: Ensemble,
    /// Air temperature along the route at the even pace of the median passage; none where the
    /// climate has none, or where half the passages do not arrive.
    pub air_temperature_c: Option<AirTemperature>,
}

/// The best thirty days in which to leave on one route.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Window {
    /// The first day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub first: Date,
    /// The last day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub last: Date,
    /// The mean over its departures of the days that nine passages in ten stay below.
    pub days_p90: f64,
    /// The same for the worst window of the year.
    pub worst_days_p90: f64,
    /// The mean chance of a gale of six hours or more.
    pub gale_6h: f64,
    /// The greatest, over its departures, of the chance of a storm within 200 nm:
    /// [`super::Storms::chance`].
    pub storm_chance: f64,
}

/// The most passages of a season, all departures and routes together: each is kept, in about 75
/// bytes, which makes 1.5 GB.
pub const MOST_PASSAGES: usize = 20_000_000;

/// Which departures a season tries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonDates {
    /// The first day of the twelve months.
    pub first: Date,
    /// How far apart departures are, in days.
    pub every_days: u8,
    /// The first day on which she can leave; none where any will do.
    pub leave_after: Option<Date>,
}

impl SeasonDates {
    /// How many departures there are.
    pub fn count(&self) -> usize {
        self.dates().len()
    }

    fn dates(&self) -> Vec<Date> {
        let end = self.first.saturating_add(1.year());
        self.first
            .series(i64::from(self.every_days.max(1)).days())
            .take_while(|day| *day < end)
            .filter(|day| self.leave_after.is_none_or(|from| *day >= from))
            .collect()
    }
}

/// Tries departures through twelve months on every route; `done` is called as each is finished.
///
/// # Errors
/// A gap in the climate where and when a passage needs it; more than [`MOST_PASSAGES`] in all, each
/// stage of a route counted; no day on which she can leave.
pub fn season(
    boat: &Boat,
    routes: &[Route],
    climate: &Climate,
    departures: SeasonDates,
    options: EnsembleOptions,
    done: impl Fn() + Sync,
) -> Result<Vec<Departure>, PassageError> {
    let dates = departures.dates();
    if let (true, Some(leave_after)) = (dates.is_empty(), departures.leave_after) {
        let first = departures.first;
        return Err(PassageError::NoDeparture { first, leave_after });
    }
    let stages: usize = routes.iter().map(|route| route.stages().len()).sum();
    let passages = options.members * dates.len() * stages;
    if passages > MOST_PASSAGES {
        return Err(PassageError::TooMany {
            members: options.members,
            departures: dates.len(),
            stages,
        });
    }
    let runner = EnsembleRunner::new(boat, routes, climate, options);
    dates
        .into_par_iter()
        .map(|date| {
            let routes = routes
                .iter()
                .enumerate()
                .map(|(index, route)| {
                    let ensemble = runner.run(index, date)?;
                    Ok(SeasonPassage::new(route, climate, date, ensemble))
                })
                .collect::<Result<_, PassageError>>()?;
            done();
            Ok(Departure { date, routes })
        })
        .collect()
}

impl SeasonPassage {
    fn new(route: &Route, climate: &Climate, departure: Date, ensemble: Ensemble) -> Self {
        /// Places along the route at which the season is read.
        const PLACES: u32 = 100;
        let mut passage = Self {
            name: route.name().to_owned(),
            ensemble,
            air_temperature_c: None,
        };
        let Some(days) = passage.ensemble.days_at(0.5) else {
            return passage;
        };
        let itinerary = Itinerary::of(route);
        let sea_hours_to = |run_nm: f64| run_nm / route.length_nm() * days * 24.0;
        let (mut sum_c, mut lowest_c, mut with_air) = (0.0, f64::INFINITY, 0);
        for place in 0..PLACES {
            let share = (f64::from(place) + 0.5) / f64::from(PLACES);
            let run_nm = share * route.length_nm();
            let harbour_hours = itinerary.harbour_hours_before(run_nm, departure, sea_hours_to);
            let day =
                SeasonDay::from_date(departure).plus_hours(share * days * 24.0 + harbour_hours);
            let Some((_, here)) = route.at_nm(run_nm) else {
                continue;
            };
            let local = climate.at(here.position, day);
            if let Some(air_c) = local.ok().and_then(|local| local.air_temperature_c) {
                sum_c += air_c;
                lowest_c = lowest_c.min(air_c);
                with_air += 1;
            }
        }
        passage.air_temperature_c = (with_air > 0).then(|| AirTemperature {
            mean: sum_c / f64::from(with_air),
            lowest: lowest_c,
        });
        passage
    }
}

/// The thirty days in which to leave on the route numbered `route`: of the windows whose chance of a
/// storm is `most_storm_chance` (0 to 1) at most, the one whose bad case is shortest; where none is,
/// the one with the least chance. None where in every window some departure's bad case does not
/// arrive.
pub fn best_window(
    departures: &[Departure],
    route: usize,
    most_storm_chance: f64,
) -> Option<Window> {
    let windows: Vec<Window> = departures
        .iter()
        .filter_map(|first| window(departures, route, first.date))
        .collect();
    let worst_days_p90 = windows
        .iter()
        .map(|window| window.days_p90)
        .max_by(f64::total_cmp)?;
    // A chance within the limit is as good as any other within it.
    let beyond = |window: &Window| (window.storm_chance - most_storm_chance).max(0.0);
    windows
        .into_iter()
        .min_by(|a, b| {
            let by_storms = beyond(a).total_cmp(&beyond(b));
            by_storms.then(a.days_p90.total_cmp(&b.days_p90))
        })
        .map(|window| Window {
            worst_days_p90,
            ..window
        })
}

/// The window that begins on `first`. It may run over the end of the twelve months: the same days of
/// the year stand at their beginning.
fn window(departures: &[Departure], route: usize, first: Date) -> Option<Window> {
    let year_days = i32::from(first.days_in_year());
    let within: Vec<&SeasonPassage> = departures
        .iter()
        .filter(|departure| {
            let days_on = i32::from(departure.date.day_of_year() - first.day_of_year());
            days_on.rem_euclid(year_days) < WINDOW_DAYS
        })
        .map(|departure| &departure.routes[route])
        .collect();
    let count = within.len() as f64;
    let bad_cases: Option<Vec<f64>> = within
        .iter()
        .map(|passage| passage.ensemble.days_at(0.9))
        .collect();
    let gales: f64 = within
        .iter()
        .map(|passage| passage.ensemble.chance.gale_6h)
        .sum();
    let storm_chances = within.iter().map(|passage| {
        let storms = passage.ensemble.storms.as_ref();
        storms.map(|storms| storms.chance)
    });
    let storm_chances: Option<Vec<f64>> = storm_chances.collect();
    let days_p90 = bad_cases?.iter().sum::<f64>() / count;
    Some(Window {
        first,
        last: first.saturating_add((WINDOW_DAYS - 1).days()),
        days_p90,
        worst_days_p90: days_p90,
        gale_6h: gales / count,
        storm_chance: storm_chances?.into_iter().fold(0.0, f64::max),
    })
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::voyage::Voyage;

    fn season_of(
        voyage: &Voyage,
        climate: &Climate,
        options: EnsembleOptions,
        every_days: u8,
    ) -> Result<Vec<Departure>, PassageError> {
        let (boat, routes) = (&voyage.boat, &voyage.routes);
        season(
            boat,
            routes,
            climate,
            dates(date(2027, 1, 1), every_days),
            options,
            || (),
        )
    }

    fn demo_season(every_days: u8) -> Vec<Departure> {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: 100,
            ..EnsembleOptions::default()
        };
        season_of(&voyage, &climate, options, every_days).unwrap()
    }

    fn dates(first: Date, every_days: u8) -> SeasonDates {
        SeasonDates {
            first,
            every_days,
            leave_after: None,
        }
    }

    #[test]
    fn a_year_has_its_days() {
        assert_eq!(dates(date(2027, 1, 1), 1).count(), 365);
        assert_eq!(dates(date(2027, 5, 1), 1).count(), 366);
        assert_eq!(dates(date(2027, 1, 1), 5).count(), 73);
        let across = dates(date(2027, 12, 1), 30).dates();
        assert_eq!(across.last(), Some(&date(2028, 11, 25)));
        assert_eq!(across[2], date(2028, 1, 30));
    }

    #[test]
    fn no_departure_is_before_she_can_leave() {
        let from = |leave_after| SeasonDates {
            leave_after: Some(leave_after),
            ..dates(date(2027, 1, 1), 5)
        };
        let summer = from(date(2027, 6, 1)).dates();
        assert_eq!(summer.first(), Some(&date(2027, 6, 5)));
        assert_eq!(from(date(2028, 1, 1)).count(), 0);
    }

    #[test]
    fn a_departure_of_the_season_is_that_of_a_comparison() {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: 100,
            ..EnsembleOptions::default()
        };
        let departures = season_of(&voyage, &climate, options, 30).unwrap();
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        let alone = runner.run(1, departures[3].date).unwrap();
        assert_eq!(alone, departures[3].routes[1].ensemble);
    }

    #[test]
    fn the_best_window_keeps_clear_of_the_storms_of_the_trades() {
        let departures = demo_season(10);
        let trades = best_window(&departures, 0, MOST_STORM_CHANCE).unwrap();
        assert!(trades.storm_chance <= MOST_STORM_CHANCE, "{trades:?}");
        // The South-West Indian season is November to April; the passage takes seven weeks.
        assert!((4..=9).contains(&trades.first.month()), "{trades:?}");
        assert!(trades.days_p90 <= trades.worst_days_p90);
        // Leaving on 21 January; the direct route runs south of the storms for most of its way.
        let chance = |route: usize| {
            let ensemble = &departures[2].routes[route].ensemble;
            ensemble.storms.as_ref().unwrap().chance
        };
        assert!(chance(0) > 2.0 * chance(1) && chance(0) > 0.2);
        // With any chance allowed the shortest bad case decides alone, with none the least chance.
        let any = best_window(&departures, 0, 1.0).unwrap();
        assert!(any.days_p90 <= trades.days_p90);
        let least = best_window(&departures, 0, 0.0).unwrap();
        assert!(least.storm_chance <= trades.storm_chance, "{least:?}");
    }

    #[test]
    fn the_direct_route_is_coldest_in_the_southern_winter() {
        let departures = demo_season(30);
        let lowest_c = |index: usize| {
            departures[index].routes[1]
                .air_temperature_c
                .unwrap()
                .lowest
        };
        // 1 January and 30 June.
        assert!(
            lowest_c(6) < lowest_c(0) - 1.0,
            "{} {}",
            lowest_c(6),
            lowest_c(0)
        );
    }
}
