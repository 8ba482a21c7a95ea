//! A shaped course as JSON: the comparison's records and what shaping adds to them.

use serde::Serialize;

use super::document::{Document, PositionRecord, document, written};
use super::shaped::ShapedStudy;
use crate::passage::Exposure;

#[derive(Serialize)]
struct ShapedDocument<'a> {
    #[serde(flatten)]
    comparison: Document<'a>,
    shaped: ShapedRecord<'a>,
    trade_off: Option<TradeOffRecord<'a>>,
}

#[derive(Serialize)]
struct ShapedRecord<'a> {
    /// The route's name among the routes.
    route: Option<&'a str>,
    corners: Vec<PositionRecord>,
    limits: Vec<LimitRecord>,
    waiting_pays: bool,
}

#[derive(Serialize)]
struct LimitRecord {
    limit: String,
    costs_days: Option<f64>,
}

#[derive(Serialize)]
struct TradeOffRecord<'a> {
    hardship: &'static str,
    courses: Vec<CourseRecord<'a>>,
}

#[derive(Serialize)]
struct CourseRecord<'a> {
    name: &'a str,
    price_hours_an_hour: f64,
    distance_nm: f64,
    days: f64,
    exposure: Exposure,
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
