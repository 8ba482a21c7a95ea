//! Leaving harbour: at once, or when the forecast promises what the crew asks for.

use super::marks::Then;
use super::passages::Pack;
use super::sails::flag;
use super::steps::{Conditions, Crew, DAY_STEPS, Member, STEP_HOURS};
use super::weather::Weather;
use crate::boat::WaitForWeather;
use crate::climate::ClimateGap;
use crate::passage::ExposureKind;
use crate::passage::exposure::HEADWIND_OFF_DEG;

/// The first days at sea, which are told by themselves.
pub(super) const FIRST_DAYS: usize = 3;

/// How the members of a run leave harbour, where that is looked at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Departing<'a> {
    pub crew: &'a WaitForWeather,
    /// For each stage the mean progress of those who leave it at once over the days of the forecast,
    /// knots, for a boat of factor 1; none for members who leave at once themselves.
    pub usual_kn: Option<&'a [f64]>,
}

/// How one member began a stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Start {
    pub waited_days: usize,
    /// Whether she left with a forecast that did not promise what the crew asked for.
    pub gave_up: bool,
    /// Her progress over the days of the forecast, or to the stage's end if that is nearer, knots.
    pub progress_kn: f64,
    /// The first three days.
    pub first: Ahead,
}

/// What lies ahead of a member who leaves.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Ahead {
    /// Mean speed along the course, knots.
    pub progress_kn: f64,
    /// The strongest headwind, knots; 0 without any.
    pub headwind_kn: f64,
    /// Hours of headwind of 20 kn or more.
    pub hard_beat_hours: f64,
    /// Whether that lasts for two steps, six hours, on end.
    pub hard_beat_spell: bool,
    /// The same of a gale.
    pub gale_spell: bool,
}

/// Has a member who is ready to sail with the step numbered `ready_step` wait for weather, notes how she
/// leaves and gives the step she sails with. `place` is hers in the pack, `member` her number among all.
///
/// # Errors
/// As [`super::steps::sail`].
pub(super) fn depart<const MEASURED: bool>(
    ready_step: usize,
    (place, number): (usize, u64),
    factor: f64,
    member: &mut Member,
    (conditions, crew): (&Conditions<'_>, Crew),
    pack: &mut Pack<'_>,
) -> Result<usize, (ClimateGap, f64)> {
    let Some(departing) = conditions.departing else {
        return Ok(ready_step);
    };
    let forecast_hours = departing.crew.forecast_days() * 24.0;
    let forecast_steps = (forecast_hours / STEP_HOURS).round() as usize;
    let mut from_step = ready_step;
    let mut waited_days = 0;
    let gave_up = loop {
        let Some(usual_kn) = departing.usual_kn else {
            break false;
        };
        let errors = conditions
            .key
            .forecast_errors(number, member.stage, waited_days);
        let errors = Weather::at_any_step(errors, conditions.pairs, conditions.memory);
        let coming = ahead::<MEASURED>(
            member,
            from_step,
            forecast_steps,
            (conditions, crew),
            Some(errors),
        )?;
        let least_kn = departing.crew.progress_share() * usual_kn[member.stage] * factor;
        if coming.headwind_kn < departing.crew.headwind_below_kn() && coming.progress_kn >= least_kn
        {
            break false;
        }
        if waited_days == departing.crew.most_days() {
            break true;
        }
        if MEASURED {
            // The wind in harbour lasts as it does there.
            let day = from_step / DAY_STEPS;
            let stretches = conditions.days.stretches(day);
            member
                .meet::<MEASURED>(stretches, conditions.sails, crew)
                .map_err(|index| conditions.days.gap(index, day))?;
        }
        let (pairs, memory) = (conditions.pairs, conditions.memory);
        member.weather.change_for_a_day(from_step, pairs, memory);
        waited_days += 1;
        from_step += DAY_STEPS;
    };
    member.stay_on(waited_days);
    let progress_kn =
        ahead::<MEASURED>(member, from_step, forecast_steps, (conditions, crew), None)?.progress_kn;
    pack.starts[place * conditions.stages + member.stage] = Some(Start {
        waited_days,
        gave_up,
        progress_kn,
        first: ahead::<MEASURED>(
            member,
            from_step,
            FIRST_DAYS * DAY_STEPS,
            (conditions, crew),
            None,
        )?,
    });
    Ok(from_step)
}

/// What lies ahead of a member who leaves with the step numbered `from_step`, over so many steps or to the
/// end of her stage: as it comes, or as a forecast with such errors has it. Her tanks decide nothing.
fn ahead<const MEASURED: bool>(
    member: &Member,
    from_step: usize,
    steps: usize,
    (conditions, crew): (&Conditions<'_>, Crew),
    mut errors: Option<Weather>,
) -> Result<Ahead, (ClimateGap, f64)> {
    let mut ship = member.clone();
    ship.fill_tanks(f32::INFINITY);
    let mut truth = ship.weather.clone();
    let ends = conditions.marks[member.mark..].iter();
    let mut ends = ends.filter(|mark| mark.then != Then::GoOn);
    let end_nm = ends.next().map_or(f32::INFINITY, |mark| mark.run_nm);
    let (mut sailed, mut hard_beat_steps) = (0, 0);
    // A headwind's part from ahead is more than this share of it.
    let ahead_share = HEADWIND_OFF_DEG.to_radians().cos() as f32;
    let mut headwind_kn = 0.0_f32;
    while sailed < steps && ship.run_nm < end_nm {
        let now = from_step + sailed;
        let (day, step) = (now / DAY_STEPS, now % DAY_STEPS);
        [ship.weather.fast, ship.weather.slow] = match &errors {
            None => [truth.fast, truth.slow],
            Some(errors) => {
                let skill = conditions.departing.map_or(1.0, |departing| {
                    departing.crew.skill().at(sailed as f64 * STEP_HOURS)
                });
                truth.forecast(skill as f32, errors)
            }
        };
        let stretches = conditions.days.stretches(day);
        let [ahead_kn, port_kn] = ship
            .meet::<MEASURED>(stretches, conditions.sails, crew)
            .map_err(|index| conditions.days.gap(index, day))?;
        let speed_kn = ahead_kn.hypot(port_kn);
        if ahead_kn > ahead_share * speed_kn {
            headwind_kn = headwind_kn.max(speed_kn);
        }
        let flags = ship.sail(conditions.sails);
        hard_beat_steps += flag(flags, ExposureKind::HardBeat);
        // A day's count has room for a day.
        ship.count_day();
        truth.kept = ship.weather.kept;
        truth.change(step, conditions.pairs, conditions.memory);
        if let Some(errors) = &mut errors {
            errors.kept = truth.kept;
            errors.change(step, conditions.pairs, conditions.memory);
        }
        sailed += 1;
    }
    // Where her stage ends as it begins nothing lies ahead.
    let hours = (sailed.max(1)) as f64 * STEP_HOURS;
    Ok(Ahead {
        progress_kn: f64::from(ship.run_nm - member.run_nm) / hours,
        headwind_kn: f64::from(headwind_kn),
        hard_beat_hours: f64::from(hard_beat_steps) * STEP_HOURS,
        hard_beat_spell: ship.hard_beat.longest > 1,
        gale_spell: ship.gale_spell,
    })
}
