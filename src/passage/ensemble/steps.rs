//! The model, step by step: a few members side by side through their winds, three hours at a time.
//!
//! Side by side, and each step in two halves, only so that the processor has something to do while one
//! member's table look-up is under way; no member knows of another.

use super::departing::{Departing, depart};
use super::draws::{GaussianPairs, StreamKey};
use super::marks::{Mark, Then};
use super::passages::{Pack, Passage, StagePassage};
use super::sails::{Factor, Met, SailTable, flag, nearest};
use super::track::{Days, Stretch};
use super::weather::{Memory, Weather};
use crate::boat::Boat;
use crate::climate::{ClimateGap, turned_along};
use crate::passage::{ByKind, ExposureKind};

/// How many members go side by side.
pub(super) const ABREAST: usize = 8;
/// The time step, hours.
pub(super) const STEP_HOURS: f64 = 3.0;
pub(super) const DAY_STEPS: usize = 8;
const KINDS: usize = ExposureKind::ALL.len();
/// A passage with more days at sea than this does not arrive.
pub const MOST_DAYS: usize = 400;

// A day's steps of each kind are counted in four bits of one word.
const _: () = assert!(KINDS <= 8 && DAY_STEPS < 16);

/// What all members of a run share.
pub(super) struct Conditions<'a> {
    pub days: Days<'a>,
    /// The places where something is noted, the last of them the end.
    pub marks: &'a [Mark],
    /// How many stages there are.
    pub stages: usize,
    pub sails: &'a SailTable,
    pub pairs: &'a GaussianPairs,
    pub key: StreamKey<'a>,
    pub boat: &'a Boat,
    pub memory: Memory,
    /// How members leave harbour; none where they leave at once and nothing of it is kept.
    pub departing: Option<Departing<'a>>,
}

/// What the crew does at sea.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crew {
    full_fuel_hours: f32,
    motor_below_kn: f32,
    heave_to_kn2: f32,
}

impl Crew {
    fn of(boat: &Boat) -> Self {
        let handling = boat.handling();
        let (full_fuel_hours, motor_below_kn) = match (boat.engine(), handling.motor_below_kn()) {
            (Some(engine), Some(motor_below_kn)) => (
                (engine.fuel_litres() / engine.litres_per_hour()) as f32,
                motor_below_kn as f32,
            ),
            _ => (0.0, f32::NEG_INFINITY),
        };
        Self {
            full_fuel_hours,
            motor_below_kn,
            heave_to_kn2: (handling.heave_to_kn() * handling.heave_to_kn()) as f32,
        }
    }
}

/// One member under way.
#[derive(Clone)]
pub(super) struct Member {
    pub weather: Weather,
    factor: Factor,
    pub run_nm: f32,
    /// The next mark, and where it is.
    pub mark: usize,
    mark_nm: f32,
    /// Where her stage begins: a current does not set her back behind it.
    stage_nm: f32,
    /// Her stage's number, from 0.
    pub stage: usize,
    /// Hours from the departure to the stage's beginning.
    begins_hours: f64,
    /// By how much her own clock is ahead of the steps', hours: she leaves a harbour between two of them.
    ahead_hours: f64,
    /// The step after which her passage has taken too long.
    give_up_step: usize,
    fuel_hours: f32,
    /// Steps with each kind that the wind decides, before today.
    steps: [u32; KINDS],
    /// The same today, four bits a kind.
    today: u32,
    /// What she meets in this step.
    met: Met,
    /// Below this speed under sail she motors, and at this speed.
    motor_below_kn: f32,
    engine_kn: f32,
    powered_hours: f32,
    last: LastStep,
    pub gale_spell: bool,
    pub hard_beat: Spell,
    light_air: Spell,
    dry: bool,
}

/// What a member's last step brought: of it some may lie beyond the end.
#[derive(Clone, Copy, Default)]
struct LastStep {
    run_nm: f32,
    flags: u32,
    powered_hours: f32,
}

/// Steps on end: now, and at most.
#[derive(Clone, Copy, Default)]
pub(super) struct Spell {
    now: u32,
    pub longest: u32,
}

impl Spell {
    #[inline(always)]
    fn note(&mut self, on: u32) {
        self.now = (self.now + 1) * on;
        self.longest = self.longest.max(self.now);
    }
}

/// Sails members `first` to `first + factors.len()`, at most [`ABREAST`] of them, each with the factor
/// on her boat. `MEASURED` where the climate has its own scatter or memory anywhere on the route: what the
/// others need not look up would cost them some per cent.
///
/// # Errors
/// A gap in the climate where and when a passage needs it, and its distance along the route in
/// nautical miles.
pub(super) fn sail<const MEASURED: bool>(
    conditions: &Conditions<'_>,
    first: u64,
    factors: &[f64],
    pack: &mut Pack<'_>,
) -> Result<(), (ClimateGap, f64)> {
    let crew = Crew::of(conditions.boat);
    let (sails, pairs, memory) = (conditions.sails, conditions.pairs, conditions.memory);
    let mut under_way: Vec<(usize, Member)> = Vec::with_capacity(ABREAST);
    let mut in_harbour: Vec<InHarbour> = Vec::new();
    for (place, factor) in factors.iter().enumerate() {
        let number = first + place as u64;
        let weather = Weather::new(conditions.key.stream(number), pairs, memory);
        let mut member = Member::new(weather, Factor::new(*factor), crew, conditions);
        let who = (place, number);
        match depart::<MEASURED>(0, who, *factor, &mut member, (conditions, crew), pack)? {
            0 => under_way.push((place, member)),
            until_step => in_harbour.push(InHarbour {
                until_step,
                number: place,
                member,
            }),
        }
    }

    let mut day = 0;
    while day < conditions.days.count() {
        let stretches = conditions.days.stretches(day);
        for step in 0..DAY_STEPS {
            let now = day * DAY_STEPS + step;
            if !in_harbour.is_empty() {
                put_to_sea(now, &mut in_harbour, &mut under_way);
            }
            for (_, member) in &mut under_way {
                member
                    .meet::<MEASURED>(stretches, sails, crew)
                    .map_err(|index| conditions.days.gap(index, day))?;
            }
            for (_, member) in &mut under_way {
                member.sail(sails);
                member.weather.change(step, pairs, memory);
            }
            // Those that arrive make room; the rest go on.
            let mut place = 0;
            while let Some((number, member)) = under_way.get_mut(place) {
                if member.run_nm < member.mark_nm {
                    place += 1;
                    continue;
                }
                match member.reach(*number, now, crew, conditions, pack) {
                    Reached::GoesOn => place += 1,
                    Reached::Stays { until_step } => {
                        let (number, mut member) = under_way.swap_remove(place);
                        let until_step = depart::<MEASURED>(
                            until_step,
                            (number, first + number as u64),
                            factors[number],
                            &mut member,
                            (conditions, crew),
                            pack,
                        )?;
                        in_harbour.push(InHarbour {
                            until_step,
                            number,
                            member,
                        });
                    }
                    Reached::Ends => {
                        under_way.swap_remove(place);
                    }
                }
            }
        }
        day += 1;
        let mut place = 0;
        while let Some((number, member)) = under_way.get_mut(place) {
            member.count_day();
            if day * DAY_STEPS < member.give_up_step {
                place += 1;
                continue;
            }
            let came = member.came(f64::INFINITY, 0.0);
            pack.note(*number, conditions.stages, member.stage, &came);
            under_way.swap_remove(place);
        }
        if under_way.is_empty() {
            // Days on which all are in harbour pass at once.
            match in_harbour.iter().map(|waiting| waiting.until_step).min() {
                Some(step) => day = step / DAY_STEPS,
                None => break,
            }
        }
    }
    Ok(())
}

/// A member in harbour.
struct InHarbour {
    /// The step with which she sails again.
    until_step: usize,
    number: usize,
    member: Member,
}

/// What became of a member at a mark.
enum Reached {
    GoesOn,
    Stays { until_step: usize },
    Ends,
}

/// Those whose time has come leave harbour.
fn put_to_sea(now: usize, in_harbour: &mut Vec<InHarbour>, under_way: &mut Vec<(usize, Member)>) {
    let mut place = 0;
    while let Some(waiting) = in_harbour.get(place) {
        if waiting.until_step > now {
            place += 1;
            continue;
        }
        let waiting = in_harbour.swap_remove(place);
        under_way.push((waiting.number, waiting.member));
    }
}

impl Member {
    fn new(weather: Weather, factor: Factor, crew: Crew, conditions: &Conditions<'_>) -> Self {
        Self {
            weather,
            factor,
            run_nm: 0.0,
            mark: 0,
            mark_nm: conditions.marks[0].run_nm,
            stage_nm: 0.0,
            stage: 0,
            begins_hours: 0.0,
            ahead_hours: 0.0,
            give_up_step: MOST_DAYS * DAY_STEPS,
            fuel_hours: crew.full_fuel_hours,
            steps: [0; KINDS],
            today: 0,
            met: Met::default(),
            motor_below_kn: f32::NEG_INFINITY,
            engine_kn: 0.0,
            powered_hours: 0.0,
            last: LastStep::default(),
            gale_spell: false,
            hard_beat: Spell::default(),
            light_air: Spell::default(),
            dry: false,
        }
    }

    /// Meets the wind and current of a day's stretches where she is, and gives the wind's parts from ahead
    /// and from port, knots.
    ///
    /// # Errors
    /// The number of her stretch, where it has no wind.
    #[inline(always)]
    pub fn meet<const MEASURED: bool>(
        &mut self,
        stretches: &[Stretch],
        sails: &SailTable,
        crew: Crew,
    ) -> Result<[f32; 2], usize> {
        let index = nearest(Days::stretch_place(self.run_nm), stretches.len() - 1);
        let here = &stretches[index];
        let ([east, slow_east], [north, slow_north]) = (here.east, here.north);
        let weather = &mut self.weather;
        let u = here.wind[0] + east * weather.fast[0] + slow_east * weather.slow[0];
        let mut v = here.wind[1] + north * weather.fast[1] + slow_north * weather.slow[1];
        if MEASURED {
            let [fast, slow] = here.north_with_east;
            v += fast * weather.fast[0] + slow * weather.slow[0];
            weather.kept = here.kept;
        }
        if u.is_nan() {
            return Err(index);
        }
        let [ahead_kn, port_kn] = turned_along([u, v], here.course);
        self.met = sails.meet(ahead_kn, port_kn, here.current);
        self.motor_below_kn = if ahead_kn * ahead_kn + port_kn * port_kn < crew.heave_to_kn2 {
            crew.motor_below_kn
        } else {
            f32::NEG_INFINITY
        };
        self.engine_kn = here.engine_kn;
        Ok([ahead_kn, port_kn])
    }

    /// Sails a step in what she meets, and gives its flags.
    #[inline(always)]
    pub fn sail(&mut self, sails: &SailTable) -> u32 {
        let sailing = sails.at(self.met, self.factor);
        // Under power for the part of the step that there is fuel for.
        let wanted = sailing.water_kn < self.motor_below_kn.min(self.engine_kn);
        let powered_hours = self.fuel_hours.min(f32::from(wanted) * STEP_HOURS as f32);
        let share = powered_hours * (1.0 / STEP_HOURS as f32);
        self.fuel_hours -= powered_hours;
        self.dry |= wanted & (share < 1.0);
        let water_kn = sailing.water_kn + share * (self.engine_kn - sailing.water_kn);
        self.go(STEP_HOURS as f32 * (water_kn + self.met.along_kn));
        self.note(sailing.flags, powered_hours);
        sailing.flags
    }

    /// Has so many hours of fuel.
    pub fn fill_tanks(&mut self, fuel_hours: f32) {
        self.fuel_hours = fuel_hours;
    }

    /// Begins her stage so many days later.
    pub fn stay_on(&mut self, days: usize) {
        self.begins_hours += (24 * days) as f64;
        self.give_up_step += days * DAY_STEPS;
    }

    /// A step's run; a current may set her back, but not behind where her stage begins.
    #[inline(always)]
    fn go(&mut self, run_nm: f32) {
        self.last.run_nm = run_nm;
        self.run_nm = (self.run_nm + run_nm).max(self.stage_nm);
    }

    /// Counts what a step has met.
    #[inline(always)]
    fn note(&mut self, flags: u32, powered_hours: f32) {
        self.today += flags;
        self.gale_spell |= flag(flags & self.last.flags, ExposureKind::Gale) != 0;
        self.hard_beat.note(flag(flags, ExposureKind::HardBeat));
        self.light_air.note(flag(flags, ExposureKind::LightAir));
        self.powered_hours += powered_hours;
        (self.last.flags, self.last.powered_hours) = (flags, powered_hours);
    }

    /// Adds today's steps to those before.
    pub fn count_day(&mut self) {
        for (kind, steps) in self.steps.iter_mut().enumerate() {
            *steps += (self.today >> (4 * kind)) & 15;
        }
        self.today = 0;
    }

    /// What she does at the marks that she has reached in the step with this number.
    fn reach(
        &mut self,
        number: usize,
        step: usize,
        crew: Crew,
        conditions: &Conditions<'_>,
        pack: &mut Pack<'_>,
    ) -> Reached {
        let marks = conditions.marks;
        while self.run_nm >= self.mark_nm {
            // Two marks may be nearer to each other than a number can tell.
            let beyond = if self.last.run_nm > 0.0 {
                f64::from((self.run_nm - self.mark_nm) / self.last.run_nm)
            } else {
                1.0
            };
            let clock_hours = STEP_HOURS * (step as f64 + 1.0 - beyond) + self.ahead_hours;
            if !pack.reached_hours.is_empty() {
                pack.reached_hours[number * marks.len() + self.mark] = clock_hours;
            }
            let then = marks[self.mark].then;
            if then != Then::GoOn {
                self.count_day();
                let came = self.came(clock_hours - self.begins_hours, beyond);
                pack.note(number, conditions.stages, self.stage, &came);
            }
            match then {
                Then::GoOn => self.head_for(self.mark + 1, conditions),
                Then::Stay {
                    least_hours,
                    not_before_hours,
                    refuels,
                } => {
                    if refuels {
                        self.fuel_hours = crew.full_fuel_hours;
                    }
                    let leaves_hours = (clock_hours + least_hours).max(not_before_hours);
                    let until_step = self.leave(leaves_hours, step, crew, conditions);
                    return Reached::Stays { until_step };
                }
                Then::End => return Reached::Ends,
            }
        }
        Reached::GoesOn
    }

    fn head_for(&mut self, mark: usize, conditions: &Conditions<'_>) {
        self.mark = mark;
        self.mark_nm = conditions.marks[mark].run_nm;
    }

    /// Begins the stage after the mark she stays at, and gives the step with which she sails. Her wind's
    /// memory and her spells begin anew. `step` is the one she arrived in: where she leaves before it is
    /// over, her clock is behind that of the steps.
    fn leave(
        &mut self,
        leaves_hours: f64,
        step: usize,
        crew: Crew,
        conditions: &Conditions<'_>,
    ) -> usize {
        let until_step = ((leaves_hours / STEP_HOURS) as usize).max(step + 1);
        let steps_left = self.give_up_step.saturating_sub(step + 1);
        let weather = self.weather.anew(conditions.pairs, conditions.memory);
        *self = Self {
            run_nm: self.mark_nm,
            stage_nm: self.mark_nm,
            mark: self.mark,
            stage: self.stage + 1,
            begins_hours: leaves_hours,
            ahead_hours: leaves_hours - STEP_HOURS * until_step as f64,
            give_up_step: until_step + steps_left,
            fuel_hours: self.fuel_hours,
            ..Self::new(weather, self.factor, crew, conditions)
        };
        self.head_for(self.mark + 1, conditions);
        until_step
    }

    /// What came of the stage after so many hours at sea; `beyond` is the share of its last step after the
    /// end.
    fn came(&self, hours: f64, beyond: f64) -> StagePassage {
        let exposure_hours = ByKind::of(|kind| match kind {
            ExposureKind::UnderPower => {
                f64::from(self.powered_hours) - beyond * f64::from(self.last.powered_hours)
            }
            kind => {
                let last = f64::from(flag(self.last.flags, kind));
                STEP_HOURS * (f64::from(self.steps[kind as usize]) - beyond * last)
            }
        });
        StagePassage {
            begins_hours: self.begins_hours,
            passage: Passage {
                hours,
                exposure_hours,
                gale_spell: self.gale_spell,
                hard_beat_steps: self.hard_beat.longest,
                light_air_steps: self.light_air.longest,
                dry: self.dry,
            },
        }
    }
}
