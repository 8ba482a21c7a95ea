//! The boat as one table over the wind: what a three-hour step in any wind is worth.
//!
//! A cell of half a knot square holds the mean progress over the cell and the conditions at
//! its middle, packed into one word of 32 bits so that a step costs one look-up.

use rayon::prelude::*;

use crate::boat::{Boat, Progress};
use crate::passage::ExposureKind;

/// Winds beyond this speed ahead, astern or abeam are met as if at it.
const REACH_KN: f32 = 64.0;
const CELLS_PER_KN: f32 = 2.0;
const AHEAD_CELLS: usize = 256;
const ABEAM_CELLS: usize = 128;
const WINDS: usize = AHEAD_CELLS * ABEAM_CELLS;

/// A word's low bits are one flag for each kind of exposure. Its high bits are the progress.
pub(super) const KINDS: usize = ExposureKind::ALL.len();
const PROGRESS_SHIFT: u32 = 16;

/// Progress is kept in steps of 1/1024 kn, which reaches 64 kn.
pub(super) const PROGRESS_PER_KN: f64 = 1024.0;

/// The kinds that the loop itself looks at.
pub(super) const HARD_BEAT: usize = ExposureKind::HardBeat as usize;
pub(super) const LIGHT_AIR: usize = ExposureKind::LightAir as usize;
pub(super) const GALE: usize = ExposureKind::Gale as usize;
pub(super) const UNDER_POWER: usize = ExposureKind::UnderPower as usize;
/// The bit beyond the kinds of exposure: the engine is wanted, and its fuel is spent.
pub(super) const WANTED: usize = KINDS;

/// Added to a cell's number for a boat whose tanks are dry.
pub(super) const DRY: u16 = WINDS as u16;

/// One word for each wind, with fuel and then without: as many as a `u16` can tell apart.
#[derive(Debug, Clone)]
pub(super) struct WindTable {
    words: Box<[u32; 2 * WINDS]>,
    most_progress: u32,
}

impl WindTable {
    pub(super) fn new(boat: &Boat) -> Self {
        let cells = (0..WINDS).into_par_iter();
        let mut words: Vec<u32> = cells.map(|cell| word(boat, cell, Boat::progress)).collect();
        // Without an engine the tanks are always dry, and the winds are worth the same.
        let dry: Vec<u32> = match boat.engine() {
            Some(_) => {
                let cells = (0..WINDS).into_par_iter();
                cells
                    .map(|cell| {
                        let wanted = flag(flags(words[cell]), UNDER_POWER);
                        let word = word(boat, cell, Boat::progress_under_sail);
                        word | u32::from(wanted) << WANTED
                    })
                    .collect()
            }
            None => words.clone(),
        };
        words.extend(dry);
        Self {
            most_progress: words.iter().map(|word| progress(*word)).max().unwrap_or(0),
            words: words
                .into_boxed_slice()
                .try_into()
                .expect("a word for each wind"),
        }
    }

    /// The most progress in any wind, in steps of 1/[`PROGRESS_PER_KN`] knots.
    pub(super) fn most_progress(&self) -> u32 {
        self.most_progress
    }

    /// A mean wind and its spread, in knots, in the table's own measure: the wind from ahead in
    /// rows from the middle of the first, the others in columns. A member's wind is the mean plus a
    /// multiple of the spread, and so is its place in the table.
    pub(super) fn in_cells(ahead_kn: f64, abeam_kn: f64, spread_kn: f64) -> [f32; 3] {
        let per_kn = f64::from(CELLS_PER_KN);
        let ahead = (ahead_kn + f64::from(REACH_KN)) * per_kn - 0.5;
        [ahead, abeam_kn * per_kn, spread_kn * per_kn].map(|cells| cells as f32)
    }

    /// The cell of a wind with these parts from ahead and from abeam, measured as by
    /// [`WindTable::in_cells`].
    #[inline(always)]
    pub(super) fn cell(ahead: f32, abeam: f32) -> u16 {
        let row = nearest(ahead.max(0.0).min((AHEAD_CELLS - 1) as f32));
        let column = nearest(abeam.abs().min(ABEAM_CELLS as f32 - 0.5) - 0.5);
        let cell = row.wrapping_mul(ABEAM_CELLS as u32).wrapping_add(column);
        cell as u16 & (WINDS - 1) as u16
    }

    #[inline(always)]
    pub(super) fn word(&self, cell: u16) -> u32 {
        self.words[usize::from(cell)]
    }
}

/// The nearest whole number to one from -0.5 to 65,535, in the low sixteen bits of the answer.
///
/// Adding 1.5 times 2^23 leaves the whole number in the low bits. A cast would do the same, but its
/// care for numbers too large keeps the compiler from running lanes at once.
#[inline(always)]
fn nearest(number: f32) -> u32 {
    const SHIFT: f32 = 12_582_912.0;
    (number + SHIFT).to_bits()
}

/// The progress in a word, in steps of 1/[`PROGRESS_PER_KN`] knots.
#[inline(always)]
pub(super) fn progress(word: u32) -> u32 {
    word >> PROGRESS_SHIFT
}

/// A word with other progress and the same flags.
pub(super) fn with_progress(word: u32, progress: u32) -> u32 {
    progress << PROGRESS_SHIFT | word & ((1 << PROGRESS_SHIFT) - 1)
}

/// The flags in a word, one bit for each kind of exposure.
#[inline(always)]
pub(super) fn flags(word: u32) -> u8 {
    word as u8
}

/// One of the flags: 1 where it is up.
#[inline(always)]
pub(super) fn flag(flags: u8, kind: usize) -> u8 {
    (flags >> kind) & 1
}

fn word(boat: &Boat, cell: usize, progress: fn(&Boat, f64, f64) -> Progress) -> u32 {
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
    let flags = ExposureKind::ALL.into_iter().fold(0, |flags, kind| {
        let met = match kind {
            ExposureKind::UnderPower => matches!(progress, Progress::Motoring(_)),
            kind => kind.applies(speed_kn, off_deg),
        };
        flags | u32::from(met) << kind as usize
    });
    (steps.round() as u32) << PROGRESS_SHIFT | flags
}
