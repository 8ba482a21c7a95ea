//! Watches: the dark hours, what sleep is left, and who is on deck when.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure, Known};
use super::crew::CrewSettings;
use super::error::{StoresError, check_given};
use super::line::{Caution, Line, Subject};
use super::outcome::Percentile;
use super::sun::SunDay;

/// Hours a day each person cooks, repairs, navigates and washes off watch.
pub const CHORES: Range = Range::new("chores", "h a day", 0.0, 12.0);
/// The share of free time that is slept.
pub const ASLEEP: Range = Range::new("share of free time slept", "", 0.1, 1.0);
/// The share of sleep lost in rough weather; a headwind gale loses both its shares.
pub const LOST: Range = Range::new("share of sleep lost", "", 0.0, 0.5);

/// The default chores.
pub const DEFAULT_CHORES: Known = Known::new(
    "cooking, repairs and chores off watch",
    3.0,
    "h a day",
    Basis::PRACTICE,
);
/// The default share of free time that is slept.
pub const DEFAULT_ASLEEP: Known = Known::new("share of free time slept", 0.85, "", Basis::PRACTICE);
/// The default share of sleep lost in a gale.
pub const GALE_LOST: Known = Known::new("sleep lost in a gale", 0.5, "", Basis::PRACTICE);
/// The default share of sleep lost in a hard beat.
pub const BEAT_LOST: Known = Known::new("sleep lost in a hard beat", 0.25, "", Basis::PRACTICE);
/// Sleep below which a caution is given.
pub const LEAST_SLEEP: Known = Known::new(
    "sleep below which judgement suffers",
    6.0,
    "h a day",
    Basis::PRACTICE,
);
/// A lookout at all times.
pub const LOOKOUT: Basis =
    Basis::from_memory("International Regulations for Preventing Collisions at Sea 1972, rule 5");

/// The hours turns begin, ship's time: three hours each in the dark, four by day, and an odd number of
/// turns, so that two people change turns each day (common practice, no source).
const TURNS_BEGIN_H: [u8; 7] = [20, 23, 2, 5, 8, 12, 16];
/// The origin of [`TURNS_BEGIN_H`].
const TURNS_BASIS: Basis = Basis::PRACTICE;

/// How the crew keeps watch, one person at a time; `None` takes the default.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WatchSettings {
    /// Hours a day each person cooks, repairs and does chores off watch.
    pub chores_h: Option<f64>,
    /// The share of free time that is slept.
    pub asleep_share: Option<f64>,
    /// The share of sleep lost while a gale blows.
    pub gale_lost_share: Option<f64>,
    /// The share of sleep lost in a hard beat.
    pub hard_beat_lost_share: Option<f64>,
}

impl WatchSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        check_given("watches.chores_hours", &CHORES, self.chores_h)?;
        check_given("watches.asleep_share", &ASLEEP, self.asleep_share)?;
        check_given("watches.gale_lost_share", &LOST, self.gale_lost_share)?;
        let beat = self.hard_beat_lost_share;
        check_given("watches.hard_beat_lost_share", &LOST, beat)
    }
}

/// The settings in use, worked out once.
struct Habits {
    chores_h: Figure,
    asleep: Figure,
    gale_lost: Figure,
    beat_lost: Figure,
}

/// One turn on watch.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Turn {
    /// The day of the cycle, from 1; a turn belongs to the day it follows 20:00 of.
    pub day: usize,
    /// Ship's time it begins, hour of the day.
    pub from_h: u8,
    /// Ship's time it ends, hour of the day.
    pub to_h: u8,
    /// Who is on watch.
    pub keeper: String,
}

/// Watches and sleep.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct WatchPlan {
    /// How many people keep watch.
    pub keepers: usize,
    /// Hours on watch for each a day.
    pub watch_h_per_day: f64,
    /// Sleep for each a day in fair weather, hours.
    pub fair_sleep_h: f64,
    /// Sleep for each on a day of gale throughout, hours.
    pub gale_sleep_h: f64,
    /// Sleep for each a day over the passage at the chosen percentile, hours.
    pub mean_sleep_h: f64,
    /// Mean hours from sunset to sunrise on the track.
    pub mean_night_h: f64,
    /// The sun, day by day along the track.
    pub sun: Vec<SunDay>,
    /// A table of turns until it repeats; empty for one watch keeper.
    pub turns: Vec<Turn>,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

impl WatchPlan {
    pub(crate) fn of(
        watches: &WatchSettings,
        crew: &CrewSettings,
        sun: Vec<SunDay>,
        chosen: &Percentile,
    ) -> Self {
        let names: Vec<&str> = crew
            .watch_keepers()
            .map(|person| person.name.as_str())
            .collect();
        let habits = Habits {
            chores_h: DEFAULT_CHORES.unless_given(watches.chores_h),
            asleep: DEFAULT_ASLEEP.unless_given(watches.asleep_share),
            gale_lost: GALE_LOST.unless_given(watches.gale_lost_share),
            beat_lost: BEAT_LOST.unless_given(watches.hard_beat_lost_share),
        };
        let watch_h_per_day = 24.0 / names.len() as f64;
        let free_h = (24.0 - watch_h_per_day - habits.chores_h.value).max(0.0);
        let fair_sleep_h = free_h * habits.asleep.value;
        let hours = 24.0 * chosen.days;
        let lost_share = if hours > 0.0 {
            (habits.gale_lost.value * chosen.gale_hours
                + habits.beat_lost.value * chosen.hard_beat_hours)
                / hours
        } else {
            0.0
        };
        let mut plan = Self {
            keepers: names.len(),
            watch_h_per_day,
            fair_sleep_h,
            gale_sleep_h: fair_sleep_h * (1.0 - habits.gale_lost.value),
            mean_sleep_h: fair_sleep_h * (1.0 - lost_share),
            mean_night_h: sun.iter().map(SunDay::darkness_h).sum::<f64>() / sun.len() as f64,
            sun,
            turns: turns(&names),
            lines: Vec::new(),
        };
        plan.lines = plan.list(&habits, chosen);
        plan
    }

    fn list(&self, habits: &Habits, chosen: &Percentile) -> Vec<Line> {
        let mut lines = self.list_hours(chosen);
        if !self.turns.is_empty() {
            lines.push(Line::new(
                Subject::Watches,
                "turns on watch a day",
                (TURNS_BEGIN_H.len() as f64, Unit::Piece),
                "three hours each from 20 to 8, four by day, ship's time; an odd number, so that two people change turns each day",
                TURNS_BASIS,
            ));
        }
        lines.extend(self.list_sleep(habits, chosen));
        lines
    }

    /// The dark hours, the rough hours and the hours on watch.
    fn list_hours(&self, chosen: &Percentile) -> Vec<Line> {
        let longest_h = self.sun.iter().map(SunDay::darkness_h).fold(0.0, f64::max);
        let geometry = Basis::published("NOAA solar calculation, zenith 90.833 degrees");
        vec![
            hours(
                "dark hours a day",
                self.mean_night_h,
                "sunset to sunrise, mean over the track",
                geometry,
            ),
            hours(
                "longest night",
                longest_h,
                "sunset to sunrise, the longest on the track",
                geometry,
            ),
            hours(
                "dark hours of the passage",
                self.mean_night_h * chosen.days,
                "mean dark hours x days",
                Basis::ARITHMETIC,
            )
            .over_days(chosen.days)
            .at_rate(self.mean_night_h, Unit::Hour, "day"),
            hours(
                "gale",
                chosen.gale_hours,
                "hours of 34 kn or more, at the chosen percentile",
                Basis::ARITHMETIC,
            )
            .over_days(chosen.days),
            hours(
                "hard beat",
                chosen.hard_beat_hours,
                "hours into 20 kn or more, at the chosen percentile",
                Basis::ARITHMETIC,
            )
            .over_days(chosen.days),
            hours(
                "on watch for each a day",
                self.watch_h_per_day,
                "24 hours over the watch keepers, one at a time, the autopilot steering",
                LOOKOUT,
            ),
        ]
    }

    fn list_sleep(&self, habits: &Habits, chosen: &Percentile) -> [Line; 3] {
        let (chores_h, asleep) = (habits.chores_h, habits.asleep);
        let (gale, beat) = (habits.gale_lost, habits.beat_lost);
        [
            hours(
                "sleep for each a day, fair",
                self.fair_sleep_h,
                format!(
                    "{} ({}) of what watch and chores leave",
                    asleep.value, asleep.basis
                ),
                chores_h.basis,
            )
            .at_rate(chores_h.value, Unit::Hour, "day of chores"),
            hours(
                "sleep for each on a day of gale",
                self.gale_sleep_h,
                format!("fair sleep less the {} of it that a gale takes", gale.value),
                gale.basis,
            ),
            hours(
                "sleep for each a day, over the passage",
                self.mean_sleep_h,
                format!(
                    "fair sleep less what gales take, and the {} ({}) that a hard beat takes; a headwind gale takes both",
                    beat.value, beat.basis
                ),
                Basis::ARITHMETIC,
            )
            .over_days(chosen.days),
        ]
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut cautions = Vec::new();
        if self.keepers == 1 {
            let text = format!(
                "One person cannot keep a lookout at all times, which {LOOKOUT} asks of every vessel."
            );
            cautions.push(Caution::new(Subject::Watches, text));
        } else if self.mean_sleep_h < LEAST_SLEEP.value {
            let text = format!(
                "Sleep over the passage is below {} hours a day ({}), for each person",
                LEAST_SLEEP.value, LEAST_SLEEP.basis
            );
            let amount = self.mean_sleep_h;
            cautions.push(Caution::of(Subject::Watches, text, amount, Unit::Hour));
        }
        cautions
    }
}

fn hours(item: &str, amount: f64, rule: impl Into<String>, basis: Basis) -> Line {
    Line::new(Subject::Watches, item, (amount, Unit::Hour), rule, basis)
}

/// Turns in rotation until everyone has had every turn, or the rotation repeats.
fn turns(keepers: &[&str]) -> Vec<Turn> {
    let count = keepers.len();
    if count < 2 {
        return Vec::new();
    }
    let a_day = TURNS_BEGIN_H.len();
    let cycle_days = (1..=count)
        .find(|days| (days * a_day).is_multiple_of(count))
        .unwrap_or(count);
    (0..cycle_days * a_day)
        .map(|turn| Turn {
            day: turn / a_day + 1,
            from_h: TURNS_BEGIN_H[turn % a_day],
            to_h: TURNS_BEGIN_H[(turn + 1) % a_day],
            keeper: keepers[turn % count].to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length_h(turn: &Turn) -> u32 {
        (u32::from(turn.to_h) + 24 - u32::from(turn.from_h)) % 24
    }

    #[test]
    fn two_people_share_two_days_evenly_and_change_turns() {
        let table = turns(&["Ann", "Bo"]);
        assert_eq!(table.len(), 14);
        let on = |name: &str| {
            table
                .iter()
                .filter(|turn| turn.keeper == name)
                .map(length_h)
                .sum::<u32>()
        };
        assert_eq!((on("Ann"), on("Bo")), (24, 24));
        assert_ne!(table[0].keeper, table[7].keeper);
    }

    #[test]
    fn turns_fill_every_day_without_gap() {
        for count in 2..=9 {
            let names: Vec<&str> = ["a", "b", "c", "d", "e", "f", "g", "h", "i"][..count].to_vec();
            let table = turns(&names);
            let days = table.last().unwrap().day as u32;
            assert_eq!(table.iter().map(length_h).sum::<u32>(), 24 * days);
            assert!(table.windows(2).all(|pair| pair[0].to_h == pair[1].from_h));
        }
        assert!(turns(&["a"]).is_empty());
    }
}
