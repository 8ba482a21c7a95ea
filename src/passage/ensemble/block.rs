//! The inner loop: a block of passages stepped side by side, three hours at a time.
//!
//! Each pass over the lanes does one thing to plain arrays, so that the compiler can run several
//! lanes at once. A lane that arrives is closed up at once, so that no step is wasted on it.

use super::gaussian::{GaussianTable, PAIR_UNIT};
use super::generator::{Generators, StreamKey};
use super::look_up::{
    DRY, GALE, HARD_BEAT, KINDS, LIGHT_AIR, UNDER_POWER, WANTED, WindTable, flag, flags, progress,
    with_progress,
};
use super::tank::Tank;
use super::track::{CellWinds, MOST_CELLS, TrackClimate};
use crate::climate::{ClimateGap, SeasonDay};

/// How many passages go side by side.
pub(super) const LANES: usize = 256;
/// The time step, in hours.
pub(super) const STEP_HOURS: f64 = 3.0;
const DAY_STEPS: usize = 8;
/// A passage that takes longer than this does not arrive, in days.
pub const MOST_DAYS: usize = 400;

/// What came of one passage.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Passage {
    /// Hours under way; infinite for a passage that does not arrive.
    pub hours: f64,
    /// Hours of each kind of exposure, in the order of the table's fields.
    pub exposure_hours: [f64; KINDS],
    /// Whether it blew a gale for two steps, six hours, on end.
    pub gale_spell: bool,
    /// The longest hard beat, in steps.
    pub hard_beat_steps: u32,
    /// The longest spell of light air, in steps.
    pub light_air_steps: u32,
    /// Whether the engine was wanted after its fuel was spent.
    pub dry: bool,
}

/// What all blocks of a run share.
pub(super) struct Conditions<'a> {
    pub track: &'a TrackClimate,
    pub table: &'a WindTable,
    pub gaussian: &'a GaussianTable,
    pub key: StreamKey<'a>,
    pub departure: SeasonDay,
    /// exp(-dt / tau): how much of a wind is left after a step.
    pub memory: f64,
    /// How long the fuel lasts; none without an engine.
    pub tank: Option<Tank>,
}

/// How many binary digits a count of steps has.
const DIGITS: usize = 12;
const _: () = assert!(MOST_DAYS * DAY_STEPS < 1 << DIGITS);

/// The lanes of a block, array by array. Lanes from `live` on have arrived.
struct Lanes {
    live: usize,
    member: [u32; LANES],
    generators: Generators<LANES>,
    /// The last draw: low half for one step, high half for the next.
    bits: [u32; LANES],
    ahead: [f32; LANES],
    abeam: [f32; LANES],
    run: [u32; LANES],
    word: [u32; LANES],
    /// The flags of each step of the day, and beyond the day's last step those of the day before.
    flags: [[u8; LANES]; DAY_STEPS],
    /// How many steps a flag was up before today, for all flags at once: bit `kind` of digit `d`
    /// is the binary digit of value 2^d in the count of that kind.
    digits: [[u8; LANES]; DIGITS],
    gale_spell: [u8; LANES],
    hard_beat: Spells<HARD_BEAT>,
    light_air: Spells<LIGHT_AIR>,
    /// Steps under power that the tank still begins.
    fuel: [u16; LANES],
    /// [`DRY`] where it begins none.
    dry: [u16; LANES],
    pass: Passes,
}

/// What one pass over the lanes leaves for the next, so that each does one thing. It lies here and
/// not on the stack, where it would have to be made anew in every step.
struct Passes {
    slice: [u16; LANES],
    pair: [u32; LANES],
    place: [u16; LANES],
    wind: [[f32; 4]; LANES],
    cell: [u16; LANES],
}

/// Steps on end with the flag of one kind of exposure up: now, and at most.
struct Spells<const KIND: usize> {
    now: [u16; LANES],
    longest: [u16; LANES],
}

/// Steps the passages of members `first` to `first + passages.len()`, at most [`LANES`] of them.
///
/// # Errors
/// A gap in the climate where and when a passage needs it, and its distance along the route in
/// nautical miles.
#[multiversion::multiversion(targets("x86_64+avx2"))]
pub(super) fn run_block<'a>(
    conditions: &Conditions<'a>,
    first: u32,
    passages: &mut [Passage],
) -> Result<(), (ClimateGap, f64)> {
    step_block(conditions, first, passages)
}

/// [`run_block`] for whatever processor the caller is compiled for.
#[inline(always)]
fn step_block(
    conditions: &Conditions<'_>,
    first: u32,
    passages: &mut [Passage],
) -> Result<(), (ClimateGap, f64)> {
    let (track, table) = (conditions.track, conditions.table);
    let finish = track.finish();
    let most_in_a_day = DAY_STEPS as u32 * table.most_progress();
    let memory = conditions.memory as f32;
    let fresh = (1.0 - conditions.memory * conditions.memory).sqrt() as f32;

    let mut lanes = Lanes::new(conditions, first, passages.len());
    let mut winds = Box::new([[0.0; 4]; MOST_CELLS]);
    for day in 0..MOST_DAYS {
        // Months change little in a day: the winds of its middle do for all its steps.
        let middle = conditions.departure.plus_hours((day as f64 + 0.5) * 24.0);
        let (slowest, fastest) = lanes.spread();
        let first_cell = track.cell(slowest);
        let within_reach = (
            first_cell,
            track.cell(fastest.saturating_add(most_in_a_day)),
        );
        track.on_day(middle, within_reach, &mut winds);
        let arrivals = fastest.saturating_add(most_in_a_day) >= finish;

        let mut last_cell = 0;
        for step in 0..DAY_STEPS {
            lanes.meet(step, &winds, table, track.cell_shift());
            if let Some(tank) = conditions.tank {
                lanes.burn(step, tank, table);
            }
            if arrivals && lanes.spread().1 >= finish {
                lanes.land((day, step), finish, conditions.tank, first, passages);
                last_cell = track.cell(finish);
            }
            lanes.change_wind(step + 1, conditions.gaussian, memory, fresh);
        }
        track.check(
            middle,
            (first_cell, last_cell.max(track.cell(lanes.spread().1))),
        )?;
        if lanes.live == 0 {
            return Ok(());
        }
        lanes.count_day();
    }
    lanes.give_up(conditions.tank, first, passages);
    Ok(())
}

impl Lanes {
    fn new(conditions: &Conditions<'_>, first: u32, live: usize) -> Self {
        let fuel = conditions.tank.map_or(0, Tank::steps);
        let mut lanes = Self {
            live,
            member: [0; LANES],
            generators: Generators::new(),
            bits: [0; LANES],
            ahead: [0.0; LANES],
            abeam: [0.0; LANES],
            run: [0; LANES],
            word: [0; LANES],
            flags: [[0; LANES]; DAY_STEPS],
            digits: [[0; LANES]; DIGITS],
            gale_spell: [0; LANES],
            hard_beat: Spells::new(),
            light_air: Spells::new(),
            fuel: [fuel; LANES],
            dry: [if fuel > 0 { 0 } else { DRY }; LANES],
            pass: Passes {
                slice: [0; LANES],
                pair: [0; LANES],
                place: [0; LANES],
                wind: [[0.0; 4]; LANES],
                cell: [0; LANES],
            },
        };
        for lane in 0..live {
            let member = first + lane as u32;
            lanes.member[lane] = member;
            lanes.generators.set(lane, conditions.key.words(member));
        }
        lanes.change_wind(0, conditions.gaussian, 0.0, 1.0);
        lanes
    }

    /// The live lanes and a few beyond, so that whole registers are filled. What happens in a lane
    /// that is not live is never read.
    #[inline(always)]
    fn padded(&self) -> usize {
        const REGISTER: usize = 32;
        self.live.next_multiple_of(REGISTER).min(LANES)
    }

    /// The shortest and the longest run so far.
    #[inline(always)]
    fn spread(&self) -> (u32, u32) {
        let runs = &self.run[..self.live.min(LANES)];
        let low = runs.iter().fold(u32::MAX, |low, run| low.min(*run));
        let high = runs.iter().fold(0, |high, run| high.max(*run));
        (low, high)
    }

    /// The winds' next step: what memory leaves of them, and a fresh part. A draw has bits for two
    /// steps, an even and an odd one.
    #[inline(always)]
    fn change_wind(&mut self, step: usize, gaussian: &GaussianTable, memory: f32, fresh: f32) {
        let live = self.padded();
        let pass = &mut self.pass;
        if step.is_multiple_of(2) {
            self.generators.fill(&mut self.bits, live);
            for (slice, bits) in pass.slice[..live].iter_mut().zip(&self.bits) {
                *slice = *bits as u16;
            }
        } else {
            for (slice, bits) in pass.slice[..live].iter_mut().zip(&self.bits) {
                *slice = (*bits >> 16) as u16;
            }
        }
        for (pair, slice) in pass.pair[..live].iter_mut().zip(&pass.slice) {
            *pair = gaussian.word(*slice);
        }
        let fresh = fresh * PAIR_UNIT;
        for lane in 0..live {
            let [ahead, abeam] = GaussianTable::pair(pass.pair[lane]);
            self.ahead[lane] = memory * self.ahead[lane] + fresh * ahead;
            self.abeam[lane] = memory * self.abeam[lane] + fresh * abeam;
        }
    }

    /// A step in the winds where each lane is: progress made, exposure noted.
    #[inline(always)]
    fn meet(&mut self, step: usize, winds: &CellWinds, table: &WindTable, cell_shift: u32) {
        let live = self.padded();
        let pass = &mut self.pass;
        for (place, run) in pass.place[..live].iter_mut().zip(&self.run) {
            *place = (*run >> cell_shift) as u16;
        }
        for (wind, place) in pass.wind[..live].iter_mut().zip(&pass.place) {
            *wind = winds[usize::from(*place) & (MOST_CELLS - 1)];
        }
        for lane in 0..live {
            let [ahead, abeam, ahead_spread, abeam_spread] = pass.wind[lane];
            let ahead = ahead + ahead_spread * self.ahead[lane];
            let abeam = abeam + abeam_spread * self.abeam[lane];
            pass.cell[lane] = WindTable::cell(ahead, abeam) | self.dry[lane];
        }
        for (word, cell) in self.word[..live].iter_mut().zip(&pass.cell) {
            *word = table.word(*cell);
        }
        for (run, word) in self.run[..live].iter_mut().zip(&self.word) {
            *run += progress(*word);
        }
        let before = self.flags[(step + DAY_STEPS - 1) % DAY_STEPS];
        let now = &mut self.flags[step];
        for lane in 0..live {
            now[lane] = flags(self.word[lane]);
            self.gale_spell[lane] |= now[lane] & before[lane];
        }
        self.hard_beat.note(now, live);
        self.light_air.note(now, live);
    }

    /// Takes the fuel of a step under power from the tanks of the lanes that motored.
    #[inline(always)]
    fn burn(&mut self, step: usize, tank: Tank, table: &WindTable) {
        let now = &self.flags[step];
        let live = self.padded();
        let tanks = self.fuel[..live].iter_mut().zip(&mut self.dry).zip(now);
        if tank.missing_share() == 0.0 {
            for ((fuel, dry), flags) in tanks {
                take_fuel(fuel, dry, *flags);
            }
            return;
        }
        let mut spent = 0;
        for ((fuel, dry), flags) in tanks {
            spent |= take_fuel(fuel, dry, *flags);
        }
        if spent != 0 {
            self.break_last_step(step, tank, table);
        }
    }

    /// Takes back the progress of the lanes whose tanks ran dry within this step, for the rest of
    /// which they only sailed. It happens once in a passage.
    #[cold]
    fn break_last_step(&mut self, step: usize, tank: Tank, table: &WindTable) {
        for (lane, now) in self.flags[step].iter_mut().enumerate().take(self.live) {
            if flag(*now, UNDER_POWER) == 0 || self.fuel[lane] > 0 {
                continue;
            }
            *now |= 1 << WANTED;
            let under_power = progress(self.word[lane]);
            let under_sail = progress(table.word(self.pass.cell[lane] | DRY));
            let lost = f64::from(under_power - under_sail) * tank.missing_share();
            let lost = lost.round() as u32;
            self.run[lane] -= lost;
            self.word[lane] = with_progress(self.word[lane], under_power - lost);
        }
    }

    /// Adds the day's flags to the counts, digit by digit, for all kinds at once.
    #[inline(always)]
    fn count_day(&mut self) {
        let live = self.padded();
        let mut today = [[0; LANES]; 4];
        let [ones, twos, fours, eights] = &mut today;
        let [a, b, c, d, e, f, g, h] = &self.flags;
        for lane in 0..live {
            let (x, x2) = add_bits(a[lane], b[lane], c[lane]);
            let (y, y2) = add_bits(d[lane], e[lane], f[lane]);
            let (z, z2) = add_bits(x, y, g[lane]);
            ones[lane] = z ^ h[lane];
            let (x, x4) = add_bits(x2, y2, z2);
            let carried = z & h[lane];
            twos[lane] = x ^ carried;
            let carried = x & carried;
            fours[lane] = x4 ^ carried;
            eights[lane] = x4 & carried;
        }
        let mut carry = [0; LANES];
        for (digit, value) in self.digits.iter_mut().enumerate() {
            for lane in 0..live {
                let added = today.get(digit).map_or(0, |today| today[lane]);
                (value[lane], carry[lane]) = add_bits(value[lane], added, carry[lane]);
            }
        }
    }

    /// Steps of a kind of exposure up to `step` of today.
    fn steps_of(&self, lane: usize, kind: usize, steps_today: usize) -> u32 {
        let digits = self.digits.iter().enumerate();
        let before = digits.map(|(digit, value)| u32::from(flag(value[lane], kind)) << digit);
        let today = self.flags[..steps_today].iter();
        before.sum::<u32>()
            + today
                .map(|flags| u32::from(flag(flags[lane], kind)))
                .sum::<u32>()
    }

    /// Writes down the passages that have arrived by a step of a day, and closes up the lanes.
    fn land(
        &mut self,
        (day, step): (usize, usize),
        finish: u32,
        tank: Option<Tank>,
        first: u32,
        passages: &mut [Passage],
    ) {
        let steps = (day * DAY_STEPS + step + 1) as f64;
        let mut lane = 0;
        while lane < self.live {
            if self.run[lane] < finish {
                lane += 1;
                continue;
            }
            // Of the last step, only the part up to the end was sailed.
            let spare = f64::from(self.run[lane] - finish) / f64::from(progress(self.word[lane]));
            let hours = (steps - spare) * STEP_HOURS;
            passages[(self.member[lane] - first) as usize] =
                self.passage(lane, step + 1, tank, hours, spare);
            self.live -= 1;
            self.move_lane(self.live, lane);
        }
    }

    /// Writes down the passages still at sea when patience ends.
    fn give_up(&mut self, tank: Option<Tank>, first: u32, passages: &mut [Passage]) {
        for lane in 0..self.live {
            let passage = self.passage(lane, 0, tank, f64::INFINITY, 0.0);
            passages[(self.member[lane] - first) as usize] = passage;
        }
    }

    fn passage(
        &self,
        lane: usize,
        steps_today: usize,
        tank: Option<Tank>,
        hours: f64,
        spare: f64,
    ) -> Passage {
        let now = flags(self.word[lane]);
        // The share of the step in which the fuel was spent that went without.
        let missing = tank
            .filter(|tank| tank.steps() > 0 && self.fuel[lane] == 0)
            .map_or(0.0, Tank::missing_share);
        let exposure_hours = std::array::from_fn(|kind| {
            let missing = if kind == UNDER_POWER { missing } else { 0.0 };
            let steps = f64::from(self.steps_of(lane, kind, steps_today)) - missing;
            // A last step under power with the tank dry is the one that spent the fuel.
            let unsailed = spare * (1.0 - missing) * f64::from(flag(now, kind));
            (steps - unsailed) * STEP_HOURS
        });
        Passage {
            hours,
            exposure_hours,
            gale_spell: flag(self.gale_spell[lane], GALE) != 0,
            hard_beat_steps: u32::from(self.hard_beat.longest[lane]),
            light_air_steps: u32::from(self.light_air.longest[lane]),
            dry: self.fuel[lane] == 0 && self.steps_of(lane, WANTED, steps_today) > 0,
        }
    }

    fn move_lane(&mut self, from: usize, to: usize) {
        self.generators.move_lane(from, to);
        self.member[to] = self.member[from];
        self.bits[to] = self.bits[from];
        self.ahead[to] = self.ahead[from];
        self.abeam[to] = self.abeam[from];
        self.run[to] = self.run[from];
        self.word[to] = self.word[from];
        for flags in &mut self.flags {
            flags[to] = flags[from];
        }
        for digit in &mut self.digits {
            digit[to] = digit[from];
        }
        self.gale_spell[to] = self.gale_spell[from];
        self.hard_beat.move_lane(from, to);
        self.light_air.move_lane(from, to);
        self.fuel[to] = self.fuel[from];
        self.dry[to] = self.dry[from];
    }
}

impl<const KIND: usize> Spells<KIND> {
    fn new() -> Self {
        Self {
            now: [0; LANES],
            longest: [0; LANES],
        }
    }

    fn move_lane(&mut self, from: usize, to: usize) {
        self.now[to] = self.now[from];
        self.longest[to] = self.longest[from];
    }

    /// Makes the spells one step longer where the flag is up, and ends them where it is not.
    #[inline(always)]
    fn note(&mut self, flags: &[u8; LANES], live: usize) {
        let spells = self.now[..live].iter_mut().zip(&mut self.longest);
        for ((now, longest), flags) in spells.zip(flags) {
            let on = u16::from(flag(*flags, KIND));
            *now = (*now + on) & on.wrapping_neg();
            *longest = (*longest).max(*now);
        }
    }
}

/// Takes a step's fuel from a tank if it was made under power. Not nought where that spent it.
#[inline(always)]
fn take_fuel(fuel: &mut u16, dry: &mut u16, flags: u8) -> u16 {
    // Without fuel the flag is never up.
    *fuel -= u16::from(flag(flags, UNDER_POWER));
    let before = *dry;
    *dry = if *fuel == 0 { DRY } else { 0 };
    before ^ *dry
}

/// The sum of three bits, and its carry, in every place of a byte: a full adder.
#[inline(always)]
fn add_bits(a: u8, b: u8, c: u8) -> (u8, u8) {
    let either = a ^ b;
    (either ^ c, (a & b) | (either & c))
}

#[cfg(test)]
mod tests;
