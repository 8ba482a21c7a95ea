//! The report as JSON: stable names, shares from 0 to 1, `null` where a figure is not available.

use serde::Serialize;

use super::Study;
use super::boat_notes::boat_notes;
use super::cautions::CAUTIONS;
use super::land::{LandCrossingRecord, crossing_records, land_notes};
use super::legs::MagneticCourses;
use super::wording::leg_kind;
use crate::climate::Climate;
use crate::geodesy::Position;
use crate::passage::{
    AirTemperature, Chance, Ensemble, ExpectedLeg, ExpectedPassage, Exposure, ExposureHours,
    Voyage, Walk, chance_first_arrives_before,
};
use crate::stores::{LoadingPlan, Summary};
use crate::units::KN_PER_MS;

#[derive(Serialize)]
pub(super) struct Document<'a> {
    voyage: VoyageRecord<'a>,
    routes: Vec<RouteRecord<'a>>,
    pairs: Vec<PairRecord<'a>>,
    notes: Vec<String>,
    cautions: [&'static str; CAUTIONS.len()],
}

/// Which voyage a document is about.
#[derive(Serialize)]
pub(super) struct VoyageRecord<'a> {
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
    ensemble: EnsembleRecord<'a>,
    to_load: Option<ToLoadRecord>,
    legs: Vec<LegRecord<'a>>,
    land_crossings: Vec<LandCrossingRecord<'a>>,
    land_near_ends_nm: f64,
}

/// What to load; `null` without a crew, or where too few passages arrive.
#[derive(Serialize)]
struct ToLoadRecord {
    confidence_percent: f64,
    reserve_broken_chance: Option<f64>,
    #[serde(flatten)]
    amounts: Summary,
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
struct EnsembleRecord<'a> {
    members: usize,
    seed: u64,
    persistence_hours: f64,
    days: DaysRecord,
    exposure_hours: &'a ExposureHours,
    chance: &'a Chance,
    cyclone_season: Option<f64>,
    longest_light_air_h: MiddleAndBad,
    litres: MiddleAndBad,
}

/// Days at rising chances; `null` where that share of the passages does not arrive.
#[derive(Serialize)]
struct DaysRecord {
    p5: Option<f64>,
    p10: Option<f64>,
    p25: Option<f64>,
    p50: Option<f64>,
    p75: Option<f64>,
    p90: Option<f64>,
    p95: Option<f64>,
    mean: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct MiddleAndBad {
    pub p50: Option<f64>,
    pub p90: Option<f64>,
}

#[derive(Serialize)]
struct PairRecord<'a> {
    first: &'a str,
    second: &'a str,
    chance_first_arrives_before: f64,
}

#[derive(Serialize)]
struct StallRecord {
    leg: usize,
    position: PositionRecord,
    date: String,
}

#[derive(Serialize)]
pub(super) struct PositionRecord {
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
    written(&document(study))
}

/// The study as records.
pub(super) fn document<'a>(study: &Study<'a>) -> Document<'a> {
    let voyage = study.voyage;
    Document {
        voyage: VoyageRecord::new(voyage, study.climate),
        routes: voyage
            .routes
            .iter()
            .zip(study.walks)
            .zip(study.ensembles)
            .zip(study.land)
            .enumerate()
            .map(|(index, (((route, walk), ensemble), land))| {
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
                    ensemble: EnsembleRecord::new(ensemble),
                    to_load: study
                        .loading
                        .and_then(|plans| plans[index].planned())
                        .map(ToLoadRecord::new),
                    legs,
                    land_crossings: crossing_records(route, land),
                    land_near_ends_nm: land.near_ends_nm,
                }
            })
            .collect(),
        pairs: pairs(study),
        notes: [
            boat_notes(voyage).as_slice(),
            study.climate.notes(),
            &land_notes(&voyage.routes, study.land),
        ]
        .concat(),
        cautions: CAUTIONS,
    }
}

/// Plain records as JSON, indented.
pub(super) fn written(document: &impl Serialize) -> String {
    serde_json::to_string_pretty(document).expect("plain records can be written") + "\n"
}

/// Every pair of routes, each once, in the voyage's order.
fn pairs<'a>(study: &Study<'a>) -> Vec<PairRecord<'a>> {
    let named: Vec<_> = study.voyage.routes.iter().zip(study.ensembles).collect();
    let mut pairs = Vec::new();
    for (index, (first, a)) in named.iter().enumerate() {
        for (second, b) in &named[index + 1..] {
            pairs.push(PairRecord {
                first: first.name(),
                second: second.name(),
                chance_first_arrives_before: chance_first_arrives_before(a, b),
            });
        }
    }
    pairs
}

impl<'a> VoyageRecord<'a> {
    pub(super) fn new(voyage: &'a Voyage, climate: &'a Climate) -> Self {
        Self {
            name: &voyage.name,
            departure: voyage.departure.to_string(),
            boat: voyage.boat_name.as_deref(),
            climate: climate.label(),
        }
    }
}

impl ToLoadRecord {
    fn new(plan: &LoadingPlan) -> Self {
        Self {
            confidence_percent: plan.chosen.percent,
            reserve_broken_chance: plan.fuel.as_ref().map(|fuel| fuel.reserve_broken_chance),
            amounts: plan.summary,
        }
    }
}

impl<'a> EnsembleRecord<'a> {
    fn new(ensemble: &'a Ensemble) -> Self {
        Self {
            members: ensemble.members,
            seed: ensemble.seed,
            persistence_hours: ensemble.persistence_hours,
            days: DaysRecord {
                p5: ensemble.days_at(0.05),
                p10: ensemble.days_at(0.1),
                p25: ensemble.days_at(0.25),
                p50: ensemble.days_at(0.5),
                p75: ensemble.days_at(0.75),
                p90: ensemble.days_at(0.9),
                p95: ensemble.days_at(0.95),
                mean: ensemble.mean_days(),
            },
            exposure_hours: &ensemble.exposure_hours,
            chance: &ensemble.chance,
            cyclone_season: ensemble.cyclone_share(),
            longest_light_air_h: MiddleAndBad {
                p50: ensemble.longest_light_air_h_at(0.5),
                p90: ensemble.longest_light_air_h_at(0.9),
            },
            litres: MiddleAndBad {
                p50: ensemble.litres_at(0.5),
                p90: ensemble.litres_at(0.9),
            },
        }
    }
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
