//! The voyage in each real year of its winds: the same passages by number, so that what differs from
//! year to year stands out.

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::about::AboutVoyage;
use super::{Options, StudyError};
use crate::climate::{Climate, Month, SeasonDay, Years};
use crate::passage::{
    DaysPercentiles, Ensemble, EnsembleOptions, EnsembleRunner, ExposureKind, PassageError,
};
use crate::route::{Land, LandCheck};
use crate::voyage::Voyage;

/// From P10 to P90 of a normal distribution, in standard deviations: twice the quantile of 0.9.
const P10_TO_P90: f64 = 2.563_103;

/// A voyage in each of some real years.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct RealYears {
    /// Which voyage, boat and winds.
    pub voyage: AboutVoyage,
    /// Where the years come from.
    pub label: String,
    /// How the passages were simulated: each year has the same members.
    pub simulated: EnsembleOptions,
    /// The years sailed, ascending: that of the departure.
    pub years: Vec<i64>,
    /// The years left out: a month of theirs is missing, or has no wind where a route needs it.
    pub left_out: Vec<i64>,
    /// Each route, in the voyage's order.
    pub routes: Vec<YearsOfRoute>,
}

/// A route in each of the years.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct YearsOfRoute {
    /// The route's name.
    pub name: String,
    /// The passages in average winds.
    pub average: DaysOfYear,
    /// The passages of each year, in the order of `years`.
    pub years: Vec<RealYear>,
    /// Standard deviation of the years' medians, days; none with fewer than two years, or where half the
    /// passages of a year do not arrive.
    pub between_years_days: Option<f64>,
    /// Standard deviation within one year, days: (P90 - P10) / 2.563, which it is where the days are
    /// normal, as the root of the mean square over the years; none where a tenth of the passages of a year
    /// do not arrive.
    pub within_year_days: Option<f64>,
    /// The years whose median is more than one standard deviation of the medians above their mean, or in
    /// which half the passages do not arrive, the longest first.
    pub bad_years: Vec<i64>,
    /// What of the route lies on land.
    pub land: LandCheck,
}

/// The passages of one real year.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct RealYear {
    /// The year of departure.
    pub year: i64,
    /// The passages.
    #[serde(flatten)]
    pub passages: DaysOfYear,
    /// Months met by P90 in which average winds blow, for the year they fall in is not there or lacks a
    /// month; empty where there are none.
    pub average_months: Vec<Month>,
}

/// What the passages of a year take and meet.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct DaysOfYear {
    /// P10, days; none where that share does not arrive.
    pub p10: Option<f64>,
    /// The median, days; none as for P10.
    pub p50: Option<f64>,
    /// P90, days; none as for P10.
    pub p90: Option<f64>,
    /// Share of the time with a headwind, 0 to 1.
    pub headwind: f64,
    /// Share of the time in 34 kn or more, 0 to 1.
    pub gale: f64,
}

/// Sails a voyage's routes in each whole year of `years`, and in average winds.
///
/// # Errors
/// A gap in the average climate where and when a passage needs it.
pub fn years(
    voyage: &Voyage,
    climate: &Climate,
    years: &Years,
    options: &Options,
) -> Result<RealYears, StudyError> {
    let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, climate, options.ensemble);
    let sail = |runner: &EnsembleRunner| {
        let routes = 0..voyage.routes.len();
        let ensembles = routes.map(|route| runner.run(route, voyage.departure));
        ensembles.collect::<Result<Vec<Ensemble>, PassageError>>()
    };
    let average = sail(&runner)?;
    let departure = SeasonDay::from_date(voyage.departure);
    let sailed = years
        .whole()
        .into_par_iter()
        .map(|year| {
            let in_year = climate.in_year(years, year, departure)?;
            match sail(&runner.with_climate(&voyage.routes, &in_year)) {
                Ok(ensembles) => Ok((year, Some(ensembles))),
                // The year lacks winds that the others have.
                Err(PassageError::Gap { .. }) => Ok((year, None)),
                Err(error) => Err(error.into()),
            }
        })
        .collect::<Result<Vec<_>, StudyError>>()?;
    let mut left_out = years.incomplete();
    let (mut numbers, mut ensembles) = (Vec::new(), Vec::new());
    for (year, of_routes) in sailed {
        match of_routes {
            Some(of_routes) => {
                numbers.push(year);
                ensembles.push(of_routes);
            }
            None => left_out.push(year),
        }
    }
    left_out.sort_unstable();
    let routes = voyage.routes.iter().zip(&average).enumerate();
    let routes = routes.map(|(index, (route, average))| {
        let of_years = numbers.iter().zip(&ensembles);
        let of_years = of_years.map(|(&year, of_routes)| {
            let passages = DaysOfYear::of(&of_routes[index]);
            let hours = passages.p90.map_or(f64::INFINITY, |days| 24.0 * days);
            RealYear {
                year,
                passages,
                average_months: years.average_months(year, departure, hours),
            }
        });
        YearsOfRoute::of(
            route.name(),
            DaysOfYear::of(average),
            of_years.collect(),
            LandCheck::of(route, Land::natural_earth()),
        )
    });
    let mut about = AboutVoyage::new(voyage, climate);
    about.winds.notes.extend(years.notes().iter().cloned());
    Ok(RealYears {
        voyage: about,
        label: years.label().to_owned(),
        simulated: options.ensemble,
        routes: routes.collect(),
        years: numbers,
        left_out,
    })
}

impl DaysOfYear {
    fn of(ensemble: &Ensemble) -> Self {
        let DaysPercentiles { p10, p50, p90, .. } = ensemble.days;
        Self {
            p10,
            p50,
            p90,
            headwind: ensemble.exposure[ExposureKind::Headwind],
            gale: ensemble.exposure[ExposureKind::Gale],
        }
    }

    /// The standard deviation that P10 and P90 stand for, days.
    fn within_days(&self) -> Option<f64> {
        Some((self.p90? - self.p10?) / P10_TO_P90)
    }
}

impl YearsOfRoute {
    fn of(name: &str, average: DaysOfYear, years: Vec<RealYear>, land: LandCheck) -> Self {
        let passages = || years.iter().map(|year| &year.passages);
        let medians: Option<Vec<f64>> = passages().map(|year| year.p50).collect();
        let spread = medians.as_deref().and_then(mean_and_deviation);
        let within: Option<Vec<f64>> = passages().map(DaysOfYear::within_days).collect();
        let within = within.filter(|days| !days.is_empty()).map(|days| {
            let squares = days.iter().map(|days| days * days);
            (squares.sum::<f64>() / days.len() as f64).sqrt()
        });
        let days = |year: &RealYear| year.passages.p50.unwrap_or(f64::INFINITY);
        let is_bad = |year: &&RealYear| {
            let beyond = spread.is_some_and(|(mean, deviation)| days(year) > mean + deviation);
            beyond || days(year).is_infinite()
        };
        let mut bad: Vec<&RealYear> = years.iter().filter(is_bad).collect();
        bad.sort_by(|a, b| days(b).total_cmp(&days(a)));
        Self {
            name: name.to_owned(),
            average,
            between_years_days: spread.map(|(_, deviation)| deviation),
            within_year_days: within,
            bad_years: bad.into_iter().map(|year| year.year).collect(),
            years,
            land,
        }
    }

    /// The year with the shortest and that with the longest median.
    pub fn extremes(&self) -> Option<[&RealYear; 2]> {
        let arriving = || {
            let years = self.years.iter();
            years.filter_map(|year| Some((year.passages.p50?, year)))
        };
        let shortest = arriving().min_by(|a, b| a.0.total_cmp(&b.0))?.1;
        let longest = arriving().max_by(|a, b| a.0.total_cmp(&b.0))?.1;
        Some([shortest, longest])
    }
}

/// The mean, and the standard deviation (of so many less one), of two values or more. Taken from the
/// first of them, so that equal values have a deviation of nought and not of a rounding.
fn mean_and_deviation(values: &[f64]) -> Option<(f64, f64)> {
    let (first, count) = (*values.first()?, values.len() as f64);
    let off = || values.iter().map(|value| value - first);
    let mean = off().sum::<f64>() / count;
    let squares: f64 = off().map(|off| (off - mean).powi(2)).sum();
    (values.len() > 1).then(|| (first + mean, (squares / (count - 1.0)).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn year(year: i64, p50: Option<f64>) -> RealYear {
        RealYear {
            year,
            passages: DaysOfYear {
                p10: p50.map(|days| days - 2.0),
                p50,
                p90: p50.map(|days| days + 3.0),
                headwind: 0.2,
                gale: 0.01,
            },
            average_months: Vec::new(),
        }
    }

    fn route(years: Vec<RealYear>) -> YearsOfRoute {
        let average = year(0, Some(30.0)).passages;
        let route = Voyage::demo().unwrap().routes.remove(0);
        let land = LandCheck::of(&route, Land::natural_earth());
        YearsOfRoute::of("Any", average, years, land)
    }

    /// Of 30, 31, 32 and 39 the mean is 33 and the squares sum to 9 + 4 + 1 + 36 = 50.
    #[test]
    fn the_years_medians_have_their_deviation_and_the_longest_is_bad() {
        let days = [(1990, 31.0), (1991, 39.0), (1992, 30.0), (1993, 32.0)];
        let found = route(days.map(|(number, days)| year(number, Some(days))).to_vec());
        let between = found.between_years_days.unwrap();
        assert!((between - (50.0f64 / 3.0).sqrt()).abs() < 1e-12);
        assert!((found.within_year_days.unwrap() - 5.0 / P10_TO_P90).abs() < 1e-12);
        assert_eq!(found.bad_years, [1991]);
        let extremes = found.extremes().unwrap().map(|year| year.year);
        assert_eq!(extremes, [1992, 1991]);
    }

    #[test]
    fn equal_years_have_no_spread_and_none_is_bad() {
        let found = route(
            (0..7)
                .map(|number| year(number, Some(0.1 + 31.7)))
                .collect(),
        );
        assert_eq!(found.between_years_days, Some(0.0));
        assert!(found.bad_years.is_empty());
    }

    #[test]
    fn a_year_without_arrival_is_bad_and_leaves_no_deviation() {
        let found = route(vec![year(1990, Some(31.0)), year(1991, None)]);
        assert_eq!(
            (found.between_years_days, found.within_year_days),
            (None, None)
        );
        assert_eq!(found.bad_years, [1991]);
    }
}
