//! A route in pieces, for a terminal: noon by noon, by degrees of longitude or by distance.

use jiff::civil::DateTime;

use super::legs::{Rows, set_and_drift, wind_from};
use super::table::layout;
use super::wording::{course, grouped, heads, per_cent};
use crate::geodesy::Position;
use crate::passage::{ExposureKind, LayOff, Piece};
use crate::study::LaidOffRoute;

/// The pieces of a route called `name` as a table; none without pieces.
pub(super) fn pieces_table(name: &str, laid_off: &LaidOffRoute, by: LayOff) -> Option<String> {
    let (heading, rows) = pieces_rows(laid_off, by)?;
    let table = layout(&heading, &rows, PLACE_COLUMNS);
    Some(format!("{name}, {}\n{table}", rows_of(by)))
}

/// How many of the first columns are words.
pub(super) const PLACE_COLUMNS: usize = 2;

/// The pieces of a route, a row where each begins and one for the end; none without pieces.
pub(super) fn pieces_rows(laid_off: &LaidOffRoute, by: LayOff) -> Option<Rows> {
    let pieces = &laid_off.pieces;
    let last = pieces.last()?;
    // The date says how long she is out where the rows are days.
    let out = by != LayOff::Day;
    let currents = pieces.iter().any(|piece| piece.current_drift_kn.is_some());
    let mut heading = heads(&["Date", "Position"]);
    if out {
        heading.push("Out".to_owned());
    }
    heading.extend(heads(&["°T", "°M", "nm", "Wind"]));
    if currents {
        heading.push("Current".to_owned());
    }
    heading.extend(heads(&["Gale", "Storm", "Dark"]));
    let place = |time: DateTime, position: Position, days: f64| {
        let mut row = vec![time.strftime("%-d %b").to_string(), whole_minutes(position)];
        if out {
            row.push(format!("{days:.1}"));
        }
        row
    };
    let row = |piece: &Piece| {
        let mut row = place(piece.begins, piece.start, piece.elapsed_days - piece.days);
        row.extend([
            course(piece.course),
            piece.course_magnetic.map_or(String::new(), course),
            grouped(piece.distance_nm),
            wind_from(&piece.wind),
        ]);
        if currents {
            row.push(set_and_drift(piece.current_set_deg, piece.current_drift_kn));
        }
        row.extend([
            per_cent(piece.exposure[ExposureKind::Gale]),
            storm_days(piece.storm_days),
            format!("{:.1}", piece.dark_hours_per_day),
        ]);
        row
    };
    let mut rows: Vec<Vec<String>> = pieces.iter().map(row).collect();
    let mut end = place(last.ends, last.end, last.elapsed_days);
    end.resize(heading.len(), String::new());
    rows.push(end);
    Some((heading, rows))
}

/// What the rows of a table are.
pub(super) fn rows_of(by: LayOff) -> String {
    match by {
        LayOff::Day => "the median passage noon by noon".to_owned(),
        LayOff::Degrees(1) => "every degree of longitude".to_owned(),
        LayOff::Degrees(degrees) => format!("every {degrees} degrees of longitude"),
        LayOff::Miles(miles) => format!("every {miles} nm"),
    }
}

/// What the columns are.
pub(super) fn pieces_key(by: LayOff) -> String {
    let rows = match by {
        LayOff::Day => {
            "A row is a day of the median passage: where she is at noon (12:00 UTC), and what is ahead \
             until the next; the first leaves at 00:00 UTC, the last arrives."
        }
        LayOff::Degrees(_) | LayOff::Miles(_) => {
            "A row is a place on the line, and what is ahead until the next; waypoints have rows of \
             their own. Out: days from the start on the median passage."
        }
    };
    format!("{rows} {COLUMNS_KEY}")
}

const COLUMNS_KEY: &str = "°T, °M: the constant course to the next row, or to a waypoint that comes \
     before it, true and magnetic, over the ground: allow for leeway, current and deviation \
     yourself. nm: the run along the line. Wind: where the mean comes from, and \
     the mean speed in knots. Current: where it sets, and its drift in knots. Winds and currents \
     are those of the mean-wind passage there. Gale: per cent of the \
     time with 34 kn or more. Storm: days to expect with a tropical storm's centre within 200 nm. \
     Dark: hours a day from sunset to sunrise.";

/// Storm-days of which any at all are to be seen: 0.012, <.001; 0 is none.
fn storm_days(days: f64) -> String {
    match days {
        0.0 => "0".to_owned(),
        ..0.0005 => "<.001".to_owned(),
        _ => format!("{days:.3}"),
    }
}

/// A position to the nearest minute: 31°49S 114°33E.
fn whole_minutes(position: Position) -> String {
    let part = |angle_deg: f64, width: usize, letters: [char; 2]| {
        let minutes = (angle_deg.abs() * 60.0).round() as u32;
        let letter = letters[usize::from(angle_deg < 0.0)];
        format!("{:0width$}°{:02}{letter}", minutes / 60, minutes % 60)
    };
    format!(
        "{} {}",
        part(position.latitude_deg(), 2, ['N', 'S']),
        part(position.longitude_deg(), 3, ['E', 'W'])
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_storm_days_are_told_from_none() {
        assert_eq!(
            [0.0, 0.0004, 0.0125].map(storm_days),
            ["0", "<.001", "0.013"]
        );
    }

    #[test]
    fn minutes_are_rounded_and_carried() {
        let written = |latitude_deg, longitude_deg| {
            whole_minutes(Position::new(latitude_deg, longitude_deg).unwrap())
        };
        assert_eq!(written(-31.8167, 114.5501), "31°49S 114°33E");
        assert_eq!(written(9.9999, -0.992), "10°00N 001°00W");
    }
}
