//! The stores floor against rows from outside it. Each row says its source and how far that was
//! followed: `verified`, read in the text named; `second-hand`, read in a text that quotes it;
//! `from memory`; `computed`, a formula of such an origin worked out apart from this program. A sweep
//! of days is by an astronomy library.

use jiff::civil::Date;
use offing::boat::{Burn, PowerCurve};
use offing::geodesy::{SunDay, daylight_hours};
use offing::stores::*;
use offing::units::{Kind, Quantity};
use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::rows::reference_rows;

/// Minutes the sun's rise and set may be off in the sweep, at most.
const SWEEP_WORST_MIN: f64 = 1.0;
/// The same at 50 %.
const SWEEP_MEDIAN_MIN: f64 = 0.2;
/// The files whose rows say their status, and how many rows there are of each.
const FILES: [&str; 8] = [
    "day_length.csv",
    "engine.csv",
    "food_energy.csv",
    "pet_energy.csv",
    "sun_above_air.csv",
    "sunrise.csv",
    "unit_definitions.csv",
    "water_per_person.csv",
];
const STATUSES: [(&str, usize); 4] = [
    ("verified", 4),
    ("second-hand", 9),
    ("from memory", 11),
    ("computed", 20),
];
/// Exact definitions may differ by rounding only.
const EXACT_SHARE: f64 = 1e-12;
const MJ_PER_KWH: f64 = 3.6;

/// The rows of one file.
fn rows<Row: DeserializeOwned>(name: &str) -> Vec<Row> {
    reference_rows(&format!("stores/{name}"))
}

fn assert_near(what: &str, got: f64, expected: f64, tolerance: f64) {
    let error = got - expected;
    assert!(
        error.abs() <= tolerance,
        "{what}: got {got}, expected {expected}, error {error}, tolerance {tolerance}"
    );
}

#[derive(Deserialize)]
struct Origin {
    status: String,
    source: String,
}

#[test]
fn every_row_says_where_it_is_from_and_few_were_read_there() {
    let rows: Vec<Origin> = FILES.into_iter().flat_map(rows::<Origin>).collect();
    for (status, expected) in STATUSES {
        let of_status = rows.iter().filter(|row| row.status == status);
        assert_eq!(of_status.count(), expected, "{status}");
    }
    let known: usize = STATUSES.iter().map(|(_, count)| count).sum();
    assert_eq!(rows.len(), known, "another status");
    assert!(rows.iter().all(|row| !row.source.is_empty()));
}

#[derive(Deserialize)]
struct FoodEnergy {
    quantity: String,
    sex: Sex,
    age_years: f64,
    mass_kg: f64,
    height_cm: Option<f64>,
    activity_level: Option<f64>,
    expected_kcal: f64,
    tolerance_kcal: f64,
    source: String,
}

#[test]
fn food_energy_of_people() {
    for row in rows::<FoodEnergy>("food_energy.csv") {
        let body = Body {
            sex: row.sex,
            age_years: row.age_years,
            mass_kg: row.mass_kg,
            height_cm: row.height_cm,
            activity: row
                .activity_level
                .map_or(Activity::Moderate, Activity::Level),
        };
        let got = match row.quantity.as_str() {
            "resting" => resting_kcal(&body),
            "day" => daily_kcal(&body),
            "mifflin" => resting_cross_check_kcal(&body).unwrap(),
            other => panic!("unknown quantity {other}"),
        };
        assert_near(&row.source, got, row.expected_kcal, row.tolerance_kcal);
    }
}

#[test]
fn the_default_activity_at_sea_is_the_worked_examples() {
    let body = Body {
        sex: Sex::Female,
        age_years: 25.0,
        mass_kg: 55.0,
        height_cm: None,
        activity: Activity::Moderate,
    };
    // FAO/WHO/UNU 2001, section 5.4.1: 2410 kcal, printed to 10.
    assert_near("FAO/WHO/UNU 2001", daily_kcal(&body), 2410.0, 5.0);
}

#[derive(Deserialize)]
struct PetEnergy {
    mass_kg: f64,
    expected_kcal: f64,
    tolerance_kcal: f64,
    source: String,
}

#[test]
fn resting_energy_of_pets() {
    for row in rows::<PetEnergy>("pet_energy.csv") {
        let got = pet_resting_kcal(row.mass_kg);
        assert_near(&row.source, got, row.expected_kcal, row.tolerance_kcal);
    }
}

#[derive(Deserialize)]
struct WaterRange {
    r#use: String,
    least_litres: f64,
    most_litres: f64,
    source: String,
}

#[test]
fn water_on_shore_is_as_published_and_the_default_covers_its_drinking() {
    for row in rows::<WaterRange>("water_per_person.csv") {
        let range = match &*row.r#use {
            "drinking" => SHORE_DRINKING,
            "cooking" => SHORE_COOKING,
            "washing" => SHORE_WASHING,
            "total" => SHORE_TOTAL,
            other => panic!("water for {other}"),
        };
        assert_eq!(range, [row.least_litres, row.most_litres], "{}", row.source);
        // For drinking and cooking, by common practice: less than both together on shore.
        if row.r#use == "drinking" {
            assert!(DRINKING_AND_COOKING.value > row.most_litres);
            assert_eq!(RATION.value, row.most_litres);
        }
    }
}

#[derive(Deserialize)]
struct UnitDefinition {
    unit: String,
    kind: String,
    in_base: f64,
    source: String,
}

#[test]
fn units_are_exact() {
    for row in rows::<UnitDefinition>("unit_definitions.csv") {
        let kind = [Kind::Volume, Kind::Mass, Kind::Length, Kind::FoodEnergy]
            .into_iter()
            .find(|kind| kind.name() == row.kind)
            .unwrap();
        let quantity = Quantity::parse(kind, &format!("1 {}", row.unit)).unwrap();
        let tolerance = EXACT_SHARE * row.in_base;
        assert_near(&row.source, quantity.in_base(), row.in_base, tolerance);
    }
}

#[derive(Deserialize)]
struct EngineRow {
    power_kw: f64,
    speed_share: f64,
    specific_consumption_g_per_kwh: f64,
    density_kg_per_litre: f64,
    expected_kw: f64,
    expected_litres_per_hour: f64,
    tolerance_share: f64,
    source: String,
}

#[test]
fn propeller_law_and_consumption() {
    const SPEED_KN: f64 = 7.0;
    for row in rows::<EngineRow>("engine.csv") {
        let curve = PowerCurve {
            power_kw: row.power_kw,
            speed_kn: SPEED_KN,
            cruising_kn: SPEED_KN * row.speed_share,
            specific_consumption_g_per_kwh: Some(row.specific_consumption_g_per_kwh),
            density_kg_per_litre: Some(row.density_kg_per_litre),
        };
        let near = |got: f64, expected: f64| {
            assert_near(&row.source, got, expected, row.tolerance_share * expected);
        };
        near(curve.power_kw_at(curve.cruising_kn), row.expected_kw);
        near(
            Burn::FromPower(curve).litres_per_hour(),
            row.expected_litres_per_hour,
        );
    }
    // The defaults are the row's own 250 g/kWh and 0.84 kg/L.
    let by_default = PowerCurve {
        power_kw: 20.0,
        speed_kn: SPEED_KN,
        cruising_kn: SPEED_KN,
        specific_consumption_g_per_kwh: None,
        density_kg_per_litre: None,
    };
    assert_near(
        "default litres/kWh",
        by_default.litres_per_kwh(),
        0.298,
        0.0005,
    );
}

#[derive(Deserialize)]
struct DayLength {
    latitude_deg: f64,
    declination_deg: f64,
    expected_h: f64,
    tolerance_h: f64,
    source: String,
}

#[test]
fn day_length_by_latitude_and_declination() {
    for row in rows::<DayLength>("day_length.csv") {
        let got = daylight_hours(row.latitude_deg, row.declination_deg);
        assert_near(&row.source, got, row.expected_h, row.tolerance_h);
    }
}

#[derive(Deserialize)]
struct SunRow {
    date: Date,
    latitude_deg: f64,
    longitude_deg: f64,
    sunrise_utc_h: f64,
    sunset_utc_h: f64,
    daylight_h: f64,
    tolerance_h: Option<f64>,
}

/// The hours two clock times are apart, across midnight if nearer.
fn apart_h(a: f64, b: f64) -> f64 {
    let apart = (a - b).rem_euclid(24.0);
    apart.min(24.0 - apart)
}

impl SunRow {
    fn errors_h(&self) -> [f64; 3] {
        let sun = SunDay::at(self.date, self.latitude_deg, self.longitude_deg);
        [
            apart_h(sun.sunrise_utc_hours.unwrap(), self.sunrise_utc_h),
            apart_h(sun.sunset_utc_hours.unwrap(), self.sunset_utc_h),
            (sun.daylight_hours - self.daylight_h).abs(),
        ]
    }
}

#[test]
fn sunrise_of_the_almanacs_worked_case() {
    for row in rows::<SunRow>("sunrise.csv") {
        let tolerance_h = row.tolerance_h.unwrap();
        let errors = row.errors_h();
        assert!(
            errors.iter().all(|error| *error <= tolerance_h),
            "{} {errors:?} h, tolerance {tolerance_h}",
            row.date
        );
    }
}

#[test]
fn sunrise_and_sunset_over_two_years_of_ocean_latitudes() {
    let mut errors_min: Vec<f64> = rows::<SunRow>("daylight_sweep.csv")
        .iter()
        .flat_map(SunRow::errors_h)
        .map(|hours| 60.0 * hours)
        .collect();
    errors_min.sort_by(f64::total_cmp);
    let median = errors_min[errors_min.len() / 2];
    let worst = errors_min[errors_min.len() - 1];
    assert!(median <= SWEEP_MEDIAN_MIN, "median error {median} min");
    assert!(worst <= SWEEP_WORST_MIN, "worst error {worst} min");
}

#[derive(Deserialize)]
struct AboveAir {
    date: Date,
    latitude_deg: f64,
    expected_mj_per_m2: f64,
    tolerance_share: f64,
    source: String,
}

#[test]
fn suns_energy_above_the_air() {
    for row in rows::<AboveAir>("sun_above_air.csv") {
        let sun = SunDay::at(row.date, row.latitude_deg, 0.0);
        assert_near(
            &row.source,
            sun.above_air_kwh_per_m2 * MJ_PER_KWH,
            row.expected_mj_per_m2,
            row.tolerance_share * row.expected_mj_per_m2,
        );
    }
}
