//! What is closed for good, and what for the season.

use super::limits::Limits;
use super::shore::Shore;
use super::waters::Met;
use crate::climate::storm_chance;
use crate::geodesy::{Earth, GreatCircle, Position};
use crate::route::LandCheck;
use crate::units::wrap_180_deg;

/// A piece of a line too near to be told open as a whole is halved until its half is shorter than
/// this, in nautical miles; it is then closed.
const LEAST_HALF_NM: f64 = 0.05;
/// The stay for which the chance of a storm at a place is limited, in days: about as long as it takes
/// to cross waters with storms (our definition).
const STORM_STAY_DAYS: f64 = 10.0;

/// What is closed whatever the season: land, what is too near to it, areas to keep out of and what
/// lies outside the limits of latitude.
pub(super) struct Ground<'a> {
    pub shore: &'a dyn Shore,
    pub limits: &'a Limits,
    pub ends: [Position; 2],
}

impl Ground<'_> {
    /// Whether a line over these places, each straight to the next, is open.
    pub(super) fn is_open(&self, band_deg: (f64, f64), places: &[Position]) -> bool {
        let limits = self.limits;
        limits
            .southernmost_deg
            .is_none_or(|limit| band_deg.0 >= limit)
            && limits
                .northernmost_deg
                .is_none_or(|limit| band_deg.1 <= limit)
            && places.windows(2).all(|pair| {
                !self.shore.meets_land(pair[0], pair[1]) && !limits.keep_out.meets(pair[0], pair[1])
            })
            && self.is_off_land(places)
    }

    /// Whether the whole line keeps the distance off land, but for what lies within
    /// [`LandCheck::ENDS_NM`] of an end. Those waters do not grow with the distance, so that a
    /// greater one never lets a course nearer to land.
    fn is_off_land(&self, places: &[Position]) -> bool {
        let distance_nm = self.limits.off_land_nm.filter(|distance| *distance > 0.0);
        distance_nm.is_none_or(|distance_nm| {
            places
                .windows(2)
                .all(|pair| self.keeps_off(pair[0], pair[1], distance_nm))
        })
    }

    /// Whether the straight line between two places near to each other keeps the distance.
    fn keeps_off(&self, from: Position, to: Position, distance_nm: f64) -> bool {
        let half_nm = 0.5 * distance_nm_between(from, to);
        let middle = halfway(from, to);
        // No place on the line is farther from its middle than half of it.
        if !self.shore.is_nearer_than_nm(middle, distance_nm + half_nm) {
            return true;
        }
        let [start_nm, end_nm] = self.ends.map(|end| distance_nm_between(end, middle));
        let to_end_nm = start_nm.min(end_nm);
        if to_end_nm + half_nm <= LandCheck::ENDS_NM {
            return true;
        }
        let breaks_at_middle =
            to_end_nm > LandCheck::ENDS_NM && self.shore.is_nearer_than_nm(middle, distance_nm);
        !breaks_at_middle
            && half_nm >= LEAST_HALF_NM
            && self.keeps_off(from, middle, distance_nm)
            && self.keeps_off(middle, to, distance_nm)
    }
}

/// The middle of the line between two places straight in longitude and latitude.
fn halfway(from: Position, to: Position) -> Position {
    let east_deg = wrap_180_deg(to.longitude_deg() - from.longitude_deg());
    super::place(
        0.5 * (from.latitude_deg() + to.latitude_deg()),
        from.longitude_deg() + 0.5 * east_deg,
    )
}

/// The distance between two places, in nautical miles.
pub(super) fn distance_nm_between(a: Position, b: Position) -> f64 {
    GreatCircle::between(Earth::WGS84, a, b).map_or(0.0, |circle| circle.length_nm())
}

/// The limits that depend on the season of a place, a little tightened if wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SeasonLimits {
    most_gale: Option<f64>,
    coldest_air_c: Option<f64>,
    most_storm_chance: Option<f64>,
}

impl SeasonLimits {
    /// The limits, each tightened by a number of notches: a search that reads winds at the nearest
    /// place of its lattice needs some room for what lies between.
    pub(super) fn new(limits: &Limits, notches: u32) -> Self {
        /// What a notch takes off the share of gale and the chance of a storm, and adds to the air's temperature in degrees.
        const GALE_NOTCH: f64 = 0.03;
        const STORM_NOTCH: f64 = 0.03;
        const AIR_NOTCH_C: f64 = 0.1;
        let notches = f64::from(notches);
        Self {
            most_gale: limits
                .most_gale
                .map(|most| most * (1.0 - GALE_NOTCH * notches)),
            coldest_air_c: limits.coldest_air_c.map(|air| air + AIR_NOTCH_C * notches),
            most_storm_chance: limits
                .most_storm_chance
                .map(|most| most * (1.0 - STORM_NOTCH * notches)),
        }
    }

    /// The limits with just enough room for what lies between places a few miles apart, and for the
    /// few hours by which the table's clock and that of the expected walk differ.
    pub(super) fn between_places(limits: &Limits) -> Self {
        Self {
            most_gale: limits.most_gale.map(|most| most * 0.99),
            coldest_air_c: limits.coldest_air_c.map(|air| air + 0.05),
            most_storm_chance: limits.most_storm_chance.map(|most| most * 0.99),
        }
    }

    /// Whether any is set.
    pub(super) fn any(&self) -> bool {
        self.most_gale.is_some() || self.coldest_air_c.is_some() || self.most_storm_chance.is_some()
    }

    /// Whether a place where this is met is open at a time with so many storm-days a day within
    /// 200 nm: not where a stay of ten days at that rate has more than the chance allowed. Storms and
    /// the share of gale are asked for only if they matter. Air of unknown temperature is closed.
    pub(super) fn allow(
        &self,
        met: &Met,
        storm_days_a_day: impl FnOnce() -> f64,
        gale: impl FnOnce() -> f64,
    ) -> bool {
        self.most_storm_chance
            .is_none_or(|most| storm_chance(storm_days_a_day() * STORM_STAY_DAYS) <= most)
            && self
                .coldest_air_c
                .is_none_or(|coldest| f64::from(met[3]) >= coldest)
            && self.most_gale.is_none_or(|most| gale() <= most)
    }
}
