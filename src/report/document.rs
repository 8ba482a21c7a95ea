//! The report as JSON: stable names, shares from 0 to 1, `null` where a figure is not available.

use schemars::JsonSchema;
use serde::Serialize;

use super::Study;
use super::cautions::CAUTIONS;
use super::land::{LandCrossingRecord, crossing_records};
use super::legs::MagneticCourses;
use super::notes::notes;
use crate::climate::Climate;
use crate::geodesy::{LegKind, Position};
use crate::passage::{
    AirTemperature, Chance, Ensemble, ExpectedLeg, ExpectedPassage, Exposure, ExposureHours, Walk,
    chance_first_arrives_before,
};
use crate::stores::LoadingPlan;
use crate::units::KN_PER_MS;
use crate::voyage::Voyage;

/// A voyage's routes, walked on the mean wind and through many passages.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'a> {
    /// Which voyage, boat and winds.
    voyage: VoyageRecord<'a>,
    /// Each route, in the voyage's order.
    routes: Vec<RouteRecord<'a>>,
    /// Every pair of routes, each once.
    pairs: Vec<PairRecord<'a>>,
    /// What was assumed or changed about boat, winds and land, a sentence each.
    notes: Vec<String>,
    /// What to know before trusting the figures, a sentence each.
    cautions: &'static [&'static str],
}

/// Which voyage a document is about.
#[derive(JsonSchema, Serialize)]
pub(super) struct VoyageRecord<'a> {
    /// The voyage's name.
    name: &'a str,
    /// The day of departure; passages begin at 00:00 UTC.
    #[schemars(extend("format" = "date"))]
    departure: String,
    /// The boat's name; none where the voyage file gives none.
    boat: Option<&'a str>,
    /// Where the winds come from: the file, and its title where it has one.
    climate: &'a str,
}

/// One route. Either `expected` or `stalled` is there.
#[derive(JsonSchema, Serialize)]
struct RouteRecord<'a> {
    /// The route's name.
    name: &'a str,
    /// Length over the ground, nautical miles.
    distance_nm: f64,
    /// The passage on the mean wind; none where the boat stalls on it.
    expected: Option<ExpectedRecord>,
    /// Where the boat makes next to no progress on the mean wind; none where she arrives.
    stalled: Option<StallRecord>,
    /// The spread of many passages.
    ensemble: EnsembleRecord<'a>,
    /// What to load, which only `compare` works out; none without a crew, or where too few passages
    /// arrive.
    to_load: Option<ToLoadRecord>,
    /// The passage on the mean wind leg by leg; empty where the boat stalls.
    legs: Vec<LegRecord<'a>>,
    /// Where the route crosses land away from its ends, in the order met.
    land_crossings: Vec<LandCrossingRecord<'a>>,
    /// How much of the route is over land within 10 nautical miles of its ends, nautical miles.
    land_near_ends_nm: f64,
}

/// What to load.
#[derive(JsonSchema, Serialize)]
struct ToLoadRecord {
    /// The share of passages, in per cent, that each amount is enough for.
    confidence_percent: f64,
    /// Chance that motoring, charging and the arrival's reserve together exceed tanks and cans, 0 to 1;
    /// none without an engine.
    reserve_broken_chance: Option<f64>,
    /// Diesel to load, litres; none without an engine.
    diesel_litres: Option<f64>,
    /// Food to load, the pets' included, kg.
    food_kg: f64,
    /// Water to load, the emergency water included, litres.
    water_litres: f64,
}

/// A passage by the mean progress along it.
#[derive(JsonSchema, Serialize)]
struct ExpectedRecord {
    /// Days under way.
    days: f64,
    /// The day of arrival, UTC.
    #[schemars(extend("format" = "date"))]
    arrival: String,
    /// Distance over time under way, knots.
    mean_speed_kn: f64,
    /// What is met, as shares of the time.
    exposure: Exposure,
    /// Diesel burnt under power, litres; none without an engine.
    litres: Option<f64>,
    /// Air temperature, degrees Celsius; none where the climate has none.
    air_temperature_c: Option<AirTemperature>,
    /// Mean significant height of a fully developed sea, metres: an upper estimate.
    wave_height_m: f64,
    /// Share of the time on replaced wind data, 0 to 1; none where the climate does not say.
    replaced_data: Option<f64>,
}

/// Many passages through winds that wander about the mean.
#[derive(JsonSchema, Serialize)]
struct EnsembleRecord<'a> {
    /// How many passages.
    members: usize,
    /// The seed of their winds.
    seed: u64,
    /// How long a wind persists, hours.
    persistence_hours: f64,
    /// Days under way.
    days: DaysRecord,
    /// What is met, in hours.
    exposure_hours: &'a ExposureHours,
    /// Chances over a whole passage, 0 to 1.
    chance: &'a Chance,
    /// Share of time in waters where tropical cyclones are then to be reckoned with, 0 to 1, at the
    /// pace of the 10, 50 or 90 % passage that has most of it; none where half do not arrive.
    cyclone_season: Option<f64>,
    /// The longest spell of wind below 6 kn, hours.
    longest_light_air_h: MiddleAndBad,
    /// Diesel burnt under power, litres; figures are none without an engine.
    litres: MiddleAndBad,
}

/// Days at rising chances; none where that share of the passages does not arrive in 400 days.
#[derive(JsonSchema, Serialize)]
struct DaysRecord {
    /// Days that 5 passages in a hundred stay below.
    p5: Option<f64>,
    /// Days that 10 passages in a hundred stay below.
    p10: Option<f64>,
    /// Days that 25 passages in a hundred stay below.
    p25: Option<f64>,
    /// Days that half the passages stay below: the median.
    p50: Option<f64>,
    /// Days that 75 passages in a hundred stay below.
    p75: Option<f64>,
    /// Days that 90 passages in a hundred stay below: the bad case.
    p90: Option<f64>,
    /// Days that 95 passages in a hundred stay below.
    p95: Option<f64>,
    /// The mean of the days; none where any passage does not arrive.
    mean: Option<f64>,
}

/// The middling and the bad case, in the unit of the figure they belong to.
#[derive(JsonSchema, Serialize)]
pub(super) struct MiddleAndBad {
    /// What half the passages stay below: the median.
    pub p50: Option<f64>,
    /// What 90 passages in a hundred stay below.
    pub p90: Option<f64>,
}

/// Two routes against each other.
#[derive(JsonSchema, Serialize)]
struct PairRecord<'a> {
    /// The first route's name.
    first: &'a str,
    /// The second route's name.
    second: &'a str,
    /// Chance that a passage of the first takes fewer days than one of the second, 0 to 1.
    chance_first_arrives_before: f64,
}

/// Where and when a boat stalls.
#[derive(JsonSchema, Serialize)]
struct StallRecord {
    /// The leg's number on its route, from 1.
    leg: usize,
    /// Where.
    position: PositionRecord,
    /// The day, UTC.
    #[schemars(extend("format" = "date"))]
    date: String,
}

/// A place on the WGS84 ellipsoid.
#[derive(JsonSchema, Serialize)]
pub(super) struct PositionRecord {
    /// Latitude, degrees, north positive.
    latitude_deg: f64,
    /// Longitude, degrees, east positive.
    longitude_deg: f64,
}

/// One leg of the passage on the mean wind.
#[derive(JsonSchema, Serialize)]
struct LegRecord<'a> {
    /// Its number on its route, from 1.
    number: usize,
    /// The waypoint it leaves.
    from: &'a str,
    /// The waypoint it reaches.
    to: &'a str,
    /// The line sailed.
    #[schemars(extend("enum" = KINDS.map(LegKind::name)))]
    kind: &'static str,
    /// Course at departure, degrees true.
    departure_course_deg: f64,
    /// Course at arrival, degrees true.
    arrival_course_deg: f64,
    /// Course at departure, degrees magnetic; none where the magnetic model does not cover the date.
    departure_course_magnetic_deg: Option<f64>,
    /// Course at arrival, degrees magnetic; none where the magnetic model does not cover the date.
    arrival_course_magnetic_deg: Option<f64>,
    /// Length over the ground, nautical miles.
    distance_nm: f64,
    /// Days on the leg.
    days: f64,
    /// Days from the route's start to the leg's end.
    elapsed_days: f64,
    /// Distance over time on the leg, knots.
    mean_speed_kn: f64,
    /// The mean wind on the leg.
    wind: WindRecord,
    /// What is met, as shares of the leg's time.
    exposure: Exposure,
    /// Air temperature, degrees Celsius; none where the climate has none.
    air_temperature_c: Option<AirTemperature>,
    /// Mean significant height of a fully developed sea, metres: an upper estimate.
    wave_height_m: f64,
    /// Share of the leg's time on replaced wind data, 0 to 1; none where the climate does not say.
    replaced_data: Option<f64>,
}

/// The wind on a leg, averaged over the time on it.
#[derive(JsonSchema, Serialize)]
struct WindRecord {
    /// Where the mean vector comes from, degrees true.
    from_deg: f64,
    /// Mean speed whatever the direction, knots.
    mean_speed_kn: f64,
    /// Size of the mean vector, knots.
    vector_mean_speed_kn: f64,
    /// Standard deviation of each component, knots.
    spread_kn: f64,
}

/// One of each kind of leg, for its name.
const KINDS: [LegKind; 3] = [
    LegKind::GreatCircle,
    LegKind::Rhumb,
    LegKind::Composite {
        limit_latitude_deg: 0.0,
    },
];

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
        notes: notes(voyage, study.climate, study.land),
        cautions: &CAUTIONS,
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
        let fuel = plan.fuel.as_ref();
        Self {
            confidence_percent: plan.chosen.percent,
            reserve_broken_chance: fuel.map(|fuel| fuel.reserve_broken_chance),
            diesel_litres: fuel.map(|fuel| fuel.chosen.to_load_litres),
            food_kg: plan.food.to_load_kg,
            water_litres: plan.water.to_load_litres,
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
            kind: leg.kind.name(),
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
