//! Points so dense that a leg looks the same on every plotter.

use crate::geodesy::{LegKind, LegTrack, Position, TrackPoint};

/// How far a plotter's line may lie from the leg, in nautical miles.
pub const MOST_ASTRAY_NM: f64 = 0.1;

/// Where along a stretch its drawn line is compared with the leg. A bow is farthest off half way, an
/// S about a quarter from its ends.
const LOOKS: [f64; 3] = [0.25, 0.5, 0.75];

/// What the looks see at least of the farthest point: 0.974 of that of an S, at 0.21, and 0.914 of that
/// of a bow and an S together, at 0.63.
const SEEN: f64 = 0.91;

/// No stretch this short is cut again, in nautical miles: it holds for lines over a pole, where
/// straight in longitude and latitude leads round it.
const SHORTEST_NM: f64 = MOST_ASTRAY_NM;

/// Points along a leg, its ends among them, so near to each other that a plotter's line between them
/// is within [`MOST_ASTRAY_NM`] of the leg, whether the plotter draws rhumb lines (straight on a
/// Mercator chart), great circles, or lines straight in longitude and latitude as RFC 7946 says.
///
/// Each stretch is halved until that holds. Along a parallel the points are `51 nm /
/// sqrt(tan(latitude))` apart at most, which is 67 nm at 30 degrees, 47 at 50 and 39 at 60, and no
/// nearer than half of that; a leg along a meridian or the equator needs its ends only.
pub fn plotted(track: &LegTrack) -> Vec<Position> {
    let length_nm = track.length_nm();
    let mut points = vec![track.from()];
    let mut stretches = vec![(0.0, track.from(), length_nm, track.to())];
    while let Some((start_nm, start, end_nm, end)) = stretches.pop() {
        let middle_nm = (start_nm + end_nm) / 2.0;
        let middle = track.at_nm(middle_nm).map(|point| point.position);
        match middle {
            Some(middle)
                if end_nm - start_nm > SHORTEST_NM
                    && astray_nm(track, (start_nm, start), (end_nm, end))
                        > SEEN * MOST_ASTRAY_NM =>
            {
                stretches.push((middle_nm, middle, end_nm, end));
                stretches.push((start_nm, start, middle_nm, middle));
            }
            _ => points.push(end),
        }
    }
    points
}

/// How far any plotter's line from `start` to `end` lies from the leg, at the looks.
fn astray_nm(track: &LegTrack, start: (f64, Position), end: (f64, Position)) -> f64 {
    let mut most_nm = 0f64;
    let drawn: Vec<LegTrack> = [LegKind::Rhumb, LegKind::GreatCircle]
        .into_iter()
        .filter_map(|kind| LegTrack::new(start.1, end.1, kind).ok())
        .collect();
    for look in LOOKS {
        let Some(point) = track.at_nm(start.0 + look * (end.0 - start.0)) else {
            continue;
        };
        let on_drawn = drawn
            .iter()
            .filter_map(|line| line.at_nm(look * line.length_nm()))
            .map(|on| on.position);
        for place in on_drawn.chain(straight_in_degrees(start.1, end.1, look)) {
            most_nm = most_nm.max(across_nm(&point, place));
        }
    }
    most_nm
}

/// The point a share of the way along the line that is straight in longitude and latitude.
fn straight_in_degrees(a: Position, b: Position, share: f64) -> Option<Position> {
    let easting_deg = crate::units::wrap_180_deg(b.longitude_deg() - a.longitude_deg());
    Position::new(
        a.latitude_deg() + share * (b.latitude_deg() - a.latitude_deg()),
        a.longitude_deg() + share * easting_deg,
    )
    .ok()
}

/// How far `place` lies to one side of the leg near `point`, in nautical miles.
fn across_nm(point: &TrackPoint, place: Position) -> f64 {
    LegTrack::new(point.position, place, LegKind::GreatCircle).map_or(0.0, |gap| {
        let off_course_deg = gap.start().course.deg() - point.course.deg();
        (gap.length_nm() * off_course_deg.to_radians().sin()).abs()
    })
}
