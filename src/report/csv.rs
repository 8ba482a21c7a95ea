//! Results as CSV: a row a route, a leg, a departure or a course; an empty cell where a figure is
//! not available.

use super::figures::{FIGURES, Facts, Figure};
use super::legs::far_run_nm;
use super::wording::number;
use crate::passage::{AirTemperature, ExpectedLeg, Exposure, ExposureKind, Piece};
use crate::route::spreadsheet_text;
use crate::study::{Comparison, LaidOffRoute, Legs, Season, TradeOffCourse};
use crate::units::Course;

/// The comparison, a row a route.
pub fn comparison_csv(comparison: &Comparison) -> String {
    let mut heading = vec!["route".to_owned()];
    heading.extend(FIGURES.iter().map(Figure::column));
    let rows = comparison.routes.iter().map(|route| {
        let facts = Facts::from(route);
        let mut row = vec![spreadsheet_text(facts.name)];
        row.extend(FIGURES.iter().map(|figure| figure.csv(&facts)));
        row
    });
    written(&heading, rows)
}

/// The year, a row a departure and route. The last two columns are the greatest chance to be late of its
/// deadlines, and the greatest chance of a storm of its stages.
pub fn season_csv(season: &Season) -> String {
    let figures = || FIGURES.iter().filter(|figure| figure.of_season);
    let mut heading = vec!["departure".to_owned(), "route".to_owned()];
    heading.extend(figures().map(Figure::column));
    heading.extend(["late_chance", "stage_storm_chance"].map(str::to_owned));
    let rows = season.departures.iter().flat_map(|departure| {
        departure.routes.iter().map(|passage| {
            let facts = Facts::from(passage);
            let mut row = vec![departure.date.to_string(), spreadsheet_text(facts.name)];
            row.extend(figures().map(|figure| figure.csv(&facts)));
            row.extend([
                optional(passage.ensemble.worst_late().map(|late| late.chance)),
                optional(passage.ensemble.stormiest_stage().map(|(_, chance)| chance)),
            ]);
            row
        })
    });
    written(&heading, rows)
}

/// The legs of all routes, a row a leg; or the pieces they are laid off in, a row a piece. A route that
/// stalls has no rows.
pub fn legs_csv(legs: &Legs) -> String {
    match legs.by {
        Some(_) => pieces_csv(&legs.laid_off),
        None => own_legs_csv(&legs.comparison),
    }
}

fn own_legs_csv(comparison: &Comparison) -> String {
    let mut heading = vec!["route".to_owned()];
    heading.extend(LEG_COLUMNS.iter().map(|(name, _)| (*name).to_owned()));
    heading.extend(share_columns());
    heading.extend(LEG_ENDING.iter().map(|(name, _)| (*name).to_owned()));
    heading.extend(["storm_days", "storm_chance", "far_from_land_nm"].map(str::to_owned));
    let rows = comparison.routes.iter().flat_map(|route| {
        let legs = route.expected.iter().flat_map(|passage| &passage.legs);
        legs.map(|leg| {
            let mut row = vec![spreadsheet_text(&route.name)];
            row.extend(LEG_COLUMNS.iter().map(|(_, cell)| cell(leg)));
            row.extend(shares(&leg.exposure));
            row.extend(LEG_ENDING.iter().map(|(_, cell)| cell(leg)));
            let storms = route.ensemble.storms.as_ref();
            let storms = storms.and_then(|all| all.by_leg.iter().find(|at| at.leg == leg.number));
            row.push(optional(storms.map(|storms| storms.storm_days)));
            row.push(optional(storms.map(|storms| storms.chance)));
            row.push(optional(far_run_nm(route, leg)));
            row
        })
    });
    written(&heading, rows)
}

/// A column of the leg table: its name, and how a leg's cell is written.
type LegColumn = (&'static str, fn(&ExpectedLeg) -> String);

/// The columns before the exposures.
const LEG_COLUMNS: [LegColumn; 16] = [
    ("leg", |leg| leg.number.to_string()),
    ("from", |leg| spreadsheet_text(&leg.from)),
    ("to", |leg| spreadsheet_text(&leg.to)),
    ("kind", |leg| leg.kind.name().to_owned()),
    ("departure_course_deg", |leg| {
        course(Some(leg.departure_course))
    }),
    ("arrival_course_deg", |leg| course(Some(leg.arrival_course))),
    ("departure_course_magnetic_deg", |leg| {
        course(leg.departure_course_magnetic)
    }),
    ("arrival_course_magnetic_deg", |leg| {
        course(leg.arrival_course_magnetic)
    }),
    ("distance_nm", |leg| number(leg.distance_nm)),
    ("days", |leg| number(leg.days)),
    ("elapsed_days", |leg| number(leg.elapsed_days)),
    ("mean_speed_kn", |leg| number(leg.mean_speed_kn)),
    ("wind_from_deg", |leg| number(leg.wind.from_deg)),
    ("wind_mean_speed_kn", |leg| number(leg.wind.mean_speed_kn)),
    ("wind_vector_mean_speed_kn", |leg| {
        number(leg.wind.vector_mean_speed_kn)
    }),
    ("wind_standard_deviation_kn", |leg| {
        number(leg.wind.standard_deviation_kn)
    }),
];

/// The columns after the exposures.
const LEG_ENDING: [LegColumn; 8] = [
    ("air_temperature_mean_c", |leg| air(leg, |air| air.mean)),
    ("air_temperature_lowest_c", |leg| air(leg, |air| air.lowest)),
    ("wave_height_m", |leg| number(leg.wave_height_m)),
    ("measured_wave_height_m", |leg| {
        optional(leg.measured_wave_height_m)
    }),
    ("wind_p95_speed_kn", |leg| number(leg.wind.p95_speed_kn)),
    ("wave_height_p95_m", |leg| number(leg.wave_height_p95_m)),
    ("dark_hours_per_day", |leg| number(leg.dark_hours_per_day)),
    ("replaced_data_share", |leg| optional(leg.replaced_share)),
];

fn pieces_csv(routes: &[LaidOffRoute]) -> String {
    let names = |columns: &[PieceColumn]| {
        let names = columns.iter().map(|(name, _)| (*name).to_owned());
        names.collect::<Vec<_>>()
    };
    let mut heading = vec!["route".to_owned()];
    heading.extend(names(&PIECE_COLUMNS));
    heading.extend(share_columns());
    heading.extend(names(&PIECE_ENDING));
    let rows = routes.iter().flat_map(|route| {
        route.pieces.iter().map(|piece| {
            let mut row = vec![spreadsheet_text(&route.name)];
            row.extend(PIECE_COLUMNS.iter().map(|(_, cell)| cell(piece)));
            row.extend(shares(&piece.exposure));
            row.extend(PIECE_ENDING.iter().map(|(_, cell)| cell(piece)));
            row
        })
    });
    written(&heading, rows)
}

/// A column of the pieces: its name, and how a piece's cell is written.
type PieceColumn = (&'static str, fn(&Piece) -> String);

/// The columns before the exposures.
const PIECE_COLUMNS: [PieceColumn; 17] = [
    ("piece", |piece| piece.number.to_string()),
    ("leg", |piece| piece.leg.to_string()),
    ("begins", |piece| piece.begins.to_string()),
    ("ends", |piece| piece.ends.to_string()),
    ("start_latitude_deg", |piece| {
        number(piece.start.latitude_deg())
    }),
    ("start_longitude_deg", |piece| {
        number(piece.start.longitude_deg())
    }),
    ("end_latitude_deg", |piece| number(piece.end.latitude_deg())),
    ("end_longitude_deg", |piece| {
        number(piece.end.longitude_deg())
    }),
    ("course_deg", |piece| course(Some(piece.course))),
    ("course_magnetic_deg", |piece| course(piece.course_magnetic)),
    ("distance_nm", |piece| number(piece.distance_nm)),
    ("days", |piece| number(piece.days)),
    ("elapsed_days", |piece| number(piece.elapsed_days)),
    ("wind_from_deg", |piece| number(piece.wind.from_deg)),
    ("wind_mean_speed_kn", |piece| {
        number(piece.wind.mean_speed_kn)
    }),
    ("wind_standard_deviation_kn", |piece| {
        number(piece.wind.standard_deviation_kn)
    }),
    ("wind_p95_speed_kn", |piece| number(piece.wind.p95_speed_kn)),
];

/// The columns after the exposures.
const PIECE_ENDING: [PieceColumn; 7] = [
    ("air_temperature_mean_c", |piece| {
        optional(piece.air_temperature_c.map(|air| air.mean))
    }),
    ("wave_height_m", |piece| number(piece.wave_height_m)),
    ("measured_wave_height_m", |piece| {
        optional(piece.measured_wave_height_m)
    }),
    ("current_set_deg", |piece| optional(piece.current_set_deg)),
    ("current_drift_kn", |piece| optional(piece.current_drift_kn)),
    ("storm_days", |piece| format!("{:.6}", piece.storm_days)),
    ("dark_hours_per_day", |piece| {
        number(piece.dark_hours_per_day)
    }),
];

fn course(course: Option<Course>) -> String {
    optional(course.map(|course| course.deg()))
}

fn air(leg: &ExpectedLeg, figure: fn(AirTemperature) -> f64) -> String {
    optional(leg.air_temperature_c.map(figure))
}

/// Courses of a trade-off, a row a course.
pub fn trade_off_csv(courses: &[TradeOffCourse]) -> String {
    let mut heading = ["route", "price_hours_an_hour", "distance_nm", "days"]
        .map(str::to_owned)
        .to_vec();
    heading.extend(share_columns());
    heading.push("corners".to_owned());
    let rows = courses.iter().map(|course| {
        let corners: Vec<String> = course.corners.iter().map(ToString::to_string).collect();
        let mut row = vec![
            spreadsheet_text(&course.name),
            optional(course.price_hours_an_hour),
            number(course.expected.distance_nm),
            number(course.expected.days),
        ];
        row.extend(shares(&course.expected.exposure));
        row.push(corners.join("; "));
        row
    });
    written(&heading, rows)
}

fn share_columns() -> impl Iterator<Item = String> {
    ExposureKind::ALL
        .into_iter()
        .map(|kind| format!("{}_share", kind.names().id))
}

fn shares(exposure: &Exposure) -> impl Iterator<Item = String> {
    exposure.iter().map(|(_, share)| number(*share))
}

/// Rows under a heading.
pub(super) fn written(heading: &[String], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    writer
        .write_record(heading)
        .expect("memory takes every row");
    for row in rows {
        writer
            .write_record(row)
            .expect("every row is as long as the heading");
    }
    let bytes = writer.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("rows of text")
}

pub(super) fn optional(value: Option<f64>) -> String {
    value.map_or(String::new(), number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::passage::EnsembleOptions;
    use crate::report::figures::groups;
    use crate::study::{Options, compare};
    use crate::voyage::Voyage;

    #[test]
    fn columns_and_rows_are_those_of_the_figures() {
        let voyage = Voyage::demo().unwrap();
        let few = EnsembleOptions {
            members: 10,
            ..EnsembleOptions::default()
        };
        let options = Options::default().with_ensemble(few);
        let compared = compare(&voyage, &voyage.open_climate().unwrap(), &options).unwrap();
        let csv = comparison_csv(&compared);
        let mut columns = csv.lines().next().unwrap().split(',');
        assert_eq!(columns.next(), Some("route"));
        assert!(columns.eq(FIGURES.iter().map(Figure::column)));

        // The text has a row for each figure that a route has a value for, in the same order.
        let facts: Vec<Facts<'_>> = compared.routes.iter().map(Facts::from).collect();
        let given = |figure: &&Figure| facts.iter().any(|facts| figure.value(facts).is_some());
        let given: Vec<&str> = FIGURES
            .iter()
            .filter(given)
            .map(|figure| figure.label)
            .collect();
        let groups = groups(&compared);
        let rows = groups.iter().flat_map(|group| &group.rows);
        let rows: Vec<&str> = rows.map(|row| row.label).collect();
        assert_eq!(rows, given);
        assert!(rows.len() > 25, "{rows:?}");
    }
}
