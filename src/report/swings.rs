//! What the answer hangs on, as a table with a picture of plain characters.

use super::table::WIDTH;
use crate::study::{Comparison, Swing, SwungDifference};

/// The widest a label may be before it is cut, and the columns of a figure.
const LABEL: usize = 30;
const FIGURE: usize = 7;
/// Between the figures and the picture.
const GAP: usize = 2;
const PICTURE: usize = WIDTH as usize - LABEL - 2 * FIGURE - GAP;

/// The difference of the first two routes with one assumption moved at a time; none where there are no
/// two routes that arrive, or no swings.
pub(super) fn swings_table(comparison: &Comparison) -> Option<String> {
    let pair = comparison.verdict.first_two.as_ref()?;
    let base_p50 = pair.first_faster_by_days.p50?;
    let of_swing = |swing: &Swing| Some((swing.label.clone(), swing.first_faster_by_days?));
    let swings: Vec<(String, SwungDifference)> =
        comparison.swings.iter().filter_map(of_swing).collect();
    if swings.is_empty() {
        return None;
    }
    let reached = swings.iter().filter_map(|(_, by)| by.p50);
    let (least, most) = reached.fold(
        (base_p50.min(0.0), base_p50.max(0.0)),
        |(low, high), days| (low.min(days), high.max(days)),
    );
    let column = |days: f64| {
        let share = (days - least) / (most - least).max(0.1);
        (share * (PICTURE - 1) as f64).round() as usize
    };
    let line = |label: &str, [p50, p90]: [Option<f64>; 2]| {
        let mut picture = vec![b' '; PICTURE];
        if let Some(days) = p50 {
            let (from, to) = (column(base_p50), column(days));
            picture[from.min(to)..=from.max(to)].fill(b'=');
        }
        picture[column(0.0)] = b'0';
        picture[column(base_p50)] = b'|';
        let picture = String::from_utf8_lossy(&picture);
        let pad = LABEL.saturating_sub(textwrap::core::display_width(label));
        let row = format!(
            "{label}{}{:>FIGURE$}{:>FIGURE$}{}{picture}",
            " ".repeat(pad),
            signed(p50),
            signed(p90),
            " ".repeat(GAP)
        );
        row.trim_end().to_owned()
    };
    let title = format!(
        "What the answer hangs on: days by which {} is faster than {}",
        pair.first, pair.second
    );
    let mut rows = vec![
        super::table::wrap(&title, ""),
        format!("{:LABEL$}{:>FIGURE$}{:>FIGURE$}", "", "median", "P90"),
        line(
            "as compared above",
            [Some(base_p50), pair.first_faster_by_days.p90],
        ),
    ];
    rows.extend(
        swings
            .iter()
            .map(|(label, by)| line(label, [by.p50, by.p90])),
    );
    rows.push("At the median |: as compared; =: moved by the assumption; 0: level.".to_owned());
    Some(rows.join("\n"))
}

/// Days with their sign; a dash where a route does not arrive.
fn signed(days: Option<f64>) -> String {
    match days {
        // No sign on what is written as nought.
        Some(days) if days.abs() < 0.05 => "0.0".to_owned(),
        Some(days) => format!("{days:+.1}"),
        None => "-".to_owned(),
    }
}
