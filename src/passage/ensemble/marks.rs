//! The places on a route at which something is noted of a member: her deadlines, stops and end.

use jiff::civil::Date;

use crate::passage::itinerary::Itinerary;
use crate::route::{Goods, hours_to};

/// A place on a route.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mark {
    /// From the route's start, nautical miles.
    pub run_nm: f32,
    /// What she does there.
    pub then: Then,
}

/// What a member does at a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Then {
    /// She goes on.
    GoOn,
    /// She stays so many hours at least and leaves no earlier than an hour after the departure,
    /// with full tanks or without.
    Stay {
        least_hours: f64,
        not_before_hours: f64,
        refuels: bool,
    },
    /// The passage ends.
    End,
}

/// The marks of a route in the order they are reached, the last of them its end; and the number of each
/// deadline's mark.
pub(super) fn marks(
    itinerary: &Itinerary,
    length_nm: f64,
    departure: Date,
) -> (Vec<Mark>, Vec<usize>) {
    let ends = itinerary.stages.iter().map(|stage| match &stage.stop {
        None => (length_nm, Then::End),
        Some(stop) => {
            let not_before_hours = stop.not_before().map(|day| hours_to(departure, day));
            let then = Then::Stay {
                least_hours: stop.least_hours(),
                not_before_hours: not_before_hours.unwrap_or(f64::NEG_INFINITY),
                refuels: stop.has(Goods::Diesel),
            };
            (stage.end_nm, then)
        }
    });
    let ends: Vec<(f64, Then)> = ends.collect();
    let passed = itinerary.deadlines.iter().map(|deadline| deadline.run_nm);
    let passed = passed.filter(|run_nm| ends.iter().all(|(end_nm, _)| end_nm != run_nm));
    let mut all: Vec<(f64, Then)> = passed.map(|run_nm| (run_nm, Then::GoOn)).collect();
    all.extend(&ends);
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let of_deadlines = itinerary.deadlines.iter().map(|deadline| {
        let after = all.partition_point(|(run_nm, _)| *run_nm < deadline.run_nm);
        after.min(all.len() - 1)
    });
    let of_deadlines = of_deadlines.collect();
    let marks = all.into_iter().map(|(run_nm, then)| Mark {
        run_nm: run_nm as f32,
        then,
    });
    (marks.collect(), of_deadlines)
}
