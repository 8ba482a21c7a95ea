//! A shaped course as JSON: the comparison's records and what shaping adds to them.

use schemars::JsonSchema;
use serde::Serialize;

use super::document::{Document, PositionRecord, document, written};
use super::shaped::ShapedStudy;
use crate::passage::Exposure;
use crate::shaping::Hardship;

/// A shaped course beside the routes drawn: the comparison, and what shaping adds to it.
#[derive(JsonSchema, Serialize)]
pub(super) struct ShapedDocument<'a> {
    #[serde(flatten)]
    comparison: Document<'a>,
    /// The course shaped; it is the last of the routes.
    shaped: ShapedRecord<'a>,
    /// The choice from the fastest course to the gentlest; none unless asked for.
    trade_off: Option<TradeOffRecord<'a>>,
}

/// The fastest course found on the mean wind under the limits.
#[derive(JsonSchema, Serialize)]
struct ShapedRecord<'a> {
    /// Its name among the routes.
    route: Option<&'a str>,
    /// Its corners from start to end, joined by great circles.
    corners: Vec<PositionRecord>,
    /// The limits it keeps.
    limits: Vec<LimitRecord>,
    /// Whether a wait that the search does not look for would bring an earlier arrival.
    waiting_pays: bool,
}

/// One limit and its cost.
#[derive(JsonSchema, Serialize)]
struct LimitRecord {
    /// The limit with its value, in words.
    limit: String,
    /// How much faster the course would be without it, days.
    costs_days: Option<f64>,
}

/// Courses from the fastest to the gentlest by one hardship; those on which the boat stalls are
/// left out.
#[derive(JsonSchema, Serialize)]
struct TradeOffRecord<'a> {
    /// The hardship to have less of.
    #[schemars(extend("enum" = Hardship::ALL.map(Hardship::name)))]
    hardship: &'static str,
    /// The courses, the fastest first.
    courses: Vec<CourseRecord<'a>>,
}

/// One course of a trade-off, on the mean wind.
#[derive(JsonSchema, Serialize)]
struct CourseRecord<'a> {
    /// Its name.
    name: &'a str,
    /// Hours under way that the search gave for an hour less of the hardship.
    price_hours_an_hour: f64,
    /// Length over the ground, nautical miles.
    distance_nm: f64,
    /// Days under way.
    days: f64,
    /// What is met, as shares of the time.
    exposure: Exposure,
    /// Its corners from start to end, joined by great circles.
    corners: Vec<PositionRecord>,
}

/// The report on a shaped course as JSON, indented.
pub fn shaped_json(shaped: &ShapedStudy<'_>) -> String {
    let limits = shaped.limits.in_force().into_iter().map(|limit| {
        let cost = shaped.limit_costs.iter().find(|cost| cost.limit == limit);
        LimitRecord {
            limit: shaped.limits.describe(limit),
            costs_days: cost.map(|cost| cost.days),
        }
    });
    let corners =
        |places: &[crate::geodesy::Position]| places.iter().map(|&at| at.into()).collect();
    written(&ShapedDocument {
        comparison: document(&shaped.study),
        shaped: ShapedRecord {
            route: shaped.study.voyage.routes.last().map(|route| route.name()),
            corners: corners(&shaped.shaped.corners),
            limits: limits.collect(),
            waiting_pays: shaped.shaped.waiting_pays,
        },
        trade_off: shaped.trade_off.as_ref().map(|trade_off| TradeOffRecord {
            hardship: trade_off.hardship.name(),
            courses: trade_off
                .arriving()
                .map(|choice| CourseRecord {
                    name: choice.route.name(),
                    price_hours_an_hour: choice.course.prices.of(trade_off.hardship),
                    distance_nm: choice.passage.distance_nm,
                    days: choice.passage.days(),
                    exposure: choice.passage.exposure,
                    corners: corners(&choice.course.corners),
                })
                .collect(),
        }),
    })
}
