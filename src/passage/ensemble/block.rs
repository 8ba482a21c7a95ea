//! The inner loop: a block of passages stepped side by side, three hours at a time.
//!
//! Each pass over the lanes does one thing to plain arrays, so that the compiler can run several
//! lanes at once. A lane that arrives is closed up at once, so that no step is wasted on it.

use super::gaussian::GaussianTable;
use super::generator::{Generators, StreamKey};
use super::look_up::{
    DRY, EXPOSURE_MASK, FIELD_STEPS, GALE, HARD_BEAT, KINDS, LIGHT_AIR, PROGRESS_PER_KN,
    UNDER_POWER, WindTable, field, progress, whole,
};
use super::track::{CellWinds, MOST_CELLS, TrackClimate};
use crate::climate::{ClimateGap, SeasonDay};

/// How many passages go side by side.
pub(super) const LANES: usize = 128;
/// The time step, in hours.
pub(super) const STEP_HOURS: f64 = 3.0;
/// A passage that takes longer than this does not arrive: 400 days.
pub(super) const MOST_HOURS: f64 = 400.0 * 24.0;
const MOST_STEPS: u32 = (MOST_HOURS / STEP_HOURS) as u32;

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

/// The lanes of a block, array by array. Lanes from `live` on have arrived.
struct Lanes {
    live: usize,
    member: [u32; LANES],
    generators: Generators<LANES>,
    ahead: [f32; LANES],
    abeam: [f32; LANES],
    run: [u32; LANES],
    word: [u64; LANES],
    before: [u64; LANES],
    fields: [u64; LANES],
    counts: [[u32; KINDS]; LANES],
    gale_spell: [u64; LANES],
    hard_beat: [u32; LANES],
    longest_hard_beat: [u32; LANES],
    light_air: [u32; LANES],
    longest_light_air: [u32; LANES],
    powered: [u32; LANES],
    dry: [u32; LANES],
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
    let track = conditions.track;
    let quanta_per_nm = PROGRESS_PER_KN / STEP_HOURS;
    let finish = (track.length_nm() * quanta_per_nm).round() as u32;
    let cells_per_quantum = (1.0 / (track.cell_nm() * quanta_per_nm)) as f32;
    let last_cell = track.cells() - 1;
    let memory = conditions.memory as f32;
    let fresh = (1.0 - conditions.memory * conditions.memory).sqrt() as f32;

    let mut lanes = Lanes::new(conditions, first, passages.len());
    let mut winds = Box::new(CellWinds::default());
    let mut spread = (0, 0);
    for step in 0..MOST_STEPS {
        let (slowest, fastest) = spread;
        let cell = |run: u32| whole(run as i32 as f32 * cells_per_quantum, last_cell) as usize;
        let day = conditions
            .departure
            .plus_hours((f64::from(step) + 0.5) * STEP_HOURS);
        track.on_day(day, (cell(slowest), cell(fastest)), &mut winds)?;

        lanes.meet(&winds, conditions.table, cells_per_quantum, last_cell);
        if let Some(fuel_steps) = conditions.fuel_steps {
            lanes.burn(fuel_steps);
        }
        if (step + 1) % FIELD_STEPS == 0 {
            lanes.empty_fields();
        }
        spread = lanes.spread();
        if spread.1 >= finish {
            lanes.land(step + 1, finish, first, passages);
            spread = lanes.spread();
        }
        if lanes.live == 0 {
            return Ok(());
        }
        lanes.change_wind(conditions.gaussian, memory, fresh);
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
            ahead: [0.0; LANES],
            abeam: [0.0; LANES],
            run: [0; LANES],
            word: [0; LANES],
            before: [0; LANES],
            fields: [0; LANES],
            counts: [[0; KINDS]; LANES],
            gale_spell: [0; LANES],
            hard_beat: [0; LANES],
            longest_hard_beat: [0; LANES],
            light_air: [0; LANES],
            longest_light_air: [0; LANES],
            powered: [0; LANES],
            dry: [if conditions.fuel_steps.is_some_and(|steps| steps > 0.0) {
                0
            } else {
                DRY
            }; LANES],
        };
        for lane in 0..live {
            let member = first + lane as u32;
            lanes.member[lane] = member;
            lanes.generators.set(lane, conditions.key.words(member));
        }
        lanes.change_wind(conditions.gaussian, 0.0, 1.0);
        lanes
    }

    /// The live lanes and a few beyond, so that whole registers are filled. What happens in a lane
    /// that is not live is never read.
    #[inline(always)]
    fn padded(&self) -> usize {
        const REGISTER: usize = 16;
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

    /// The winds' next step: what memory leaves of them, and a fresh part.
    #[inline(always)]
    fn change_wind(&mut self, gaussian: &GaussianTable, memory: f32, fresh: f32) {
        let live = self.padded();
        let mut bits = [0; LANES];
        self.generators.fill(&mut bits, live);
        let (mut ahead, mut abeam) = ([0.0; LANES], [0.0; LANES]);
        for lane in 0..live {
            [ahead[lane], abeam[lane]] = gaussian.pair(bits[lane]);
        }
        for lane in 0..live {
            self.ahead[lane] = memory * self.ahead[lane] + fresh * ahead[lane];
            self.abeam[lane] = memory * self.abeam[lane] + fresh * abeam[lane];
        }
    }

    /// A step in the winds where each lane is: progress made, exposure counted.
    #[inline(always)]
    fn meet(
        &mut self,
        winds: &CellWinds,
        table: &WindTable,
        cells_per_quantum: f32,
        last_cell: usize,
    ) {
        let live = self.padded();
        let mut place = [0; LANES];
        for (place, run) in place[..live].iter_mut().zip(&self.run) {
            *place = whole(*run as i32 as f32 * cells_per_quantum, last_cell);
        }
        let (mut ahead, mut abeam, mut spread) = ([0.0; LANES], [0.0; LANES], [0.0; LANES]);
        for lane in 0..live {
            let place = place[lane] as usize & (MOST_CELLS - 1);
            ahead[lane] = winds.ahead[place];
            abeam[lane] = winds.abeam[place];
            spread[lane] = winds.spread[place];
        }
        let mut cell = [0; LANES];
        for lane in 0..live {
            let ahead_kn = ahead[lane] + spread[lane] * self.ahead[lane];
            let abeam_kn = abeam[lane] + spread[lane] * self.abeam[lane];
            cell[lane] = WindTable::cell(ahead_kn, abeam_kn) + self.dry[lane];
        }
        self.before = self.word;
        for (word, cell) in self.word[..live].iter_mut().zip(&cell) {
            *word = table.word(*cell);
        }
        for lane in 0..live {
            let word = self.word[lane];
            self.run[lane] += progress(word);
            self.fields[lane] += word & EXPOSURE_MASK;
            self.gale_spell[lane] |= word & self.before[lane];
        }
        for lane in 0..live {
            let on = field(self.word[lane], HARD_BEAT);
            self.hard_beat[lane] = (self.hard_beat[lane] + on) & on.wrapping_neg();
            self.longest_hard_beat[lane] = self.longest_hard_beat[lane].max(self.hard_beat[lane]);
        }
        for lane in 0..live {
            let on = field(self.word[lane], LIGHT_AIR);
            self.light_air[lane] = (self.light_air[lane] + on) & on.wrapping_neg();
            self.longest_light_air[lane] = self.longest_light_air[lane].max(self.light_air[lane]);
        }
    }

    /// Takes the fuel of a step under power from the tanks of the lanes that motored.
    #[inline(always)]
    fn burn(&mut self, fuel_steps: f64) {
        let fuel_steps = fuel_steps as u32;
        for lane in 0..self.padded() {
            self.powered[lane] += field(self.word[lane], UNDER_POWER);
            self.dry[lane] = if self.powered[lane] >= fuel_steps {
                DRY
            } else {
                0
            };
        }
    }

    /// Moves what the packed fields hold into counts that do not overflow.
    #[inline(always)]
    fn empty_fields(&mut self) {
        for lane in 0..self.live {
            for (kind, count) in self.counts[lane].iter_mut().enumerate() {
                *count += field(self.fields[lane], kind);
            }
            self.fields[lane] = 0;
        }
    }

    /// Writes down the passages that have arrived after `steps` steps, and closes up the lanes.
    fn land(&mut self, steps: u32, finish: u32, first: u32, passages: &mut [Passage]) {
        let mut lane = 0;
        while lane < self.live {
            if self.run[lane] < finish {
                lane += 1;
                continue;
            }
            // Of the last step, only the part up to the end was sailed.
            let spare = f64::from(self.run[lane] - finish) / f64::from(progress(self.word[lane]));
            let hours = (f64::from(steps) - spare) * STEP_HOURS;
            passages[(self.member[lane] - first) as usize] = self.passage(lane, hours, spare);
            self.live -= 1;
            self.move_lane(self.live, lane);
        }
    }

    /// Writes down the passages still at sea when patience ends.
    fn give_up(&mut self, first: u32, passages: &mut [Passage]) {
        for lane in 0..self.live {
            let passage = self.passage(lane, f64::INFINITY, 0.0);
            passages[(self.member[lane] - first) as usize] = passage;
        }
    }

    fn passage(&self, lane: usize, hours: f64, spare: f64) -> Passage {
        let exposure_hours = std::array::from_fn(|kind| {
            let steps = self.counts[lane][kind] + field(self.fields[lane], kind);
            let unsailed = spare * f64::from(field(self.word[lane], kind));
            (f64::from(steps) - unsailed) * STEP_HOURS
        });
        Passage {
            hours,
            exposure_hours,
            gale_spell: field(self.gale_spell[lane], GALE) != 0,
            hard_beat_steps: self.longest_hard_beat[lane],
            light_air_steps: self.longest_light_air[lane],
            dry: self.powered[lane] > 0 && self.dry[lane] == DRY,
        }
    }

    fn move_lane(&mut self, from: usize, to: usize) {
        self.generators.move_lane(from, to);
        self.member[to] = self.member[from];
        self.ahead[to] = self.ahead[from];
        self.abeam[to] = self.abeam[from];
        self.run[to] = self.run[from];
        self.word[to] = self.word[from];
        self.fields[to] = self.fields[from];
        self.counts[to] = self.counts[from];
        self.gale_spell[to] = self.gale_spell[from];
        self.hard_beat[to] = self.hard_beat[from];
        self.longest_hard_beat[to] = self.longest_hard_beat[from];
        self.light_air[to] = self.light_air[from];
        self.longest_light_air[to] = self.longest_light_air[from];
        self.powered[to] = self.powered[from];
        self.dry[to] = self.dry[from];
    }
}
