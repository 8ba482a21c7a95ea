//! The boat's speeds as tables: a row an angle, a column a wind speed.

use super::table::{layout, wrap};
use super::wording::{heads, short};
use crate::boat::{Boat, MadeGood};

/// How many wind speeds fit beside the angles before the table breaks into another below.
const WINDS_ABREAST: usize = 12;
/// The angles off the course that the table of course made good shows, degrees.
const COURSE_STEP_DEG: u32 = 15;

/// Speed through the water at the polar's own winds and angles. A calm, and straight into the wind,
/// are left out where they hold nothing but 0, and that is said.
pub(super) fn polar(boat: &Boat) -> String {
    let polar = boat.polar();
    let angles_deg = polar.true_wind_angles_deg();
    let speed_kn = |wind_kn: f64, angle_deg: f64| polar.speed_kn(wind_kn, angle_deg);
    let makes_way = |wind_kn: &f64| angles_deg.iter().any(|&deg| speed_kn(*wind_kn, deg) > 0.0);
    let winds_kn = winds_kn(boat);
    let sails = |angle_deg: &f64| winds_kn.iter().any(|&kn| speed_kn(kn, *angle_deg) > 0.0);
    let shown_deg: Vec<f64> = angles_deg.iter().copied().filter(sails).collect();
    let calm = !makes_way(&0.0);
    let ahead = shown_deg.first() != Some(&0.0);
    let left_out = match (calm, ahead) {
        (true, true) => "; 0 in a calm and at angle 0",
        (true, false) => "; 0 in a calm",
        (false, true) => "; 0 at angle 0",
        (false, false) => "",
    };
    let title = format!(
        "Polar: knots through the water, by the angle off the true wind in degrees (down) and the \
         wind's speed in knots (across){left_out}"
    );
    format!(
        "{}\n{}",
        wrap(&title, ""),
        blocks(&shown_deg, &winds_kn, speed_kn)
    )
}

/// Progress along the course under sail, tacking or gybing where it pays.
pub(super) fn course_made_good(boat: &Boat) -> String {
    let table = blocks(&course_angles_deg(), &winds_kn(boat), |wind_kn, deg| {
        boat.progress_under_sail(wind_kn, deg).made_good_kn()
    });
    let title = "Course made good: knots along the course under sail, tacking or gybing where it \
                 pays, by the angle of the wind off the course in degrees (down) and its speed in \
                 knots (across)";
    format!("{}\n{table}", wrap(title, ""))
}

/// The angles off the course shown, degrees: 0 to 180.
pub(super) fn course_angles_deg() -> Vec<f64> {
    (0..=180 / COURSE_STEP_DEG)
        .map(|step| f64::from(step * COURSE_STEP_DEG))
        .collect()
}

/// The winds worth a column: the polar's own, without the calm.
pub(super) fn winds_kn(boat: &Boat) -> Vec<f64> {
    let winds_kn = boat.polar().true_wind_speeds_kn().iter().copied();
    winds_kn.filter(|&wind_kn| wind_kn > 0.0).collect()
}

/// The headings that make most good up and down the wind.
pub(super) fn best_angles(boat: &Boat) -> String {
    let heading = heads(&["Wind", "Angle", "kn", "Upwind", "Angle", "kn", "Downwind"]);
    let cells = |best: Option<MadeGood>| match best {
        None => [const { String::new() }; 3],
        Some(best) => [
            format!("{:.0}", best.true_wind_angle_deg),
            format!("{:.1}", best.boat_speed_kn),
            format!("{:.1}", best.made_good_kn),
        ],
    };
    let rows: Vec<Vec<String>> = winds_kn(boat)
        .into_iter()
        .map(|wind_kn| {
            let mut row = vec![short(wind_kn)];
            row.extend(cells(boat.polar().best_upwind(wind_kn)));
            row.extend(cells(boat.polar().best_downwind(wind_kn)));
            row
        })
        .collect();
    let title = "Best angles: off the true wind in degrees, knots on that heading, and knots made \
                 good straight upwind and downwind; empty where she makes none good";
    format!("{}\n{}", wrap(title, ""), layout(&heading, &rows, 0))
}

/// A row an angle, a column a wind, in as many tables below each other as the width needs.
fn blocks(angles_deg: &[f64], winds_kn: &[f64], speed_kn: impl Fn(f64, f64) -> f64) -> String {
    let tables = winds_kn.len().div_ceil(WINDS_ABREAST);
    let abreast = winds_kn.len().div_ceil(tables);
    let blocks: Vec<String> = winds_kn
        .chunks(abreast)
        .map(|winds_kn| {
            let mut heading = vec![String::new()];
            heading.extend(winds_kn.iter().map(|&wind_kn| short(wind_kn)));
            let rows: Vec<Vec<String>> = angles_deg
                .iter()
                .map(|&angle_deg| {
                    let speeds = winds_kn
                        .iter()
                        .map(|&wind_kn| format!("{:.1}", speed_kn(wind_kn, angle_deg)));
                    [short(angle_deg)].into_iter().chain(speeds).collect()
                })
                .collect();
            layout(&heading, &rows, 0)
        })
        .collect();
    blocks.join("\n\n")
}
