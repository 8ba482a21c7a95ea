//! From an ensemble of passages along a route to what the stores are told of it.

use jiff::ToSpan;
use jiff::civil::Date;

use super::outcome::{
    DaysAndLitres, MEDIAN_PERCENT, MemberOutcome, PassageOutcome, ThresholdTrial, TrackDay,
    percentile_of,
};
use super::stages::{StageOutcome, summed, until_had};
use crate::boat::{Boat, Engine, ranges};
use crate::climate::{Climate, SeasonDay};
use crate::passage::{
    Ensemble, EnsembleOptions, EnsembleRunner, ExpectedPassage, MedianPassage, MemberPassage,
    MemberStage, PassageError,
};
use crate::route::{Goods, Route};

/// The motoring thresholds that are tried beside the voyage's own, knots; never motoring as well.
const THRESHOLDS_KN: [f64; 5] = [1.0, 1.5, 2.0, 2.5, 3.0];
/// The most members of an ensemble at another threshold: it is to compare by, not to load by.
const TRIAL_MEMBERS: usize = 500;

/// What the stores are told of `route`, from its `ensemble` and its `walk` on the mean wind, none where
/// that stalls. The track is the median passage's; it is empty where half of the passages do not arrive.
///
/// # Errors
/// A gap in the climate at midday of one of the track's days.
pub fn passage_outcome(
    route: &Route,
    walk: Option<&ExpectedPassage>,
    ensemble: &Ensemble,
    climate: &Climate,
    thresholds: Vec<ThresholdTrial>,
) -> Result<PassageOutcome, PassageError> {
    let mut track = Vec::new();
    let mut air_c = Vec::new();
    let ends_nm: Vec<f64> = route.stages().iter().map(|stage| stage.end_nm).collect();
    let mut stages = stages(route, ensemble);
    let mut stages_air_c = vec![Vec::new(); stages.len()];
    let median = MedianPassage::of(route, walk, ensemble);
    let middays = median.iter().flat_map(|median| {
        let days = median.hours() / 24.0;
        (0..days.ceil() as i32).map(move |day| {
            // The last day ends with the passage.
            let sea_hours = 24.0 * (f64::from(day) + 0.5).min(days);
            let run_nm = median.run_nm_after(sea_hours);
            let harbour_hours = median.arrives_hours(run_nm) - median.hours_to(run_nm);
            let date_after = i64::from(day) + (harbour_hours / 24.0).round() as i64;
            (date_after, sea_hours + harbour_hours, run_nm)
        })
    });
    for (day, hours, run_nm) in middays {
        let Some((_, here)) = route.at_nm(run_nm) else {
            break;
        };
        let season = SeasonDay::from_date(ensemble.departure).plus_hours(hours);
        let local = climate
            .at(here.position, season)
            .map_err(|gap| PassageError::Gap {
                route: route.name().to_owned(),
                run_nm,
                gap,
            })?;
        air_c.extend(local.air_temperature_c);
        let on_stage = ends_nm.iter().position(|end_nm| run_nm <= *end_nm);
        if let Some(stage) = on_stage.and_then(|stage| stages_air_c.get_mut(stage)) {
            stage.extend(local.air_temperature_c);
        }
        track.push(TrackDay {
            date: ensemble.departure.saturating_add(day.days()),
            latitude_deg: here.position.latitude_deg(),
            longitude_deg: here.position.longitude_deg(),
            mean_wind_ms: local.wind.mean_speed_ms(),
        });
    }
    for (stage, air_c) in stages.iter_mut().zip(stages_air_c) {
        stage.air_temperature_c = mean(&air_c);
    }
    Ok(PassageOutcome {
        route: route.name().to_owned(),
        members: ensemble.each_member().iter().map(Into::into).collect(),
        mean_air_temperature_c: mean(&air_c),
        track,
        thresholds,
        start: route.waypoints()[0].name.clone(),
        stages,
    })
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Every stage of a route with stops, with each member's days in harbour after it; none without.
fn stages(route: &Route, ensemble: &Ensemble) -> Vec<StageOutcome> {
    let count = ensemble.stages.len();
    let each = ensemble.each_stage();
    let stages = route.stages().into_iter().take(count).enumerate();
    stages
        .map(|(index, stage)| {
            let on_it = each.iter().skip(index).step_by(count);
            let next = each.iter().skip(index + 1).step_by(count);
            let next = next.map(Some).chain(std::iter::once(None));
            StageOutcome {
                from: stage.from.to_owned(),
                to: stage.to.to_owned(),
                resupply: stage.stop.map_or(Vec::new(), |stop| stop.resupply.clone()),
                members: on_it
                    .zip(next)
                    .map(|(member, next)| {
                        let next = next.filter(|_| index + 1 < count);
                        staged(member, next)
                    })
                    .collect(),
                air_temperature_c: None,
            }
        })
        .collect()
}

/// A member's stage with the stay after it.
fn staged(member: &MemberStage, next: Option<&MemberStage>) -> MemberOutcome {
    let leaves = next.and_then(|next| next.begins_hours);
    let stay_hours = leaves
        .zip(member.arrives_hours())
        .map(|(leaves, arrives)| leaves - arrives);
    MemberOutcome {
        days: member
            .begins_hours
            .and(member.hours)
            .map(|hours| hours / 24.0),
        motor_hours: member.under_power_hours,
        gale_hours: member.gale_hours,
        hard_beat_hours: member.hard_beat_hours,
        ran_dry: member.ran_dry,
        // Hours summed apart may differ in their last bits.
        harbour_days: stay_hours.map_or(0.0, |hours| (hours / 24.0).max(0.0)),
    }
}

impl From<&MemberPassage> for MemberOutcome {
    fn from(member: &MemberPassage) -> Self {
        Self {
            days: member.hours.map(|hours| hours / 24.0),
            motor_hours: member.under_power_hours,
            gale_hours: member.gale_hours,
            hard_beat_hours: member.hard_beat_hours,
            ran_dry: member.ran_dry,
            harbour_days: 0.0,
        }
    }
}

/// Each route's days and diesel at other motoring thresholds, in the order of `routes`: never,
/// 1 to 3 kn by halves and the voyage's own, as if the boat had all the diesel she asks for. Thresholds
/// above her speed under power are left out; without an engine there are none. Days and litres are
/// those of the median and of `percent` of the passages; where diesel is had on the way, those from one
/// place to the next that ask most.
///
/// # Errors
/// A gap in the climate where and when a passage needs it.
pub fn threshold_trials(
    boat: &Boat,
    routes: &[Route],
    climate: &Climate,
    departure: Date,
    options: &EnsembleOptions,
    percent: f64,
) -> Result<Vec<Vec<ThresholdTrial>>, PassageError> {
    let mut trials = vec![Vec::new(); routes.len()];
    let Some(engine) = boat.engine() else {
        return Ok(trials);
    };
    let options = EnsembleOptions {
        members: options.members.min(TRIAL_MEMBERS),
        ..*options
    };
    let own_kn = boat.handling().motor_below_kn();
    let mut thresholds_kn: Vec<f64> = THRESHOLDS_KN.into_iter().chain(own_kn).collect();
    thresholds_kn.sort_by(f64::total_cmp);
    thresholds_kn.dedup();
    let runner = EnsembleRunner::new(boat, routes, climate, options);
    for motor_below_kn in std::iter::once(None).chain(thresholds_kn.into_iter().map(Some)) {
        let Some(boat) = with_threshold(boat, engine, motor_below_kn) else {
            continue;
        };
        for (index, trials) in trials.iter_mut().enumerate() {
            let ensemble = runner.run_handled(index, departure, &boat)?;
            let tankfuls = tankfuls(&routes[index], &ensemble);
            let of = |members: &Vec<MemberOutcome>, percent| {
                Some(DaysAndLitres {
                    days: percentile_of(members, percent, |_, days| days)?,
                    litres: percentile_of(members, percent, |member, _| {
                        member.motor_hours * engine.litres_per_hour()
                    })?,
                })
            };
            let at = |percent| {
                let each: Option<Vec<DaysAndLitres>> = tankfuls
                    .iter()
                    .map(|members| of(members, percent))
                    .collect();
                let most = |a: &DaysAndLitres, b: &DaysAndLitres| {
                    a.litres
                        .total_cmp(&b.litres)
                        .then(a.days.total_cmp(&b.days))
                };
                each?.into_iter().max_by(most)
            };
            trials.push(ThresholdTrial {
                motor_below_kn,
                p50: at(MEDIAN_PERCENT),
                chosen: at(percent),
            });
        }
    }
    Ok(trials)
}

/// What every member does on one filling of the tanks, for each filling.
fn tankfuls(route: &Route, ensemble: &Ensemble) -> Vec<Vec<MemberOutcome>> {
    let stages = stages(route, ensemble);
    if stages.is_empty() {
        return vec![ensemble.each_member().iter().map(Into::into).collect()];
    }
    let fillings = until_had(&stages, Goods::Diesel);
    fillings
        .into_iter()
        .map(|range| summed(&stages[range]))
        .collect()
}

/// The boat with another threshold and all the diesel she asks for; none where the threshold is above
/// her speed under power.
fn with_threshold(boat: &Boat, engine: &Engine, motor_below_kn: Option<f64>) -> Option<Boat> {
    let (speed_kn, burn) = (engine.motor_speed_kn(), engine.litres_per_hour());
    let engine = Engine::new(speed_kn, burn, ranges::FUEL.max).ok()?;
    let handling = boat.handling().with_motor_below(motor_below_kn).ok()?;
    boat.handled(Some(engine), handling).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voyage::Voyage;

    /// How far two positions of one instant may be apart, degrees.
    const SAME_PLACE_DEG: f64 = 1e-9;

    #[test]
    fn the_track_is_the_median_passage_day_by_day() {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        let route = &voyage.routes[0];
        let options = EnsembleOptions {
            members: 50,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        let ensemble = runner.run(0, voyage.departure).unwrap();
        let walk = voyage.walk(route, &climate).unwrap().arrives();
        let outcome =
            passage_outcome(route, walk.as_ref(), &ensemble, &climate, Vec::new()).unwrap();
        outcome.validate().unwrap();
        let median_days = ensemble.days_at(0.5).unwrap();
        assert_eq!(outcome.track.len() as f64, median_days.ceil());
        assert_eq!(outcome.track[0].date, voyage.departure);
        let median = MedianPassage::of(route, walk.as_ref(), &ensemble).unwrap();
        let (_, noon) = route.at_nm(median.run_nm_after(36.0)).unwrap();
        let second = outcome.track[1];
        assert!((second.latitude_deg - noon.position.latitude_deg()).abs() < SAME_PLACE_DEG);
        assert!((second.longitude_deg - noon.position.longitude_deg()).abs() < SAME_PLACE_DEG);
        assert_eq!(outcome.members.len(), 50);
        let (member, passage) = (outcome.members[7], ensemble.each_member()[7]);
        assert_eq!(member.days, passage.hours.map(|hours| hours / 24.0));
        let mut days: Vec<f64> = outcome
            .members
            .iter()
            .filter_map(|member| member.days)
            .collect();
        days.sort_by(f64::total_cmp);
        assert_eq!(
            days,
            ensemble.sorted_days(),
            "the members are those of the spread"
        );
    }

    #[test]
    fn without_an_engine_no_threshold_is_tried() {
        let mut voyage = Voyage::demo().unwrap();
        let never = voyage.boat.handling().with_motor_below(None).unwrap();
        voyage.boat = voyage.boat.handled(None, never).unwrap();
        let climate = voyage.open_climate().unwrap();
        let trials = threshold_trials(
            &voyage.boat,
            &voyage.routes,
            &climate,
            voyage.departure,
            &EnsembleOptions::default(),
            90.0,
        )
        .unwrap();
        assert_eq!(trials, vec![Vec::new(); 2]);
    }
}
