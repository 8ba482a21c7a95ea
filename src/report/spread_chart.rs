//! The spread of days as a chart of plain characters.

use super::table::{Screen, WIDTH, width};
use crate::passage::DaysPercentiles;
use crate::study::Comparison;

/// The most columns of the chart itself on a screen of 80.
const COLUMNS: usize = 56;
/// The most columns a figure of days takes.
const FIGURE: usize = 3;
/// What stands in the line of a route with no such days.
const NO_DAYS: &[u8; 26] = b"5 % or more do not arrive ";

/// A line for each route under the name it is `called`, on one scale of days; a line that says why
/// there is none where on no route 95 % of the passages arrive.
pub(super) fn spread_chart(comparison: &Comparison, called: &[String], screen: Screen) -> String {
    let days = comparison.routes.iter();
    let days = days.map(|route| five_days(&route.ensemble.days));
    let lines: Vec<(&str, Option<[f64; 5]>)> =
        called.iter().map(String::as_str).zip(days).collect();
    chart(&lines, screen).unwrap_or_else(|| NO_CHART.to_owned())
}

/// What is said instead of a chart.
const NO_CHART: &str =
    "How the days spread: not drawn, as on every route 5 % or more of the passages do\nnot arrive.";

/// The days at P5, P10, the median, P90 and P95.
fn five_days(days: &DaysPercentiles) -> Option<[f64; 5]> {
    Some([days.p5?, days.p10?, days.p50?, days.p90?, days.p95?])
}

/// None where no route has such days.
fn chart(lines: &[(&str, Option<[f64; 5]>)], screen: Screen) -> Option<String> {
    let names = lines.iter().map(|(name, _)| width(name)).max()?;
    // The last figure may stand out beyond the scale.
    let most = COLUMNS * screen.columns() / usize::from(WIDTH);
    let columns = screen.columns().saturating_sub(names + 2 + FIGURE);
    let columns = columns.clamp(NO_DAYS.len(), most);
    let shown = || lines.iter().filter_map(|(_, days)| *days);
    let first = shown().map(|days| days[0]).min_by(f64::total_cmp)?.floor();
    let last = shown().map(|days| days[4]).max_by(f64::total_cmp)?.ceil();
    let column = |days: f64| {
        let share = (days - first) / (last - first).max(1.0);
        (share * (columns - 1) as f64).round() as usize
    };
    let blank = || vec![b' '; columns];
    let text = |row: Vec<u8>| String::from_utf8_lossy(&row).trim_end().to_owned();
    let mut rows = vec!["How the days spread".to_owned()];
    for (name, days) in lines {
        let mut row = blank();
        match days {
            Some(days) => {
                let [p5, p10, p50, p90, p95] = days.map(column);
                row[p5..=p95].fill(b'.');
                row[p10..=p90].fill(b'=');
                row[p50] = b'|';
            }
            None => row.splice(..NO_DAYS.len(), *NO_DAYS).for_each(drop),
        }
        let pad = " ".repeat(names - width(name));
        rows.push(format!("{name}{pad}  {}", text(row)));
    }
    let (mut ticks, mut figures) = (blank(), vec![b' '; columns + FIGURE]);
    let step = [1, 2, 5, 10, 20, 50, 100]
        .into_iter()
        .find(|step| f64::from(*step) * (columns as f64) >= 6.0 * (last - first))
        .unwrap_or(100);
    ticks.fill(b'-');
    for days in (first as u32..=last as u32).filter(|days| days % step == 0) {
        let at = column(f64::from(days));
        let figure = days.to_string();
        ticks[at] = b'+';
        figures[at..at + figure.len()].copy_from_slice(figure.as_bytes());
    }
    let pad = " ".repeat(names + 2);
    rows.push(format!("{pad}{}", text(ticks)));
    rows.push(format!("{pad}{}", text(figures)));
    rows.push("Days. Dots: P5 to P95; =: P10 to P90; |: the median.".into());
    Some(rows.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn routes_stand_on_one_scale() {
        let lines = [
            ("Trades", Some([20.0, 21.0, 24.0, 28.0, 30.0])),
            ("Direct", Some([25.0, 26.0, 30.0, 38.0, 40.0])),
            ("Ice", None),
        ];
        let chart = chart(&lines, Screen::PLAIN).unwrap();
        let rows: Vec<&str> = chart.lines().collect();
        assert_eq!(
            rows[..6],
            [
                "How the days spread",
                "Trades  ...========|===========......",
                "Direct                ...===========|======================.....",
                "Ice     5 % or more do not arrive",
                "        +-------------+-------------+------------+-------------+",
                "        20            25            30           35            40",
            ]
        );
        assert!(rows.iter().all(|row| row.len() <= usize::from(WIDTH)));
    }

    #[test]
    fn a_wider_screen_has_a_wider_picture() {
        let lines = [("Trades", Some([20.0, 21.0, 24.0, 28.0, 30.0]))];
        let wide = chart(&lines, Screen::of_columns(160)).unwrap();
        let scale = wide.lines().nth(2).unwrap();
        assert_eq!(scale.trim_start().len(), 112);
        assert!(wide.lines().all(|row| row.len() <= 160));
    }

    #[test]
    fn without_days_there_is_none() {
        assert!(chart(&[("Ice", None)], Screen::PLAIN).is_none());
        assert!(
            NO_CHART
                .lines()
                .all(|line| line.len() <= usize::from(WIDTH))
        );
    }
}
