//! Courses between two others: one bent toward the other, and held between them while its corners
//! are moved.
//!
//! One price finds only corners of the convex hull of days and hardship: between two of them every
//! course costs more than both at the price at which they cost the same. A pull toward the days
//! between theirs, which grows with the square of the distance, makes one there the cheapest.

use super::ground::SeasonLimits;
use super::hardship::Prices;
use super::scene::Scene;
use super::shaper::Shaped;
use crate::geodesy::{Earth, GreatCircle, Position};

/// Corners of a course blended from two.
const BLENDED: usize = 14;
/// What the pull costs halfway to the neighbours, as a part of the hours between them. A course that
/// costs less than this above them at their common price is found.
const PULL_AT_NEIGHBOUR: f64 = 0.5;

/// The time a course is to take, and what a departure from it costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Aim {
    hours: f64,
    /// Hours an hour squared.
    pull: f64,
}

impl Aim {
    /// Between two courses, at a share of the way from the faster to the slower.
    fn between(faster_hours: f64, slower_hours: f64, share: f64) -> Self {
        let apart = slower_hours - faster_hours;
        Self {
            hours: faster_hours + share * apart,
            pull: 4.0 * PULL_AT_NEIGHBOUR / apart,
        }
    }

    /// What a passage of so many hours costs beside itself, in hours.
    pub(super) fn cost_hours(self, hours: f64) -> f64 {
        self.pull * (hours - self.hours).powi(2)
    }
}

impl Scene<'_> {
    /// Courses at `prices` halfway between two in time, from the one, the other and a blend of both.
    pub(super) fn bend(&self, prices: Prices, faster: &Shaped, slower: &Shaped) -> Vec<Shaped> {
        let aim = Aim::between(24.0 * faster.days, 24.0 * slower.days, 0.5);
        let blended = blend(&faster.corners, &slower.corners, 0.5);
        let beginnings = [faster.corners.clone(), slower.corners.clone(), blended];
        beginnings
            .into_iter()
            .filter_map(|corners| self.better(prices, aim, corners))
            .collect()
    }

    /// A course between two bettered at `prices`, about as fast as it is.
    pub(super) fn better_between(
        &self,
        prices: Prices,
        [faster, slower]: [&Shaped; 2],
        course: &Shaped,
    ) -> Option<Shaped> {
        let share = (course.days - faster.days) / (slower.days - faster.days);
        let aim = Aim::between(24.0 * faster.days, 24.0 * slower.days, share);
        self.better(prices, aim, course.corners.clone())
    }

    fn better(&self, prices: Prices, aim: Aim, corners: Vec<Position>) -> Option<Shaped> {
        let ground = self.ground();
        let season = SeasonLimits::between_places(self.limits);
        let mut judge = self.judge(&ground, season, prices);
        judge.aim = Some(aim);
        let way = judge.smooth(judge.judge(corners)?);
        Some(self.shaped(&judge, &way))
    }
}

/// A course at a share of the way from one to another, by places as far along each.
fn blend(from: &[Position], to: &[Position], share: f64) -> Vec<Position> {
    let (Some(measured_from), Some(measured_to)) = (Measured::new(from), Measured::new(to)) else {
        return Vec::new();
    };
    let inner = (1..BLENDED - 1).map(|index| {
        let along = index as f64 / (BLENDED - 1) as f64;
        let (a, b) = (measured_from.at(along), measured_to.at(along));
        between(a, b, share).unwrap_or(a)
    });
    // The ends are the same to the last bit, as others ask whether they are.
    let mut corners = vec![from[0]];
    corners.extend(inner);
    corners.push(from[from.len() - 1]);
    corners
}

/// The place at a share of the way between two; none where they are one.
fn between(a: Position, b: Position, share: f64) -> Option<Position> {
    let circle = GreatCircle::between(Earth::WGS84, a, b).ok()?;
    Some(circle.at_nm(share * circle.length_nm())?.position)
}

/// Corners with the distance of each from the start, in nautical miles.
struct Measured<'a> {
    corners: &'a [Position],
    along_nm: Vec<f64>,
}

impl<'a> Measured<'a> {
    fn new(corners: &'a [Position]) -> Option<Self> {
        let mut along_nm = vec![0.0];
        for pair in corners.windows(2) {
            let length_nm = super::ground::distance_nm_between(pair[0], pair[1]);
            along_nm.push(along_nm.last()? + length_nm);
        }
        (corners.len() >= 2).then_some(Self { corners, along_nm })
    }

    /// The place at a share of the whole length.
    fn at(&self, share: f64) -> Position {
        let last = self.corners.len() - 1;
        let whole_nm = self.along_nm[last];
        let there_nm = share * whole_nm;
        let after = self
            .along_nm
            .partition_point(|along_nm| *along_nm <= there_nm);
        if after > last {
            return self.corners[last];
        }
        let (before_nm, after_nm) = (self.along_nm[after - 1], self.along_nm[after]);
        let part = (there_nm - before_nm) / (after_nm - before_nm);
        let (a, b) = (self.corners[after - 1], self.corners[after]);
        between(a, b, part).unwrap_or(a)
    }
}

#[cfg(test)]
mod tests {
    use super::super::place;
    use super::*;

    #[test]
    fn a_blend_has_the_ends_of_both_and_lies_between() {
        let (start, end) = (place(-30.0, 40.0), place(-30.0, 60.0));
        let north = [start, place(-20.0, 50.0), end];
        let south = [start, place(-40.0, 44.0), place(-40.0, 56.0), end];
        let blended = blend(&north, &south, 0.5);
        assert_eq!(blended.len(), BLENDED);
        assert_eq!(blended[0], start);
        assert_eq!(blended[BLENDED - 1], end);
        for inner in &blended[1..BLENDED - 1] {
            let latitude_deg = inner.latitude_deg();
            assert!((-36.0..-26.0).contains(&latitude_deg), "{inner}");
        }
        let whole = blend(&north, &south, 0.0);
        assert!(whole.iter().all(|place| place.latitude_deg() >= -30.01));
    }

    #[test]
    fn the_pull_is_nil_at_the_aim_and_half_the_gap_apart_costs_what_it_says() {
        let aim = Aim::between(1000.0, 1072.0, 0.5);
        assert_eq!(aim.cost_hours(1036.0), 0.0);
        for end in [1000.0, 1072.0] {
            assert!((aim.cost_hours(end) - PULL_AT_NEIGHBOUR * 72.0).abs() < 1e-9);
        }
    }
}
