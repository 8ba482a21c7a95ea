//! The leg table, for a terminal: the lines to steer, then what to expect on them.

use super::Study;
use super::comparison::{about_the_boat, about_the_winds, bullets, cautions, voyage_heading};
use super::land::about_the_land;
use super::sentences::{cyclone_warnings, stalls};
use super::table::{layout, wrap};
use super::wording::{course, grouped, heads, leg_kind, percent, three_figures};
use crate::geodesy::magnetic_variation_deg;
use crate::passage::{ExpectedLeg, Walk};
use crate::units::{Course, KN_PER_MS};

/// A leg's courses by compass, where the magnetic model covers the date.
pub(super) struct MagneticCourses {
    pub departure: Option<Course>,
    pub arrival: Option<Course>,
}

impl MagneticCourses {
    pub(super) fn of(leg: &ExpectedLeg) -> Self {
        let by_compass = |true_course: Course, end: usize| {
            let variation_deg = magnetic_variation_deg(leg.ends[end], leg.dates[end])?;
            Some(Course::from_deg(true_course.deg() - variation_deg))
        };
        Self {
            departure: by_compass(leg.departure_course, 0),
            arrival: by_compass(leg.arrival_course, 1),
        }
    }
}

/// The leg tables of all the study's routes.
pub fn legs_text(study: &Study<'_>) -> String {
    let mut parts = vec![voyage_heading(study.voyage, study.climate)];
    for (route, walk) in study.voyage.routes.iter().zip(study.walks) {
        let name = route.name();
        match walk {
            Walk::Arrives(passage) => {
                parts.push(format!("{name}: the lines\n{}", lines_table(&passage.legs)));
                parts.push(format!(
                    "{name}: what to expect\n{}",
                    winds_table(&passage.legs)
                ));
            }
            Walk::Stalls(stall) => {
                parts.push(wrap(&stalls(name, stall), ""));
            }
        }
    }
    let cyclones = cyclone_warnings(study);
    if !cyclones.is_empty() {
        parts.push(format!("Cyclones\n{}", bullets(&cyclones)));
    }
    parts.extend(about_the_boat(study.voyage));
    parts.extend(about_the_winds(study.climate));
    parts.push(about_the_land(&study.voyage.routes, study.land));
    parts.push(cautions());
    parts.join("\n\n") + "\n"
}

/// A table's headings and rows.
pub(super) type Rows = (Vec<String>, Vec<Vec<String>>);

fn lines_table(legs: &[ExpectedLeg]) -> String {
    let (heading, rows) = lines_rows(legs);
    layout(&heading, &rows, 4)
}

fn winds_table(legs: &[ExpectedLeg]) -> String {
    let (heading, rows) = winds_rows(legs);
    layout(&heading, &rows, 1)
}

/// The lines to steer; the first four columns are text.
pub(super) fn lines_rows(legs: &[ExpectedLeg]) -> Rows {
    let heading = heads(&[
        "", "From", "To", "Kind", "Course T", "at end T", "Course M", "at end M", "nm",
    ]);
    let rows: Vec<Vec<String>> = legs
        .iter()
        .map(|leg| {
            let magnetic = MagneticCourses::of(leg);
            let by_compass = |course_m: Option<Course>| course_m.map_or(String::new(), course);
            vec![
                leg.number.to_string(),
                leg.from.clone(),
                leg.to.clone(),
                leg_kind(leg.kind).to_owned(),
                course(leg.departure_course),
                course(leg.arrival_course),
                by_compass(magnetic.departure),
                by_compass(magnetic.arrival),
                grouped(leg.distance_nm),
            ]
        })
        .collect();
    (heading, rows)
}

/// What to expect on each leg.
pub(super) fn winds_rows(legs: &[ExpectedLeg]) -> Rows {
    let heading = heads(&[
        "", "Days", "Total", "kn", "Wind", "Head", "Hard", "Abaft", "Light", "Strong", "Gale",
        "Power", "°C",
    ]);
    let rows: Vec<Vec<String>> = legs
        .iter()
        .map(|leg| {
            let exposure = &leg.exposure;
            vec![
                leg.number.to_string(),
                format!("{:.1}", leg.hours / 24.0),
                format!("{:.1}", leg.elapsed_hours / 24.0),
                format!("{:.1}", leg.mean_speed_kn()),
                format!(
                    "{} {:.0}±{:.0}",
                    three_figures(leg.wind.direction().deg()),
                    leg.wind_speed_kn,
                    leg.wind.s_ms * KN_PER_MS
                ),
                percent(exposure.headwind),
                percent(exposure.hard_beat),
                percent(exposure.abaft),
                percent(exposure.light_air),
                percent(exposure.strong),
                percent(exposure.gale),
                percent(exposure.under_power),
                leg.air_temperature_c
                    .map_or(String::new(), |air| format!("{:.0}", air.mean)),
            ]
        })
        .collect();
    (heading, rows)
}
