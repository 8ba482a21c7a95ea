//! The expected passage and the ensemble against independent calculations in Python: dense
//! integration and a plain NumPy ensemble, both written from the definitions alone. The rows name
//! their inputs by hash; a test here makes sure that they are still the inputs of the program.

use offing::boat::{Boat, Engine};
use offing::passage::{
    EnsembleOptions, EnsembleRunner, ExpectedPassage, ExposureKind, Walk,
    chance_first_arrives_before,
};
use offing::voyage::Voyage;
use serde::Deserialize;

use crate::inputs::assert_made_from_todays_inputs;
use crate::rows::reference_rows;

/// Agreement asked for in days, as a share of them.
const DAYS_SHARE: f64 = 0.005;
/// Agreement asked for in each share of time.
const SHARE: f64 = 0.005;
/// Agreement in distance, nm: the rows have six decimals.
const DISTANCE_NM: f64 = 2e-6;
/// Agreement in air temperature, degrees Celsius. The lowest is at a segment's midpoint.
const AIR_C: f64 = 0.01;
/// Agreement in diesel, as a share of it.
const LITRES_SHARE: f64 = 0.01;

#[derive(Deserialize)]
struct ExpectedRow {
    route: String,
    departure: jiff::civil::Date,
    factor: f64,
    distance_nm: f64,
    days: f64,
    litres: f64,
    headwind: f64,
    hard_beat: f64,
    abaft: f64,
    light_air: f64,
    strong: f64,
    gale: f64,
    under_power: f64,
    air_mean_c: f64,
    air_lowest_c: f64,
    replaced_share: f64,
    fuel_litres: Option<f64>,
}

/// The demo voyage with another departure, factor and tank.
fn demo(departure: jiff::civil::Date, factor: f64, fuel_litres: Option<f64>) -> Voyage {
    let mut voyage = Voyage::demo().unwrap();
    voyage.leave_on(departure).unwrap();
    let own = voyage.boat.engine().unwrap();
    let engine = fuel_litres
        .map(|litres| Engine::new(own.motor_speed_kn(), own.litres_per_hour(), litres).unwrap());
    let unscaled = voyage.boat.given_polar();
    voyage.boat = Boat::new(unscaled, factor, engine, *voyage.boat.handling()).unwrap();
    voyage
}

fn walk(voyage: &Voyage, route: &str) -> ExpectedPassage {
    let climate = voyage.open_climate().unwrap();
    let route = voyage
        .routes
        .iter()
        .find(|found| found.name() == route)
        .unwrap();
    match voyage.walk(route, &climate).unwrap() {
        Walk::Arrives(passage) => passage,
        Walk::Stalls(stall) => panic!("stalls: {stall:?}"),
    }
}

#[track_caller]
fn close(what: &str, got: f64, expected: f64, tolerance: f64) {
    let error = (got - expected).abs();
    assert!(
        error <= tolerance,
        "{what}: got {got}, expected {expected}, error {error}"
    );
}

#[test]
fn the_rows_are_of_todays_inputs() {
    assert_made_from_todays_inputs("passage/expected.csv");
    assert_made_from_todays_inputs("passage/ensemble.csv");
}

#[test]
fn expected_passages_agree_with_dense_integration() {
    let rows: Vec<ExpectedRow> = reference_rows("passage/expected.csv");
    assert!(rows.len() >= 20);
    for row in rows {
        let case = format!(
            "{} {} x{} {:?}",
            row.route, row.departure, row.factor, row.fuel_litres
        );
        let passage = walk(
            &demo(row.departure, row.factor, row.fuel_litres),
            &row.route,
        );
        close(&case, passage.distance_nm, row.distance_nm, DISTANCE_NM);
        close(&case, passage.days, row.days, DAYS_SHARE * row.days);
        if row.fuel_litres.is_some() {
            close(
                &case,
                passage.litres.unwrap(),
                row.litres,
                LITRES_SHARE * row.litres,
            );
        }
        let exposure = passage.exposure;
        for (what, got, expected) in [
            ("headwind", exposure[ExposureKind::Headwind], row.headwind),
            ("hard beat", exposure[ExposureKind::HardBeat], row.hard_beat),
            ("abaft", exposure[ExposureKind::Abaft], row.abaft),
            ("light air", exposure[ExposureKind::LightAir], row.light_air),
            ("strong", exposure[ExposureKind::Strong], row.strong),
            ("gale", exposure[ExposureKind::Gale], row.gale),
            (
                "under power",
                exposure[ExposureKind::UnderPower],
                row.under_power,
            ),
            (
                "replaced",
                passage.replaced_share.unwrap(),
                row.replaced_share,
            ),
        ] {
            close(&format!("{case}: {what}"), got, expected, SHARE);
        }
        let air = passage.air_temperature_c.unwrap();
        close(&case, air.mean, row.air_mean_c, AIR_C);
        close(&case, air.lowest, row.air_lowest_c, AIR_C);
    }
}

#[derive(Deserialize)]
struct EnsembleRow {
    route: String,
    departure: jiff::civil::Date,
    factor: f64,
    fuel_litres: f64,
    members: f64,
    days_mean: f64,
    days_p10: f64,
    days_p50: f64,
    days_p90: f64,
    litres_mean: f64,
    headwind_mean_h: f64,
    hard_beat_mean_h: f64,
    abaft_mean_h: f64,
    light_air_mean_h: f64,
    strong_mean_h: f64,
    gale_mean_h: f64,
    under_power_mean_h: f64,
    under_power_mean_se_h: f64,
    dry_chance: f64,
    gale_6h_chance: f64,
    longest_light_p50_h: f64,
    longest_light_p90_h: f64,
    beats_other_share: f64,
}

#[test]
fn the_ensemble_agrees_with_numpys() {
    /// Agreement asked for in the quantiles of days, as a share of them.
    const QUANTILES: f64 = 0.01;
    /// Mean hours may differ by this share, or by an hour where there are few.
    const HOURS_SHARE: f64 = 0.02;
    /// Four standard errors of a chance from 20,000 passages.
    const CHANCE: f64 = 0.015;
    /// Mean hours under power may differ by this share beyond the sampling errors of both: the table
    /// of half-knot cells meets the motoring threshold a little otherwise.
    const UNDER_POWER_SHARE: f64 = 0.01;
    const MEMBERS: usize = 20_000;
    /// One step, by which quantiles of whole steps may differ.
    const STEP_H: f64 = 3.0;

    let rows: Vec<EnsembleRow> = reference_rows("passage/ensemble.csv");
    assert_eq!(rows.len(), 10);
    for row in rows {
        let voyage = demo(row.departure, row.factor, Some(row.fuel_litres));
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: MEMBERS,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, options);
        let run = |of_row: bool| {
            let mut routes = voyage.routes.iter();
            let route = routes
                .find(|route| (route.name() == row.route) == of_row)
                .unwrap();
            runner.run(route, &climate, row.departure).unwrap()
        };
        let (spread, other) = (run(true), run(false));
        let case = format!("{} {}, {} L", row.route, row.departure, row.fuel_litres);
        for (share, days) in [
            (0.1, row.days_p10),
            (0.5, row.days_p50),
            (0.9, row.days_p90),
        ] {
            close(
                &case,
                spread.days_at(share).unwrap(),
                days,
                QUANTILES * days,
            );
        }
        close(
            &case,
            spread.days.mean.unwrap(),
            row.days_mean,
            QUANTILES * row.days_mean,
        );
        let hours = spread.exposure_hours;
        for (what, got, expected) in [
            (
                "headwind",
                hours[ExposureKind::Headwind].mean,
                row.headwind_mean_h,
            ),
            (
                "hard beat",
                hours[ExposureKind::HardBeat].mean,
                row.hard_beat_mean_h,
            ),
            ("abaft", hours[ExposureKind::Abaft].mean, row.abaft_mean_h),
            (
                "light air",
                hours[ExposureKind::LightAir].mean,
                row.light_air_mean_h,
            ),
            (
                "strong",
                hours[ExposureKind::Strong].mean,
                row.strong_mean_h,
            ),
            ("gale", hours[ExposureKind::Gale].mean, row.gale_mean_h),
        ] {
            close(
                &format!("{case}: {what}"),
                got,
                expected,
                (HOURS_SHARE * expected).max(1.0),
            );
        }
        // Four standard errors of our members' mean and the row's.
        let sampling_h =
            4.0 * row.under_power_mean_se_h * (1.0 + row.members / MEMBERS as f64).sqrt();
        close(
            &format!("{case}: under power"),
            hours[ExposureKind::UnderPower].mean,
            row.under_power_mean_h,
            sampling_h + UNDER_POWER_SHARE * row.under_power_mean_h,
        );
        let litres_per_hour = voyage.boat.engine().unwrap().litres_per_hour();
        close(
            &format!("{case}: litres"),
            hours[ExposureKind::UnderPower].mean * litres_per_hour,
            row.litres_mean,
            litres_per_hour * (sampling_h + UNDER_POWER_SHARE * row.under_power_mean_h),
        );
        let dry = spread.chance.dry_tanks.unwrap();
        close(&format!("{case}: dry"), dry, row.dry_chance, CHANCE);
        close(&case, spread.chance.gale_6h, row.gale_6h_chance, CHANCE);
        let longest = spread.longest_light_air_hours;
        close(&case, longest.p50, row.longest_light_p50_h, STEP_H);
        close(&case, longest.p90, row.longest_light_p90_h, STEP_H);
        let beats = chance_first_arrives_before(&spread, &other);
        close(&case, beats, row.beats_other_share, CHANCE);
    }
}
