//! The inner loop: a block of passages stepped side by side, three hours at a time.
//!
//! Each pass over the lanes does one thing to plain arrays, so that the compiler can run several
//! lanes at once. A lane that arrives is closed up at once, so that no step is wasted on it.

use super::gaussian::{GaussianTable, PAIR_UNIT};
use super::generator::{Generators, StreamKey};
use super::look_up::{
    DRY, GALE, HARD_BEAT, KINDS, LIGHT_AIR, UNDER_POWER, WindTable, flag, flags, progress,
};
use super::track::{CellWinds, MOST_CELLS, TrackClimate};
use crate::climate::{ClimateGap, SeasonDay};

/// How many passages go side by side.
pub(super) const LANES: usize = 64;
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
    /// Whether the tanks ran dry.
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
    /// Steps under power that the fuel allows; none without an engine.
    pub fuel_steps: Option<f64>,
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
    powered: [u16; LANES],
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
            if let Some(fuel_steps) = conditions.fuel_steps {
                lanes.burn(step, fuel_steps);
            }
            if arrivals && lanes.spread().1 >= finish {
                lanes.land(day, step, finish, first, passages);
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
    lanes.give_up(first, passages);
    Ok(())
}

impl Lanes {
    fn new(conditions: &Conditions<'_>, first: u32, live: usize) -> Self {
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
            powered: [0; LANES],
            dry: [if conditions.fuel_steps.is_some_and(|steps| steps > 0.0) {
                0
            } else {
                DRY
            }; LANES],
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
    fn burn(&mut self, step: usize, fuel_steps: f64) {
        let fuel_steps = fuel_steps as u16;
        let now = &self.flags[step];
        let live = self.padded();
        let tanks = self.powered[..live].iter_mut().zip(&mut self.dry);
        for ((powered, dry), flags) in tanks.zip(now) {
            *powered += u16::from(flag(*flags, UNDER_POWER));
            *dry = if *powered >= fuel_steps { DRY } else { 0 };
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

    /// Writes down the passages that have arrived by `step` of `day`, and closes up the lanes.
    fn land(&mut self, day: usize, step: usize, finish: u32, first: u32, passages: &mut [Passage]) {
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
                self.passage(lane, step + 1, hours, spare);
            self.live -= 1;
            self.move_lane(self.live, lane);
        }
    }

    /// Writes down the passages still at sea when patience ends.
    fn give_up(&mut self, first: u32, passages: &mut [Passage]) {
        for lane in 0..self.live {
            let passage = self.passage(lane, 0, f64::INFINITY, 0.0);
            passages[(self.member[lane] - first) as usize] = passage;
        }
    }

    fn passage(&self, lane: usize, steps_today: usize, hours: f64, spare: f64) -> Passage {
        let now = flags(self.word[lane]);
        let exposure_hours = std::array::from_fn(|kind| {
            let steps = self.steps_of(lane, kind, steps_today);
            let unsailed = spare * f64::from(flag(now, kind));
            (f64::from(steps) - unsailed) * STEP_HOURS
        });
        Passage {
            hours,
            exposure_hours,
            gale_spell: flag(self.gale_spell[lane], GALE) != 0,
            hard_beat_steps: u32::from(self.hard_beat.longest[lane]),
            light_air_steps: u32::from(self.light_air.longest[lane]),
            dry: self.powered[lane] > 0 && self.dry[lane] == DRY,
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
        self.powered[to] = self.powered[from];
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

/// The sum of three bits, and its carry, in every place of a byte: a full adder.
#[inline(always)]
fn add_bits(a: u8, b: u8, c: u8) -> (u8, u8) {
    let either = a ^ b;
    (either ^ c, (a & b) | (either & c))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::passage::Voyage;

    /// The demonstration voyage's block, stepped by `step`.
    fn demo_block(
        step: impl Fn(&Conditions<'_>, &mut [Passage]) -> Result<(), (ClimateGap, f64)>,
    ) -> Vec<Passage> {
        let voyage = Voyage::demo().unwrap();
        let route = &voyage.routes[1];
        let climate = voyage.open_climate().unwrap();
        let conditions = Conditions {
            track: &TrackClimate::new(route, &climate),
            table: &WindTable::new(&voyage.boat),
            gaussian: &GaussianTable::new(),
            key: StreamKey {
                seed: 1,
                route: route.name(),
                departure_day: 0,
            },
            departure: SeasonDay::from_date(voyage.departure),
            memory: 0.92,
            fuel_steps: Some(20.0),
        };
        let mut passages = vec![Passage::default(); LANES - 3];
        step(&conditions, &mut passages).unwrap();
        passages
    }

    #[test]
    fn a_plainer_processor_gives_the_same_to_the_last_bit() {
        let here = demo_block(|conditions, passages| run_block(conditions, 0, passages));
        let plain = demo_block(|conditions, passages| step_block(conditions, 0, passages));
        assert!(here.iter().all(|passage| passage.hours.is_finite()));
        assert!(here.iter().any(|passage| passage.dry));
        assert_eq!(here, plain);
    }

    #[test]
    fn a_member_is_the_same_in_any_block() {
        let together = demo_block(|conditions, passages| run_block(conditions, 0, passages));
        let apart = demo_block(|conditions, passages| {
            (0..)
                .zip(passages.chunks_mut(1))
                .try_for_each(|(member, passage)| run_block(conditions, member, passage))
        });
        assert_eq!(together, apart);
    }
}
