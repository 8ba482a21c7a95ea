//! The fastest course under the crew's own limits, beside the routes drawn.

use schemars::JsonSchema;
use serde::Serialize;

use super::compare::{Comparison, sail};
use super::{Options, StudyError};
use crate::climate::Climate;
use crate::geodesy::Position;
use crate::passage::{ExpectedPassage, Walk};
use crate::route::{Land, Route};
use crate::shaping::{
    Hardship, Limit, Limits, Shaped, Shaper, ShapingError, Task, corners_of, search_region,
};
use crate::voyage::Voyage;

/// Room about the waters searched for which climate is kept, in degrees, so that the nodes beside
/// their edge are there.
const CLIMATE_ROOM_DEG: f64 = 5.0;

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
    /// The step of the coarse grid, degrees: within [`Task::GRID_DEG`].
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

/// Courses from the fastest to the gentlest by one hardship; those on which the boat stalls are left
/// out.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct TradeOff {
    /// The hardship to have less of.
    #[schemars(with = "String", extend("enum" = Hardship::ALL.map(Hardship::name)))]
    #[serde(serialize_with = "hardship_name")]
    pub hardship: Hardship,
    /// The courses, the fastest first.
    pub courses: Vec<TradeOffCourse>,
}

/// One course of a trade-off, on the mean wind.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct TradeOffCourse {
    /// Its name.
    pub name: String,
    /// Its number, the fastest being 1.
    #[serde(skip)]
    pub number: usize,
    /// Hours under way that the search gave for an hour less of the hardship.
    pub price_hours_an_hour: f64,
    /// Its passage on the mean wind.
    pub expected: ExpectedPassage,
    /// Its corners from start to end, joined by great circles.
    pub corners: Vec<Position>,
    /// The course as a route.
    #[serde(skip)]
    pub route: Route,
}

fn hardship_name<S: serde::Serializer>(
    hardship: &Hardship,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(hardship.name())
}

/// Shapes a course for a voyage. Routes between other ends than the course's are left out of the
/// comparison.
///
/// # Errors
/// Limits that cross, that an end breaks or that leave no way; winds that cannot be read or have a
/// gap.
pub fn shape(
    voyage: &Voyage,
    options: &Options,
    asked: &ShapeOptions,
) -> Result<Shaping, StudyError> {
    asked.limits.check()?;
    let mut voyage = voyage.clone();
    let [from, to] = ends(&voyage, asked);
    let same_ends = |route: &Route| {
        let waypoints = route.waypoints();
        waypoints[0].position == from.1 && waypoints[waypoints.len() - 1].position == to.1
    };
    if asked.from.is_some() || asked.to.is_some() {
        // Routes between other ends are no comparison.
        voyage.routes.retain(same_ends);
        voyage.name = format!("{} to {}", from.1, to.1);
    }

    let region = search_region(from.1, to.1, &voyage.routes);
    let climate = voyage.open_climate_of(&region.widened(CLIMATE_ROOM_DEG))?;
    let shaper = Shaper::new(Task {
        winds: &climate,
        shore: Land::natural_earth(),
        boat: &voyage.boat,
        departure: voyage.departure,
        from: from.1,
        to: to.1,
        drawn: voyage
            .routes
            .iter()
            .filter(|route| same_ends(route))
            .map(corners_of)
            .collect(),
        sampling: voyage.step,
        region,
        grid_deg: asked.grid_deg,
    })?;
    let limits = &asked.limits;
    let ends = [from.0.as_str(), to.0.as_str()];
    let choices = asked
        .trade_off
        .map(|hardship| Ok::<_, StudyError>((hardship, shaper.trade_off(limits, hardship)?)))
        .transpose()?;
    // The courses of a trade-off may be faster than the one found without it.
    let shaped = match choices.as_ref().and_then(|(_, courses)| courses.first()) {
        Some(first) => first.clone(),
        None => shaper.fastest(limits)?,
    };
    let costs = limit_costs(&shaper, limits, &shaped)?;
    drop(shaper);

    let trade_off = choices
        .map(|(hardship, courses)| TradeOff::new(hardship, &courses, &voyage, &climate, ends))
        .transpose()?;
    let name = unused_name(&voyage);
    let route = shaped.route(&name, ends).map_err(ShapingError::from)?;
    voyage.routes.push(route);
    let (comparison, _) = sail(&voyage, &climate, options)?;
    Ok(Shaping {
        shaped: ShapedCourse {
            route: name,
            corners: shaped.corners,
            limits: costs,
            waiting_pays: shaped.waiting_pays,
        },
        comparison,
        trade_off,
    })
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

impl TradeOff {
    fn new(
        hardship: Hardship,
        courses: &[Shaped],
        voyage: &Voyage,
        climate: &Climate,
        ends: [&str; 2],
    ) -> Result<Self, StudyError> {
        let mut arriving = Vec::with_capacity(courses.len());
        for (index, course) in courses.iter().enumerate() {
            let number = index + 1;
            // Not as the waypoints of the course shaped are named, after it.
            let name = format!("Course {number}");
            let route = course.route(&name, ends).map_err(ShapingError::from)?;
            if let Walk::Arrives(expected) = voyage.walk(&route, climate)? {
                arriving.push(TradeOffCourse {
                    name,
                    number,
                    price_hours_an_hour: course.prices.of(hardship),
                    expected: *expected,
                    corners: course.corners.clone(),
                    route,
                });
            }
        }
        Ok(Self {
            hardship,
            courses: arriving,
        })
    }
}

/// A name for the shaped course that no route of the voyage has.
fn unused_name(voyage: &Voyage) -> String {
    const NAME: &str = "Shaped";
    let taken = |name: &str| voyage.routes.iter().any(|route| route.name() == name);
    let numbered = (2..).map(|number| format!("{NAME} course {number}"));
    std::iter::once(NAME.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .unwrap_or_default()
}
