//! Two routes to begin with, where only the ends are known.

use jiff::ToSpan as _;

use super::StudyError;
use super::sea_ends::SeaEnds;
use super::shape::ShapeOptions;
use crate::climate::{Climate, Month};
use crate::passage::{Walk, months_without_wind};
use crate::route::{Land, LandCheck, Route};
use crate::shaping::{Hardship, Limits, Shaper, ShapingError};
use crate::voyage::Voyage;

/// Two routes between the ends of a voyage.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct FirstRoutes {
    /// The great circle; or where something is in its way, the fastest course that keeps clear of it.
    pub short: Route,
    /// What is in the great circle's way; none where `short` is the great circle.
    pub in_the_way: Option<InTheWay>,
    /// Of the courses that take at most [`FirstRoutes::GENTLE_COSTS`] longer than the fastest, the
    /// one with the least time to windward; none where that is `short`, or she arrives on none.
    pub gentle: Option<Route>,
}

/// What keeps a boat from following the great circle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InTheWay {
    /// It crosses land.
    Land,
    /// It crosses a sea of which no winds are known in the months of the passage, ice as a rule.
    NoWinds,
}

impl FirstRoutes {
    /// How much longer than the fastest course the gentle one may take, as a share of its days (our
    /// choice).
    pub const GENTLE_COSTS: f64 = 0.2;
}

/// Winds are asked for as if a passage took this many times its days on the mean wind (our choice).
const SLOW_TIMES: f64 = 1.5;

/// Routes for a voyage whose first is the great circle between its ends, by the mean wind.
///
/// # Errors
/// No way between the ends; winds that cannot be read or have a gap.
pub fn first_routes(voyage: &Voyage) -> Result<FirstRoutes, StudyError> {
    let drawn = &voyage.routes[0];
    let waypoints = drawn.waypoints();
    let [from, to] = [&waypoints[0], &waypoints[waypoints.len() - 1]];
    let ends = SeaEnds::of(&[from, to].map(|end| (end.name.clone(), end.position)));
    let waters = ends.waters(voyage)?;
    let usual_days = drawn.length_nm() / USUAL_NM_A_DAY;
    let in_the_way = if !LandCheck::of(drawn, Land::natural_earth())
        .crossings
        .is_empty()
    {
        Some(InTheWay::Land)
    } else if !has_winds(voyage, drawn, usual_days, &waters.1) {
        Some(InTheWay::NoWinds)
    } else {
        None
    };
    let also: &[&Route] = if in_the_way.is_some() { &[] } else { &[drawn] };
    let grid_deg = ShapeOptions::default().grid_deg;
    let shaper = Shaper::new(ends.task(voyage, &waters, also, grid_deg))?;
    let shaped = shaper.trade_off(&Limits::default(), Hardship::Headwind)?;
    // The courses on which she arrives, with their days, the fastest first.
    let mut courses = Vec::with_capacity(shaped.len());
    for course in shaped {
        let names = [from.name.as_str(), to.name.as_str()];
        let course = ends.with_own(course);
        let route = course.route("Course", names).map_err(ShapingError::from)?;
        if let Walk::Arrives(expected) = voyage.walk(&route, &waters.1)?
            && has_winds(voyage, &route, expected.days, &waters.1)
        {
            courses.push((expected.days, route));
        }
    }

    let mut courses = courses.into_iter();
    let fastest = courses.next();
    let most_days = fastest
        .as_ref()
        .map_or(0.0, |(days, _)| days * (1.0 + FirstRoutes::GENTLE_COSTS));
    let gentle = courses.take_while(|(days, _)| *days <= most_days).last();
    let gentle = gentle.map(|(_, route)| route);
    let fastest = fastest.map(|(_, route)| route);
    Ok(match (in_the_way, fastest) {
        (Some(_), Some(fastest)) => FirstRoutes {
            short: fastest,
            in_the_way,
            gentle,
        },
        // She arrives on no other course: the comparison warns of it.
        (_, fastest) => FirstRoutes {
            short: drawn.clone(),
            in_the_way: None,
            gentle: gentle.or(fastest),
        },
    })
}

/// A day's run to begin with, where nothing has been sailed yet, nautical miles (common practice, no
/// source).
const USUAL_NM_A_DAY: f64 = 120.0;

/// Whether winds are known all along a route in the months of a passage that may be slow.
fn has_winds(voyage: &Voyage, route: &Route, days: f64, climate: &Climate) -> bool {
    /// Half a month: between the middles of two months the winds of both count.
    const ROOM_DAYS: i32 = 16;
    let last_day = (SLOW_TIMES * days).ceil() as i32 + ROOM_DAYS;
    let mut sailed = (-ROOM_DAYS..=last_day).filter_map(|day| {
        let date = voyage.departure.saturating_add(day.days());
        Month::from_number(date.month() as u8)
    });
    let without = months_without_wind(route, voyage.step, climate);
    !sailed.any(|month| without.contains(&month))
}
