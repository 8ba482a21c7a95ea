//! What is closed for good, and what for the season.

use super::clock::SeasonClock;
use super::limits::Limits;
use super::shore::Shore;
use super::waters::Met;
use crate::climate::{Basin, Month, cyclone_basin};
use crate::geodesy::{Earth, GreatCircle, Position};
use crate::route::LandCheck;
use crate::units::wrap_180_deg;

/// A piece of a line too near to be told open as a whole is halved until its half is shorter than
/// this, in nautical miles; it is then closed.
const LEAST_HALF_NM: f64 = 0.05;
/// A cyclone basin's edge is kept off by this much, so that a line between two places looked at
/// does not cut its corner, in degrees.
const BASIN_ROOM_DEG: f64 = 0.05;

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
    avoid_cyclones: bool,
}

impl SeasonLimits {
    /// The limits, each tightened by a number of notches: a search that reads winds at the nearest
    /// place of its lattice needs some room for what lies between.
    pub(super) fn new(limits: &Limits, notches: u32) -> Self {
        /// What a notch takes off the share of gale, and adds to the air's temperature in degrees.
        const GALE_NOTCH: f64 = 0.03;
        const AIR_NOTCH_C: f64 = 0.1;
        let notches = f64::from(notches);
        Self {
            most_gale: limits
                .most_gale
                .map(|most| most * (1.0 - GALE_NOTCH * notches)),
            coldest_air_c: limits.coldest_air_c.map(|air| air + AIR_NOTCH_C * notches),
            avoid_cyclones: limits.avoid_cyclones,
        }
    }

    /// The limits with just enough room for what lies between places a few miles apart, and for the
    /// few hours by which the table's clock and that of the expected walk differ.
    pub(super) fn between_places(limits: &Limits) -> Self {
        Self {
            most_gale: limits.most_gale.map(|most| most * 0.99),
            coldest_air_c: limits.coldest_air_c.map(|air| air + 0.05),
            avoid_cyclones: limits.avoid_cyclones,
        }
    }

    /// Whether any is set.
    pub(super) fn any(&self) -> bool {
        self.most_gale.is_some() || self.coldest_air_c.is_some() || self.avoid_cyclones
    }

    /// Whether a place where this is met is open in a month. The share of gale is asked for only if it
    /// matters. Air of unknown temperature is closed.
    pub(super) fn allow(
        &self,
        met: &Met,
        basin: Option<Basin>,
        month: Month,
        gale: impl FnOnce() -> f64,
    ) -> bool {
        !(self.avoid_cyclones && basin.is_some_and(|basin| basin.has_season_in(month)))
            && self
                .coldest_air_c
                .is_none_or(|coldest| f64::from(met[3]) >= coldest)
            && self.most_gale.is_none_or(|most| gale() <= most)
    }
}

/// The cyclone basin of a place or of its close surroundings, if one has its season in `month`.
pub(super) fn basin_about(place: Position, month: Month) -> Option<Basin> {
    let corners = [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)];
    corners
        .into_iter()
        .filter_map(|(north, east)| {
            cyclone_basin(super::place(
                place.latitude_deg() + north * BASIN_ROOM_DEG,
                place.longitude_deg() + east * BASIN_ROOM_DEG,
            ))
        })
        .find(|basin| basin.has_season_in(month))
}

/// The calendar month `hours` after departure.
pub(super) fn month_at(clock: &SeasonClock, hours: f64) -> Month {
    clock.day(hours).month()
}
