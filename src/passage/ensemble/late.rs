//! Whether a deadline is kept.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::outcome::Sailed;
use crate::passage::itinerary::Itinerary;
use crate::route::hours_to;
use crate::units::quantile;

/// How a deadline is kept.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Late {
    /// The waypoint's number on its route, from 1.
    pub waypoint: usize,
    /// Its name.
    pub at: String,
    /// The number, from 1, of the stage on which or at whose end it lies.
    pub stage: usize,
    /// The last day on which she is not late, UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub by: Date,
    /// The chance to arrive after it, 0 to 1; passages that do not arrive in 400 days at sea are late.
    pub chance: f64,
    /// Days late in the bad case: what nine passages in ten stay below, 0 where they are not late; none
    /// where they do not arrive.
    pub days_p90: Option<f64>,
    /// Days in hand in the median passage, until the end of the last day; negative where it is late, none
    /// where it does not arrive.
    pub margin_days_p50: Option<f64>,
}

/// Every deadline of a route.
pub(super) fn late(itinerary: &Itinerary, sailed: &Sailed, departure: Date) -> Vec<Late> {
    let deadlines = itinerary.deadlines.iter().zip(&sailed.deadline_marks);
    deadlines
        .map(|(deadline, mark)| {
            let mut hours = sailed.reached_hours(*mark);
            hours.sort_unstable_by(f64::total_cmp);
            // Until the end of the day.
            let by_hours = hours_to(departure, deadline.by) + 24.0;
            let in_time = hours.partition_point(|hours| *hours <= by_hours);
            let days_after = |share| {
                let hours = quantile(&hours, share).filter(|hours| hours.is_finite())?;
                Some((hours - by_hours) / 24.0)
            };
            Late {
                waypoint: deadline.waypoint,
                at: deadline.at.clone(),
                stage: deadline.stage,
                by: deadline.by,
                chance: (hours.len() - in_time) as f64 / hours.len() as f64,
                days_p90: days_after(0.9).map(|days| days.max(0.0)),
                margin_days_p50: days_after(0.5).map(|days| -days),
            }
        })
        .collect()
}
