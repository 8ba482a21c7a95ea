//! The expected passage: the mean progress in each segment, at the season the boat is there.

use jiff::SignedDuration;
use jiff::civil::{Date, DateTime};
use schemars::JsonSchema;
use serde::Serialize;

use super::PassageError;
use super::exposure::{
    AirTemperature, CurrentHere, Exposure, ExposureKind, Means, Tally, developed_wave_height_m,
};
use super::hard_times::HardTimes;
use super::measured::{CountedBesideModel, MeasuredHere};
use super::wind_nodes::WindNodes;
use crate::boat::{Boat, CourseCurrent, CourseWind};
use crate::climate::{Climate, LocalClimate, Month, SeasonDay, Wind, WindScatter, turned_along};
use crate::geodesy::{LegKind, Position, Step, magnetic_variation_deg};
use crate::route::{Goods, Leg, Route};
use crate::units::{Course, KN_PER_MS, MS_PER_KN};

/// Below this mean progress, in knots, the boat is said to stall: a segment of the usual 60 nm
/// would take seven weeks.
pub const STALL_BELOW_KN: f64 = 0.05;

/// How a walk along a route ends.
#[derive(Debug, Clone)]
pub enum Walk {
    /// The boat arrives.
    Arrives(Box<ExpectedPassage>),
    /// The boat makes next to no progress somewhere, and the walk ends there.
    Stalls(Stall),
}

impl Walk {
    /// The passage; none where she stalls.
    pub fn arrives(self) -> Option<ExpectedPassage> {
        match self {
            Self::Arrives(passage) => Some(*passage),
            Self::Stalls(_) => None,
        }
    }
}

/// Where and when a boat stalled.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Stall {
    /// The leg's number on its route, from 1.
    pub leg: usize,
    /// Where.
    pub position: Position,
    /// The day, UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub date: Date,
}

/// A passage by the mean progress along it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct ExpectedPassage {
    /// Distance over the ground, nautical miles.
    pub distance_nm: f64,
    /// Days under way: at sea, without those in harbour.
    pub days: f64,
    /// Days in harbour at all stops; none for a route without.
    pub in_harbour_days: Option<f64>,
    /// When it ends, UTC.
    #[schemars(with = "String")]
    pub arrival: DateTime,
    /// Distance over time under way, knots.
    pub mean_speed_kn: f64,
    /// What is met, as shares of the time.
    pub exposure: Exposure,
    /// Diesel burnt under power, litres; none without an engine.
    pub litres: Option<f64>,
    /// Air temperature, degrees Celsius; none where the climate has none.
    pub air_temperature_c: Option<AirTemperature>,
    /// Mean significant height of a fully developed sea, metres: an upper estimate.
    pub wave_height_m: f64,
    /// Mean significant wave height as measured, metres; none where the climate has none for nine tenths
    /// of the time.
    pub measured_wave_height_m: Option<f64>,
    /// Gales and calms as counted; none where the climate has none for nine tenths of the time.
    pub counted: Option<CountedBesideModel>,
    /// Share of the time on wind data that were replaced, 0 to 1; none where the climate does not
    /// say.
    pub replaced_share: Option<f64>,
    /// The current along the track.
    #[serde(flatten)]
    pub current: CurrentMet,
    /// Each leg by itself.
    pub legs: Vec<ExpectedLeg>,
    /// Each stop, in the order they are made; empty for a route without.
    pub stops: Vec<ExpectedStop>,
    /// Each segment by itself, from the start to the end.
    #[serde(skip)]
    pub segments: Vec<ExpectedSegment>,
}

/// One segment of an expected passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedSegment {
    /// From the route's start to the segment's, in nautical miles.
    pub start_nm: f64,
    /// Its length, in nautical miles.
    pub length_nm: f64,
    /// Hours at sea from the route's start to the segment's.
    pub start_hours: f64,
    /// Hours in harbour before it.
    pub harbour_hours: f64,
    /// Hours on the segment.
    pub hours: f64,
    /// Shares of the segment's time.
    pub exposure: Exposure,
    /// The climate of its midpoint, when the boat enters it.
    pub(super) local: LocalClimate,
    /// The current there; none where no currents are reckoned with.
    pub(super) met: Option<CurrentHere>,
    /// What was measured there.
    pub(super) measured: MeasuredHere,
}

/// One stop of an expected passage.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct ExpectedStop {
    /// The waypoint's name.
    pub at: String,
    /// The number, from 1, of the leg that ends there.
    pub after_leg: usize,
    /// When she arrives, UTC.
    #[schemars(with = "String")]
    pub arrives: DateTime,
    /// When she leaves, UTC.
    #[schemars(with = "String")]
    pub leaves: DateTime,
    /// Days between the two.
    pub days: f64,
}

/// One leg of an expected passage.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct ExpectedLeg {
    /// Its number on its route, from 1.
    pub number: usize,
    /// The waypoint it leaves.
    pub from: String,
    /// The waypoint it reaches.
    pub to: String,
    /// The line sailed.
    pub kind: LegKind,
    /// The day it begins, UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub begins: Date,
    /// The day it ends, UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub ends: Date,
    /// Where it begins.
    pub start: Position,
    /// Where it ends.
    pub end: Position,
    /// Course at departure, degrees true.
    #[serde(rename = "departure_course_deg")]
    pub departure_course: Course,
    /// Course at arrival, degrees true.
    #[serde(rename = "arrival_course_deg")]
    pub arrival_course: Course,
    /// Course at departure, degrees magnetic; none where the magnetic model does not cover the date.
    #[serde(rename = "departure_course_magnetic_deg")]
    pub departure_course_magnetic: Option<Course>,
    /// Course at arrival, degrees magnetic; none where the magnetic model does not cover the date.
    #[serde(rename = "arrival_course_magnetic_deg")]
    pub arrival_course_magnetic: Option<Course>,
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// Days on the leg.
    pub days: f64,
    /// Days at sea from the route's start to the leg's end.
    pub elapsed_days: f64,
    /// Distance over time on the leg, knots.
    pub mean_speed_kn: f64,
    /// The wind, averaged over the time on the leg.
    pub wind: LegWind,
    /// What is met, as shares of the leg's time.
    pub exposure: Exposure,
    /// Air temperature, degrees Celsius; none where the climate has none.
    pub air_temperature_c: Option<AirTemperature>,
    /// Mean significant height of a fully developed sea, metres: an upper estimate.
    pub wave_height_m: f64,
    /// Mean significant wave height as measured, metres; none where the climate has none for nine tenths
    /// of the time.
    pub measured_wave_height_m: Option<f64>,
    /// Significant height of a fully developed sea of the wind not exceeded 95 % of the time, metres: an
    /// upper estimate, for such a wind seldom lasts long enough to raise it.
    pub wave_height_p95_m: f64,
    /// Hours of dark a day, the sun more than 0.833 degrees below the horizon; twilight counts as dark.
    /// The mean over the leg.
    pub dark_hours_per_day: f64,
    /// Share of the leg's time on wind data that were replaced, 0 to 1; none where the climate does
    /// not say.
    pub replaced_share: Option<f64>,
    /// Where the mean current over the time on the leg sets, degrees true; none where there is none.
    pub current_set_deg: Option<f64>,
    /// Its drift, knots; none where no currents are reckoned with.
    pub current_drift_kn: Option<f64>,
    /// The current along the leg.
    #[serde(flatten)]
    pub current: CurrentMet,
}

/// The current on the way, averaged over the time; every figure none where no currents are reckoned
/// with.
#[derive(Debug, Clone, Copy, PartialEq, Default, JsonSchema, Serialize)]
pub struct CurrentMet {
    /// Its mean part along the track, knots, negative against it; unknown currents count as none.
    pub current_along_kn: Option<f64>,
    /// Share of the time where nothing is known of the current, 0 to 1.
    pub current_unknown_share: Option<f64>,
    /// Share of the time where it turns with the monsoon and is not applied, 0 to 1.
    pub current_monsoon_share: Option<f64>,
}

impl CurrentMet {
    fn of(mean: Option<CurrentHere>) -> Self {
        Self {
            current_along_kn: mean.map(|here| here.along_kn),
            current_unknown_share: mean.map(|here| here.basis.unknown),
            current_monsoon_share: mean.map(|here| here.basis.monsoon),
        }
    }
}

/// The wind on a leg, averaged over the time on it.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct LegWind {
    /// Where the mean vector comes from, degrees true.
    pub from_deg: f64,
    /// Mean speed whatever the direction, knots.
    pub mean_speed_kn: f64,
    /// Size of the mean vector, knots.
    pub vector_mean_speed_kn: f64,
    /// Standard deviation of each component, knots: the root of its mean square over the time.
    pub standard_deviation_kn: f64,
    /// Speed not exceeded 95 % of the time, knots: the winds of all the leg's segments mixed by their
    /// hours.
    pub p95_speed_kn: f64,
}

impl LegWind {
    pub(super) fn of(means: &Means, hard_times: &HardTimes) -> Self {
        Self {
            from_deg: means.wind.direction().deg(),
            mean_speed_kn: means.mean_speed_kn,
            vector_mean_speed_kn: means.wind.vector_mean_speed_ms() * KN_PER_MS,
            standard_deviation_kn: means.wind.s_ms * KN_PER_MS,
            p95_speed_kn: hard_times.wind_p95_kn(),
        }
    }
}

/// A course in degrees magnetic; none where the magnetic model does not cover the date.
pub(super) fn magnetic(course: Course, place: Position, date: Date) -> Option<Course> {
    let variation_deg = magnetic_variation_deg(place, date)?;
    Some(Course::from_deg(course.deg() - variation_deg))
}

impl ExpectedPassage {
    /// How far along the route the boat is `hours` after the departure, those in harbour counted, in
    /// nautical miles, at an even pace within each segment; none before the start or after the end.
    pub fn run_nm_after(&self, hours: f64) -> Option<f64> {
        let next = self
            .segments
            .partition_point(|segment| segment.begins_hours() <= hours);
        let segment = self.segments.get(next.checked_sub(1)?)?;
        let share = (hours - segment.begins_hours()) / segment.hours;
        // After a segment's end and before the next's beginning she is in harbour between the two.
        let is_in_harbour = share > 1.0 && next < self.segments.len();
        let share = if is_in_harbour { 1.0 } else { share };
        (share <= 1.0).then_some(segment.start_nm + share * segment.length_nm)
    }

    /// Days from departure to arrival, those in harbour counted.
    pub fn whole_days(&self) -> f64 {
        self.days + self.in_harbour_days.unwrap_or(0.0)
    }
}

impl ExpectedSegment {
    /// Hours from the departure to the segment's start, those in harbour counted.
    pub fn begins_hours(&self) -> f64 {
        self.start_hours + self.harbour_hours
    }
}

/// The mean progress a wind gives, and the share of time under power that goes with it.
#[derive(Clone, Copy)]
struct Pace {
    progress_kn: f64,
    share_under_power: f64,
}

/// Part of a segment at one pace.
#[derive(Clone, Copy)]
struct Stretch {
    hours: f64,
    share_under_power: f64,
}

/// Walks `route` by the mean progress in each segment, leaving at 00:00 UTC on `departure`; legs are
/// sampled at `step` at most.
///
/// In a segment the progress is the mean of the course made good over the Gaussian wind at its
/// midpoint, at the time the boat enters it; the segment takes its length over that progress, and
/// the clock moves on; at a stop it stands still. Where the fuel runs out within a segment, the rest of it is sailed without; where diesel is
/// to be had she leaves with full tanks.
///
/// # Errors
/// A gap in the climate, named with its leg.
pub fn walk_expected(
    boat: &Boat,
    route: &Route,
    climate: &Climate,
    departure: Date,
    step: Step,
) -> Result<Walk, PassageError> {
    let nodes = WindNodes::new();
    let clock = |hours: f64| {
        departure
            .at(0, 0, 0, 0)
            .saturating_add(SignedDuration::from_secs_f64(hours * 3600.0))
    };
    let mut whole = Tally::default();
    let mut legs = Vec::with_capacity(route.legs().len());
    let mut segments = Vec::new();
    let full_litres = boat.engine().map_or(0.0, |engine| engine.fuel_litres());
    let mut fuel_litres = full_litres;
    let (mut harbour_hours, mut stops) = (0.0, Vec::new());

    let mut leg_start_nm = 0.0;
    for leg in route.legs() {
        let begins = clock(whole.hours() + harbour_hours).date();
        let mut tally = Tally::default();
        let mut hard_times = HardTimes::default();
        for segment in leg.track.segments(step) {
            let here = segment.midpoint;
            let season = SeasonDay::from_date(departure).plus_hours(whole.hours() + harbour_hours);
            let local = climate
                .at(here.position, season)
                .map_err(|gap| PassageError::Gap {
                    route: route.name().to_owned(),
                    run_nm: leg_start_nm + here.distance_nm,
                    gap,
                })?;
            let current = climate.current_at(here.position, season);
            let [along_kn, across_kn] = current.on_course(here.course);
            let basis = climate.current_basis(here.position, season);
            let met = basis.map(|basis| CurrentHere {
                current,
                along_kn,
                basis,
            });
            let current = CourseCurrent {
                along_kn,
                across_kn,
            };
            let measured = climate.scatter_at(here.position, season);
            let scatter = measured.unwrap_or(WindScatter::even(local.wind.s_ms));
            let winds = (&local.wind, &scatter);
            let pace = |fuelled| pace(boat, &nodes, winds, current, here.course, fuelled);
            let Some(stretches) = sail(boat, pace, segment.length_nm, &mut fuel_litres) else {
                let date = clock(whole.hours() + harbour_hours).date();
                return Ok(Walk::Stalls(Stall {
                    leg: leg.number,
                    position: here.position,
                    date,
                }));
            };
            let mut exposure = match &measured {
                Some(scatter) => Exposure::of_scatter(&local.wind, scatter, here.course, &nodes),
                None => Exposure::of_wind(&local.wind, here.course),
            };
            let measured = MeasuredHere::at(climate, here.position, season, &local.wind);
            let (start_hours, powered_hours) = (whole.hours(), whole.hours_under_power());
            for stretch in stretches {
                exposure[ExposureKind::UnderPower] = stretch.share_under_power;
                tally.add(stretch.hours, &local, &exposure);
                whole.add(stretch.hours, &local, &exposure);
                if let Some(met) = &met {
                    tally.add_current(stretch.hours, met);
                    whole.add_current(stretch.hours, met);
                }
            }
            let hours = whole.hours() - start_hours;
            tally.add_measured(hours, &measured);
            whole.add_measured(hours, &measured);
            let day = clock(start_hours + harbour_hours).date();
            hard_times.add(hours, &local.wind, here.position, day);
            exposure[ExposureKind::UnderPower] =
                (whole.hours_under_power() - powered_hours) / hours;
            segments.push(ExpectedSegment {
                start_nm: leg_start_nm + segment.start_nm,
                length_nm: segment.length_nm,
                start_hours,
                harbour_hours,
                hours,
                exposure,
                local,
                met,
                measured,
            });
        }
        let arrives_hours = whole.hours() + harbour_hours;
        legs.push(ExpectedLeg::new(
            leg,
            [begins, clock(arrives_hours).date()],
            whole.hours(),
            &tally,
            &hard_times,
        ));
        leg_start_nm += leg.track.length_nm();
        if let Some(stop) = route.stop_after(leg) {
            let leaves_hours = stop.leaves_hours(arrives_hours, departure);
            if stop.has(Goods::Diesel) {
                fuel_litres = full_litres;
            }
            harbour_hours += leaves_hours - arrives_hours;
            stops.push(ExpectedStop {
                at: leg.to.clone(),
                after_leg: leg.number,
                arrives: clock(arrives_hours),
                leaves: clock(leaves_hours),
                days: (leaves_hours - arrives_hours) / 24.0,
            });
        }
    }

    let means = whole.means();
    Ok(Walk::Arrives(Box::new(ExpectedPassage {
        distance_nm: route.length_nm(),
        days: whole.hours() / 24.0,
        in_harbour_days: (!stops.is_empty()).then_some(harbour_hours / 24.0),
        arrival: clock(whole.hours() + harbour_hours),
        mean_speed_kn: route.length_nm() / whole.hours(),
        exposure: means.exposure,
        litres: boat
            .engine()
            .map(|engine| whole.hours_under_power() * engine.litres_per_hour()),
        air_temperature_c: means.air_temperature_c,
        replaced_share: means.replaced_share,
        current: CurrentMet::of(means.current),
        wave_height_m: means.wave_height_m,
        measured_wave_height_m: means.measured_wave_height_m,
        counted: means.counted,
        legs,
        stops,
        segments,
    })))
}

/// The months in which some part of a route has no wind data.
pub fn months_without_wind(route: &Route, step: Step, climate: &Climate) -> Vec<Month> {
    let legs = route.legs().iter();
    let middles: Vec<Position> = legs
        .flat_map(|leg| leg.track.segments(step))
        .map(|segment| segment.midpoint.position)
        .collect();
    let without = |month: &Month| {
        let mut places = middles.iter();
        places.any(|place| climate.month_at(*place, *month).is_none())
    };
    Month::ALL.into_iter().filter(without).collect()
}

/// The mean progress over the ground over all winds of one climate.
fn pace(
    boat: &Boat,
    nodes: &WindNodes,
    (wind, scatter): (&Wind, &WindScatter),
    current: CourseCurrent,
    course: Course,
    fuelled: bool,
) -> Pace {
    let (east, north) = course.deg().to_radians().sin_cos();
    let mut powered = 0_u32;
    let mut count = 0_u32;
    let progress_kn = nodes.mean(|x, y| {
        let [ahead_kn, port_kn] = turned_along(scatter.about(wind, x, y), [east, north])
            .map(|speed_ms| speed_ms * KN_PER_MS);
        let met = CourseWind::from_parts(ahead_kn, port_kn);
        let progress = boat.progress(met, current, fuelled);
        count += 1;
        powered += u32::from(progress.under_power);
        progress.made_good_kn
    });
    Pace {
        progress_kn,
        share_under_power: f64::from(powered) / f64::from(count),
    }
}

/// The time a segment takes, first with fuel and then, where it runs out, without; none where the
/// boat stalls. The fuel burnt is taken from `fuel_litres`.
fn sail(
    boat: &Boat,
    pace: impl Fn(bool) -> Pace,
    length_nm: f64,
    fuel_litres: &mut f64,
) -> Option<[Stretch; 2]> {
    let mut first = Stretch {
        hours: 0.0,
        share_under_power: 0.0,
    };
    let mut rest_nm = length_nm;
    if let Some(engine) = boat.engine()
        && *fuel_litres > 0.0
    {
        let Pace {
            progress_kn,
            share_under_power,
        } = pace(true);
        if progress_kn < STALL_BELOW_KN {
            return None;
        }
        let litres_per_hour = share_under_power * engine.litres_per_hour();
        let hours_to_the_end = length_nm / progress_kn;
        if hours_to_the_end * litres_per_hour <= *fuel_litres {
            *fuel_litres -= hours_to_the_end * litres_per_hour;
            let whole = Stretch {
                hours: hours_to_the_end,
                share_under_power,
            };
            return Some([
                whole,
                Stretch {
                    hours: 0.0,
                    share_under_power: 0.0,
                },
            ]);
        }
        first = Stretch {
            hours: *fuel_litres / litres_per_hour,
            share_under_power,
        };
        rest_nm -= first.hours * progress_kn;
        *fuel_litres = 0.0;
    }
    let Pace {
        progress_kn,
        share_under_power,
    } = pace(false);
    if progress_kn < STALL_BELOW_KN {
        return None;
    }
    Some([
        first,
        Stretch {
            hours: rest_nm / progress_kn,
            share_under_power,
        },
    ])
}

impl ExpectedLeg {
    fn new(
        leg: &Leg,
        [begins, ends]: [Date; 2],
        elapsed_hours: f64,
        tally: &Tally,
        hard_times: &HardTimes,
    ) -> Self {
        let means = tally.means();
        let wind = LegWind::of(&means, hard_times);
        let track = &leg.track;
        let (start, end) = (track.from(), track.to());
        let (departure_course, arrival_course) = (track.start().course, track.end().course);
        Self {
            number: leg.number,
            from: leg.from.clone(),
            to: leg.to.clone(),
            kind: track.kind(),
            begins,
            ends,
            start,
            end,
            departure_course,
            arrival_course,
            departure_course_magnetic: magnetic(departure_course, start, begins),
            arrival_course_magnetic: magnetic(arrival_course, end, ends),
            distance_nm: track.length_nm(),
            days: tally.hours() / 24.0,
            elapsed_days: elapsed_hours / 24.0,
            mean_speed_kn: track.length_nm() / tally.hours(),
            wind,
            exposure: means.exposure,
            air_temperature_c: means.air_temperature_c,
            wave_height_m: means.wave_height_m,
            measured_wave_height_m: means.measured_wave_height_m,
            wave_height_p95_m: developed_wave_height_m((wind.p95_speed_kn * MS_PER_KN).powi(2)),
            dark_hours_per_day: hard_times.dark_hours_per_day(),
            replaced_share: means.replaced_share,
            current_set_deg: means.current.and_then(|mean| mean.current.set_deg()),
            current_drift_kn: means.current.map(|mean| mean.current.drift_kn()),
            current: CurrentMet::of(means.current),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voyage::Voyage;

    const HOURS_TOLERANCE: f64 = 1e-6;
    const DISTANCE_TOLERANCE_NM: f64 = 1e-6;
    const SHARE_TOLERANCE: f64 = 1e-9;

    #[test]
    fn the_segments_make_up_the_passage() {
        let voyage = Voyage::demo().unwrap();
        let climate = voyage.open_climate().unwrap();
        for route in &voyage.routes {
            let Walk::Arrives(passage) = voyage.walk(route, &climate).unwrap() else {
                panic!("the demonstration arrives");
            };
            let (mut run_nm, mut hours, mut whole) = (0.0, 0.0, Exposure::default());
            for segment in &passage.segments {
                approx::assert_abs_diff_eq!(
                    segment.start_nm,
                    run_nm,
                    epsilon = DISTANCE_TOLERANCE_NM
                );
                approx::assert_abs_diff_eq!(segment.start_hours, hours, epsilon = HOURS_TOLERANCE);
                run_nm += segment.length_nm;
                hours += segment.hours;
                whole.add(&segment.exposure, segment.hours / (passage.days * 24.0));
            }
            approx::assert_abs_diff_eq!(run_nm, route.length_nm(), epsilon = DISTANCE_TOLERANCE_NM);
            approx::assert_abs_diff_eq!(hours, passage.days * 24.0, epsilon = HOURS_TOLERANCE);
            for (kind, share) in passage.exposure.iter() {
                approx::assert_abs_diff_eq!(whole[kind], *share, epsilon = SHARE_TOLERANCE);
            }
            let at = |hours| passage.run_nm_after(hours);
            assert_eq!(at(0.0), Some(0.0));
            assert_eq!(at(-1.0), None);
            assert_eq!(at(passage.days * 24.0 + 1.0), None);
            let leg = &passage.legs[0];
            approx::assert_abs_diff_eq!(
                at(leg.elapsed_days * 24.0 - 1e-9).unwrap(),
                leg.distance_nm,
                epsilon = 1e-3
            );
        }
    }

    /// A current along the track, the same everywhere, against the closed form: it adds to the
    /// progress made without it, so that days are distance over their sum.
    #[test]
    fn a_current_along_the_track_shortens_the_passage_by_as_much_as_it_carries() {
        use crate::boat::{Handling, Polar};
        use crate::climate::{Current, Currents};
        use crate::route::Waypoint;
        const DAYS_TOLERANCE: f64 = 0.02;
        let place = |latitude_deg, longitude_deg, name: &str| Waypoint {
            name: name.to_owned(),
            position: Position::new(latitude_deg, longitude_deg).unwrap(),
            reached_by: LegKind::Rhumb,
            stop: None,
        };
        // West along a parallel, by a boat that makes 6 kn in any wind at any angle.
        let ends = vec![place(-20.0, 90.0, "from"), place(-20.0, 65.0, "to")];
        let route = Route::new("west", ends).unwrap();
        let polar = Polar::tabulate(&[0.1, 40.0], &[0.0, 90.0, 180.0], |_, _| 6.0);
        let handling = Handling::new(100.0, None).unwrap();
        let boat = Boat::new(&polar, 1.0, None, handling).unwrap();
        let climate = Voyage::demo().unwrap().open_climate().unwrap();
        let walk = |east_kn, north_kn| {
            let current = Current { east_kn, north_kn };
            let climate = climate.clone().with_currents(Currents::Uniform(current));
            let departure = jiff::civil::date(2027, 5, 1);
            match walk_expected(&boat, &route, &climate, departure, Step::default()).unwrap() {
                Walk::Arrives(passage) => Some(*passage),
                Walk::Stalls(_) => None,
            }
        };
        let exact_days = |along_kn: f64, across_kn: f64| {
            let through_kn = (36.0 - across_kn * across_kn).sqrt();
            route.length_nm() / (through_kn + along_kn) / 24.0
        };
        for (east_kn, north_kn) in [(0.0, 0.0), (-0.7, 0.0), (1.5, 0.0), (-0.3, 2.0)] {
            let passage = walk(east_kn, north_kn).unwrap();
            let exact = exact_days(-east_kn, north_kn);
            approx::assert_abs_diff_eq!(passage.days, exact, epsilon = DAYS_TOLERANCE * exact);
            let met = passage.current;
            approx::assert_abs_diff_eq!(met.current_along_kn.unwrap(), -east_kn, epsilon = 1e-9);
            assert_eq!(met.current_unknown_share, Some(0.0));
            let drift_kn = passage.legs[0].current_drift_kn.unwrap();
            approx::assert_abs_diff_eq!(drift_kn, east_kn.hypot(north_kn), epsilon = 1e-9);
        }
        let set_deg = walk(-0.5, 0.5).unwrap().legs[0].current_set_deg.unwrap();
        approx::assert_abs_diff_eq!(set_deg, 315.0, epsilon = 1e-9);
        assert!(walk(6.0, 0.0).is_none(), "she stalls");
    }
}
