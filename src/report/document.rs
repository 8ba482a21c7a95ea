//! The report as JSON: stable names, shares from 0 to 1, `null` where a figure is not available.

use serde::Serialize;

use super::Study;
use super::cautions::CAUTIONS;
use super::legs::MagneticCourses;
use super::wording::leg_kind;
use crate::geodesy::Position;
use crate::passage::{AirTemperature, ExpectedLeg, ExpectedPassage, Exposure, Walk};
use crate::units::KN_PER_MS;

#[derive(Serialize)]
struct Document<'a> {
    voyage: VoyageRecord<'a>,
    routes: Vec<RouteRecord<'a>>,
    notes: &'a [String],
    cautions: [&'static str; 5],
}

#[derive(Serialize)]
struct VoyageRecord<'a> {
    name: &'a str,
    departure: String,
    boat: Option<&'a str>,
    climate: &'a str,
}

#[derive(Serialize)]
struct RouteRecord<'a> {
    name: &'a str,
    distance_nm: f64,
    expected: Option<ExpectedRecord>,
    stalled: Option<StallRecord>,
    legs: Vec<LegRecord<'a>>,
}

#[derive(Serialize)]
struct ExpectedRecord {
    days: f64,
    arrival: String,
    mean_speed_kn: f64,
    exposure: Exposure,
    litres: Option<f64>,
    air_temperature_c: Option<AirTemperature>,
    wave_height_m: f64,
    replaced_data: Option<f64>,
}

#[derive(Serialize)]
struct StallRecord {
    leg: usize,
    position: PositionRecord,
    date: String,
}

#[derive(Serialize)]
struct PositionRecord {
    latitude_deg: f64,
    longitude_deg: f64,
}

#[derive(Serialize)]
struct LegRecord<'a> {
    number: usize,
    from: &'a str,
    to: &'a str,
    kind: &'static str,
    departure_course_deg: f64,
    arrival_course_deg: f64,
    departure_course_magnetic_deg: Option<f64>,
    arrival_course_magnetic_deg: Option<f64>,
    distance_nm: f64,
    days: f64,
    elapsed_days: f64,
    mean_speed_kn: f64,
    wind: WindRecord,
    exposure: Exposure,
    air_temperature_c: Option<AirTemperature>,
    wave_height_m: f64,
    replaced_data: Option<f64>,
}

#[derive(Serialize)]
struct WindRecord {
    from_deg: f64,
    mean_speed_kn: f64,
    vector_mean_speed_kn: f64,
    spread_kn: f64,
}

/// The study as JSON, indented.
pub fn document_json(study: &Study<'_>) -> String {
    let voyage = study.voyage;
    let document = Document {
        voyage: VoyageRecord {
            name: &voyage.name,
            departure: voyage.departure.to_string(),
            boat: voyage.boat_name.as_deref(),
            climate: study.climate.label(),
        },
        routes: voyage
            .routes
            .iter()
            .zip(study.walks)
            .map(|(route, walk)| {
                let (expected, stalled, legs) = match walk {
                    Walk::Arrives(passage) => {
                        let legs = passage.legs.iter().map(LegRecord::new).collect();
                        (Some(ExpectedRecord::new(passage)), None, legs)
                    }
                    Walk::Stalls(stall) => {
                        let record = StallRecord {
                            leg: stall.leg,
                            position: stall.position.into(),
                            date: stall.date.to_string(),
                        };
                        (None, Some(record), Vec::new())
                    }
                };
                let distance_nm = route.length_nm();
                RouteRecord {
                    name: route.name(),
                    distance_nm,
                    expected,
                    stalled,
                    legs,
                }
            })
            .collect(),
        notes: study.climate.notes(),
        cautions: CAUTIONS,
    };
    written(&document)
}

/// Plain records as JSON, indented.
pub(super) fn written(document: &impl Serialize) -> String {
    serde_json::to_string_pretty(document).expect("plain records can be written") + "\n"
}

impl ExpectedRecord {
    fn new(passage: &ExpectedPassage) -> Self {
        Self {
            days: passage.days(),
            arrival: passage.arrival.date().to_string(),
            mean_speed_kn: passage.mean_speed_kn(),
            exposure: passage.exposure,
            litres: passage.litres,
            air_temperature_c: passage.air_temperature_c,
            wave_height_m: passage.wave_height_m,
            replaced_data: passage.replaced_share,
        }
    }
}

impl From<Position> for PositionRecord {
    fn from(position: Position) -> Self {
        Self {
            latitude_deg: position.latitude_deg(),
            longitude_deg: position.longitude_deg(),
        }
    }
}

impl<'a> LegRecord<'a> {
    fn new(leg: &'a ExpectedLeg) -> Self {
        let magnetic = MagneticCourses::of(leg);
        Self {
            number: leg.number,
            from: &leg.from,
            to: &leg.to,
            kind: leg_kind(leg.kind),
            departure_course_deg: leg.departure_course.deg(),
            arrival_course_deg: leg.arrival_course.deg(),
            departure_course_magnetic_deg: magnetic.departure.map(|course| course.deg()),
            arrival_course_magnetic_deg: magnetic.arrival.map(|course| course.deg()),
            distance_nm: leg.distance_nm,
            days: leg.hours / 24.0,
            elapsed_days: leg.elapsed_hours / 24.0,
            mean_speed_kn: leg.mean_speed_kn(),
            wind: WindRecord {
                from_deg: leg.wind.direction().deg(),
                mean_speed_kn: leg.wind_speed_kn,
                vector_mean_speed_kn: leg.wind.vector_mean_speed_ms() * KN_PER_MS,
                spread_kn: leg.wind.s_ms * KN_PER_MS,
            },
            exposure: leg.exposure,
            air_temperature_c: leg.air_temperature_c,
            wave_height_m: leg.wave_height_m,
            replaced_data: leg.replaced_share,
        }
    }
}
