//! The comparison and the leg table as CSV: a row a route, a row a leg; an empty cell where a
//! figure is not available.

use super::Study;
use super::legs::MagneticCourses;
use crate::passage::{AirTemperature, Exposure, Walk};
use crate::route::spreadsheet_text;
use crate::units::KN_PER_MS;

pub(super) const EXPOSURE: [&str; 7] = [
    "headwind_share",
    "hard_beat_share",
    "abaft_share",
    "light_air_share",
    "strong_share",
    "gale_share",
    "under_power_share",
];

/// Columns of the expected passage, without those of exposure.
const EXPECTED_COLUMNS: usize = 8;

/// The comparison, a row a route. Where the expected passage stalls its cells are empty.
pub fn comparison_csv(study: &Study<'_>) -> String {
    let mut heading = vec!["route", "distance_nm", "days", "arrival", "mean_speed_kn"];
    heading.extend(EXPOSURE);
    heading.extend([
        "litres",
        "air_temperature_mean_c",
        "air_temperature_lowest_c",
        "wave_height_m",
        "replaced_data_share",
        "days_p10",
        "days_p50",
        "days_p90",
        "gale_6h_chance",
        "hard_beat_24h_chance",
        "dry_tanks_chance",
        "longest_light_air_p90_h",
        "litres_p50",
        "litres_p90",
        "cyclone_season_share",
        "reserve_broken_chance",
    ]);
    let expected_columns = EXPECTED_COLUMNS + EXPOSURE.len();
    let outcomes = study.walks.iter().zip(study.ensembles);
    let rows = study.voyage.routes.iter().zip(outcomes).enumerate().map(
        |(index, (route, (walk, spread)))| {
            let mut row = vec![spreadsheet_text(route.name()), number(route.length_nm())];
            match walk {
                Walk::Arrives(passage) => {
                    row.extend([
                        number(passage.days()),
                        passage.arrival.date().to_string(),
                        number(passage.mean_speed_kn()),
                    ]);
                    row.extend(shares(&passage.exposure));
                    row.push(optional(passage.litres));
                    row.extend(air(passage.air_temperature_c));
                    row.extend([
                        number(passage.wave_height_m),
                        optional(passage.replaced_share),
                    ]);
                }
                Walk::Stalls(_) => row.extend(vec![String::new(); expected_columns]),
            }
            row.extend([0.1, 0.5, 0.9].map(|share| optional(spread.days_at(share))));
            let chance = &spread.chance;
            row.extend([number(chance.gale_6h), number(chance.hard_beat_24h)]);
            row.push(optional(chance.dry_tanks));
            row.push(optional(spread.longest_light_air_h_at(0.9)));
            row.extend([0.5, 0.9].map(|share| optional(spread.litres_at(share))));
            row.push(optional(spread.cyclone_share()));
            let plan = study.loading.and_then(|plans| plans[index].planned());
            let fuel = plan.and_then(|plan| plan.fuel.as_ref());
            row.push(optional(fuel.map(|fuel| fuel.reserve_broken_chance)));
            row
        },
    );
    written(&heading, rows)
}

/// The leg tables of all the study's routes, a row a leg. A route that stalls has no rows.
pub fn legs_csv(study: &Study<'_>) -> String {
    let mut heading = vec![
        "route",
        "leg",
        "from",
        "to",
        "kind",
        "departure_course_deg",
        "arrival_course_deg",
        "departure_course_magnetic_deg",
        "arrival_course_magnetic_deg",
        "distance_nm",
        "days",
        "elapsed_days",
        "mean_speed_kn",
        "wind_from_deg",
        "wind_mean_speed_kn",
        "wind_vector_mean_speed_kn",
        "wind_spread_kn",
    ];
    heading.extend(EXPOSURE);
    heading.extend([
        "air_temperature_mean_c",
        "air_temperature_lowest_c",
        "wave_height_m",
        "replaced_data_share",
    ]);
    let mut rows = Vec::new();
    for (route, walk) in study.voyage.routes.iter().zip(study.walks) {
        let Walk::Arrives(passage) = walk else {
            continue;
        };
        for leg in &passage.legs {
            let magnetic = MagneticCourses::of(leg);
            let mut row = vec![
                spreadsheet_text(route.name()),
                leg.number.to_string(),
                spreadsheet_text(&leg.from),
                spreadsheet_text(&leg.to),
                leg.kind.name().to_owned(),
                number(leg.departure_course.deg()),
                number(leg.arrival_course.deg()),
                optional(magnetic.departure.map(|course| course.deg())),
                optional(magnetic.arrival.map(|course| course.deg())),
                number(leg.distance_nm),
                number(leg.hours / 24.0),
                number(leg.elapsed_hours / 24.0),
                number(leg.mean_speed_kn()),
                number(leg.wind.direction().deg()),
                number(leg.wind_speed_kn),
                number(leg.wind.vector_mean_speed_ms() * KN_PER_MS),
                number(leg.wind.s_ms * KN_PER_MS),
            ];
            row.extend(shares(&leg.exposure));
            row.extend(air(leg.air_temperature_c));
            row.extend([number(leg.wave_height_m), optional(leg.replaced_share)]);
            rows.push(row);
        }
    }
    written(&heading, rows)
}

pub(super) fn written(heading: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> String {
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

pub(super) fn number(value: f64) -> String {
    format!("{value:.4}")
}

pub(super) fn optional(value: Option<f64>) -> String {
    value.map_or(String::new(), number)
}

pub(super) fn shares(exposure: &Exposure) -> [String; 7] {
    [
        exposure.headwind,
        exposure.hard_beat,
        exposure.abaft,
        exposure.light_air,
        exposure.strong,
        exposure.gale,
        exposure.under_power,
    ]
    .map(number)
}

fn air(air: Option<AirTemperature>) -> [String; 2] {
    [
        optional(air.map(|air| air.mean)),
        optional(air.map(|air| air.lowest)),
    ]
}
