//! The season as the clock of a passage moves on, tabulated.

use crate::climate::SeasonDay;
use crate::passage::MOST_DAYS;

/// Hours for which one mix of months stands: less than a hundredth of a month.
const SLOT_HOURS: f64 = 6.0;

/// The months about each moment of a passage, and how far it is on from one to the other.
#[derive(Debug, Clone)]
pub(super) struct SeasonClock {
    departure: SeasonDay,
    slots: Vec<Slot>,
}

/// A few hours of the season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Slot {
    /// Numbers, from 0, of the months whose middles enclose it.
    pub months: (u8, u8),
    /// The share of the later of the two.
    pub later_share: f32,
}

impl SeasonClock {
    pub(super) fn new(departure: SeasonDay) -> Self {
        let count = (MOST_DAYS as f64 * 24.0 / SLOT_HOURS) as usize;
        let slot = |index: usize| {
            let day = departure.plus_hours((index as f64 + 0.5) * SLOT_HOURS);
            let mix = day.month_mix();
            Slot {
                months: (mix.earlier.number() - 1, mix.later.number() - 1),
                later_share: mix.later_share as f32,
            }
        };
        Self {
            departure,
            slots: (0..count).map(slot).collect(),
        }
    }

    /// The season `hours` after departure; none after the time at which a passage is given up.
    pub(super) fn at(&self, hours: f64) -> Option<Slot> {
        self.slots.get((hours / SLOT_HOURS) as usize).copied()
    }

    /// The day `hours` after departure.
    pub(super) fn day(&self, hours: f64) -> SeasonDay {
        self.departure.plus_hours(hours)
    }
}
