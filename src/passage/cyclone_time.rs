//! How much of a passage is spent where and when tropical cyclones are to be expected.

use schemars::JsonSchema;
use serde::Serialize;

use super::Ensemble;
use crate::climate::{Basin, SeasonDay};

/// The constant speeds looked at: those of P10, the median and P90.
const PACES: [f64; 3] = [0.1, 0.5, 0.9];
/// A season is known to a month, so its ends to half of one: by so many days a passage must keep
/// clear of it (our definition).
const MARGIN_DAYS: f64 = 15.0;

/// A passage's time in waters where, at that time of the year, tropical cyclones are to be expected,
/// at constant speed: that of P10, the median or P90. Basins are boxes and seasons whole months,
/// both from memory: see [`Basin`].
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct CycloneTime {
    /// The share of the time at the pace that has most of it, 0 to 1.
    pub share: f64,
    /// The basins met in their season at any of the paces, in the order of the route.
    pub basins: Vec<Basin>,
    /// The same share with the season half a month longer at both ends; none where one passage in
    /// ten does not arrive.
    pub near_share: Option<f64>,
}

/// A part of a route between the same edges of basins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// The part's middle, as a share of the route's length.
    pub middle: f64,
    /// Its length, as a share of the route's.
    pub length: f64,
    /// The basin it lies in.
    pub basin: Basin,
}

impl CycloneTime {
    /// The time in those parts of a route that lie in cyclone waters; none where half the passages
    /// do not arrive.
    pub(super) fn of(ensemble: &Ensemble, reaches: &[Reach]) -> Option<Self> {
        ensemble.days_at(0.5)?;
        let departure = SeasonDay::from_date(ensemble.departure);
        let mut found = Self {
            share: 0.0,
            basins: Vec::new(),
            near_share: Some(0.0),
        };
        for pace in PACES {
            let Some(days) = ensemble.days_at(pace) else {
                found.near_share = None;
                continue;
            };
            let (mut share, mut near) = (0.0, 0.0);
            for reach in reaches {
                let day = departure.plus_hours(reach.middle * days * 24.0);
                let in_season = |shift_days: f64| {
                    let month = day.plus_hours(shift_days * 24.0).month();
                    reach.basin.has_season_in(month)
                };
                if in_season(0.0) {
                    share += reach.length;
                    if !found.basins.contains(&reach.basin) {
                        found.basins.push(reach.basin);
                    }
                }
                if [-MARGIN_DAYS, 0.0, MARGIN_DAYS].into_iter().any(in_season) {
                    near += reach.length;
                }
            }
            found.share = found.share.max(share);
            found.near_share = found.near_share.map(|most| most.max(near));
        }
        Some(found)
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::{Date, date};

    use super::*;
    use crate::passage::{EnsembleOptions, EnsembleRunner};
    use crate::voyage::Voyage;

    /// The demonstration's route number `route`, left on a day.
    fn leaving(route: usize, departure: Date) -> CycloneTime {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: 100,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        let ensemble = runner.run(route, departure).unwrap();
        ensemble.cyclone_time.unwrap()
    }

    #[test]
    fn the_trades_are_cyclone_waters_in_january_and_not_in_june() {
        let january = leaving(0, date(2027, 1, 5));
        assert!(january.share > 0.8, "{january:?}");
        // From the Australian basin, east of 90 E, to the South-West Indian.
        assert_eq!(january.basins, [Basin::Australian, Basin::SouthWestIndian]);
        assert!(january.near_share >= Some(january.share));
        let june = leaving(0, date(2027, 6, 1));
        assert_eq!((june.share, june.near_share), (0.0, Some(0.0)));
        assert_eq!(june.basins, []);
    }

    #[test]
    fn the_season_s_end_is_not_taken_to_the_day() {
        // The season ends with April, and half a month later by the margin; the trades are in the
        // waters from the first week or so.
        let may = leaving(0, date(2027, 5, 1));
        assert_eq!(may.share, 0.0);
        assert!(may.near_share > Some(0.0), "{may:?}");
    }

    #[test]
    fn the_slow_passage_counts_as_well_as_the_median() {
        // Seven weeks before November, give or take three days: by the median just out of it.
        let share = |reaches: &[Reach], ensemble: &Ensemble| {
            CycloneTime::of(ensemble, reaches).unwrap().share
        };
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let (routes, options) = (&voyage.routes, EnsembleOptions::default());
        let runner = EnsembleRunner::new(&voyage.boat, routes, &climate, options);
        let last = [Reach {
            middle: 0.99,
            length: 0.02,
            basin: Basin::SouthWestIndian,
        }];
        let at_pace = |ensemble: &Ensemble, pace: f64| {
            let days = ensemble.days_at(pace).unwrap();
            let day = SeasonDay::from_date(ensemble.departure).plus_hours(0.99 * days * 24.0);
            Basin::SouthWestIndian.has_season_in(day.month())
        };
        let ensembles: Vec<Ensemble> = (10..=20)
            .map(|day| {
                let departure = date(2027, 9, day);
                runner.run(0, departure).unwrap()
            })
            .collect();
        let between: Vec<&Ensemble> = ensembles
            .iter()
            .filter(|ensemble| !at_pace(ensemble, 0.5) && at_pace(ensemble, 0.9))
            .collect();
        assert!(!between.is_empty(), "some departure lies between the two");
        for ensemble in between {
            assert_eq!(share(&last, ensemble), 0.02, "{}", ensemble.departure);
        }
    }
}
