//! Watches: the dark hours, what sleep is left, and who is on deck when.

use schemars::JsonSchema;
use serde::Serialize;

use crate::geodesy::SunDay;
use crate::units::{Range, Unit};

use super::basis::{Basis, Figure};
use super::crew::CrewSettings;
use super::error::{StoresError, check};
use super::line::{Caution, Item, Line, Per, Rule};
use super::outcome::Percentile;

/// Hours a day each person cooks, repairs, navigates and washes off watch.
pub const CHORES: Range = Range::new("chores", "h a day", 0.0, 12.0);
/// The share of free time that is slept.
pub const ASLEEP: Range = Range::new("share of free time slept", "", 0.1, 1.0);
/// The share of sleep lost in rough weather; a headwind gale loses both its shares.
pub const LOST: Range = Range::new("share of sleep lost", "", 0.0, 0.5);

/// The default hours a day of cooking, repairs and chores off watch.
pub const DEFAULT_CHORES: Figure = Figure::new(3.0, Basis::PRACTICE);
/// The default share of free time that is slept.
pub const DEFAULT_ASLEEP: Figure = Figure::new(0.85, Basis::PRACTICE);
/// The default share of sleep lost in a gale.
pub const GALE_LOST: Figure = Figure::new(0.5, Basis::PRACTICE);
/// The default share of sleep lost when beating in 20 kn or more.
pub const BEAT_LOST: Figure = Figure::new(0.25, Basis::PRACTICE);
/// Sleep below which judgement suffers and a caution is given, hours a day.
pub const LEAST_SLEEP: Figure = Figure::new(6.0, Basis::PRACTICE);
/// A lookout at all times.
pub const LOOKOUT: Basis =
    Basis::from_memory("International Regulations for Preventing Collisions at Sea 1972, rule 5");

/// The origin of the dark hours.
const SUN: Basis = Basis::published("NOAA solar calculation, zenith 90.833 degrees");

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
    /// The share of sleep lost when beating in 20 kn or more.
    pub hard_beat_lost_share: Option<f64>,
}

impl WatchSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        check("watch keepers", &CHORES, self.chores_h)?;
        check("watch keepers", &ASLEEP, self.asleep_share)?;
        check("in a gale", &LOST, self.gale_lost_share)?;
        check("when beating", &LOST, self.hard_beat_lost_share)
    }
}

/// One turn on watch.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Turn {
    /// The day of the cycle, from 1; a turn belongs to the day it follows 20:00 of.
    pub day: usize,
    /// Ship's time it begins, hour of the day.
    pub from_hour: u8,
    /// Ship's time it ends, hour of the day.
    pub to_hour: u8,
    /// Who is on watch.
    pub keeper: String,
}

/// Watches and sleep.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct WatchPlan {
    /// How many people keep watch.
    pub keepers: usize,
    /// Hours on watch for each a day.
    pub watch_hours_per_day: f64,
    /// Sleep for each a day in fair weather, hours.
    pub fair_sleep_hours: f64,
    /// Sleep for each on a day of gale throughout, hours.
    pub gale_sleep_hours: f64,
    /// Sleep for each a day over the passage at the chosen percentile, hours.
    pub mean_sleep_hours: f64,
    /// Mean hours from sunset to sunrise on the track.
    pub mean_night_hours: f64,
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
        let keepers = crew.watch_keepers();
        let names: Vec<&str> = keepers.map(|person| person.name.as_str()).collect();
        let chores = DEFAULT_CHORES.unless_given(watches.chores_h);
        let asleep = DEFAULT_ASLEEP.unless_given(watches.asleep_share);
        let gale_lost = GALE_LOST.unless_given(watches.gale_lost_share);
        let beat_lost = BEAT_LOST.unless_given(watches.hard_beat_lost_share);
        let watch_hours_per_day = 24.0 / names.len() as f64;
        let free_hours = (24.0 - watch_hours_per_day - chores.value).max(0.0);
        let fair_sleep_hours = free_hours * asleep.value;
        let hours = 24.0 * chosen.days;
        let lost_share = if hours > 0.0 {
            (gale_lost.value * chosen.gale_hours + beat_lost.value * chosen.hard_beat_hours) / hours
        } else {
            0.0
        };
        let mut plan = Self {
            keepers: names.len(),
            watch_hours_per_day,
            fair_sleep_hours,
            gale_sleep_hours: fair_sleep_hours * (1.0 - gale_lost.value),
            mean_sleep_hours: fair_sleep_hours * (1.0 - lost_share),
            mean_night_hours: sun.iter().map(SunDay::dark_hours).sum::<f64>() / sun.len() as f64,
            sun,
            turns: turns(&names),
            lines: Vec::new(),
        };
        plan.lines = plan.hour_lines(chosen);
        if !plan.turns.is_empty() {
            let count = TURNS_BEGIN_H.len() as f64;
            let turns = Line::new(Item::TurnsOnWatch, count, Unit::Piece, TURNS_BASIS);
            plan.lines.push(turns);
        }
        plan.lines.extend([
            hours_line(Item::FairSleep, plan.fair_sleep_hours, chores.basis)
                .at_rate(chores.value, Unit::Hour, Per::DayOfChores)
                .by(Rule::Part { share: asleep }),
            hours_line(Item::GaleSleep, plan.gale_sleep_hours, gale_lost.basis)
                .by(Rule::Part { share: gale_lost }),
            hours_line(Item::MeanSleep, plan.mean_sleep_hours, Basis::ARITHMETIC)
                .over_days(chosen.days)
                .by(Rule::Part { share: beat_lost }),
        ]);
        plan
    }

    /// The dark hours, the rough hours and the hours on watch.
    fn hour_lines(&self, chosen: &Percentile) -> Vec<Line> {
        let nights = self.sun.iter().map(SunDay::dark_hours);
        let longest = nights.fold(0.0, f64::max);
        let (night, over) = (self.mean_night_hours, chosen.days);
        let arithmetic = Basis::ARITHMETIC;
        vec![
            hours_line(Item::DarkHours, night, SUN),
            hours_line(Item::LongestNight, longest, SUN),
            hours_line(Item::DarkHoursOfPassage, night * over, arithmetic)
                .over_days(over)
                .at_rate(night, Unit::Hour, Per::Day),
            hours_line(Item::GaleHours, chosen.gale_hours, arithmetic).over_days(over),
            hours_line(Item::HardBeatHours, chosen.hard_beat_hours, arithmetic).over_days(over),
            hours_line(Item::OnWatch, self.watch_hours_per_day, LOOKOUT),
        ]
    }

    pub(crate) fn cautions(&self) -> Option<Caution> {
        let mean_sleep_hours = self.mean_sleep_hours;
        if self.keepers == 1 {
            Some(Caution::LookoutAlone)
        } else {
            let little = mean_sleep_hours < LEAST_SLEEP.value;
            little.then_some(Caution::LittleSleep { mean_sleep_hours })
        }
    }
}

fn hours_line(item: Item, amount: f64, basis: Basis) -> Line {
    Line::new(item, amount, Unit::Hour, basis)
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
            from_hour: TURNS_BEGIN_H[turn % a_day],
            to_hour: TURNS_BEGIN_H[(turn + 1) % a_day],
            keeper: keepers[turn % count].to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length_h(turn: &Turn) -> u32 {
        (u32::from(turn.to_hour) + 24 - u32::from(turn.from_hour)) % 24
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
            assert!(
                table
                    .windows(2)
                    .all(|pair| pair[0].to_hour == pair[1].from_hour)
            );
        }
        assert!(turns(&["a"]).is_empty());
    }
}
