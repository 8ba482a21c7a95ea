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
/// The currents across, to either side, by which a square's slope and bend are found, knots.
const ACROSS_KN: f64 = 0.8;

/// Speeds under sail in squares of half a knot of wind.
pub(super) struct SailTable {
    squares: Vec<Square>,
}

/// What a square of wind is worth. Over the current across, speed is a parabola through what it is in
/// none and in 0.8 kn to either side: right to a tenth of a knot in a current of 1.5 kn.
#[derive(Debug, Clone, Copy)]
struct Square {
    /// Along the course, through the water, with no current across, knots.
    water_kn: f32,
    /// Its change with a current that sets toward the wind, knots per knot.
    slope: f32,
    /// Its change with the square of that current, per knot.
    bend: f32,
    /// For each kind of exposure that the wind decides the lowest of four bits.
    flags: u32,
}

/// How much faster than the table a boat is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Factor {
    times: f32,
    inverse: f32,
}

impl Factor {
    pub(super) fn new(times: f64) -> Self {
        Self {
            times: times as f32,
            inverse: (1.0 / times) as f32,
        }
    }
}

/// The wind and current that a boat meets.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Met {
    square: usize,
    /// Current that sets toward the wind across the course, knots.
    toward_wind_kn: f32,
    /// Current along the course, knots.
    pub along_kn: f32,
}

/// What they are worth.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sailing {
    /// Along the course, through the water, knots.
    pub water_kn: f32,
    /// For each kind of exposure the wind decides the lowest of four bits.
    pub flags: u32,
}

/// One kind's flag, 0 or 1.
#[inline(always)]
pub(super) fn flag(flags: u32, kind: ExposureKind) -> u32 {
    (flags >> (4 * kind as u32)) & 1
}

impl SailTable {
    /// The boat's table; `in_currents` says whether it is to be asked about any.
    pub(super) fn new(boat: &Boat, in_currents: bool) -> Self {
        let squares = (0..AHEAD * ABEAM).into_par_iter();
        Self {
            squares: squares
                .map(|square| Square::new(boat, square, in_currents))
                .collect(),
        }
    }

    /// The wind by its parts from ahead and from port, and the current along the course and to port.
    #[inline(always)]
    pub(super) fn meet(&self, ahead_kn: f32, port_kn: f32, current: [f32; 2]) -> Met {
        let row = nearest((ahead_kn + REACH_KN) * PER_KN - 0.5, AHEAD - 1);
        let column = nearest(port_kn.abs() * PER_KN - 0.5, ABEAM - 1);
        Met {
            square: row * ABEAM + column,
            // The table has the wind to port.
            toward_wind_kn: current[1] * 1.0_f32.copysign(port_kn),
            along_kn: current[0],
        }
    }

    /// What they are worth to a boat of some factor times the speed. A faster boat is to a current what
    /// a slow one is to a weaker current.
    #[inline(always)]
    pub(super) fn at(&self, met: Met, factor: Factor) -> Sailing {
        let square = &self.squares[met.square];
        let bend = square.bend * factor.inverse * met.toward_wind_kn;
        let water_kn = factor.times * square.water_kn + met.toward_wind_kn * (square.slope + bend);
        Sailing {
            water_kn: water_kn.max(0.0),
            flags: square.flags,
        }
    }
}

/// The whole number nearest to `place`, from 0 to `last`.
#[inline(always)]
pub(super) fn nearest(place: f32, last: usize) -> usize {
    /// Beyond this a number has no fraction: adding it rounds, and leaves the whole number in the
    /// low bits.
    const WHOLE: f32 = 8_388_608.0;
    let rounded = place.max(0.0).min(last as f32) + WHOLE;
    (rounded.to_bits() - WHOLE.to_bits()) as usize
}

impl Square {
    /// The mean speed over the square; what a current does at its middle, and the flags there.
    fn new(boat: &Boat, number: usize, in_currents: bool) -> Self {
        /// Gauss's two points across a square, which take the mean of any cubic exactly.
        const POINTS: [f64; 2] = [-0.288_675_134_594_813, 0.288_675_134_594_813];
        let side_kn = 1.0 / f64::from(PER_KN);
        let ahead_kn = ((number / ABEAM) as f64 + 0.5) * side_kn - f64::from(REACH_KN);
        let abeam_kn = ((number % ABEAM) as f64 + 0.5) * side_kn;
        let wind =
            |x: f64, y: f64| CourseWind::from_parts(ahead_kn + x * side_kn, abeam_kn + y * side_kn);
        let points = POINTS.iter().flat_map(|x| POINTS.map(|y| wind(*x, y)));
        let speeds = points.map(|wind| boat.under_sail_kn(wind, 0.0));
        let water_kn = speeds.sum::<f64>() / 4.0;
        let middle = wind(0.0, 0.0);
        let [slope, bend] = if in_currents && water_kn > 0.0 {
            let [lee, still, windward] =
                [-ACROSS_KN, 0.0, ACROSS_KN].map(|across_kn| boat.under_sail_kn(middle, across_kn));
            [
                (windward - lee) / (2.0 * ACROSS_KN),
                (windward + lee - 2.0 * still) / (2.0 * ACROSS_KN * ACROSS_KN),
            ]
        } else {
            [0.0; 2]
        };
        Self {
            water_kn: water_kn as f32,
            slope: slope as f32,
            bend: bend as f32,
            flags: ExposureKind::ALL.into_iter().fold(0, |flags, kind| {
                let applies = kind.applies(middle.speed_kn, middle.off_deg);
                flags | u32::from(applies) << (4 * kind as u32)
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voyage::Voyage;

    #[test]
    fn the_table_is_the_boats_own_speed_in_any_current() {
        let boat = Voyage::demo().unwrap().boat;
        let table = SailTable::new(&boat, true);
        let (mut worst_kn, mut sum_kn, mut count) = (0.0_f64, 0.0, 0);
        for (ahead_kn, port_kn) in [(12.3, 8.1), (-14.2, 3.3), (3.1, -15.4), (-9.9, -9.3)] {
            for across_kn in [-1.1, -0.5, 0.0, 0.3, 0.9] {
                for factor in [0.8, 1.0, 1.2] {
                    let wind = CourseWind::from_parts(ahead_kn, port_kn);
                    let exact = factor * boat.under_sail_kn(wind, across_kn / factor);
                    let current = [0.0, across_kn as f32];
                    let met = table.meet(ahead_kn as f32, port_kn as f32, current);
                    let got = table.at(met, Factor::new(factor));
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
