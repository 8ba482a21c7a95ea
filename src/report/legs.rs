//! The leg table, for a terminal: the lines to steer, then what to expect on them.

use super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::sentences::{stalls, storm_warnings, storms_by_leg};
use super::table::{layout, wrap};
use super::wording::{course, grouped, heads, per_cent, three_figures};
use crate::passage::{ExpectedLeg, ExposureKind};
use crate::study::Comparison;
use crate::units::Course;

/// The leg tables of all the routes.
pub fn legs_text(comparison: &Comparison) -> String {
    let mut parts = vec![voyage_heading(&comparison.voyage)];
    for route in &comparison.routes {
        let name = &route.name;
        if let Some(passage) = &route.expected {
            let (heading, rows) = lines_rows(&passage.legs);
            parts.push(format!("{name}: the lines\n{}", layout(&heading, &rows, 4)));
            let (heading, rows) = winds_rows(&passage.legs);
            parts.push(format!(
                "{name}: what to expect\n{}",
                layout(&heading, &rows, 1)
            ));
        }
        if let Some(stall) = &route.stalled {
            parts.push(wrap(&stalls(name, stall), ""));
        }
    }
    parts.push(wrap(&legs_key(comparison), ""));
    let storms = [storm_warnings(comparison), storms_by_leg(comparison)].concat();
    if !storms.is_empty() {
        parts.push(format!("Tropical storms\n{}", bullets(&storms)));
    }
    parts.extend(comparison.noticed().under_headings());
    parts.push(cautions(&comparison.voyage));
    parts.join("\n\n") + "\n"
}

/// A table's headings and rows.
pub(super) type Rows = (Vec<String>, Vec<Vec<String>>);

/// The lines to steer; the first four columns are text.
pub(super) fn lines_rows(legs: &[ExpectedLeg]) -> Rows {
    let heading = heads(&["", "From", "To", "By", "Course T", "Course M", "nm"]);
    let row = |leg: &ExpectedLeg| {
        vec![
            leg.number.to_string(),
            leg.from.clone(),
            leg.to.clone(),
            leg.kind.name().to_owned(),
            from_to(Some(leg.departure_course), Some(leg.arrival_course)),
            from_to(leg.departure_course_magnetic, leg.arrival_course_magnetic),
            grouped(leg.distance_nm),
        ]
    };
    (heading, legs.iter().map(row).collect())
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

/// What to expect on each leg.
pub(super) fn winds_rows(legs: &[ExpectedLeg]) -> Rows {
    let mut heading = heads(&["", "Days", "Out", "kn", "Wind"]);
    heading.extend(ExposureKind::ALL.map(|kind| kind.names().column.to_owned()));
    let currents = legs.iter().any(|leg| leg.current_drift_kn.is_some());
    heading.push("°C".to_owned());
    if currents {
        heading.push("Current".to_owned());
    }
    let row = |leg: &ExpectedLeg| {
        let mut row = vec![
            leg.number.to_string(),
            format!("{:.1}", leg.days),
            format!("{:.1}", leg.elapsed_days),
            format!("{:.1}", leg.mean_speed_kn),
            format!(
                "{} {:.0}±{:.0}",
                three_figures(leg.wind.from_deg),
                leg.wind.mean_speed_kn,
                leg.wind.standard_deviation_kn
            ),
        ];
        row.extend(leg.exposure.iter().map(|(_, share)| per_cent(*share)));
        let air = leg.air_temperature_c;
        row.push(air.map_or(String::new(), |air| format!("{:.0}", air.mean)));
        if currents {
            row.push(set_and_drift(leg));
        }
        row
    };
    (heading, legs.iter().map(row).collect())
}

/// The leg's mean current.
fn set_and_drift(leg: &ExpectedLeg) -> String {
    match (leg.current_set_deg, leg.current_drift_kn) {
        (Some(set_deg), Some(drift_kn)) => format!("{} {drift_kn:.1}", three_figures(set_deg)),
        (None, Some(_)) => "none".to_owned(),
        _ => String::new(),
    }
}

/// What the columns of both tables are, and why a magnetic course is not there.
pub(super) fn legs_key(comparison: &Comparison) -> String {
    let kinds = ExposureKind::ALL.map(|kind| {
        let names = kind.names();
        format!("{}: {}", names.column, names.label)
    });
    let mut key = format!(
        "{LEGS_KEY} Per cent of the leg's time with: {}.",
        kinds.join("; ")
    );
    let passages = comparison
        .routes
        .iter()
        .filter_map(|route| route.expected.as_ref());
    let mut legs = passages.flat_map(|passage| &passage.legs);
    if legs.any(|leg| {
        leg.departure_course_magnetic
            .and(leg.arrival_course_magnetic)
            .is_none()
    }) {
        key += " A magnetic course left empty or - is outside the years of the magnetic model.";
    }
    key
}

/// What the columns are, exposures apart.
const LEGS_KEY: &str = "Courses are degrees true (T) and magnetic (M), at the leg's beginning and at \
     its end. Days: on the leg; Out: from the start to its end. kn: mean speed made good. Wind: where \
     the vector mean comes from, the mean speed and the standard deviation of each component, in \
     knots. °C: the mean air temperature. Current: where the mean current sets, and its drift in knots.";
