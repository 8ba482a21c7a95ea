//! The boat as one table: her speed along the course, through the water, over the wind and over the
//! current across the course that she must hold out against.

use rayon::prelude::*;

use crate::boat::{Boat, CourseWind};
use crate::passage::ExposureKind;

/// Winds beyond this speed ahead, astern or abeam are met as if at it.
const REACH_KN: f32 = 64.0;
const PER_KN: f32 = 2.0;
const AHEAD: usize = 256;
const ABEAM: usize = 128;
const SQUARES: usize = AHEAD * ABEAM;
/// Speed is kept in steps of 1/1024 kn in a word's high bits; its low bits are one flag for each kind
/// of exposure that the wind decides.
const SPEED_STEP_KN: f32 = 1.0 / 1024.0;
const SPEED_SHIFT: u32 = 16;
const _: () = assert!(ExposureKind::ALL.len() <= 16);
/// Currents across are tabulated this far apart, knots. Speed is linear between them: for a boat of 6
/// knots that is right to 0.004 kn.
const ACROSS_STEP_KN: f64 = 0.4;
/// Stronger currents across are met as if at this, knots.
const MOST_ACROSS_KN: f64 = 8.0;

/// Speeds under sail in squares of half a knot of wind, for a few currents across.
pub(super) struct SailTable {
    /// For each current a word for each square of wind.
    words: Vec<u32>,
    /// The middle current is none; so many stand to either side.
    levels_a_side: usize,
    last_level: f32,
    /// The last level that has another above it, and how far that is: 0 and 0 where there is one alone.
    levels_below: usize,
    step: usize,
}

/// How much faster than the table a boat is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Factor {
    times: f32,
    levels_per_kn: f32,
}

impl Factor {
    pub(super) fn new(times: f64) -> Self {
        Self {
            times: times as f32,
            levels_per_kn: (1.0 / (times * ACROSS_STEP_KN)) as f32,
        }
    }
}

/// What a wind is worth.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sailing {
    /// Along the course, through the water, knots.
    pub water_kn: f32,
    /// A bit for each kind of exposure the wind decides.
    pub flags: u32,
}

impl SailTable {
    /// The table for currents across the course of up to `most_across_kn`.
    pub(super) fn new(boat: &Boat, most_across_kn: f64) -> Self {
        let levels_a_side = (most_across_kn.min(MOST_ACROSS_KN) / ACROSS_STEP_KN).ceil() as usize;
        let levels = 0..=2 * levels_a_side;
        let words = levels.into_par_iter().flat_map(|level| {
            let across_kn = (level as f64 - levels_a_side as f64) * ACROSS_STEP_KN;
            (0..SQUARES)
                .into_par_iter()
                .map(move |square| word(boat, square, across_kn))
        });
        Self {
            words: words.collect(),
            levels_a_side,
            last_level: 2.0 * levels_a_side as f32,
            levels_below: (2 * levels_a_side).saturating_sub(1),
            step: usize::from(levels_a_side > 0),
        }
    }

    /// What a wind is worth, from its parts from ahead and from port, to a boat of some factor times the
    /// speed, in a current that sets `across_kn` to port.
    #[inline(always)]
    pub(super) fn at(
        &self,
        ahead_kn: f32,
        port_kn: f32,
        across_kn: f32,
        factor: Factor,
    ) -> Sailing {
        let row = index((ahead_kn + REACH_KN) * PER_KN, AHEAD - 1);
        let column = index(port_kn.abs() * PER_KN, ABEAM - 1);
        let square = row * ABEAM + column;
        // The table has the wind to port. A faster boat is to a current what a slow one is to a
        // weaker current.
        let toward_wind_kn = if port_kn < 0.0 { -across_kn } else { across_kn };
        let place = toward_wind_kn * factor.levels_per_kn + self.levels_a_side as f32;
        let place = place.clamp(0.0, self.last_level);
        let level = index(place, self.levels_below);
        let first = self.words[level * SQUARES + square];
        let second = self.words[(level + self.step) * SQUARES + square];
        let speed = |word: u32| (word >> SPEED_SHIFT) as f32;
        let share = place - level as f32;
        let mixed = speed(first) + share * (speed(second) - speed(first));
        Sailing {
            water_kn: factor.times * SPEED_STEP_KN * mixed,
            flags: first & ((1 << SPEED_SHIFT) - 1),
        }
    }
}

/// The whole number below `place`, from 0 to `last`.
#[inline(always)]
fn index(place: f32, last: usize) -> usize {
    (place as i32).clamp(0, last as i32) as usize
}

/// The mean speed over a square of wind, and the flags of its middle.
fn word(boat: &Boat, square: usize, across_kn: f64) -> u32 {
    /// Gauss's two points across a square, which take the mean of any cubic exactly.
    const POINTS: [f64; 2] = [0.211_324_865_405_187, 0.788_675_134_594_813];
    let side_kn = 1.0 / f64::from(PER_KN);
    let low_ahead_kn = (square / ABEAM) as f64 * side_kn - f64::from(REACH_KN);
    let low_abeam_kn = (square % ABEAM) as f64 * side_kn;
    let wind = |x: f64, y: f64| {
        CourseWind::from_parts(low_ahead_kn + x * side_kn, low_abeam_kn + y * side_kn)
    };
    let points = POINTS.iter().flat_map(|x| POINTS.map(|y| wind(*x, y)));
    let mean_kn = points
        .map(|wind| boat.under_sail_kn(wind, across_kn))
        .sum::<f64>()
        / 4.0;
    let steps = (mean_kn.max(0.0) / f64::from(SPEED_STEP_KN)).round() as u32;
    let middle = wind(0.5, 0.5);
    let flags = ExposureKind::ALL.into_iter().fold(0, |flags, kind| {
        flags | u32::from(kind.applies(middle.speed_kn, middle.off_deg)) << kind as u32
    });
    steps << SPEED_SHIFT | flags
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voyage::Voyage;

    #[test]
    fn the_table_is_the_boats_own_speed_in_any_current() {
        let boat = Voyage::demo().unwrap().boat;
        let table = SailTable::new(&boat, 1.2);
        let (mut worst_kn, mut sum_kn, mut count) = (0.0_f64, 0.0, 0);
        for (ahead_kn, port_kn) in [(12.3, 8.1), (-14.2, 3.3), (3.1, -15.4), (-9.9, -9.3)] {
            for across_kn in [-1.1, -0.5, 0.0, 0.3, 0.9] {
                for factor in [0.8, 1.0, 1.2] {
                    let wind = CourseWind::from_parts(ahead_kn, port_kn);
                    let exact = factor * boat.under_sail_kn(wind, across_kn / factor);
                    let got = table.at(
                        ahead_kn as f32,
                        port_kn as f32,
                        across_kn as f32,
                        Factor::new(factor),
                    );
                    let error_kn = (f64::from(got.water_kn) - exact).abs();
                    worst_kn = worst_kn.max(error_kn);
                    sum_kn += error_kn;
                    count += 1;
                }
            }
        }
        // The speed is that of a half-knot square's middle.
        assert!(worst_kn < 0.2, "{worst_kn}");
        assert!(
            sum_kn / f64::from(count) < 0.06,
            "{}",
            sum_kn / f64::from(count)
        );
    }
}
