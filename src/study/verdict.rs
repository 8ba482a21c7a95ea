//! Which route is the quicker: decided here and nowhere else.

use schemars::JsonSchema;
use serde::Serialize;

use super::compare::{Pair, RouteResult};
use super::swings::{Assumption, Swing};

/// Medians that differ by no more than this share of the slower are too close to call.
const EQUAL_SHARE: f64 = 0.05;
/// A difference is known to so many standard errors.
const KNOWN_TO: f64 = 2.0;

/// Which route is quicker in the median, and by how much.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Verdict {
    /// The routes of which half the passages arrive, the quickest in the median first.
    pub by_median_days: Vec<String>,
    /// The quickest route; none where the first two are too close to call, or fewer than two arrive.
    pub quicker: Option<String>,
    /// The first two of `by_median_days` against each other, the quicker first; none where fewer than
    /// two arrive.
    pub first_two: Option<Pair>,
    /// Whether the medians of the first two differ by more than 5 % of the slower's days; none where
    /// fewer than two arrive.
    pub differ: Option<bool>,
    /// The swings in which the second route is the quicker by more than two standard errors, by any
    /// time at all where too few passages leave no standard error, or the first does not arrive.
    pub turned_by: Vec<Assumption>,
}

impl Verdict {
    /// Decides between routes; `swings` are those of the same routes, or none.
    pub(super) fn of(routes: &[RouteResult], swings: &[Swing]) -> Self {
        let mut arriving: Vec<(f64, &RouteResult)> = routes
            .iter()
            .filter_map(|route| Some((route.ensemble.days.p50?, route)))
            .collect();
        arriving.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (first_two, differ) = match &arriving[..] {
            [(quick_days, quick), (slow_days, slow), ..] => (
                Some(Pair::of(quick, slow)),
                Some(slow_days - quick_days > EQUAL_SHARE * slow_days),
            ),
            _ => (None, None),
        };
        let by_median_days: Vec<String> = arriving
            .iter()
            .map(|(_, route)| route.name.clone())
            .collect();
        let turned_by = turned_by(&by_median_days, swings);
        let clear = differ == Some(true) && turned_by.is_empty();
        Self {
            quicker: by_median_days.first().filter(|_| clear).cloned(),
            by_median_days,
            first_two,
            differ,
            turned_by,
        }
    }
}

/// The swings that turn the order of the first two round.
fn turned_by(by_median_days: &[String], swings: &[Swing]) -> Vec<Assumption> {
    let Some(first) = by_median_days.first() else {
        return Vec::new();
    };
    let turns = |swing: &&Swing| {
        swing.first_faster_by_days.is_some_and(|by| match by.p50 {
            Some(days) => days < -KNOWN_TO * by.p50_se.unwrap_or(0.0),
            None => {
                let mut routes = swing.routes.iter();
                routes.any(|route| route.name == *first && route.p50.is_none())
            }
        })
    };
    let turning = swings.iter().filter(turns);
    turning.map(|swing| swing.assumption).collect()
}
