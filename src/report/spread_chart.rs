//! The spread of days as a chart of plain characters.

use super::table::WIDTH;
use crate::passage::DaysPercentiles;
use crate::study::Comparison;

/// The longest name that leaves the chart room enough.
const LONGEST_NAME: usize = 24;
/// The least and the most columns of the chart itself.
const COLUMNS: [usize; 2] = [30, 56];
/// The most columns a figure of days takes.
const FIGURE: usize = 3;

/// A line for each route, on one scale of days; none where it does not fit beside the names, or
/// where on no route 90 % of the passages arrive.
///
/// Always of plain characters and of one width, so that what is printed does not depend on the
/// terminal.
pub(super) fn spread_chart(comparison: &Comparison) -> Option<String> {
    let lines: Vec<(&str, Option<[f64; 5]>)> = comparison
        .routes
        .iter()
        .map(|route| (route.name.as_str(), five_days(&route.ensemble.days)))
        .collect();
    chart(&lines)
}

/// The days at P5, P10, the median, P90 and P95.
fn five_days(days: &DaysPercentiles) -> Option<[f64; 5]> {
    Some([days.p5?, days.p10?, days.p50?, days.p90?, days.p95?])
}

fn chart(lines: &[(&str, Option<[f64; 5]>)]) -> Option<String> {
    let width = |text: &str| textwrap::core::display_width(text);
    let names = lines.iter().map(|(name, _)| width(name)).max()?;
    if names > LONGEST_NAME {
        return None;
    }
    // The last figure may stand out beyond the scale.
    let columns = (usize::from(WIDTH) - names - 2 - FIGURE).min(COLUMNS[1]);
    if columns < COLUMNS[0] {
        return None;
    }
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
            None => row
                .splice(..26, *b"10 % or more do not arrive")
                .for_each(drop),
        }
        let pad = " ".repeat(names - width(name));
        rows.push(format!("{name}{pad}  {}", text(row)));
    }
    let (mut ticks, mut figures) = (blank(), vec![b' '; columns + FIGURE]);
    let step = [1, 2, 5, 10, 20, 50, 100]
        .into_iter()
        .find(|step| f64::from(*step) * (columns as f64) >= 6.0 * (last - first))?;
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
        let chart = chart(&lines).unwrap();
        let rows: Vec<&str> = chart.lines().collect();
        assert_eq!(
            rows[..6],
            [
                "How the days spread",
                "Trades  ...========|===========......",
                "Direct                ...===========|======================.....",
                "Ice     10 % or more do not arrive",
                "        +-------------+-------------+------------+-------------+",
                "        20            25            30           35            40",
            ]
        );
        assert!(rows.iter().all(|row| row.len() <= usize::from(WIDTH)));
    }

    #[test]
    fn long_names_leave_no_room() {
        let long = "A route with a name longer than most";
        assert!(chart(&[(long, Some([1.0, 2.0, 3.0, 4.0, 5.0]))]).is_none());
        assert!(chart(&[("Ice", None)]).is_none());
    }
}
