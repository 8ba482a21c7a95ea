//! The leg table, for a terminal: the lines to steer, then what to expect on them.

use super::Study;
use super::comparison::{bullets, cautions, voyage_heading};
use super::notes::about_the_voyage;
use super::sentences::{cyclone_warnings, stalls};
use super::table::{layout, wrap};
use super::wording::{course, grouped, heads, per_cent, three_figures};
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
    parts.push(wrap(&legs_key(study), ""));
    let cyclones = cyclone_warnings(study);
    if !cyclones.is_empty() {
        parts.push(format!("Cyclones\n{}", bullets(&cyclones)));
    }
    parts.extend(about_the_voyage(study.voyage, study.climate, study.land));
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
    let heading = heads(&["", "From", "To", "By", "Course T", "Course M", "nm"]);
    let rows: Vec<Vec<String>> = legs
        .iter()
        .map(|leg| {
            let magnetic = MagneticCourses::of(leg);
            vec![
                leg.number.to_string(),
                leg.from.clone(),
                leg.to.clone(),
                leg.kind.name().to_owned(),
                from_to(Some(leg.departure_course), Some(leg.arrival_course)),
                from_to(magnetic.departure, magnetic.arrival),
                grouped(leg.distance_nm),
            ]
        })
        .collect();
    (heading, rows)
}

/// The course at a leg's two ends, once where it is the same.
fn from_to(departure: Option<Course>, arrival: Option<Course>) -> String {
    if departure.or(arrival).is_none() {
        return String::new();
    }
    let [departure, arrival] = [departure, arrival].map(|end| end.map_or("-".to_owned(), course));
    if departure == arrival {
        departure
    } else {
        format!("{departure} to {arrival}")
    }
}

/// What the columns of both tables are, and why a magnetic course is not there.
pub(super) fn legs_key(study: &Study<'_>) -> String {
    let legs = study.walks.iter().filter_map(|walk| match walk {
        Walk::Arrives(passage) => Some(&passage.legs),
        Walk::Stalls(_) => None,
    });
    let lacking = |leg: &ExpectedLeg| {
        let magnetic = MagneticCourses::of(leg);
        magnetic.departure.and(magnetic.arrival).is_none()
    };
    if legs.flatten().any(lacking) {
        format!(
            "{LEGS_KEY} A magnetic course left empty or - is outside the years of the magnetic model."
        )
    } else {
        LEGS_KEY.to_owned()
    }
}

/// What the columns are.
const LEGS_KEY: &str = "Courses are degrees true (T) and magnetic (M), at the leg's \
     beginning and at its end. Days: on the leg, and out at its end. kn: mean speed made good. Wind: \
     where the vector mean comes from, the mean speed and the spread, in knots. Head (under 60° off), \
     Hard (and 20 kn up), Aft (over 110°), Light (under 6 kn), Strong (22 kn up), Gale (34 kn up), \
     Power: per cent of the leg's time. °C: the mean air.";

/// What to expect on each leg.
pub(super) fn winds_rows(legs: &[ExpectedLeg]) -> Rows {
    let heading = heads(&[
        "", "Days", "Out", "kn", "Wind", "Head", "Hard", "Aft", "Light", "Strong", "Gale", "Power",
        "°C",
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
                per_cent(exposure.headwind),
                per_cent(exposure.hard_beat),
                per_cent(exposure.abaft),
                per_cent(exposure.light_air),
                per_cent(exposure.strong),
                per_cent(exposure.gale),
                per_cent(exposure.under_power),
                leg.air_temperature_c
                    .map_or(String::new(), |air| format!("{:.0}", air.mean)),
            ]
        })
        .collect();
    (heading, rows)
}
