//! The choice from the fastest course to the gentlest by one hardship, on the mean wind.

use schemars::JsonSchema;
use serde::Serialize;

use super::StudyError;
use crate::climate::Climate;
use crate::geodesy::Position;
use crate::passage::{ExpectedPassage, Walk};
use crate::route::Route;
use crate::shaping::{Hardship, Member, Shaped, ShapingError, Standing, corners_of, curve};
use crate::voyage::Voyage;

/// Courses from the fastest to the gentlest by one hardship: those shaped, and the routes drawn that
/// keep the limits and that none of them beats. Those on which the boat stalls are left out.
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
    /// Its name; a route drawn keeps its own.
    pub name: String,
    /// Its number, the fastest being 1.
    pub number: usize,
    /// Whether it is a route drawn and not a course shaped.
    pub drawn: bool,
    /// Hours under way that the search gave for an hour less of the hardship; none for a route
    /// drawn.
    pub price_hours_an_hour: Option<f64>,
    /// Its passage on the mean wind.
    pub expected: ExpectedPassage,
    /// Its corners from start to end, joined by great circles; those of a route drawn on other lines
    /// have as many places between as it takes to keep close to them.
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

/// A course or a route with its passage on the mean wind.
struct Walked<'a> {
    /// The course shaped it is; none for a route drawn.
    shaped: Option<&'a Shaped>,
    route: Route,
    expected: ExpectedPassage,
}

impl TradeOff {
    /// The trade-off of the `shaped` and the `drawn`, as their passages on the mean wind turn out.
    pub(super) fn new(
        hardship: Hardship,
        shaped: &[Shaped],
        drawn: &[&Route],
        voyage: &Voyage,
        climate: &Climate,
        ends: [&str; 2],
    ) -> Result<Self, StudyError> {
        let walked = |shaped, route: Route| {
            Ok::<_, StudyError>(match voyage.walk(&route, climate)? {
                Walk::Arrives(expected) => Some(Walked {
                    shaped,
                    route,
                    expected: *expected,
                }),
                Walk::Stalls(_) => None,
            })
        };
        let mut courses = Vec::with_capacity(shaped.len());
        for course in shaped {
            // Named by their numbers once these are known.
            let route = course.route("Course", ends).map_err(ShapingError::from)?;
            courses.extend(walked(Some(course), route)?);
        }
        let mut routes = Vec::with_capacity(drawn.len());
        for route in drawn {
            routes.extend(walked(None, (*route).clone())?);
        }
        let standings = |of: &[Walked<'_>]| -> Vec<Standing> {
            of.iter()
                .map(|walked| Standing {
                    days: walked.expected.days,
                    share: hardship.share(&walked.expected.exposure),
                })
                .collect()
        };
        let members = curve(&standings(&courses), &standings(&routes));
        let courses = members.into_iter().enumerate().map(|(index, member)| {
            let walked = match member {
                Member::Shaped(index) => &courses[index],
                Member::Drawn(index) => &routes[index],
            };
            TradeOffCourse::new(index + 1, walked, hardship, voyage, ends)
        });
        Ok(Self {
            hardship,
            courses: courses.collect::<Result<_, _>>()?,
        })
    }
}

impl TradeOff {
    /// The fastest of the courses shaped.
    pub fn fastest_shaped(&self) -> Option<&TradeOffCourse> {
        self.courses.iter().find(|course| !course.drawn)
    }
}

impl TradeOffCourse {
    fn new(
        number: usize,
        walked: &Walked<'_>,
        hardship: Hardship,
        voyage: &Voyage,
        ends: [&str; 2],
    ) -> Result<Self, StudyError> {
        let route = match walked.shaped {
            // Not as the waypoints of the course shaped are named, after it.
            Some(course) => {
                let name = unused_name(voyage, &format!("Course {number}"));
                course.route(&name, ends).map_err(ShapingError::from)?
            }
            None => walked.route.clone(),
        };
        let mut expected = walked.expected.clone();
        for (leg, named) in expected.legs.iter_mut().zip(route.legs()) {
            leg.from.clone_from(&named.from);
            leg.to.clone_from(&named.to);
        }
        Ok(Self {
            name: route.name().to_owned(),
            number,
            drawn: walked.shaped.is_none(),
            price_hours_an_hour: walked.shaped.map(|course| course.prices.of(hardship)),
            expected,
            corners: match walked.shaped {
                Some(course) => course.corners.clone(),
                None => corners_of(&route),
            },
            route,
        })
    }
}

/// A name that no route of the voyage has: this one, or with a number behind it.
pub(super) fn unused_name(voyage: &Voyage, name: &str) -> String {
    let taken = |name: &str| voyage.routes.iter().any(|route| route.name() == name);
    let numbered = (2..).map(|number| format!("{name} ({number})"));
    std::iter::once(name.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .unwrap_or_default()
}
