//! A wind climate that was measured from a series, for a terminal.

use super::cautions::MEASURED_CAUTIONS;
use super::notes::bullets;
use super::table::{layout, wrap};
use super::wording::{grouped, heads, percent_met};
use crate::climate::{BeaufortForce, MeasuredMonth, MeasuredPicture, MeasuredWinds};
use crate::geodesy::Coordinate;

/// What was measured, with a picture of it.
pub fn measured_text(winds: &MeasuredWinds) -> String {
    let mut parts = vec![
        heading(winds),
        table(&winds.months),
        picture(winds),
        known(winds),
    ];
    if !winds.notes.is_empty() {
        parts.push(format!("About the winds\n{}", bullets(&winds.notes)));
    }
    parts.push(wrap(
        &format!(
            "To use it, write under [climate] in a voyage file: file = \"{}\"",
            winds.file
        ),
        "  ",
    ));
    parts.push(format!("Cautions\n{}", bullets(&MEASURED_CAUTIONS)));
    parts.join("\n\n") + "\n"
}

fn heading(winds: &MeasuredWinds) -> String {
    let mut lines = vec![format!(
        "Wind climate measured and written to {}",
        winds.file
    )];
    let files = match winds.files_read {
        1 => "one file".to_owned(),
        several => format!("{} files", grouped(several as f64)),
    };
    let period = match (&winds.first, &winds.last) {
        (Some(first), Some(last)) => format!("{first} to {last}"),
        _ => "means over many years".to_owned(),
    };
    lines.push(format!(
        "Read: {} {} steps of {files}, {period}, calendar {}",
        grouped(winds.steps as f64),
        winds.spacing,
        winds.calendar
    ));
    lines.push(format!(
        "Area: {}; {} nodes{}",
        winds.area,
        grouped((winds.rows * winds.columns) as f64),
        match winds.nodes_without_wind {
            0 => String::new(),
            none => format!(", {} of them without wind", grouped(none as f64)),
        }
    ));
    if winds.missing_steps > 0 {
        lines.push(format!("MISSING: {}", missing(winds)));
    }
    if !winds.also_found.is_empty() {
        lines.push(format!("Also found: {}", winds.also_found.join(", ")));
    }
    let lines = lines.iter().map(|line| wrap(line, "  "));
    lines.collect::<Vec<_>>().join("\n")
}

/// The most months that are named.
const MOST_NAMED: usize = 6;

fn missing(winds: &MeasuredWinds) -> String {
    let steps = match winds.missing_steps {
        1 => "1 step is".to_owned(),
        several => format!("{} steps are", grouped(several as f64)),
    };
    let gaps = &winds.months_with_gaps;
    let named = gaps[..gaps.len().min(MOST_NAMED)].join(", ");
    let more = match gaps.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let in_months = match gaps.len() {
        0 => String::new(),
        _ => format!(", in {named}{more}"),
    };
    format!(
        "{steps} missing between the first and the last{in_months}; means are of the steps that are there"
    )
}

/// A column of the table of months; none of it is shown where no month has it.
struct Column {
    label: &'static str,
    meaning: &'static str,
    cell: fn(&MeasuredMonth) -> Option<String>,
}

fn kn(value: Option<f64>) -> Option<String> {
    value.map(|kn| format!("{kn:.1}"))
}

const COLUMNS: [Column; 8] = [
    Column {
        label: "Mean",
        meaning: "mean speed whatever the direction, kn",
        cell: |month| kn(month.mean_speed_kn),
    },
    Column {
        label: "Vector",
        meaning: "size of the mean vector, kn",
        cell: |month| kn(month.vector_mean_speed_kn),
    },
    Column {
        label: "Scatter",
        meaning: "standard deviation of the east and of the north component, kn",
        cell: |month| kn(month.standard_deviation_kn),
    },
    Column {
        label: "Gale",
        meaning: "share of the steps at 34 kn or more",
        cell: |month| month.gale_share.map(percent_met),
    },
    Column {
        label: "Calm",
        meaning: "share below 1 kn",
        cell: |month| month.calm_share.map(percent_met),
    },
    Column {
        label: "Fast",
        meaning: "time constant of the fast part of the wind's memory, hours",
        cell: |month| month.fast_hours.map(|hours| format!("{hours:.0}")),
    },
    Column {
        label: "Slow",
        meaning: "share of the variance in its slow part, of 400 hours",
        cell: |month| month.slow_share.map(percent_met),
    },
    Column {
        label: "Years",
        meaning: "standard deviation of a component's monthly mean from year to year, kn, less what \
                  the weather of a month adds to it where that is known",
        cell: |month| month.between_years_kn.map(|kn| format!("{kn:.2}")),
    },
];

fn table(months: &[MeasuredMonth]) -> String {
    let shown: Vec<&Column> = COLUMNS
        .iter()
        .filter(|column| months.iter().any(|month| (column.cell)(month).is_some()))
        .collect();
    let mut heading = heads(&["Month", "Steps"]);
    heading.extend(shown.iter().map(|column| column.label.to_owned()));
    let rows: Vec<Vec<String>> = months
        .iter()
        .map(|month| {
            let mut row = vec![
                month.month.name().to_owned(),
                grouped(f64::from(month.steps)),
            ];
            row.extend(
                shown
                    .iter()
                    .map(|column| (column.cell)(month).unwrap_or_default()),
            );
            row
        })
        .collect();
    let meanings: Vec<String> = shown
        .iter()
        .map(|column| format!("{}: {}", column.label, column.meaning))
        .collect();
    let meanings = format!(
        "Means over the area. Steps: of a node, in all years. {}.",
        meanings.join(". ")
    );
    format!("{}\n\n{}", layout(&heading, &rows, 1), wrap(&meanings, ""))
}

/// The width of a row's latitude, and the gap after it.
const LABEL: usize = 7;

/// The area by the Beaufort force of its mean speed.
fn picture(winds: &MeasuredWinds) -> String {
    let MeasuredPicture {
        of_mean_vector,
        rows,
    } = &winds.picture;
    let what = if *of_mean_vector {
        "size of the mean vector"
    } else {
        "mean speed"
    };
    let mut text = format!("Beaufort force of the {what}, all months; blank: no wind known\n");
    let south_deg = winds.area.south_deg;
    let height_deg = winds.area.north_deg - south_deg;
    for (number, row) in rows.iter().enumerate() {
        let from_south = 1.0 - (number as f64 + 0.5) / rows.len() as f64;
        let latitude_deg = south_deg + height_deg * from_south;
        let hemisphere = if latitude_deg < 0.0 { "S" } else { "N" };
        let label = format!("{:.0} {hemisphere}", latitude_deg.abs());
        let cells: String = row
            .iter()
            .map(|kn| match kn {
                None => ' ',
                // One figure each; a mean of force 10 is unheard of.
                Some(kn) => {
                    let force = BeaufortForce::from_speed_kn(*kn).number();
                    char::from_digit(u32::from(force), 16).unwrap_or('+')
                }
            })
            .collect();
        text += format!("{label:>6} {cells}").trim_end();
        text.push('\n');
    }
    let width = rows.first().map_or(0, Vec::len);
    let ends = [
        winds.area.west_deg,
        winds.area.west_deg + winds.area.east_span_deg,
    ]
    .map(|longitude_deg| Coordinate::longitude(longitude_deg).to_string());
    let gap = width.saturating_sub(ends[0].chars().count() + ends[1].chars().count());
    text += &format!("{:LABEL$}{}{:gap$}  {}", "", ends[0], "", ends[1]);
    text
}

fn known(winds: &MeasuredWinds) -> String {
    let mut lines = vec![format!("Measured: {}", winds.measured.join(", "))];
    if !winds.assumed.is_empty() {
        lines.push(format!("Still assumed: {}", winds.assumed.join("; ")));
    }
    let lines = lines.iter().map(|line| wrap(line, "  "));
    lines.collect::<Vec<_>>().join("\n")
}
