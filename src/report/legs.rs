//! The leg tables in full, for a terminal: the lines to steer, what to expect on them, and the sea, the nights
//! and the distance from help.

use super::laid_off::{pieces_key, pieces_table};
use super::legs_summary::answer;
use super::notes::{AboutRoutes, bullets, cautions, voyage_heading};
use super::sentences::{storm_warnings, storms_by_leg};
use super::table::{layout, wrap};
use super::wording::{course, grouped, heads, per_cent, percent_met, short, three_figures};
use crate::passage::{ExpectedLeg, ExpectedPassage, ExpectedStop, ExposureKind, LegWind};
use crate::route::FarFromLand;
use crate::study::{AboutVoyage, Comparison, Legs, RouteResult};
use crate::units::{Course, OutputUnits, TemperatureScale, Unit};

/// The routes leg by leg, or in the pieces asked for, with all there is to say; [`super::legs_summary`]
/// answers on one screen.
pub fn legs_text(legs: &Legs) -> String {
    let comparison = &legs.comparison;
    let mut parts = vec![voyage_heading(&comparison.voyage)];
    for (route, laid_off) in legs.routes() {
        parts.push(wrap(&answer(comparison, route), ""));
        match (legs.by, laid_off) {
            (Some(by), Some(laid_off)) => parts.extend(pieces_table(&route.name, laid_off, by)),
            _ => parts.extend(leg_tables(comparison, route)),
        }
    }
    parts.push(wrap(
        &match legs.by {
            Some(by) => pieces_key(by) + without_magnetic(comparison),
            None => legs_key(comparison),
        },
        "",
    ));
    let storms = [storm_warnings(comparison), storms_by_leg(comparison)].concat();
    if !storms.is_empty() {
        parts.push(format!("Tropical storms\n{}", bullets(&storms)));
    }
    parts.extend(comparison.noticed().under_headings());
    parts.push(cautions(&comparison.voyage));
    parts.join("\n\n") + "\n"
}

/// The three tables of a route's legs; none where the boat stalls on it.
fn leg_tables(comparison: &Comparison, route: &RouteResult) -> Vec<String> {
    let AboutVoyage {
        units, temperature, ..
    } = comparison.voyage;
    let Some(passage) = &route.expected else {
        return Vec::new();
    };
    let table = |of: &str, (heading, rows): Rows, text_columns| {
        format!(
            "{}: {of}\n{}",
            route.name,
            layout(&heading, &rows, text_columns)
        )
    };
    let legs = &passage.legs;
    let seas = seas_rows(units, temperature, route, legs);
    vec![
        table("the lines", lines_rows(passage), 4),
        table("what to expect", winds_rows(legs), 1),
        table("sea, night and help", seas, 1),
    ]
}

/// A table's headings and rows.
pub(super) type Rows = (Vec<String>, Vec<Vec<String>>);

/// The lines to steer; the first four columns are text.
pub(super) fn lines_rows(passage: &ExpectedPassage) -> Rows {
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
    let stay = |stop: &ExpectedStop| {
        let mut row = vec![String::new(); heading.len()];
        row[1] = stop.at.clone();
        row[2] = format!("{} in harbour", in_days(stop.days));
        row
    };
    let rows = with_stops(passage, row, stay);
    (heading, rows)
}

/// A row for each leg, and between them one for each stop.
pub(super) fn with_stops(
    passage: &ExpectedPassage,
    leg_row: impl Fn(&ExpectedLeg) -> Vec<String>,
    stop_row: impl Fn(&ExpectedStop) -> Vec<String>,
) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for leg in &passage.legs {
        rows.push(leg_row(leg));
        let stops = passage.stops.iter();
        rows.extend(
            stops
                .filter(|stop| stop.after_leg == leg.number)
                .map(&stop_row),
        );
    }
    rows
}

/// Days to one decimal: 6 days, 1 day, 0.4 days.
fn in_days(days: f64) -> String {
    match short(days).as_str() {
        "1" => "1 day".to_owned(),
        days => format!("{days} days"),
    }
}

/// The course at a leg's two ends, once where it is the same.
pub(super) fn from_to(departure: Option<Course>, arrival: Option<Course>) -> String {
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
        row
    };
    (heading, legs.iter().map(row).collect())
}

/// The sea, the nights, the storms and the distance from help on each leg of a route; the current's
/// column is left out where none is reckoned with.
pub(super) fn seas_rows(
    units: OutputUnits,
    scale: TemperatureScale,
    route: &RouteResult,
    legs: &[ExpectedLeg],
) -> Rows {
    let currents = legs.iter().any(|leg| leg.current_drift_kn.is_some());
    let height = |height_m: f64| format!("{:.1}", Unit::Metre.convert(height_m, units).0);
    let unit = Unit::Metre.shown_in(units).symbol();
    let mut heading = heads(&["", scale.symbol()]);
    if currents {
        heading.push("Current".to_owned());
    }
    heading.extend(heads(&[
        &format!("Sea {unit}"),
        "95 % wind",
        &format!("Its sea {unit}"),
        "Dark h",
        "Storm",
        "Far nm",
    ]));
    let measured = sea_is_measured(legs);
    let sea_m = |leg: &ExpectedLeg| {
        let measured_m = leg.measured_wave_height_m.filter(|_| measured);
        measured_m.unwrap_or(leg.wave_height_m)
    };
    let row = |leg: &ExpectedLeg| {
        let mut row = vec![leg.number.to_string()];
        let air = leg.air_temperature_c;
        row.push(air.map_or(String::new(), |air| grouped(scale.convert(air.mean))));
        if currents {
            row.push(set_and_drift(leg.current_set_deg, leg.current_drift_kn));
        }
        let chance = storm_chance(route, leg).map_or(String::new(), percent_met);
        let far_nm = far_run_nm(route, leg).map_or(String::new(), grouped);
        row.extend([
            height(sea_m(leg)),
            format!("{:.0}", leg.wind.p95_speed_kn),
            height(leg.wave_height_p95_m),
            format!("{:.1}", leg.dark_hours_per_day),
            chance,
            far_nm,
        ]);
        row
    };
    (heading, legs.iter().map(row).collect())
}

/// Whether the sea of a route is shown as measured: all its legs have it.
fn sea_is_measured(legs: &[ExpectedLeg]) -> bool {
    let mut legs = legs.iter();
    legs.all(|leg| leg.measured_wave_height_m.is_some())
}

/// The chance of a storm on a leg; none where half the passages do not arrive.
fn storm_chance(route: &RouteResult, leg: &ExpectedLeg) -> Option<f64> {
    let mut storms = route.ensemble.storms.iter().flat_map(|all| &all.by_leg);
    Some(storms.find(|storms| storms.leg == leg.number)?.chance)
}

/// The longest run of a leg far from land.
pub(super) fn far_run_nm(route: &RouteResult, leg: &ExpectedLeg) -> Option<f64> {
    let mut legs = route.far_from_land.by_leg.iter();
    Some(legs.find(|far| far.leg == leg.number)?.longest_run_nm)
}

/// Where the mean wind comes from, and its speed.
pub(super) fn wind_from(wind: &LegWind) -> String {
    format!("{} {:.0}", three_figures(wind.from_deg), wind.mean_speed_kn)
}

/// A mean current.
pub(super) fn set_and_drift(set_deg: Option<f64>, drift_kn: Option<f64>) -> String {
    match (set_deg, drift_kn) {
        (Some(set_deg), Some(drift_kn)) => format!("{} {drift_kn:.1}", three_figures(set_deg)),
        (None, Some(_)) => "none".to_owned(),
        _ => String::new(),
    }
}

/// What the columns of the tables are, and why a magnetic course is not there.
pub(super) fn legs_key(comparison: &Comparison) -> String {
    let kinds = ExposureKind::ALL.map(|kind| {
        let names = kind.names();
        format!("{}: {}", names.column, names.label)
    });
    let mut key = format!(
        "{LINES_KEY} Per cent of the leg's time with: {}. {AIR_KEY} {} {SEAS_KEY} Far: the longest run, in nautical \
         miles, more than {:.0} nm from land, without the small islands that the outlines lack.",
        kinds.join("; "),
        sea_key(comparison),
        FarFromLand::BEYOND_NM
    );
    key += without_magnetic(comparison);
    key
}

/// Why a magnetic course is not there, where one is not.
pub(super) fn without_magnetic(comparison: &Comparison) -> &'static str {
    let routes = comparison.routes.iter();
    let mut legs = routes.flat_map(|route| route.expected.iter().flat_map(|walk| &walk.legs));
    let ends = |leg: &ExpectedLeg| {
        leg.departure_course_magnetic
            .and(leg.arrival_course_magnetic)
    };
    if legs.any(|leg| ends(leg).is_none()) {
        " A magnetic course left empty or - is outside the years of the magnetic model."
    } else {
        ""
    }
}

/// What the columns of the lines and the winds are, exposures apart.
const LINES_KEY: &str = "Courses are degrees true (T) and magnetic (M), at the leg's beginning and at \
     its end. Days: on the leg; Out: from the start to its end. kn: mean speed made good. Wind: where \
     the vector mean comes from, the mean speed and the standard deviation of each component, in \
     knots.";

/// What the column of the sea is.
fn sea_key(comparison: &Comparison) -> &'static str {
    let mut walks = comparison.routes.iter().flat_map(|route| &route.expected);
    if walks.any(|walk| sea_is_measured(&walk.legs)) {
        "Sea: the mean significant height, measured; fully developed, an upper estimate, on a route \
         without it."
    } else {
        "Sea: the mean significant wave height, fully developed, an upper estimate."
    }
}

/// What the columns of the air and the current are.
const AIR_KEY: &str = "°C or °F: the mean air temperature. Current: where the mean current sets, and its \
     drift in knots.";

/// What the other columns of the seas are.
const SEAS_KEY: &str = "95 % wind: the speed in knots not exceeded 95 % of the leg's time; Its sea: the height it raises if \
     it blows long and far enough, again an upper estimate. Dark: hours a day from sunset to \
     sunrise. Storm: the chance of a tropical storm centre within 200 nm.";
