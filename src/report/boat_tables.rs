//! A boat's speeds as tables: a row for each angle, a column for each wind speed.

use super::table::{layout, wrap};
use super::wording::{heads, short};
use crate::boat::MadeGood;
use crate::study::{BestHeadings, CourseMadeGoodTable, PolarTable};

/// How many wind speeds fit beside the angles before the table breaks into another below.
const WINDS_ABREAST: usize = 12;

/// A wind speed in knots and the boat's speeds in it, one for each angle.
type Column<'a> = (f64, &'a [f64]);

/// Speed through the water at the polar's own winds and angles. A calm, and straight into the wind,
/// are left out where they hold nothing but 0, and the title says so.
pub(super) fn polar(polar: &PolarTable) -> String {
    let mut columns = columns(&polar.true_wind_speeds_kn, &polar.boat_speeds_kn);
    let calm = columns.first().is_some_and(|(wind_kn, speeds_kn)| {
        *wind_kn == 0.0 && speeds_kn.iter().all(|&kn| kn == 0.0)
    });
    columns.retain(|(wind_kn, _)| *wind_kn > 0.0);
    let angles_deg = &polar.true_wind_angles_deg;
    let ahead = angles_deg.first() == Some(&0.0)
        && columns.iter().all(|(_, speeds_kn)| speeds_kn[0] == 0.0);
    let left_out = match (calm, ahead) {
        (true, true) => "; 0 in a calm and at angle 0",
        (true, false) => "; 0 in a calm",
        (false, true) => "; 0 at angle 0",
        (false, false) => "",
    };
    let title = format!(
        "Polar: knots through the water, by the angle off the true wind in degrees (down) and the \
         wind speed in knots (across){left_out}"
    );
    let skipped = usize::from(ahead);
    format!(
        "{}\n{}",
        wrap(&title, ""),
        blocks(angles_deg, skipped, &columns)
    )
}

/// Progress along the course under sail, tacking or gybing where that is faster.
pub(super) fn course_made_good(table: &CourseMadeGoodTable) -> String {
    let columns = columns(&table.true_wind_speeds_kn, &table.progress_kn);
    let title = "Course made good: knots along the course under sail, tacking or gybing where that \
                 is faster, by the angle of the wind off the course in degrees (down) and the wind \
                 speed in knots (across)";
    format!(
        "{}\n{}",
        wrap(title, ""),
        blocks(&table.angles_off_course_deg, 0, &columns)
    )
}

/// The headings that make most good up and down the wind.
pub(super) fn best_angles(best: &[BestHeadings]) -> String {
    let heading = heads(&["Wind", "Angle", "kn", "Upwind", "Angle", "kn", "Downwind"]);
    let cells = |best: Option<MadeGood>| match best {
        None => [const { String::new() }; 3],
        Some(best) => [
            format!("{:.0}", best.true_wind_angle_deg),
            format!("{:.1}", best.boat_speed_kn),
            format!("{:.1}", best.made_good_kn),
        ],
    };
    let rows: Vec<Vec<String>> = best
        .iter()
        .map(|best| {
            let mut row = vec![short(best.true_wind_speed_kn)];
            row.extend(cells(best.upwind));
            row.extend(cells(best.downwind));
            row
        })
        .collect();
    let title = "Best angles: degrees off the true wind, knots on that heading, and knots made good \
                 straight upwind and downwind; empty where no heading makes any good";
    format!("{}\n{}", wrap(title, ""), layout(&heading, &rows, 0))
}

fn columns<'a>(winds_kn: &[f64], speeds_kn: &'a [Vec<f64>]) -> Vec<Column<'a>> {
    let winds_kn = winds_kn.iter().copied();
    winds_kn.zip(speeds_kn.iter().map(Vec::as_slice)).collect()
}

/// A row for each angle but the first `skipped`, a column for each wind, in as many tables below
/// each other as the width needs.
fn blocks(angles_deg: &[f64], skipped: usize, columns: &[Column<'_>]) -> String {
    let tables = columns.len().div_ceil(WINDS_ABREAST);
    let abreast = columns.len().div_ceil(tables.max(1)).max(1);
    let blocks: Vec<String> = columns
        .chunks(abreast)
        .map(|columns| {
            let mut heading = vec![String::new()];
            heading.extend(columns.iter().map(|(wind_kn, _)| short(*wind_kn)));
            let angles = angles_deg.iter().enumerate().skip(skipped);
            let rows: Vec<Vec<String>> = angles
                .map(|(index, &angle_deg)| {
                    let speeds = columns
                        .iter()
                        .map(|(_, speeds_kn)| format!("{:.1}", speeds_kn[index]));
                    [short(angle_deg)].into_iter().chain(speeds).collect()
                })
                .collect();
            layout(&heading, &rows, 0)
        })
        .collect();
    blocks.join("\n\n")
}
