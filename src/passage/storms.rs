//! The storms to be expected on a passage: days with the centre of one near her, and the chance.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::Ensemble;
use super::itinerary::Itinerary;
use crate::climate::{Basin, Month, SeasonDay, StormDays, StormRate, storm_chance};
use crate::route::Route;

/// The constant speeds looked at: those of P10, the median and P90.
const PACES: [f64; 3] = [0.1, 0.5, 0.9];
/// Waters with a smaller share of a passage's storm-days are not named (our definition).
const NAMED_SHARE: f64 = 0.1;
/// The longest part of a leg over which the rate is taken as that of its middle, nautical miles:
/// a fifth of the table's cells.
const REACH_NM: f64 = 60.0;

/// The storms to be expected within 200 nm of a passage, at sea and at constant speed: that of P10, the median
/// or P90, whichever of those that arrive has most. Rates are those observed ([`StormDays`]): in ten seasons only outside
/// the North Atlantic and the eastern North Pacific.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Storms {
    /// Days with the centre of a storm of 34 kn or more within 200 nm.
    pub storm_days: f64,
    /// The chance of at least one storm within 200 nm, 0 to 1: 1 - exp(-storm_days), each storm
    /// being within reach for about a day.
    pub chance: f64,
    /// The month of the passage with most of the storm-days; none without any.
    pub most_in_month: Option<Month>,
    /// The waters with a tenth or more of the storm-days, in the order of the route.
    pub waters: Vec<Basin>,
    /// The first month after the route's worst in which the mean rate along it is below a tenth of
    /// the worst's; none without storms, or where it is never so low.
    pub quiet_from_month: Option<Month>,
    /// Each leg by itself.
    pub by_leg: Vec<LegStorms>,
}

/// The storms to be expected on one leg, at the same speed.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LegStorms {
    /// The leg's number on its route, from 1.
    pub leg: usize,
    /// Days with the centre of a storm of 34 kn or more within 200 nm.
    pub storm_days: f64,
    /// The chance of at least one storm within 200 nm, 0 to 1.
    pub chance: f64,
}

/// The storm rates along a route.
#[derive(Debug, Clone)]
pub(super) struct StormTrack {
    legs: usize,
    length_nm: f64,
    reaches: Vec<Reach>,
}

/// A part of a leg.
#[derive(Debug, Clone, Copy)]
struct Reach {
    leg: usize,
    /// The part's middle, as a share of the route's length.
    middle: f64,
    /// Its length, as a share of the route's.
    length: f64,
    rate: StormRate,
    basin: Option<Basin>,
}

impl StormTrack {
    /// The observed rates along a route.
    pub(super) fn new(route: &Route) -> Self {
        let storms = StormDays::observed();
        let route_nm = route.length_nm();
        let (mut reaches, mut begun_nm) = (Vec::new(), 0.0);
        for leg in route.legs() {
            let leg_nm = leg.track.length_nm();
            let count = (leg_nm / REACH_NM).ceil().max(1.0);
            for part in 0..count as u32 {
                let along_nm = (f64::from(part) + 0.5) / count * leg_nm;
                let Some(middle) = leg.track.at_nm(along_nm) else {
                    continue;
                };
                reaches.push(Reach {
                    leg: leg.number,
                    middle: (begun_nm + along_nm) / route_nm,
                    length: leg_nm / count / route_nm,
                    rate: storms.at(middle.position),
                    basin: Basin::of(middle.position),
                });
            }
            begun_nm += leg_nm;
        }
        Self {
            legs: route.legs().len(),
            length_nm: route_nm,
            reaches,
        }
    }

    /// Storm-days on each reach and the month it is passed in, for a passage of so many days at sea.
    fn met(&self, departure: Date, days: f64, itinerary: &Itinerary) -> Vec<(f64, Month)> {
        let season = SeasonDay::from_date(departure);
        let met = |reach: &Reach| {
            let sea_hours_to = |run_nm: f64| run_nm / self.length_nm * days * 24.0;
            let run_nm = reach.middle * self.length_nm;
            let harbour_hours = itinerary.harbour_hours_before(run_nm, departure, sea_hours_to);
            let day = season.plus_hours(reach.middle * days * 24.0 + harbour_hours);
            (reach.rate.on(day) * reach.length * days, day.month())
        };
        self.reaches.iter().map(met).collect()
    }
}

impl Storms {
    /// The storms on a route; none where half the passages do not arrive.
    pub(super) fn of(
        ensemble: &Ensemble,
        track: &StormTrack,
        itinerary: &Itinerary,
    ) -> Option<Self> {
        ensemble.days_at(0.5)?;
        let departure = ensemble.departure;
        let sum = |met: &[(f64, Month)]| met.iter().map(|(days, _)| days).sum::<f64>();
        let met = PACES
            .into_iter()
            .filter_map(|pace| Some(track.met(departure, ensemble.days_at(pace)?, itinerary)))
            .max_by(|a, b| sum(a).total_cmp(&sum(b)))?;
        let storm_days = sum(&met);
        let met = || track.reaches.iter().zip(&met);

        let in_month = |month: Month| {
            let there = met().filter(|(_, (_, when))| *when == month);
            there.map(|(_, (days, _))| days).sum::<f64>()
        };
        let in_waters = |basin: Basin| {
            let there = met().filter(|(reach, _)| reach.basin == Some(basin));
            there.map(|(_, (days, _))| days).sum::<f64>()
        };
        let mut waters: Vec<Basin> = Vec::new();
        for basin in track.reaches.iter().filter_map(|reach| reach.basin) {
            let enough = storm_days > 0.0 && in_waters(basin) >= NAMED_SHARE * storm_days;
            if enough && !waters.contains(&basin) {
                waters.push(basin);
            }
        }
        let along: StormRate = track
            .reaches
            .iter()
            .map(|reach| reach.rate.times(reach.length))
            .sum();
        let legs = (1..=track.legs).map(|leg| {
            let there = met().filter(|(reach, _)| reach.leg == leg);
            let storm_days = there.map(|(_, (days, _))| days).sum();
            LegStorms {
                leg,
                storm_days,
                chance: storm_chance(storm_days),
            }
        });
        Some(Self {
            storm_days,
            chance: storm_chance(storm_days),
            most_in_month: Month::ALL
                .into_iter()
                .filter(|month| in_month(*month) > 0.0)
                .max_by(|a, b| in_month(*a).total_cmp(&in_month(*b))),
            waters,
            quiet_from_month: along.quiet_from(),
            by_leg: legs.collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::passage::{EnsembleOptions, EnsembleRunner};
    use crate::voyage::Voyage;

    /// The demonstration's route number `route`, left on a day.
    fn leaving(route: usize, departure: Date) -> (Ensemble, StormTrack, Itinerary) {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: 100,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        let ensemble = runner.run(route, departure).unwrap();
        let route = &voyage.routes[route];
        (ensemble, StormTrack::new(route), Itinerary::of(route))
    }

    #[test]
    fn the_trades_have_storms_in_january_and_next_to_none_in_june() {
        let january = leaving(0, date(2027, 1, 5)).0.storms.unwrap();
        assert!((0.2..0.7).contains(&january.chance), "{january:?}");
        assert_eq!(january.waters, [Basin::SouthWestIndian]);
        assert!(
            january
                .most_in_month
                .is_some_and(|month| month.number() <= 3)
        );
        // In March storms are fewer to the west: east of 90 E they are then a tenth and more.
        let march = leaving(0, date(2027, 3, 5)).0.storms.unwrap();
        assert_eq!(march.waters, [Basin::Australian, Basin::SouthWestIndian]);
        assert!(march.chance < january.chance);
        let june = leaving(0, date(2027, 6, 1)).0.storms.unwrap();
        assert!(june.chance < 0.01, "{june:?}");
        // The rates of the year along a route are the same whenever it is left.
        assert_eq!(june.quiet_from_month, january.quiet_from_month);
        assert!(
            january
                .quiet_from_month
                .is_some_and(|month| (5..=6).contains(&month.number()))
        );
    }

    #[test]
    fn the_legs_add_up_to_the_passage() {
        let storms = leaving(0, date(2027, 2, 1)).0.storms.unwrap();
        assert_eq!(storms.by_leg.len(), 5);
        let sum: f64 = storms.by_leg.iter().map(|leg| leg.storm_days).sum();
        assert!((sum / storms.storm_days - 1.0).abs() < 1e-9);
        assert_eq!(storms.chance, storm_chance(storms.storm_days));
        assert!(storms.by_leg.iter().all(|leg| leg.chance <= storms.chance));
    }

    #[test]
    fn the_pace_with_most_storms_counts() {
        // Before the season the slow passage runs into it; after it the quick one gets away.
        for departure in [date(2027, 10, 1), date(2027, 4, 10)] {
            let (ensemble, track, itinerary) = leaving(0, departure);
            let at_pace = |pace| {
                let days = ensemble.days_at(pace).unwrap();
                let met = track.met(departure, days, &itinerary);
                met.into_iter().map(|(days, _)| days).sum::<f64>()
            };
            let storm_days = Storms::of(&ensemble, &track, &itinerary)
                .unwrap()
                .storm_days;
            let most = PACES.map(at_pace).into_iter().fold(0.0, f64::max);
            assert!((storm_days / most - 1.0).abs() < 1e-12, "{departure}");
            assert!(at_pace(0.9) > at_pace(0.1) || departure.month() == 4);
        }
    }
}
