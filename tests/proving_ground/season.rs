//! The year's cycle of days from the Cape to Java against two centuries of dates (Dutch-Asiatic
//! Shipping; see `fixtures/reference/logbooks`).
//!
//! Measured: correlation 0.93, and 0.47 of the amplitude. The dates run from the roads of the Cape to
//! those of Batavia, the prediction from gate to gate: the waits in both roadsteads, the way from the
//! gate through Sunda Strait and calls on the way are missing from it, and so are the slower ships of two
//! centuries. How much of the other half each of them makes is not known.

use jiff::civil::date;
use offing::passage::EnsembleRunner;
use serde::Deserialize;

use crate::fleet::{Made, climate, members, own_tracks, passages, square_rigger};
use crate::rows::reference_rows;

const LEG: &str = "Cape->Batavia";
const MEMBERS: usize = 100;

#[derive(Deserialize)]
struct MonthRow {
    leg: String,
    month_of_departure: usize,
    days_p50: f64,
}

/// The least correlation of the two cycles, and the range of their amplitudes' ratio (about half).
const CORRELATION: f64 = 0.9;
const AMPLITUDE: std::ops::Range<f64> = 0.35..0.65;

/// Each month's days over the mean of the twelve, less one.
fn cycle(days: [f64; 12]) -> [f64; 12] {
    let mean = days.iter().sum::<f64>() / 12.0;
    days.map(|days| days / mean - 1.0)
}

fn dot(a: &[f64; 12], b: &[f64; 12]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[test]
fn the_year_goes_as_in_the_companys_books() {
    let mut dates = [f64::NAN; 12];
    for row in reference_rows::<MonthRow>("logbooks/dutch-asiatic-months.csv") {
        if row.leg == LEG {
            dates[row.month_of_departure - 1] = row.days_p50;
        }
    }
    let is_out = |made: &Made| made.from == "Cape" && made.to == "Sunda Strait";
    let made = passages(|made| made.is_of_the_fleet() && is_out(made));
    let made: Vec<&Made> = made.iter().collect();
    let runner = EnsembleRunner::new(
        &square_rigger(1.0),
        &own_tracks(&made),
        &climate(true),
        members(MEMBERS),
    );
    let predicted = std::array::from_fn(|month| {
        let leaves = date(1840, month as i8 + 1, 15);
        let median = |index| runner.run(index, leaves).unwrap().days.p50.unwrap();
        (0..made.len()).map(median).sum::<f64>() / made.len() as f64
    });
    let (dates, predicted) = (cycle(dates), cycle(predicted));
    let (own, theirs) = (dot(&predicted, &predicted), dot(&dates, &dates));
    let correlation = dot(&dates, &predicted) / (own * theirs).sqrt();
    let amplitude = (own / theirs).sqrt();
    println!("correlation {correlation:.3}, amplitude {amplitude:.2}");
    assert!(correlation >= CORRELATION, "{correlation}");
    assert!(AMPLITUDE.contains(&amplitude), "{amplitude}");
}
