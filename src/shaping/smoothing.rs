//! From a way along a grid to a course with few corners: thinned out, and each corner moved as long
//! as that saves time.

use super::bending::Aim;
use super::clock::SeasonClock;
use super::grid::{band_deg, chords};
use super::ground::{Ground, SeasonLimits};
use super::hardship::Prices;
use super::search::Label;
use super::waters::{Winds, met, met_at};
use super::way::{CourseParts, WayMaker};
use crate::climate::StormDays;
use crate::geodesy::{Earth, GreatCircle, LegKind, LegTrack, Position, Step};
use crate::passage::{Exposure, ExposureKind, GALE_KN};
use crate::route::LandCheck;
use crate::units::{Course, MS_PER_KN};

/// How far a corner is moved at a time, in nautical miles, from coarse to fine.
const MOVES_NM: [f64; 5] = [60.0, 30.0, 15.0, 8.0, 5.0];
/// The courses it is moved on.
const MOVE_COURSES: u32 = 8;
/// A move that saves less than this is no gain, in hours: a few seconds.
const LEAST_GAIN_HOURS: f64 = 1e-3;
/// A corner is left out where that costs less than this share of the passage.
const WORTH_A_CORNER: f64 = 1e-4;
/// Places at which the limits of the season are looked after are no farther apart than this, in
/// nautical miles.
const SEASON_CHORD_NM: f64 = 5.0;
/// The search for better corners ends after so many rounds.
const MOST_ROUNDS: usize = 60;

/// Everything a course is judged by.
pub(super) struct Judge<'a> {
    pub winds: &'a dyn Winds,
    pub way: &'a WayMaker,
    pub clock: &'a SeasonClock,
    pub ground: &'a Ground<'a>,
    pub season: SeasonLimits,
    pub prices: Prices,
    /// The time the course is to take about, beside being cheap; none where it is to be cheap only.
    pub aim: Option<Aim>,
    pub sampling: Step,
}

/// A leg, and its stretches, all of one length.
struct Leg {
    track: LegTrack,
    stretch_nm: f64,
    stretches: Vec<Stretch>,
    /// Whether the ground under it is known to be open.
    on_open_ground: bool,
}

/// A part of a leg on which one wind and one course stand.
struct Stretch {
    middle: Position,
    course: Course,
    course_parts: CourseParts,
}

/// A course with the label at each of its corners.
pub(super) struct Way {
    corners: Vec<Position>,
    legs: Vec<Leg>,
    labels: Vec<Label>,
}

impl Way {
    pub(super) fn corners(&self) -> &[Position] {
        &self.corners
    }

    /// The label at the end.
    pub(super) fn arrival(&self) -> Label {
        self.labels.last().copied().unwrap_or_default()
    }
}

impl Judge<'_> {
    /// The course over these corners, at least two; none where it is closed or the boat stalls.
    pub(super) fn judge(&self, corners: Vec<Position>) -> Option<Way> {
        let mut legs = corners
            .windows(2)
            .map(|pair| self.leg(pair[0], pair[1]))
            .collect::<Option<Vec<_>>>()?;
        let labels = self.labels(&legs, Label::default())?;
        self.open_from(&mut legs, &labels).then_some(Way {
            corners,
            legs,
            labels,
        })
    }

    /// What a course that arrives with a label is judged by: its cost, and how far it misses its aim.
    fn weight_hours(&self, arrival: Label) -> f64 {
        let missed = self.aim.map_or(0.0, |aim| aim.cost_hours(arrival.hours));
        arrival.cost_hours + missed
    }

    /// The course with few corners that no small move of one betters.
    pub(super) fn smooth(&self, mut way: Way) -> Way {
        self.thin(&mut way);
        for _ in 0..MOST_ROUNDS {
            for distance_nm in MOVES_NM {
                for _ in 0..MOST_ROUNDS {
                    if !self.move_all(&mut way, distance_nm) {
                        break;
                    }
                }
            }
            // A fine move may have opened a way to a coarser one; thinning to other corners.
            if !self.thin(&mut way) && !self.any_gain(&mut way) {
                break;
            }
        }
        way
    }

    /// Whether any of the moves still saves time, and makes it.
    fn any_gain(&self, way: &mut Way) -> bool {
        MOVES_NM
            .into_iter()
            .rev()
            .any(|distance_nm| self.move_all(way, distance_nm))
    }

    /// Tries to move each corner once; whether any moved.
    fn move_all(&self, way: &mut Way, distance_nm: f64) -> bool {
        let mut moved = false;
        for corner in 1..way.corners.len() - 1 {
            for course in 0..MOVE_COURSES {
                let course = Course::from_deg(f64::from(course) * 360.0 / f64::from(MOVE_COURSES));
                let here = way.corners[corner];
                let circle = GreatCircle::on_course(Earth::WGS84, here, course, distance_nm);
                let there = circle.ok().and_then(|circle| circle.at_nm(distance_nm));
                if there.is_some_and(|there| self.try_move(way, corner, there.position)) {
                    moved = true;
                }
            }
        }
        moved
    }

    fn try_move(&self, way: &mut Way, corner: usize, there: Position) -> bool {
        let (Some(before), Some(after)) = (
            self.leg(way.corners[corner - 1], there),
            self.leg(there, way.corners[corner + 1]),
        ) else {
            return false;
        };
        let entered = way.labels[corner - 1];
        let Some(left) = self
            .sail(&before, entered)
            .and_then(|label| self.sail(&after, label))
        else {
            return false;
        };
        // The rest of the way is taken as it was, until the move is made.
        let (passed, arrival) = (way.labels[corner + 1], way.arrival());
        let expected = Label {
            cost_hours: arrival.cost_hours + left.cost_hours - passed.cost_hours,
            hours: arrival.hours + left.hours - passed.hours,
            ..arrival
        };
        if self.weight_hours(expected) >= self.weight_hours(arrival) - LEAST_GAIN_HOURS {
            return false;
        }
        let mut corners = way.corners.clone();
        corners[corner] = there;
        self.put(
            way,
            corners,
            corner - 1..corner + 1,
            vec![before, after],
            0.0,
        )
    }

    /// Leaves out corners that are hardly worth their while; whether any went.
    fn thin(&self, way: &mut Way) -> bool {
        let mut thinned = false;
        let mut corner = 1;
        while corner + 1 < way.corners.len() {
            let leg = self.leg(way.corners[corner - 1], way.corners[corner + 1]);
            let gone = leg.is_some_and(|leg| {
                let mut corners = way.corners.clone();
                corners.remove(corner);
                let worth = WORTH_A_CORNER * way.arrival().cost_hours;
                self.put(way, corners, corner - 1..corner + 1, vec![leg], worth)
            });
            thinned |= gone;
            corner += usize::from(!gone);
        }
        thinned
    }

    /// Puts other legs in the place of some, if the whole then costs no more than `worth_hours`
    /// above what it did and is open.
    fn put(
        &self,
        way: &mut Way,
        corners: Vec<Position>,
        range: std::ops::Range<usize>,
        legs: Vec<Leg>,
        worth_hours: f64,
    ) -> bool {
        let (start, new) = (range.start, legs.len());
        let old: Vec<Leg> = way.legs.splice(range, legs).collect();
        let labels = self.labels(&way.legs[start..], way.labels[start]);
        let better = labels.filter(|labels| {
            let arrival = labels
                .last()
                .map_or(f64::INFINITY, |label| self.weight_hours(*label));
            let limit = self.weight_hours(way.arrival()) + worth_hours;
            // A gain must be one; a corner less may cost its worth.
            let gain = if worth_hours > 0.0 {
                0.0
            } else {
                LEAST_GAIN_HOURS
            };
            arrival <= limit - gain && self.open_from(&mut way.legs[start..], labels)
        });
        match better {
            Some(labels) => {
                way.labels.truncate(start);
                way.labels.extend(labels);
                way.corners = corners;
                true
            }
            None => {
                way.legs.splice(start..start + new, old);
                false
            }
        }
    }

    fn leg(&self, from: Position, to: Position) -> Option<Leg> {
        let track = LegTrack::new(from, to, LegKind::GreatCircle).ok()?;
        let segments = track.segments(self.sampling);
        let stretches = segments
            .iter()
            .map(|segment| {
                let middle = segment.midpoint;
                let (sin, cos) = middle.course.deg().to_radians().sin_cos();
                Stretch {
                    middle: middle.position,
                    course: middle.course,
                    course_parts: (sin as f32, cos as f32),
                }
            })
            .collect();
        Some(Leg {
            stretch_nm: segments.first()?.length_nm,
            stretches,
            track,
            on_open_ground: false,
        })
    }

    /// The labels at the ends of the legs, that at their beginning first.
    fn labels(&self, legs: &[Leg], label: Label) -> Option<Vec<Label>> {
        let mut labels = Vec::with_capacity(legs.len() + 1);
        labels.push(label);
        for leg in legs {
            labels.push(self.sail(leg, *labels.last()?)?);
        }
        Some(labels)
    }

    fn sail(&self, leg: &Leg, label: Label) -> Option<Label> {
        leg.stretches.iter().try_fold(label, |label, stretch| {
            self.sail_stretch(leg, stretch, label)
        })
    }

    fn sail_stretch(&self, leg: &Leg, stretch: &Stretch, label: Label) -> Option<Label> {
        let met = met_at(self.winds, stretch.middle, self.clock.day(label.hours))?;
        let pace = self.way.pace(met, stretch.course_parts);
        self.way.sail(&pace, leg.stretch_nm, &self.prices, label)
    }

    /// Whether the legs are open at the times the labels say, and their ground at all times.
    fn open_from(&self, legs: &mut [Leg], labels: &[Label]) -> bool {
        for leg in legs.iter_mut().filter(|leg| !leg.on_open_ground) {
            // The land check's own places, so that it finds no land that was not seen here.
            let places = chords(&leg.track, LandCheck::CHORD_NM);
            leg.on_open_ground = self.ground.is_open(band_deg(&leg.track), &places);
            if !leg.on_open_ground {
                return false;
            }
        }
        !self.season.any()
            || legs
                .iter()
                .zip(labels)
                .all(|(leg, label)| self.leg_in_season(leg, *label))
    }

    /// Whether a leg begun with `label` is open all along, as far as that depends on the season.
    fn leg_in_season(&self, leg: &Leg, mut label: Label) -> bool {
        let places = (leg.stretch_nm / SEASON_CHORD_NM).ceil();
        leg.stretches.iter().enumerate().all(|(index, stretch)| {
            let Some(left) = self.sail_stretch(leg, stretch, label) else {
                return false;
            };
            let open = (0..=places as u32).all(|place| {
                let share = f64::from(place) / places;
                let along_nm = (index as f64 + share) * leg.stretch_nm;
                // Rounding may put the last place a little past the leg's end.
                let point = leg.track.at_nm(along_nm.min(leg.track.length_nm()));
                let hours = label.hours + share * (left.hours - label.hours);
                point.is_some_and(|point| self.in_season(point.position, hours))
            });
            label = left;
            open
        })
    }

    /// Whether a place is open `hours` after departure, as far as that depends on the season.
    pub(super) fn in_season(&self, place: Position, hours: f64) -> bool {
        let day = self.clock.day(hours);
        let Some(local) = self.winds.at(place, day) else {
            return false;
        };
        let met = met(&local, self.winds.current_at(place, day));
        let storms = || StormDays::observed().at(place).on(day);
        self.season.allow(&met, storms, || {
            local.wind.share_at_or_above(GALE_KN * MS_PER_KN)
        })
    }

    /// Whether being a day later at some stretch of a course means leaving it more than a day
    /// sooner than else: then the order of arrival is not kept there, and waiting would pay.
    pub(super) fn waiting_pays(&self, way: &Way) -> bool {
        const DAY_HOURS: f64 = 24.0;
        let mut label = Label::default();
        for leg in &way.legs {
            for stretch in &leg.stretches {
                let later = Label {
                    hours: label.hours + DAY_HOURS,
                    ..label
                };
                let (Some(left), Some(left_later)) = (
                    self.sail_stretch(leg, stretch, label),
                    self.sail_stretch(leg, stretch, later),
                ) else {
                    return true;
                };
                if left_later.hours < left.hours {
                    return true;
                }
                label = left;
            }
        }
        false
    }

    /// What the boat meets on a course, as shares of its time.
    pub(super) fn exposure(&self, way: &Way) -> Exposure {
        let mut whole = Exposure::default();
        let mut label = Label::default();
        for leg in &way.legs {
            for stretch in &leg.stretches {
                let local = self.winds.at(stretch.middle, self.clock.day(label.hours));
                let left = self.sail_stretch(leg, stretch, label);
                // Every stretch of a course that was judged has both.
                let (Some(local), Some(left)) = (local, left) else {
                    continue;
                };
                let hours = left.hours - label.hours;
                let mut met = Exposure::of_wind(&local.wind, stretch.course);
                met[ExposureKind::UnderPower] = (left.engine_hours - label.engine_hours) / hours;
                whole.add(&met, hours);
                label = left;
            }
        }
        whole.scaled(1.0 / label.hours)
    }
}
