//! The climate of twelve months brought onto a route, stretch by stretch.

use std::sync::OnceLock;

use super::options::EnsembleOptions;
use crate::boat::{Engine, held_by_engine_kn};
use crate::climate::{Climate, ClimateGap, Month, SeasonDay, WindScatter};
use crate::geodesy::Position;
use crate::passage::itinerary::Itinerary;
use crate::passage::storms::StormTrack;
use crate::route::Route;
use crate::units::KN_PER_MS;

/// The length of a stretch, nautical miles; the last one is shorter.
const STRETCH_NM: f64 = 24.0;

/// One stretch of a route in one month or on one day. All speeds are in knots.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    /// Mean wind toward the east and the north; not a number without data.
    pub wind: [f32; 2],
    /// Standard deviations of the fast and the slow part toward the east.
    pub east: [f32; 2],
    /// Of those toward the north, the parts that go with the ones toward the east.
    pub north_with_east: [f32; 2],
    /// And the parts that do not.
    pub north: [f32; 2],
    /// How much of the fast part is left after a step, and how much is fresh then.
    pub kept: [f32; 2],
    /// Sine (toward the east) and cosine of the course.
    pub course: [f32; 2],
    /// Current along the course, and across it to port.
    pub current: [f32; 2],
    /// The boat's speed along the course through the water under power.
    pub engine_kn: f32,
}

/// A route cut into stretches, with the climate of every month in each.
#[derive(Clone)]
pub(in crate::passage) struct TrackClimate {
    route: String,
    length_nm: f64,
    months: [Vec<Stretch>; 12],
    /// The fast part's correlation time as measured, hours; not a number where it was not.
    fast_hours: [Vec<f64>; 12],
    is_measured: bool,
    middles: Vec<Position>,
    storms: StormTrack,
    itinerary: Itinerary,
}

impl TrackClimate {
    pub(in crate::passage) fn new(
        route: &Route,
        climate: &Climate,
        options: &EnsembleOptions,
    ) -> Self {
        let length_nm = route.length_nm();
        let count = (length_nm / STRETCH_NM).ceil().max(1.0) as usize;
        let mut months: [_; 12] = std::array::from_fn(|_| Vec::with_capacity(count));
        let mut fast_hours: [_; 12] = std::array::from_fn(|_| Vec::with_capacity(count));
        let mut middles = Vec::with_capacity(count);
        let mut is_measured = false;
        for index in 0..count {
            let Some((_, here)) = route.at_nm(middle_nm(index, length_nm)) else {
                break;
            };
            let assumed = options.slow_share(here.position.latitude_deg());
            let (east, north) = here.course.deg().to_radians().sin_cos();
            for (month, (stretches, fast_hours)) in Month::ALL
                .into_iter()
                .zip(months.iter_mut().zip(&mut fast_hours))
            {
                let memory = climate.memory_in_month(here.position, month);
                let memory = memory.filter(|_| options.measured_memory);
                fast_hours.push(memory.map_or(f64::NAN, |memory| memory.fast_hours));
                let slow = memory.map_or(assumed, |memory| options.scaled_share(memory.slow_share));
                let wind = climate
                    .month_at(here.position, month)
                    .map(|local| local.wind);
                let kn = |ms: fn(&crate::climate::Wind) -> f64| {
                    wind.as_ref().map_or(f64::NAN, |wind| ms(wind) * KN_PER_MS)
                };
                let deviation_kn = kn(|wind| wind.s_ms);
                let scatter = climate.scatter_in_month(here.position, month);
                is_measured |= memory.is_some() || scatter.is_some();
                let [to_east, with_east, to_north] = scatter
                    .map_or([deviation_kn, 0.0, deviation_kn], |scatter| {
                        let WindScatter {
                            east_ms,
                            north_with_east_ms,
                            north_ms,
                        } = scatter;
                        [east_ms, north_with_east_ms, north_ms].map(|ms| ms * KN_PER_MS)
                    })
                    .map(|kn| [(1.0 - slow).sqrt(), slow.sqrt()].map(|part| (kn * part) as f32));
                let current = climate.current_in_month(here.position, month);
                let current = current.on_course(here.course);
                stretches.push(Stretch {
                    wind: [kn(|wind| wind.u_ms) as f32, kn(|wind| wind.v_ms) as f32],
                    east: to_east,
                    north_with_east: with_east,
                    north: to_north,
                    kept: [0.0; 2],
                    course: [east as f32, north as f32],
                    current: current.map(|kn| kn as f32),
                    engine_kn: 0.0,
                });
            }
            middles.push(here.position);
        }
        Self {
            route: route.name().to_owned(),
            length_nm,
            months,
            fast_hours,
            is_measured,
            middles,
            storms: StormTrack::new(route),
            itinerary: Itinerary::of(route),
        }
    }

    /// The same with all its winds (mean and standard deviation) and currents so many times as strong.
    pub(super) fn scaled(&self, winds: f64, currents: f64) -> Self {
        let (winds, currents) = (winds as f32, currents as f32);
        let mut scaled = self.clone();
        for stretch in scaled.months.iter_mut().flatten() {
            stretch.wind = stretch.wind.map(|kn| winds * kn);
            for deviation in [
                &mut stretch.east,
                &mut stretch.north_with_east,
                &mut stretch.north,
            ] {
                *deviation = deviation.map(|kn| winds * kn);
            }
            stretch.current = stretch.current.map(|kn| currents * kn);
        }
        scaled
    }

    /// Whether there is a current anywhere.
    pub(super) fn has_currents(&self) -> bool {
        let stretches = self.months.iter().flatten();
        stretches
            .flat_map(|stretch| stretch.current)
            .any(|kn| kn != 0.0)
    }

    /// Whether the climate has its own scatter or memory anywhere on the route.
    pub(super) fn is_measured(&self) -> bool {
        self.is_measured
    }

    /// The route's name.
    pub(super) fn route(&self) -> &str {
        &self.route
    }

    /// The route's length, nautical miles.
    pub(super) fn length_nm(&self) -> f64 {
        self.length_nm
    }

    /// The storms along the route.
    pub(super) fn storms(&self) -> &StormTrack {
        &self.storms
    }

    /// The stages and deadlines.
    pub(super) fn itinerary(&self) -> &Itinerary {
        &self.itinerary
    }

    /// The stretches on `day`: months linear between their middles.
    fn on_day(
        &self,
        day: SeasonDay,
        motor_speed_kn: f64,
        options: &EnsembleOptions,
    ) -> Vec<Stretch> {
        let mix = day.month_mix();
        let [earlier, later] = [mix.earlier, mix.later].map(|month| &self.months[month.index()]);
        let [earlier_hours, later_hours] =
            [mix.earlier, mix.later].map(|month| &self.fast_hours[month.index()]);
        let hours = earlier_hours.iter().zip(later_hours);
        let share = mix.later_share as f32;
        let between =
            |a: [f32; 2], b: [f32; 2]| [0, 1].map(|part| a[part] + share * (b[part] - a[part]));
        let pairs = earlier.iter().zip(later);
        pairs
            .zip(hours)
            .map(|((a, b), (earlier_hours, later_hours))| {
                let current = between(a.current, b.current);
                let hours = earlier_hours + mix.later_share * (later_hours - earlier_hours);
                Stretch {
                    wind: between(a.wind, b.wind),
                    east: between(a.east, b.east),
                    north_with_east: between(a.north_with_east, b.north_with_east),
                    north: between(a.north, b.north),
                    kept: options.kept_and_fresh(hours),
                    course: a.course,
                    engine_kn: held_by_engine_kn(motor_speed_kn, f64::from(current[1])) as f32,
                    current,
                }
            })
            .collect()
    }
}

fn middle_nm(index: usize, length_nm: f64) -> f64 {
    let start_nm = index as f64 * STRETCH_NM;
    ((start_nm + (start_nm + STRETCH_NM).min(length_nm)) / 2.0).min(length_nm)
}

/// The days of a passage from one departure, as many as are asked for, each worked out when first asked for.
pub(super) struct Days<'a> {
    track: &'a TrackClimate,
    departure: SeasonDay,
    motor_speed_kn: f64,
    options: &'a EnsembleOptions,
    days: Vec<OnceLock<Vec<Stretch>>>,
}

impl<'a> Days<'a> {
    pub(super) fn new(
        track: &'a TrackClimate,
        departure: SeasonDay,
        engine: Option<&Engine>,
        options: &'a EnsembleOptions,
        count: usize,
    ) -> Self {
        Self {
            track,
            departure,
            motor_speed_kn: engine.map_or(0.0, |engine| engine.motor_speed_kn()),
            options,
            days: (0..count).map(|_| OnceLock::new()).collect(),
        }
    }

    /// How many days there are.
    pub(super) fn count(&self) -> usize {
        self.days.len()
    }

    /// The stretches on a day out. Months change little in a day: its middle does for all its steps.
    pub(super) fn stretches(&self, day: usize) -> &[Stretch] {
        self.days[day].get_or_init(|| {
            let (day, options) = (self.middle(day), self.options);
            self.track.on_day(day, self.motor_speed_kn, options)
        })
    }

    /// The middle of a day out.
    fn middle(&self, day: usize) -> SeasonDay {
        self.departure.plus_hours((day as f64 + 0.5) * 24.0)
    }

    /// The gap in the data at a stretch on a day out, and its distance along the route.
    pub(super) fn gap(&self, index: usize, day: usize) -> (ClimateGap, f64) {
        let track = self.track;
        let mix = self.middle(day).month_mix();
        let missing = |month: Month| track.months[month.index()][index].wind[0].is_nan();
        let month = if missing(mix.earlier) {
            mix.earlier
        } else {
            mix.later
        };
        let place = track.middles[index];
        (
            ClimateGap::NoData { place, month },
            middle_nm(index, track.length_nm),
        )
    }

    /// The place of the stretch in which a run of so many nautical miles ends, among their numbers: a
    /// stretch's middle is a whole number.
    #[inline(always)]
    pub(super) fn stretch_place(run_nm: f32) -> f32 {
        run_nm * (1.0 / STRETCH_NM as f32) - 0.5
    }
}
