//! A second opinion: the routes' days under another climate.

use super::notes::bullets;
use super::swings::signed;
use super::table::{layout, wrap};
use super::wording::heads;
use crate::study::{Assumption, Comparison, Swing};

/// The swing of the second climate; none where none was given.
fn swing(comparison: &Comparison) -> Option<&Swing> {
    let mut swings = comparison.swings.iter();
    swings.find(|swing| swing.assumption == Assumption::SecondClimate)
}

/// The days of each route under both climates, with what it means for the first two.
pub(super) fn second_opinion(comparison: &Comparison) -> Option<String> {
    let (swing, winds) = (swing(comparison)?, comparison.second_winds.as_ref()?);
    let days = |days: Option<f64>| days.map_or("none".to_owned(), |days| format!("{days:.1}"));
    let heading = heads(&[
        "Days", "median", "second", "change", "P90", "second", "change",
    ]);
    let rows = comparison.routes.iter().zip(&swing.routes);
    let rows: Vec<Vec<String>> = rows
        .map(|(route, second)| {
            let first = &route.ensemble.days;
            let mut row = vec![route.name.clone()];
            for (first, second) in [(first.p50, second.p50), (first.p90, second.p90)] {
                let change = second.zip(first).map(|(second, first)| second - first);
                row.extend([days(first), days(second), signed(change)]);
            }
            row
        })
        .collect();
    let title = wrap(&format!("Second opinion: {}", winds.label), "  ");
    let table = layout(&heading, &rows, 1);
    let said = sentence(comparison, swing).map(|said| format!("\n{}", wrap(&said, "")));
    Some(format!("{title}\n{table}{}", said.unwrap_or_default()))
}

/// What the reader of the second climate has to say about it, if anything.
pub(super) fn about_the_second(comparison: &Comparison) -> Option<String> {
    let winds = comparison.second_winds.as_ref()?;
    (!winds.notes.is_empty())
        .then(|| format!("About the second climate\n{}", bullets(&winds.notes)))
}

/// How far the quickest route leads under either climate.
fn sentence(comparison: &Comparison, swing: &Swing) -> Option<String> {
    let pair = comparison.verdict.first_two.as_ref()?;
    let first = pair.first_faster_by_days.p50?;
    let second = swing.first_faster_by_days.and_then(|by| by.p50);
    let second = second.map_or("one of them does not arrive".to_owned(), |days| {
        format!("it is {} days", signed(Some(days)))
    });
    Some(format!(
        "{} is ahead of {} by {} days at the median; under the second climate {second}. How far the two \
         climates differ is the least by which the winds are uncertain.",
        pair.first,
        pair.second,
        signed(Some(first))
    ))
}
