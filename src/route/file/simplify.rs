//! Few waypoints for many recorded points.

use crate::geodesy::{Earth, Position};
use crate::units::METRES_PER_NM;

/// On a Mercator chart a point nearer to a pole than this is drawn there, in degrees: the chart has
/// no poles. It is half a mile on the Earth.
const LAST_LATITUDE_DEG: f64 = 89.99;

/// A point on a Mercator chart of the ellipsoid, in radians of longitude.
struct Plotted {
    x: f64,
    y: f64,
    /// Length on the Earth over length on the chart, in nautical miles.
    scale_nm: f64,
}

/// Which points to keep, the first and the last among them, so that no point lies more than
/// `tolerance_nm` nautical miles from the rhumb lines between those kept; none where that takes more
/// than `most`, since every point kept may cost a look at all the others.
///
/// The method of Douglas and Peucker (Cartographica 10, 112-122, 1973; from memory) on a Mercator
/// chart of the ellipsoid, where a rhumb line is straight and the scale about a point is the same
/// every way.
pub(super) fn kept(points: &[Position], tolerance_nm: f64, most: usize) -> Option<Vec<usize>> {
    let chart = plotted(points);
    let Some(last) = chart.len().checked_sub(1) else {
        return Some(Vec::new());
    };
    let mut keep = vec![false; chart.len()];
    (keep[0], keep[last]) = (true, true);
    let mut count = 2;
    let mut spans = vec![(0, last)];
    while let Some((start, end)) = spans.pop() {
        let line = Straight::new(&chart[start], &chart[end]);
        let farthest = (start + 1..end)
            .map(|index| (line.off2_nm2(&chart[index]), index))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((off2_nm2, index)) = farthest
            && off2_nm2 > tolerance_nm * tolerance_nm
        {
            if count == most {
                return None;
            }
            count += 1;
            keep[index] = true;
            spans.extend([(start, index), (index, end)]);
        }
    }
    Some((0..=last).filter(|index| keep[*index]).collect())
}

fn plotted(points: &[Position]) -> Vec<Plotted> {
    let mut x_deg = points.first().map_or(0.0, Position::longitude_deg);
    let mut before_deg = x_deg;
    points
        .iter()
        .map(|point| {
            x_deg += crate::units::wrap_180_deg(point.longitude_deg() - before_deg);
            before_deg = point.longitude_deg();
            let latitude_deg = point
                .latitude_deg()
                .clamp(-LAST_LATITUDE_DEG, LAST_LATITUDE_DEG);
            Plotted {
                x: x_deg.to_radians(),
                y: Earth::WGS84.isometric_latitude(latitude_deg),
                scale_nm: Earth::WGS84.parallel_radius_m(latitude_deg) / METRES_PER_NM,
            }
        })
        .collect()
}

/// A straight line on the chart.
struct Straight {
    x: f64,
    y: f64,
    way_x: f64,
    way_y: f64,
    /// 1 over its length squared; 0 for a line without length, or whose length squared is no number to
    /// divide by.
    per_length2: f64,
}

impl Straight {
    fn new(a: &Plotted, b: &Plotted) -> Self {
        let (way_x, way_y) = (b.x - a.x, b.y - a.y);
        let length2 = way_x * way_x + way_y * way_y;
        let per_length2 = if length2.is_normal() {
            1.0 / length2
        } else {
            0.0
        };
        Self {
            x: a.x,
            y: a.y,
            way_x,
            way_y,
            per_length2,
        }
    }

    /// How far a point is from it, in nautical miles, squared.
    fn off2_nm2(&self, point: &Plotted) -> f64 {
        let (x, y) = (point.x - self.x, point.y - self.y);
        let along = ((x * self.way_x + y * self.way_y) * self.per_length2).clamp(0.0, 1.0);
        let (x, y) = (x - along * self.way_x, y - along * self.way_y);
        (x * x + y * y) * point.scale_nm * point.scale_nm
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geodesy::{LegKind, LegTrack, Step};
    use proptest::prelude::*;

    const MOST: usize = 1000;

    fn kept(points: &[Position], tolerance_nm: f64) -> Vec<usize> {
        super::kept(points, tolerance_nm, MOST).unwrap()
    }

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    #[test]
    fn a_straight_run_keeps_its_ends_and_a_corner_stays() {
        // 60 points a leg along two rhumb lines over the antimeridian.
        let corners = [at(-40.0, 170.0), at(-45.0, -175.0), at(-30.0, -170.0)];
        let mut track = vec![corners[0]];
        for ends in corners.windows(2) {
            let leg = LegTrack::new(ends[0], ends[1], LegKind::Rhumb).unwrap();
            let step = Step::from_nm(leg.length_nm() / 60.0).unwrap();
            track.extend(leg.segments(step).iter().map(|cut| cut.midpoint.position));
            track.push(ends[1]);
        }
        let kept: Vec<Position> = kept(&track, 0.2).into_iter().map(|i| track[i]).collect();
        assert_eq!(kept, corners);
    }

    /// On the sphere's chart the middle of this line lies 0.6 nm and more from the straight.
    #[test]
    fn a_rhumb_line_over_forty_degrees_of_latitude_is_straight() {
        for (from, to) in [
            (at(-55.0, 0.0), at(-15.0, 60.0)),
            (at(20.0, 3.0), at(60.0, -50.0)),
        ] {
            let leg = LegTrack::new(from, to, LegKind::Rhumb).unwrap();
            let segments = leg.segments(Step::default());
            let mut track: Vec<Position> = vec![from];
            track.extend(segments.iter().map(|cut| cut.midpoint.position));
            track.push(to);
            assert_eq!(kept(&track, 0.01), [0, track.len() - 1]);
        }
    }

    /// Each point kept leaves all the others but one to be looked at.
    #[test]
    fn a_track_that_winds_without_end_is_given_up() {
        let winding = |count: usize| {
            let place = |n: usize| {
                at(
                    1e-4 * n as f64 * if n.is_multiple_of(2) { 1.0 } else { -1.0 },
                    0.0,
                )
            };
            super::kept(&(0..count).map(place).collect::<Vec<_>>(), 0.001, MOST)
        };
        assert_eq!(winding(MOST).unwrap().len(), MOST);
        assert_eq!(winding(MOST + 1), None);
        assert_eq!(winding(200_000), None);
    }

    #[test]
    fn a_boat_at_anchor_and_a_loop_are_no_trouble() {
        assert_eq!(kept(&[], 1.0), [0usize; 0]);
        assert_eq!(kept(&[at(1.0, 2.0)], 1.0), [0]);
        assert_eq!(kept(&[at(1.0, 2.0); 9], 1.0), [0, 8]);
        let there_and_back = [at(0.0, 0.0), at(0.0, 1.0), at(0.0, 0.0)];
        assert_eq!(kept(&there_and_back, 1.0), [0, 1, 2]);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]
        #[test]
        fn no_point_is_farther_off_than_the_tolerance(
            steps in prop::collection::vec((-0.2f64..0.2, -0.3f64..0.3), 2..80),
            (latitude_deg, longitude_deg) in (-60.0f64..60.0, -180.0f64..180.0),
        ) {
            let mut place = (latitude_deg, longitude_deg);
            let track: Vec<Position> = steps
                .iter()
                .map(|step| {
                    place = (place.0 + step.0, place.1 + step.1);
                    at(place.0, crate::units::wrap_180_deg(place.1))
                })
                .collect();
            let kept = kept(&track, 1.0);
            for span in kept.windows(2) {
                let Ok(leg) = LegTrack::new(track[span[0]], track[span[1]], LegKind::Rhumb) else {
                    continue;
                };
                // Points along the leg every hundredth, so the nearest is that near at least.
                let on_leg: Vec<Position> = (0..=100)
                    .map(|n| leg.at_nm(leg.length_nm() * f64::from(n) / 100.0).unwrap().position)
                    .collect();
                for point in &track[span[0]..=span[1]] {
                    let nearest_nm = on_leg
                        .iter()
                        .map(|on| LegTrack::new(*point, *on, LegKind::GreatCircle)
                            .map_or(0.0, |gap| gap.length_nm()))
                        .fold(f64::INFINITY, f64::min);
                    prop_assert!(nearest_nm < 1.05 + leg.length_nm() / 200.0, "{nearest_nm}");
                }
            }
        }
    }
}
