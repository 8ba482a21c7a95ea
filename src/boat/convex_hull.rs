//! Course made good in one wind, exactly: the convex hull of the polar curve.
//!
//! Sharing time between two headings gives any velocity on the chord between theirs, and lying
//! still gives the origin; so what can be made good in a wind is the convex hull of the polar
//! curve, its mirror image and the origin. Along a course it is where the ray leaves that hull.

use super::headings::{Headings, Velocity, sin_cos};
use super::polar::Polar;
use crate::units::wrap_180_deg;

/// The half of the hull with the wind on one side, from dead upwind to dead downwind. The other
/// half is its mirror image, so the wind's axis closes it.
pub(super) struct ConvexHull {
    /// Corners by rising angle off the wind; the first and last lie on the wind's axis.
    corners: Vec<Velocity>,
}

/// Reads a hull along courses ever further off the wind, in one turn around it.
pub(super) struct Turn<'a> {
    corners: &'a [Velocity],
    edge: usize,
}

impl ConvexHull {
    /// The hull in one wind, given the boat speeds at the polar's angles and what is left of a speed
    /// on a heading at sea.
    ///
    /// A Graham scan: the curve comes sorted by angle about the origin, and the origin is inside
    /// or on the hull.
    pub(super) fn new(
        headings: &Headings,
        table_speeds_kn: &[f64],
        left_kn: impl Fn(f64, f64) -> f64,
    ) -> Self {
        // The mirror image puts the hull's farthest points up and down wind on the axis.
        let curve = || {
            headings
                .velocities(table_speeds_kn, &left_kn)
                .map(|(_, velocity)| velocity)
        };
        let (mut upwind_kn, mut downwind_kn) = (0.0_f64, 0.0_f64);
        for velocity in curve() {
            upwind_kn = upwind_kn.max(velocity.to_windward_kn);
            downwind_kn = downwind_kn.min(velocity.to_windward_kn);
        }
        let mut corners = vec![Velocity {
            to_windward_kn: upwind_kn,
            across_kn: 0.0,
        }];
        let end = Velocity {
            to_windward_kn: downwind_kn,
            across_kn: 0.0,
        };
        for point in curve().chain([end]) {
            while let [.., before, last] = corners[..]
                && cross(minus(last, before), minus(point, last)) <= 0.0
            {
                corners.pop();
            }
            corners.push(point);
        }
        Self { corners }
    }

    /// Starts a turn around the hull from dead upwind.
    pub(super) fn turn(&self) -> Turn<'_> {
        Turn {
            corners: &self.corners,
            edge: 0,
        }
    }
}

impl Turn<'_> {
    /// Progress along a course, kn, given the sine and cosine of its angle off the wind, which is
    /// no smaller than the one asked before.
    pub(super) fn progress_kn(&mut self, (sin, cos): (f64, f64)) -> f64 {
        let course = Velocity {
            to_windward_kn: cos,
            across_kn: sin,
        };
        while self.edge + 2 < self.corners.len()
            && cross(self.corners[self.edge + 1], course) >= 0.0
        {
            self.edge += 1;
        }
        let (from, to) = (self.corners[self.edge], self.corners[self.edge + 1]);
        let area = cross(from, to);
        // An edge through the origin: there is nothing to be made good on this side of it.
        if area <= 0.0 {
            return 0.0;
        }
        area / cross(course, minus(to, from))
    }
}

/// The largest progress along a course, kn, tacking or gybing where that pays.
///
/// `true_wind_speed_kn` is 0 or more; `angle_off_course_deg` is the angle between the wind and the
/// course. Computed from the polar itself, to 0.001 kn; [`CourseMadeGood`](super::CourseMadeGood)
/// is the fast table of it.
///
/// Formula: with time shared between headings whose cross-track motion cancels, the progress is
/// the distance from the origin to the convex hull of the polar curve along the course
/// (plane geometry).
pub fn course_made_good_kn(
    polar: &Polar,
    true_wind_speed_kn: f64,
    angle_off_course_deg: f64,
) -> f64 {
    let table_speeds_kn = polar.speeds_at_wind_kn(true_wind_speed_kn);
    let hull = ConvexHull::new(&Headings::of(polar), &table_speeds_kn, |_, speed_kn| {
        speed_kn
    });
    hull.turn()
        .progress_kn(sin_cos(wrap_180_deg(angle_off_course_deg).abs()))
}

fn minus(a: Velocity, b: Velocity) -> Velocity {
    Velocity {
        to_windward_kn: a.to_windward_kn - b.to_windward_kn,
        across_kn: a.across_kn - b.across_kn,
    }
}

fn cross(a: Velocity, b: Velocity) -> f64 {
    a.to_windward_kn * b.across_kn - a.across_kn * b.to_windward_kn
}
