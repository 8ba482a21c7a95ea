//! Which route is the quicker: decided here and nowhere else.

use schemars::JsonSchema;
use serde::Serialize;

use super::compare::{Pair, RouteResult};

/// Medians that differ by less than this share of the slower are called equal.
const EQUAL_SHARE: f64 = 0.03;

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
}

impl Verdict {
    pub(super) fn of(routes: &[RouteResult]) -> Self {
        let mut arriving: Vec<(f64, &RouteResult)> = routes
            .iter()
            .filter_map(|route| Some((route.ensemble.days.p50?, route)))
            .collect();
        arriving.sort_by(|a, b| a.0.total_cmp(&b.0));
        let first_two = match &arriving[..] {
            [(_, quick), (_, slow), ..] => Some(Pair::of(quick, slow)),
            _ => None,
        };
        let clear = match &arriving[..] {
            [(quick_days, _), (slow_days, _), ..] => {
                slow_days - quick_days >= EQUAL_SHARE * slow_days
            }
            _ => false,
        };
        let by_median_days: Vec<String> = arriving
            .iter()
            .map(|(_, route)| route.name.clone())
            .collect();
        Self {
            quicker: by_median_days.first().filter(|_| clear).cloned(),
            by_median_days,
            first_two,
        }
    }
}
