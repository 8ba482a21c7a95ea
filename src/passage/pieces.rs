//! A route in pieces short enough to lay off, each with what to expect on it: the median passage noon
//! by noon, or the line by degrees of longitude or by distance.

use jiff::SignedDuration;
use jiff::civil::{Date, DateTime};
use schemars::JsonSchema;
use serde::Serialize;

use super::expected::magnetic;
use super::exposure::{AirTemperature, Exposure, Tally};
use super::hard_times::HardTimes;
use super::{ExpectedPassage, LayOff, LegWind, MedianPassage, PassageError};
use crate::climate::{SeasonDay, StormDays};
use crate::geodesy::{LegKind, LegTrack, Position, Step};
use crate::route::Route;
use crate::units::{Course, wrap_180_deg};

/// The most pieces of a route (our choice): more than the longest passage has days, and every two miles
/// of a great ocean.
pub const MOST_PIECES: usize = 2000;

/// Two ends of pieces nearer than this to each other are one, nautical miles: room for rounding.
const SAME_PLACE_NM: f64 = 0.01;
/// Halvings of a stretch to find where it crosses a meridian: 1000 nm becomes less than a millimetre.
const HALVINGS: u32 = 40;
/// The hour of noon, UTC.
const NOON_HOURS: f64 = 12.0;

/// A piece of a route, by the median passage. Wind, sea, air and current are those of the walk on the
/// mean wind there, averaged over the time on the piece.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Piece {
    /// Its number on its route, from 1.
    pub number: usize,
    /// The number of the leg it begins on, from 1.
    pub leg: usize,
    /// When it begins, UTC.
    #[schemars(with = "String")]
    pub begins: DateTime,
    /// When it ends, UTC.
    #[schemars(with = "String")]
    pub ends: DateTime,
    /// Where it begins.
    pub start: Position,
    /// Where it ends.
    pub end: Position,
    /// The constant course, along a rhumb line, from its beginning to its end, or to the first waypoint
    /// where one comes before that; degrees true.
    #[serde(rename = "course_deg")]
    pub course: Course,
    /// The same, degrees magnetic by the variation at its beginning; none where the magnetic model does
    /// not cover the date.
    #[serde(rename = "course_magnetic_deg")]
    pub course_magnetic: Option<Course>,
    /// Length over the ground along the route, nautical miles.
    pub distance_nm: f64,
    /// Days at sea on the piece.
    pub days: f64,
    /// Days at sea from the route's start to the piece's end.
    pub elapsed_days: f64,
    /// The wind, averaged over the time on the piece.
    pub wind: LegWind,
    /// What is met, as shares of the piece's time.
    pub exposure: Exposure,
    /// Air temperature, degrees Celsius; none where the climate has none.
    pub air_temperature_c: Option<AirTemperature>,
    /// Mean significant height of a fully developed sea, metres: an upper estimate.
    pub wave_height_m: f64,
    /// Where the mean current sets, degrees true; none where there is none.
    pub current_set_deg: Option<f64>,
    /// Its drift, knots; none where no currents are reckoned with.
    pub current_drift_kn: Option<f64>,
    /// Expected days with the centre of a tropical storm of 34 kn or more within 200 nm, over the piece.
    pub storm_days: f64,
    /// Hours of dark a day, the sun more than 0.833 degrees below the horizon; twilight counts as dark.
    pub dark_hours_per_day: f64,
}

/// Whether a route whose legs are sampled at `step` can be laid off so; it takes no passage to tell.
///
/// # Errors
/// Pieces shorter than `step`, or more than [`MOST_PIECES`].
pub fn check_lay_off(route: &Route, step: Step, by: LayOff) -> Result<(), PassageError> {
    if let LayOff::Miles(asked_nm) = by
        && asked_nm < step.nm()
    {
        let step_nm = step.nm();
        return Err(PassageError::ShortPieces { asked_nm, step_nm });
    }
    // A passage is given up long before it has so many days.
    let pieces = match by {
        LayOff::Day => 0,
        LayOff::Degrees(_) | LayOff::Miles(_) => line_ends_nm(route, step, by).len(),
    };
    if pieces > MOST_PIECES {
        return Err(PassageError::ManyPieces {
            route: route.name().to_owned(),
            by,
            pieces,
        });
    }
    Ok(())
}

/// Lays a route off in pieces along its median passage, leaving at 00:00 UTC on `departure`. `step` is
/// what the walk was sampled at.
///
/// # Errors
/// Those of [`check_lay_off`].
pub fn lay_off(
    route: &Route,
    walk: &ExpectedPassage,
    median: &MedianPassage,
    departure: Date,
    step: Step,
    by: LayOff,
) -> Result<Vec<Piece>, PassageError> {
    check_lay_off(route, step, by)?;
    let line = Line {
        route,
        walk,
        median,
        departure,
    };
    let mut ends_nm = vec![0.0];
    ends_nm.extend(match by {
        LayOff::Day => noons_nm(route, median),
        LayOff::Degrees(_) | LayOff::Miles(_) => line_ends_nm(route, step, by),
    });
    let numbered = ends_nm.windows(2).enumerate();
    Ok(numbered
        .filter_map(|(index, ends_nm)| line.piece(index + 1, [ends_nm[0], ends_nm[1]]))
        .collect())
}

/// Where the boat is at each noon and in the end, in nautical miles from the start.
fn noons_nm(route: &Route, median: &MedianPassage) -> Vec<f64> {
    let noons = (0..).map(|day| NOON_HOURS + 24.0 * f64::from(day));
    let arrives_hours = median.arrives_hours(route.length_nm());
    let noons = noons.take_while(|hours| *hours < arrives_hours);
    let noons_nm = noons.map(|hours| median.run_nm_on_clock(hours)).collect();
    let ends_nm = median.stops_nm().chain([route.length_nm()]);
    merged_nm(ends_nm.collect(), noons_nm)
}

/// Where pieces by degrees or by distance end, in nautical miles from the start.
fn line_ends_nm(route: &Route, step: Step, by: LayOff) -> Vec<f64> {
    let (mut leg_ends_nm, mut cuts_nm, mut start_nm) = (Vec::new(), Vec::new(), 0.0);
    for leg in route.legs() {
        let of_leg_nm = match by {
            LayOff::Day => Vec::new(),
            LayOff::Degrees(every_deg) => crossings_nm(&leg.track, every_deg, step),
            LayOff::Miles(every_nm) => multiples_nm(every_nm, leg.track.length_nm()),
        };
        cuts_nm.extend(of_leg_nm.into_iter().map(|cut_nm| start_nm + cut_nm));
        start_nm += leg.track.length_nm();
        leg_ends_nm.push(start_nm);
    }
    merged_nm(leg_ends_nm, cuts_nm)
}

/// The fixed ends and the others in order, those left out that are at the start or at another.
fn merged_nm(fixed_nm: Vec<f64>, mut others_nm: Vec<f64>) -> Vec<f64> {
    let apart = |a: f64, b: f64| (a - b).abs() > SAME_PLACE_NM;
    others_nm
        .retain(|other| apart(*other, 0.0) && fixed_nm.iter().all(|fixed| apart(*other, *fixed)));
    others_nm.sort_by(f64::total_cmp);
    others_nm.dedup_by(|next, before| !apart(*next, *before));
    let mut ends_nm = [fixed_nm, others_nm].concat();
    ends_nm.sort_by(f64::total_cmp);
    ends_nm
}

/// What the pieces are cut from.
struct Line<'a> {
    route: &'a Route,
    walk: &'a ExpectedPassage,
    median: &'a MedianPassage,
    departure: Date,
}

impl Line<'_> {
    /// The leg on which a piece begins, its number and where it ends on the route.
    fn leg_from(&self, start_nm: f64) -> (usize, f64) {
        let mut end_nm = 0.0;
        let mut number = 0;
        for leg in self.route.legs() {
            end_nm += leg.track.length_nm();
            number = leg.number;
            if end_nm > start_nm + SAME_PLACE_NM {
                break;
            }
        }
        (number, end_nm)
    }

    fn position(&self, run_nm: f64) -> Option<Position> {
        let (_, here) = self.route.at_nm(run_nm.min(self.route.length_nm()))?;
        Some(here.position)
    }

    /// A piece between two places on the route; none off its ends.
    fn piece(&self, number: usize, [start_nm, end_nm]: [f64; 2]) -> Option<Piece> {
        let (leg, leg_end_nm) = self.leg_from(start_nm);
        let (start, end) = (self.position(start_nm)?, self.position(end_nm)?);
        let (_, on_line) = self.route.at_nm(start_nm)?;
        let steered_to = self.position(end_nm.min(leg_end_nm))?;
        let course = LegTrack::new(start, steered_to, LegKind::Rhumb)
            .map_or(on_line.course, |rhumb| rhumb.start().course);

        let mut tally = Tally::default();
        let mut hard_times = HardTimes::default();
        let mut storm_days = 0.0;
        let segments = &self.walk.segments;
        let first = segments.partition_point(|met| met.start_nm + met.length_nm <= start_nm);
        for met in &segments[first..] {
            let from_nm = met.start_nm.max(start_nm);
            let to_nm = (met.start_nm + met.length_nm).min(end_nm);
            if to_nm <= from_nm {
                break;
            }
            let (from_hours, to_hours) =
                (self.median.hours_to(from_nm), self.median.hours_to(to_nm));
            let (hours, middle_hours) = (to_hours - from_hours, 0.5 * (from_hours + to_hours));
            let middle = self.position(0.5 * (from_nm + to_nm))?;
            tally.add(hours, &met.local, &met.exposure);
            if let Some(current) = &met.met {
                tally.add_current(hours, current);
            }
            let middle_nm = 0.5 * (from_nm + to_nm);
            let clock_hours = middle_hours
                + (self.median.arrives_hours(middle_nm) - self.median.hours_to(middle_nm));
            let day = self.clock(clock_hours).date();
            hard_times.add(hours, &met.local.wind, middle, day);
            let season = SeasonDay::from_date(self.departure).plus_hours(clock_hours);
            storm_days += StormDays::observed().at(middle).on(season) * hours / 24.0;
        }
        let means = tally.means();
        let (start_hours, end_hours) =
            (self.median.hours_to(start_nm), self.median.hours_to(end_nm));
        let begins = self.clock(self.median.leaves_hours(start_nm));
        Some(Piece {
            number,
            leg,
            begins,
            ends: self.clock(self.median.arrives_hours(end_nm)),
            start,
            end,
            course,
            course_magnetic: magnetic(course, start, begins.date()),
            distance_nm: end_nm - start_nm,
            days: (end_hours - start_hours) / 24.0,
            elapsed_days: end_hours / 24.0,
            wind: LegWind::of(&means, &hard_times),
            exposure: means.exposure,
            air_temperature_c: means.air_temperature_c,
            wave_height_m: means.wave_height_m,
            current_set_deg: means.current.and_then(|mean| mean.current.set_deg()),
            current_drift_kn: means.current.map(|mean| mean.current.drift_kn()),
            storm_days,
            dark_hours_per_day: hard_times.dark_hours_per_day(),
        })
    }

    /// The time after `hours`, to the second.
    fn clock(&self, hours: f64) -> DateTime {
        let seconds = SignedDuration::from_secs((hours * 3600.0).round() as i64);
        self.departure.at(0, 0, 0, 0).saturating_add(seconds)
    }
}

/// The multiples of a distance within a length.
fn multiples_nm(every_nm: f64, length_nm: f64) -> Vec<f64> {
    (1..)
        .map(|count| f64::from(count) * every_nm)
        .take_while(|run_nm| *run_nm < length_nm)
        .collect()
}

/// Where a leg crosses the meridians of whole multiples of `every_deg`, counted from Greenwich.
fn crossings_nm(track: &LegTrack, every_deg: u16, step: Step) -> Vec<f64> {
    let longitude_deg = |run_nm: f64| {
        let here = track.at_nm(run_nm).unwrap_or_else(|| track.end());
        here.position.longitude_deg()
    };
    let most = 180 / i32::from(every_deg);
    let meridians_deg = (-most..=most).map(|count| f64::from(count) * f64::from(every_deg));
    let meridians_deg: Vec<f64> = meridians_deg.collect();
    let mut found_nm = Vec::new();
    for stretch in track.segments(step) {
        let begun_deg = longitude_deg(stretch.start_nm);
        let east_deg = |run_nm: f64| wrap_180_deg(longitude_deg(run_nm) - begun_deg);
        let end_nm = stretch.start_nm + stretch.length_nm;
        let span_deg = east_deg(end_nm);
        for meridian_deg in &meridians_deg {
            let off_deg = wrap_180_deg(meridian_deg - begun_deg);
            let is_crossed = off_deg * span_deg >= 0.0 && off_deg.abs() <= span_deg.abs();
            if !is_crossed || span_deg == 0.0 {
                continue;
            }
            let (mut before_nm, mut beyond_nm) = (stretch.start_nm, end_nm);
            for _ in 0..HALVINGS {
                let middle_nm = 0.5 * (before_nm + beyond_nm);
                if east_deg(middle_nm).abs() < off_deg.abs() {
                    before_nm = middle_nm;
                } else {
                    beyond_nm = middle_nm;
                }
            }
            found_nm.push(0.5 * (before_nm + beyond_nm));
        }
    }
    found_nm
}
