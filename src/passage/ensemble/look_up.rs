//! The boat as one table over the wind: what a three-hour step in any wind is worth.
//!
//! A cell of half a knot square holds the mean progress over the cell and what the crew meets at
//! its middle, packed into one word so that a step costs one look-up.

use rayon::prelude::*;

use crate::boat::{Boat, Progress};
use crate::passage::exposure::{
    ABAFT_OFF_DEG, GALE_KN, HARD_BEAT_KN, HEADWIND_OFF_DEG, LIGHT_AIR_KN, STRONG_KN,
};

/// Winds beyond this speed ahead, astern or abeam are met as if at it.
const REACH_KN: f32 = 64.0;
const CELLS_PER_KN: f32 = 2.0;
const AHEAD_CELLS: usize = 256;
const ABEAM_CELLS: usize = 128;
const WINDS: usize = AHEAD_CELLS * ABEAM_CELLS;

/// A word's low bits are seven fields of seven bits, one for each kind of exposure, so that words
/// can be added up to 127 times before a field overflows. Its high bits are the progress.
pub(super) const FIELD_BITS: u32 = 7;
/// How many steps the fields of added words can hold.
pub(super) const FIELD_STEPS: u32 = (1 << FIELD_BITS) - 1;
pub(super) const KINDS: usize = 7;
const PROGRESS_SHIFT: u32 = FIELD_BITS * KINDS as u32;
pub(super) const EXPOSURE_MASK: u64 = (1 << PROGRESS_SHIFT) - 1;

/// Progress is kept in steps of 1/1024 kn, which reaches 32 kn.
pub(super) const PROGRESS_PER_KN: f64 = 1024.0;

/// The kinds of exposure, in the order of the fields.
pub(super) const HEADWIND: usize = 0;
pub(super) const HARD_BEAT: usize = 1;
pub(super) const ABAFT: usize = 2;
pub(super) const LIGHT_AIR: usize = 3;
pub(super) const STRONG: usize = 4;
pub(super) const GALE: usize = 5;
pub(super) const UNDER_POWER: usize = 6;

/// Added to a cell's number for a boat whose tanks are dry.
pub(super) const DRY: u32 = WINDS as u32;

/// One word for each wind, with fuel and then without.
#[derive(Debug, Clone)]
pub(super) struct WindTable(Box<[u64; 2 * WINDS]>);

impl WindTable {
    pub(super) fn new(boat: &Boat) -> Self {
        let cells = (0..WINDS).into_par_iter();
        let mut words: Vec<u64> = cells.map(|cell| word(boat, cell, Boat::progress)).collect();
        // Without an engine to run dry the second half is never read, but must be there.
        let dry: Vec<u64> = match boat.engine() {
            Some(_) => {
                let cells = (0..WINDS).into_par_iter();
                cells
                    .map(|cell| word(boat, cell, Boat::progress_under_sail))
                    .collect()
            }
            None => words.clone(),
        };
        words.extend(dry);
        Self(
            words
                .into_boxed_slice()
                .try_into()
                .expect("a word for each wind"),
        )
    }

    /// The cell of a wind with these components from ahead and from abeam, in knots.
    #[inline(always)]
    pub(super) fn cell(ahead_kn: f32, abeam_kn: f32) -> u32 {
        let ahead = (ahead_kn + REACH_KN) * CELLS_PER_KN;
        let abeam = abeam_kn.abs() * CELLS_PER_KN;
        whole(ahead, AHEAD_CELLS - 1) * ABEAM_CELLS as u32 + whole(abeam, ABEAM_CELLS - 1)
    }

    #[inline(always)]
    pub(super) fn word(&self, cell: u32) -> u64 {
        self.0[cell as usize & (2 * WINDS - 1)]
    }
}

/// The whole part of a number from 0 on, no more than `most`; a whole number may fall to the one
/// below. A number below 0, or none, gives 0.
///
/// Adding 2^23 leaves the whole part in the low bits. A cast would do the same, but its care for
/// numbers too large keeps the compiler from running lanes at once.
#[inline(always)]
pub(super) fn whole(number: f32, most: usize) -> u32 {
    const SHIFT: f32 = 8_388_608.0;
    let within = number.max(0.5).min(most as f32 + 0.5);
    (within - 0.5 + SHIFT).to_bits() & 0x007f_ffff
}

/// The progress in a word, in steps of 1/[`PROGRESS_PER_KN`] knots.
#[inline(always)]
pub(super) fn progress(word: u64) -> u32 {
    (word >> PROGRESS_SHIFT) as u32
}

/// The count in one field of a word or of a sum of words.
#[inline(always)]
pub(super) fn field(word: u64, kind: usize) -> u32 {
    (word >> (FIELD_BITS * kind as u32)) as u32 & FIELD_STEPS
}

fn word(boat: &Boat, cell: usize, progress: fn(&Boat, f64, f64) -> Progress) -> u64 {
    /// Gauss's two points across a cell, which take the mean of any cubic exactly.
    const POINTS: [f64; 2] = [0.211_324_865_405_187, 0.788_675_134_594_813];
    let side_kn = 1.0 / f64::from(CELLS_PER_KN);
    let low_ahead_kn = (cell / ABEAM_CELLS) as f64 * side_kn - f64::from(REACH_KN);
    let low_abeam_kn = (cell % ABEAM_CELLS) as f64 * side_kn;
    let at = |x: f64, y: f64| {
        let (ahead_kn, abeam_kn) = (low_ahead_kn + x * side_kn, low_abeam_kn + y * side_kn);
        let speed_kn = ahead_kn.hypot(abeam_kn);
        let off_deg = abeam_kn.atan2(ahead_kn).to_degrees();
        (speed_kn, off_deg, progress(boat, speed_kn, off_deg))
    };

    let points = POINTS.iter().flat_map(|x| POINTS.map(|y| (*x, y)));
    let mean_kn = points.map(|(x, y)| at(x, y).2.made_good_kn()).sum::<f64>() / 4.0;
    let steps = mean_kn * PROGRESS_PER_KN;

    let (speed_kn, off_deg, progress) = at(0.5, 0.5);
    let headwind = off_deg < HEADWIND_OFF_DEG;
    let mut met = [false; KINDS];
    met[HEADWIND] = headwind;
    met[HARD_BEAT] = headwind && speed_kn >= HARD_BEAT_KN;
    met[ABAFT] = off_deg > ABAFT_OFF_DEG;
    met[LIGHT_AIR] = speed_kn < LIGHT_AIR_KN;
    met[STRONG] = speed_kn >= STRONG_KN;
    met[GALE] = speed_kn >= GALE_KN;
    met[UNDER_POWER] = matches!(progress, Progress::Motoring(_));
    let fields = met.iter().enumerate().fold(0, |word, (kind, met)| {
        word | u64::from(*met) << (FIELD_BITS * kind as u32)
    });
    (steps.round() as u64) << PROGRESS_SHIFT | fields
}
