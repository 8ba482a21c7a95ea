//! Two routes to begin with, where only the ends are known.

use super::StudyError;
use super::sea_ends::SeaEnds;
use super::shape::ShapeOptions;
use crate::passage::Walk;
use crate::route::{Land, LandCheck, Route};
use crate::shaping::{Hardship, Limits, Shaper, ShapingError};
use crate::voyage::Voyage;

/// Two routes between the ends of a voyage.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct FirstRoutes {
    /// The great circle; or where that crosses land, the fastest course round it.
    pub short: Route,
    /// Whether the great circle crosses land, and `short` goes round it.
    pub land_in_the_way: bool,
    /// Of the courses that take at most [`FirstRoutes::GENTLE_COSTS`] longer than the fastest, the
    /// one with the least time to windward; none where that is `short`, or she arrives on none.
    pub gentle: Option<Route>,
}

impl FirstRoutes {
    /// How much longer than the fastest course the gentle one may take, as a share of its days (our
    /// choice).
    pub const GENTLE_COSTS: f64 = 0.2;
}

/// Routes for a voyage whose first is the great circle between its ends, by the mean wind.
///
/// # Errors
/// No way between the ends; winds that cannot be read or have a gap.
pub fn first_routes(voyage: &Voyage) -> Result<FirstRoutes, StudyError> {
    let drawn = &voyage.routes[0];
    let land = Land::natural_earth();
    let land_in_the_way = !LandCheck::of(drawn, land).crossings.is_empty();
    let mut courses = courses(voyage, land_in_the_way)?.into_iter();
    let fastest = courses.next();
    let most_days = fastest
        .as_ref()
        .map_or(0.0, |(days, _)| days * (1.0 + FirstRoutes::GENTLE_COSTS));
    let gentle = courses.take_while(|(days, _)| *days <= most_days).last();
    let gentle = gentle.map(|(_, route)| route);
    let fastest = fastest.map(|(_, route)| route);
    Ok(match (land_in_the_way, fastest) {
        (true, Some(fastest)) => FirstRoutes {
            short: fastest,
            land_in_the_way,
            gentle,
        },
        // She arrives on no course round the land: the comparison warns of it.
        (_, fastest) => FirstRoutes {
            short: drawn.clone(),
            land_in_the_way: false,
            gentle: gentle.or(fastest),
        },
    })
}

/// The courses of the trade-off by time to windward on which she arrives, with their days on the mean
/// wind, the fastest first.
fn courses(voyage: &Voyage, land_in_the_way: bool) -> Result<Vec<(f64, Route)>, StudyError> {
    let drawn = &voyage.routes[0];
    let waypoints = drawn.waypoints();
    let [from, to] = [&waypoints[0], &waypoints[waypoints.len() - 1]];
    let ends = SeaEnds::of(&[from, to].map(|end| (end.name.clone(), end.position)));
    let waters = ends.waters(voyage)?;
    let also: &[&Route] = if land_in_the_way { &[] } else { &[drawn] };
    let grid_deg = ShapeOptions::default().grid_deg;
    let shaper = Shaper::new(ends.task(voyage, &waters, also, grid_deg))?;
    let shaped = shaper.trade_off(&Limits::default(), Hardship::Headwind)?;
    let mut courses = Vec::with_capacity(shaped.len());
    for course in shaped {
        let names = [from.name.as_str(), to.name.as_str()];
        let course = ends.with_own(course);
        let route = course.route("Course", names).map_err(ShapingError::from)?;
        if let Walk::Arrives(expected) = voyage.walk(&route, &waters.1)? {
            courses.push((expected.days, route));
        }
    }
    Ok(courses)
}
