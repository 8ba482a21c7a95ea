//! The trade-off: from the fastest course to the gentlest, by a price on one hardship, and between
//! two prices by bending one course toward the next.

use rayon::prelude::*;

use super::ShapingError;
use super::curve::{Standing, apart, few, front};
use super::ground::{Ground, SeasonLimits};
use super::hardship::{Hardship, Prices};
use super::limits::Limits;
use super::scene::Scene;
use super::shaper::{Shaped, Shaper};
use super::shore::Shore;
use crate::geodesy::Position;

/// The prices tried first, in hours an hour: none, and then ever greater.
const FIRST_PRICES: [f64; 10] = [0.0, 0.05, 0.1, 0.2, 0.35, 0.6, 1.0, 2.0, 4.0, 16.0];
/// Neighbours farther apart than this, as a part of the whole span, may have a course between them.
const WIDE: f64 = 0.12;
/// The widest gaps that are looked into in a round, and how often.
const GAPS_A_ROUND: usize = 4;
const ROUNDS: usize = 4;
/// In the first of the rounds the price of a gap is searched by, too.
const SEARCHED_ROUNDS: usize = 1;

impl Shaper<'_> {
    /// Courses from the fastest under `limits` to the gentlest by one hardship, none of them both
    /// slower and harder than another nor hardly different from it, up to twelve. There is always
    /// one. The first is the fastest of all that were found, and so never slower than that of
    /// [`Shaper::fastest`], which is one of them.
    ///
    /// Some are the cheapest at some price of that hardship, and so on the lower convex edge of all
    /// courses by days and days of hardship; those between are bent from their neighbours, and the
    /// best that small moves of their corners find.
    ///
    /// # Errors
    /// Those of [`Shaper::fastest`], and time under power without an engine. Limits on shares of
    /// the passage are kept by no course but those that do so by themselves.
    pub fn trade_off(
        &self,
        limits: &Limits,
        hardship: Hardship,
    ) -> Result<Vec<Shaped>, ShapingError> {
        if hardship == Hardship::Engine && self.task.boat.engine().is_none() {
            return Err(ShapingError::NoEngine);
        }
        let fastest = self.fastest(limits)?;
        let base = fastest.prices;
        let scene = Scene::new(self, limits);
        let mut pool = FIRST_PRICES
            .par_iter()
            .filter_map(|price| scene.solve(base.with(hardship, *price)))
            .collect::<Vec<_>>();
        pool.push(fastest);
        pool.retain(|course| keeps_shares(limits, course));
        let drawn = scene.as_drawn(&self.task.drawn, base);
        for round in 0..ROUNDS {
            pool = on_front(pool, hardship);
            let gaps = wide_gaps(&pool, hardship);
            if gaps.is_empty() {
                break;
            }
            let more: Vec<Vec<Shaped>> =
                gaps.par_iter()
                    .map(|gap| {
                        let (prices, [faster, slower]) = (base.with(hardship, gap.price), gap.ends);
                        let mut found = scene.bend(prices, faster, slower);
                        if round < SEARCHED_ROUNDS {
                            found.extend(scene.solve(prices));
                            let between = drawn.iter().filter(|course| {
                                course.days > faster.days && course.days < slower.days
                            });
                            found.extend(between.filter_map(|course| {
                                scene.better_between(prices, gap.ends, course)
                            }));
                        }
                        found
                    })
                    .collect();
            let more = more.into_iter().flatten();
            let more: Vec<Shaped> = more.filter(|course| keeps_shares(limits, course)).collect();
            let before = standings(&pool, hardship);
            pool.extend(more);
            pool = on_front(pool, hardship);
            if standings(&pool, hardship) == before {
                break;
            }
        }
        let standing = standings(&pool, hardship);
        let kept = few(front(&standing), &standing);
        Ok(taken(pool, &kept))
    }

    /// Whether a way over these corners keeps to the limits, whatever land lies in it.
    pub fn keeps(&self, limits: &Limits, corners: &[Position]) -> bool {
        let shore = WithoutLand(self.task.shore);
        let scene = Scene::new(self, limits);
        let ground = Ground {
            shore: &shore,
            ..scene.ground()
        };
        let season = SeasonLimits::between_places(limits);
        let judge = scene.judge(&ground, season, Prices::default());
        judge
            .judge(corners.to_vec())
            .is_some_and(|way| keeps_shares(limits, &scene.shaped(&judge, &way)))
    }
}

impl Scene<'_> {
    /// The routes drawn that are open, with their figures.
    fn as_drawn(&self, drawn: &[Vec<Position>], prices: Prices) -> Vec<Shaped> {
        let ground = self.ground();
        let season = SeasonLimits::between_places(self.limits);
        let judge = self.judge(&ground, season, prices);
        let ways = drawn
            .iter()
            .filter_map(|corners| judge.judge(corners.clone()));
        ways.map(|way| self.shaped(&judge, &way)).collect()
    }
}

/// A shore on which nothing is land, though the distance from it counts.
struct WithoutLand<'a>(&'a dyn Shore);

impl Shore for WithoutLand<'_> {
    fn is_land(&self, _: Position) -> bool {
        false
    }
    fn meets_land(&self, _: Position, _: Position) -> bool {
        false
    }
    fn is_nearer_than_nm(&self, place: Position, distance_nm: f64) -> bool {
        self.0.is_nearer_than_nm(place, distance_nm)
    }
}

/// Two neighbours with room for a course between them.
struct Gap<'a> {
    ends: [&'a Shaped; 2],
    /// The price at which both cost the same, hours an hour.
    price: f64,
}

impl Shaped {
    fn standing(&self, hardship: Hardship) -> Standing {
        Standing {
            days: self.days,
            share: hardship.share(&self.exposure),
        }
    }
}

fn standings(courses: &[Shaped], hardship: Hardship) -> Vec<Standing> {
    let courses = courses.iter();
    courses.map(|course| course.standing(hardship)).collect()
}

fn on_front(courses: Vec<Shaped>, hardship: Hardship) -> Vec<Shaped> {
    let kept = front(&standings(&courses, hardship));
    taken(courses, &kept)
}

/// The courses at some places, in the order of these.
fn taken(courses: Vec<Shaped>, places: &[usize]) -> Vec<Shaped> {
    let mut courses: Vec<Option<Shaped>> = courses.into_iter().map(Some).collect();
    places
        .iter()
        .filter_map(|place| courses[*place].take())
        .collect()
}

/// The widest gaps of a front.
fn wide_gaps(courses: &[Shaped], hardship: Hardship) -> Vec<Gap<'_>> {
    let [Some(first), Some(last)] = [courses.first(), courses.last()] else {
        return Vec::new();
    };
    let span = [first, last].map(|end| end.standing(hardship));
    let mut gaps: Vec<(f64, Gap<'_>)> = courses
        .windows(2)
        .map(|pair| {
            let [faster, slower] = [0, 1].map(|end| pair[end].standing(hardship));
            let gentler_days = faster.hard_days() - slower.hard_days();
            let gap = Gap {
                ends: [&pair[0], &pair[1]],
                price: (slower.days - faster.days) / gentler_days,
            };
            (apart(span, faster, slower), gap)
        })
        .filter(|(apart, _)| *apart > WIDE)
        .collect();
    gaps.sort_by(|a, b| b.0.total_cmp(&a.0));
    gaps.truncate(GAPS_A_ROUND);
    gaps.into_iter().map(|(_, gap)| gap).collect()
}

fn keeps_shares(limits: &Limits, course: &Shaped) -> bool {
    limits
        .on_the_passage()
        .iter()
        .all(|(hardship, _, most)| most.is_none_or(|most| hardship.share(&course.exposure) <= most))
}
