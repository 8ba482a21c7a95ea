//! The trade-off: from the fastest course to the gentlest, by a price on one hardship.

use rayon::prelude::*;

use super::ShapingError;
use super::hardship::{Hardship, Prices};
use super::limits::Limits;
use super::scene::Scene;
use super::shaper::{Shaped, Shaper};

/// The prices tried first, in hours an hour: none, and then in even ratios.
const FIRST_PRICES: [f64; 10] = [0.0, 0.05, 0.1, 0.2, 0.35, 0.6, 1.0, 2.0, 4.0, 16.0];
/// How many courses a trade-off should have, and how many at most.
const ENOUGH: usize = 8;
const MOST: usize = 12;
/// How often prices between two neighbouring courses are tried.
const ROUNDS: usize = 3;
/// Prices tried in a round.
const PRICES_A_ROUND: usize = 4;
/// A course must be slower by this many days to be another, and have less of the hardship by this
/// part of what the fastest has.
const OTHER_DAYS: f64 = 0.01;
const OTHER_PART: f64 = 0.01;

impl Shaper<'_> {
    /// Courses from the fastest under `limits` to the gentlest by one hardship, none of them both
    /// slower and harder than another, up to twelve; fewer than eight where the waters offer no
    /// more. There is always one. The first is the fastest of all that were found, and so never
    /// slower than that of [`Shaper::fastest`], which is one of them.
    ///
    /// Each is the cheapest at some price of that hardship, and so on the lower convex edge of all
    /// courses by days and days of hardship.
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
        let scene = Scene::new(self, limits);
        let mut courses = solve_all(&scene, fastest.prices, hardship, &FIRST_PRICES);
        courses.push(fastest);
        courses.retain(|course| keeps_shares(limits, course));
        let mut courses = undominated(courses, hardship);
        for _ in 0..ROUNDS {
            if courses.len() >= ENOUGH {
                break;
            }
            let prices = between(&courses, hardship);
            let Some(first) = courses.first() else { break };
            let mut more = solve_all(&scene, first.prices, hardship, &prices);
            more.retain(|course| keeps_shares(limits, course));
            let before = courses.len();
            courses.extend(more);
            courses = undominated(courses, hardship);
            if courses.len() == before {
                break;
            }
        }
        Ok(evenly(courses, hardship))
    }
}

fn solve_all(scene: &Scene<'_>, prices: Prices, hardship: Hardship, each: &[f64]) -> Vec<Shaped> {
    each.par_iter()
        .filter_map(|price| scene.solve(prices.with(hardship, *price)))
        .collect()
}

fn keeps_shares(limits: &Limits, course: &Shaped) -> bool {
    limits
        .on_the_passage()
        .iter()
        .all(|(hardship, _, most)| most.is_none_or(|most| hardship.share(&course.exposure) <= most))
}

/// The courses of which no other is as fast and as gentle, the fastest first.
fn undominated(mut courses: Vec<Shaped>, hardship: Hardship) -> Vec<Shaped> {
    courses.sort_by(|a, b| a.days.total_cmp(&b.days));
    let days_of = |course: &Shaped| hardship.share(&course.exposure) * course.days;
    let least_days = OTHER_PART * courses.first().map_or(0.0, days_of);
    let mut kept: Vec<Shaped> = Vec::new();
    for course in courses {
        let another = kept.last().is_none_or(|last| {
            course.days >= last.days + OTHER_DAYS
                && gentler_days(last, &course, hardship) > least_days
                && hardship.share(&course.exposure) < hardship.share(&last.exposure)
        });
        if another {
            kept.push(course);
        }
    }
    kept
}

/// How many days of a hardship fewer `b` has than `a`.
fn gentler_days(a: &Shaped, b: &Shaped, hardship: Hardship) -> f64 {
    hardship.share(&a.exposure) * a.days - hardship.share(&b.exposure) * b.days
}

/// Prices between those of the neighbours farthest apart: what one day of hardship less costs from
/// the one to the other.
fn between(courses: &[Shaped], hardship: Hardship) -> Vec<f64> {
    let mut gaps: Vec<(f64, f64)> = courses
        .windows(2)
        .map(|pair| {
            let gentler = gentler_days(&pair[0], &pair[1], hardship);
            (gentler, (pair[1].days - pair[0].days) / gentler)
        })
        .collect();
    gaps.sort_by(|a, b| b.0.total_cmp(&a.0));
    gaps.truncate(PRICES_A_ROUND);
    gaps.into_iter().map(|(_, price)| price).collect()
}

/// No more courses than a reader can take in: those nearest to their neighbours go, never the ends.
fn evenly(mut courses: Vec<Shaped>, hardship: Hardship) -> Vec<Shaped> {
    while courses.len() > MOST {
        let room = |at: usize| gentler_days(&courses[at - 1], &courses[at + 1], hardship);
        let inner = 1..courses.len() - 1;
        let Some(closest) = inner.min_by(|a, b| room(*a).total_cmp(&room(*b))) else {
            break;
        };
        courses.remove(closest);
    }
    courses
}
