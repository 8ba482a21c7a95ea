//! What the answer hangs on: the swings beside the comparison, and a table of them with bars of plain
//! characters.

use super::table::{WIDTH, wrap};
use crate::study::{Comparison, DaysGained, Pair, SwungDifference};

/// The columns of a figure.
const FIGURE: usize = 7;
/// Between the figures and the bars.
const GAP: usize = 2;

/// The difference of the first two routes, and the same with one assumption moved at a time.
pub(super) struct Swung<'a> {
    pub pair: &'a Pair,
    /// The difference at the median as compared, days.
    pub base_days: f64,
    /// The swings, the largest first.
    pub swings: Vec<(&'a str, SwungDifference)>,
    /// The least and the greatest difference at the median, and nought, days.
    pub range_days: [f64; 2],
}

impl<'a> Swung<'a> {
    /// None where there are no two routes that arrive, or no swings.
    pub(super) fn of(comparison: &'a Comparison) -> Option<Self> {
        let pair = comparison.verdict.first_two.as_ref()?;
        let base_days = pair.first_faster_by_days.p50?;
        let swings = comparison.swings.iter();
        let swings = swings
            .filter_map(|swing| Some((swing.label.as_str(), swing.first_faster_by_days?)))
            .collect::<Vec<_>>();
        let reached = swings.iter().filter_map(|(_, by)| by.p50);
        let range_days = reached.fold(
            [base_days.min(0.0), base_days.max(0.0)],
            |[low, high], days| [low.min(days), high.max(days)],
        );
        (!swings.is_empty()).then_some(Self {
            pair,
            base_days,
            swings,
            range_days,
        })
    }

    /// What the figures are.
    pub(super) fn measure(&self) -> String {
        let Pair { first, second, .. } = self.pair;
        format!("days by which {first} is faster than {second}")
    }

    /// What they are for, and what they are.
    pub(super) fn title(&self) -> String {
        format!("What the answer hangs on: {}", self.measure())
    }
}

/// The swings as a table, a bar to each.
pub(super) fn swings_table(comparison: &Comparison) -> Option<String> {
    let swung = Swung::of(comparison)?;
    let [least, most] = swung.range_days;
    let base_days = swung.base_days;
    let width = |label: &str| textwrap::core::display_width(label);
    let labels = swung.swings.iter().map(|(label, _)| width(label));
    let label_width = labels.fold(width(AS_COMPARED), usize::max);
    let bars_width = usize::from(WIDTH).saturating_sub(label_width + 2 * FIGURE + GAP);
    let column = |days: f64| {
        let share = (days - least) / (most - least).max(0.1);
        (share * bars_width.saturating_sub(1) as f64).round() as usize
    };
    let line = |label: &str, [p50, p90]: [Option<f64>; 2]| {
        let mut bar = vec![b' '; bars_width.max(1)];
        if let Some(days) = p50 {
            let (from, to) = (column(base_days), column(days));
            bar[from.min(to)..=from.max(to)].fill(b'=');
        }
        bar[column(0.0)] = b'0';
        bar[column(base_days)] = b'|';
        let bar = String::from_utf8_lossy(&bar);
        let pad = label_width - width(label);
        let row = format!(
            "{label}{}{:>FIGURE$}{:>FIGURE$}{}{bar}",
            " ".repeat(pad),
            signed(p50),
            signed(p90),
            " ".repeat(GAP)
        );
        row.trim_end().to_owned()
    };
    let DaysGained { p90, .. } = swung.pair.first_faster_by_days;
    let mut rows = vec![
        wrap(&swung.title(), ""),
        format!("{:label_width$}{:>FIGURE$}{:>FIGURE$}", "", "median", "P90"),
        line(AS_COMPARED, [Some(base_days), p90]),
    ];
    let swings = swung.swings.iter();
    rows.extend(swings.map(|(label, by)| line(label, [by.p50, by.p90])));
    rows.push("At the median |: as compared; =: moved by the assumption; 0: level.".to_owned());
    Some(rows.join("\n"))
}

/// The row with no assumption moved.
const AS_COMPARED: &str = "as compared above";

/// Days with their sign; a dash where a route does not arrive.
pub(super) fn signed(days: Option<f64>) -> String {
    match days {
        // No sign on what is written as nought.
        Some(days) if days.abs() < 0.05 => "0.0".to_owned(),
        Some(days) => format!("{days:+.1}"),
        None => "-".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::passage::EnsembleOptions;
    use crate::study::{Options, compare};
    use crate::voyage::Voyage;

    #[test]
    fn every_swing_has_a_row_with_a_bar_within_the_width() {
        let voyage = Voyage::demo().unwrap();
        let few = EnsembleOptions {
            members: 60,
            ..EnsembleOptions::default()
        };
        let options = Options::default().with_ensemble(few);
        let compared = compare(&voyage, &voyage.open_climate().unwrap(), &options).unwrap();
        let table = swings_table(&compared).unwrap();
        for line in table.lines() {
            let width = textwrap::core::display_width(line);
            assert!(width <= usize::from(WIDTH), "{width} columns: {line}");
        }
        let rows: Vec<&str> = table.lines().filter(|line| line.contains('|')).collect();
        // The row as compared, and the key below.
        assert_eq!(rows.len(), compared.swings.len() + 2, "{table}");
        let bar = |row: &&str| row.matches('=').count();
        let bars: Vec<usize> = rows[1..rows.len() - 1].iter().map(bar).collect();
        // Ends are rounded to a column.
        let falls = bars.is_sorted_by(|a, b| a + 1 >= *b);
        assert!(bars[0] > 5 && falls, "{bars:?}\n{table}");
    }
}
