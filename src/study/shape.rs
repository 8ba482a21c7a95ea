//! The fastest course under the crew's own limits, beside the routes drawn.

use schemars::JsonSchema;
use serde::Serialize;

use super::compare::{Comparison, sail};
use super::sea_ends::{InlandEnd, SeaEnds};
use super::trade_off::{TradeOff, unused_name};
use super::{Options, StudyError};
use crate::geodesy::Position;
use crate::route::{Land, LandCheck, Route};
use crate::shaping::{Hardship, Limit, Limits, Shaped, Shaper, ShapingError};
use crate::voyage::Voyage;

/// What is asked of a course.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct ShapeOptions {
    /// Where it starts, if not where the voyage's first route does.
    pub from: Option<Position>,
    /// Where it ends, if not where the voyage's first route does.
    pub to: Option<Position>,
    /// What the crew will not do.
    pub limits: Limits,
    /// The hardship for a trade-off, if one is wanted.
    pub trade_off: Option<Hardship>,
    /// The step of the coarse grid, degrees: within [`Task::GRID_DEG`](crate::shaping::Task::GRID_DEG).
    pub grid_deg: f64,
}

impl Default for ShapeOptions {
    /// Between the first route's ends, without limits, on a grid of a degree.
    fn default() -> Self {
        Self {
            from: None,
            to: None,
            limits: Limits::default(),
            trade_off: None,
            grid_deg: 1.0,
        }
    }
}

/// A course shaped beside the routes drawn: the comparison, in which it is the last of the routes,
/// and what shaping adds to it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct Shaping {
    /// The comparison.
    #[serde(flatten)]
    pub comparison: Comparison,
    /// The course shaped.
    pub shaped: ShapedCourse,
    /// The choice from the fastest course to the gentlest; none unless asked for.
    pub trade_off: Option<TradeOff>,
}

/// The fastest course found on the mean wind under the limits.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct ShapedCourse {
    /// Its name among the routes.
    pub route: String,
    /// Its corners from start to end, joined by great circles.
    pub corners: Vec<Position>,
    /// The ends that lie on land by the coarse outlines; the search went from the sea near them.
    pub inland_ends: Vec<InlandEnd>,
    /// The limits it keeps.
    pub limits: Vec<LimitCost>,
    /// Whether a wait that the search does not look for would bring an earlier arrival.
    pub waiting_pays: bool,
}

/// One limit and its cost.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct LimitCost {
    /// The limit with its value, in words.
    pub limit: String,
    /// Which it is.
    #[serde(skip)]
    pub kind: Limit,
    /// How much faster the course would be without it, days.
    pub costs_days: f64,
}

/// Shapes a course for a voyage. Routes between other ends than the course's are left out of the
/// comparison.
///
/// # Errors
/// Limits that cross, that an end breaks or that leave no way; an end on land and not a harbour's
/// distance from the sea; a route with stops between these ends; winds that cannot be read or have a
/// gap.
pub fn shape(
    voyage: &Voyage,
    options: &Options,
    asked: &ShapeOptions,
) -> Result<Shaping, StudyError> {
    asked.limits.check()?;
    let mut voyage = voyage.clone();
    let ends = ends(&voyage, asked);
    let [from, to] = &ends;
    let same_ends = |route: &Route| {
        let waypoints = route.waypoints();
        waypoints[0].position == from.1 && waypoints[waypoints.len() - 1].position == to.1
    };
    if asked.from.is_some() || asked.to.is_some() {
        // Routes between other ends are no comparison.
        voyage.routes.retain(same_ends);
        voyage.name = format!("{} to {}", from.1, to.1);
    }

    if let Some((route, stop)) = first_stop(&voyage.routes) {
        return Err(ShapingError::Stops { route, stop }.into());
    }
    let drawn = voyage.routes.iter().filter(|route| same_ends(route));
    let drawn: Vec<&Route> = drawn.collect();
    let sea_ends = SeaEnds::of(&ends);
    let waters = sea_ends.waters(&voyage)?;
    let climate = &waters.1;
    let shaper = Shaper::new(sea_ends.task(&voyage, &waters, &drawn, asked.grid_deg))?;
    let limits = &asked.limits;
    let names = [0, 1].map(|end| ends[end].0.as_str());
    let mut trade_off = None;
    let shaped = match asked.trade_off {
        Some(hardship) => {
            let courses = shaper.trade_off(limits, hardship)?.into_iter();
            let courses: Vec<Shaped> = courses.map(|course| sea_ends.with_own(course)).collect();
            let kept = drawn.iter().copied().filter(|route| {
                let land = LandCheck::of(route, Land::natural_earth());
                land.crossings.is_empty() && shaper.keeps(limits, &sea_ends.corners_at_sea(route))
            });
            let kept: Vec<&Route> = kept.collect();
            let choice = TradeOff::new(hardship, &courses, &kept, &voyage, climate, names)?;
            // The courses of a trade-off may be faster than the one found without it.
            let corners = choice.fastest_shaped().map(|course| &course.corners);
            let fastest = courses
                .iter()
                .find(|course| Some(&course.corners) == corners);
            trade_off = Some(choice);
            fastest.or(courses.first()).cloned()
        }
        None => None,
    };
    let shaped = match shaped {
        Some(shaped) => shaped,
        None => sea_ends.with_own(shaper.fastest(limits)?),
    };
    let costs = limit_costs(&shaper, limits, &shaped)?;
    drop(shaper);

    let name = unused_name(&voyage, "Shaped");
    let mut route = shaped.route(&name, names).map_err(ShapingError::from)?;
    if let Some(day) = voyage.arrive_by {
        route = route.arriving_by(day);
    }
    voyage.routes.push(route);
    let (comparison, _) = sail(&voyage, climate, options)?;
    Ok(Shaping {
        shaped: ShapedCourse {
            route: name,
            corners: shaped.corners,
            inland_ends: sea_ends.inland.into_iter().flatten().collect(),
            limits: costs,
            waiting_pays: shaped.waiting_pays,
        },
        comparison,
        trade_off,
    })
}

/// The first route with a stop, and where that is.
fn first_stop(routes: &[Route]) -> Option<(String, String)> {
    let route = routes.iter().find(|route| route.has_stops())?;
    let stop = route.stages()[0].to.to_owned();
    Some((route.name().to_owned(), stop))
}

/// The ends' names and places: those asked for, or the first route's.
fn ends(voyage: &Voyage, asked: &ShapeOptions) -> [(String, Position); 2] {
    let first = voyage.routes[0].waypoints();
    let drawn = [&first[0], &first[first.len() - 1]];
    [(asked.from, "Start", drawn[0]), (asked.to, "End", drawn[1])].map(|(asked, name, end)| {
        match asked {
            Some(place) => (name.to_owned(), place),
            None => (end.name.clone(), end.position),
        }
    })
}

/// How much faster the course would be without each limit.
fn limit_costs(
    shaper: &Shaper<'_>,
    limits: &Limits,
    shaped: &Shaped,
) -> Result<Vec<LimitCost>, StudyError> {
    let set = limits.in_force().into_iter();
    set.map(|kind| {
        let without = shaper.fastest(&limits.without(kind))?;
        Ok(LimitCost {
            limit: limits.describe(kind),
            kind,
            costs_days: shaped.days - without.days,
        })
    })
    .collect()
}
