//! The expected passage and the ensemble over the ground against an independent calculation in Python
//! (scripts/reference/passages.py): integration on a grid and a plain NumPy ensemble, both written from
//! the definitions alone. The rows name their inputs by hash; a test here makes sure that they are
//! still the inputs of the program.

use jiff::civil::Date;
use offing::boat::{Boat, Engine};
use offing::geodesy::{LegKind, Position};
use offing::passage::{
    EnsembleOptions, EnsembleRunner, ExpectedPassage, ExposureKind, Walk,
    chance_first_arrives_before,
};
use offing::route::{Goods, Route, Stay, Stop, Waypoint};
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
/// Agreement in diesel, as a share of it: the edge of motoring runs across the cells of both tables.
const LITRES_SHARE: f64 = 0.02;

#[derive(Deserialize)]
struct ExpectedRow {
    route: String,
    departure: Date,
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

#[derive(Deserialize)]
struct Place {
    route: String,
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
}

/// The demonstration's boat and routes, and those of `routes.csv`, with another departure, factor and
/// tank.
fn voyage(departure: Date, factor: f64, fuel_litres: Option<f64>) -> Voyage {
    let mut voyage = Voyage::demo().unwrap();
    voyage.leave_on(departure).unwrap();
    let own = voyage.boat.engine().unwrap();
    let engine = fuel_litres
        .map(|litres| Engine::new(own.motor_speed_kn(), own.litres_per_hour(), litres).unwrap());
    let unscaled = voyage.boat.given_polar();
    voyage.boat = Boat::new(unscaled, factor, engine, *voyage.boat.handling()).unwrap();
    let places: Vec<Place> = reference_rows("passage/routes.csv");
    for places in places.chunk_by(|a, b| a.route == b.route) {
        let waypoints = places.iter().map(|place| {
            let position = Position::new(place.latitude_deg, place.longitude_deg).unwrap();
            Waypoint::new(&place.name, position, LegKind::GreatCircle)
        });
        let route = Route::new(&places[0].route, waypoints.collect()).unwrap();
        voyage.routes.push(route);
    }
    voyage
}

/// The voyage with this route alone.
fn only(mut voyage: Voyage, name: &str) -> Voyage {
    voyage.routes.retain(|route| route.name() == name);
    assert_eq!(voyage.routes.len(), 1, "{name}");
    voyage
}

fn walk(voyage: &Voyage) -> ExpectedPassage {
    let climate = voyage.open_climate().unwrap();
    match voyage.walk(&voyage.routes[0], &climate).unwrap() {
        Walk::Arrives(passage) => *passage,
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
    assert_made_from_todays_inputs("passage/stays.csv");
}

#[test]
fn expected_passages_agree_with_dense_integration() {
    let rows: Vec<ExpectedRow> = reference_rows("passage/expected.csv");
    assert!(rows.len() >= 16);
    for row in rows {
        let case = format!(
            "{} {} x{} {:?}",
            row.route, row.departure, row.factor, row.fuel_litres
        );
        let voyage = voyage(row.departure, row.factor, row.fuel_litres);
        let passage = walk(&only(voyage, &row.route));
        close(&case, passage.distance_nm, row.distance_nm, DISTANCE_NM);
        close(&case, passage.days, row.days, DAYS_SHARE * row.days);
        if row.fuel_litres.is_some() {
            let litres = passage.litres.unwrap();
            close(&case, litres, row.litres, LITRES_SHARE * row.litres + 1.0);
        }
        for (kind, expected) in [
            (ExposureKind::Headwind, row.headwind),
            (ExposureKind::HardBeat, row.hard_beat),
            (ExposureKind::Abaft, row.abaft),
            (ExposureKind::LightAir, row.light_air),
            (ExposureKind::Strong, row.strong),
            (ExposureKind::Gale, row.gale),
            (ExposureKind::UnderPower, row.under_power),
        ] {
            close(
                &format!("{case}: {kind:?}"),
                passage.exposure[kind],
                expected,
                SHARE,
            );
        }
        let replaced = passage.replaced_share.unwrap();
        close(&case, replaced, row.replaced_share, SHARE);
        let air = passage.air_temperature_c.unwrap();
        close(&case, air.mean, row.air_mean_c, AIR_C);
        close(&case, air.lowest, row.air_lowest_c, AIR_C);
    }
}

#[derive(Deserialize)]
struct EnsembleRow {
    route: String,
    departure: Date,
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
    beats_other_share: Option<f64>,
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
    /// of half-knot squares meets the motoring threshold a little otherwise.
    const UNDER_POWER_SHARE: f64 = 0.02;
    const MEMBERS: usize = 20_000;
    /// One step, by which quantiles of whole steps may differ.
    const STEP_H: f64 = 3.0;

    let rows: Vec<EnsembleRow> = reference_rows("passage/ensemble.csv");
    assert_eq!(rows.len(), 10);
    for row in rows {
        let case = format!("{} {}, {} L", row.route, row.departure, row.fuel_litres);
        let mut voyage = voyage(row.departure, row.factor, Some(row.fuel_litres));
        let other = match row.route.as_str() {
            "Trades" => "Direct",
            "Direct" => "Trades",
            alone => alone,
        };
        voyage
            .routes
            .retain(|route| route.name() == row.route || route.name() == other);
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: MEMBERS,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &voyage.routes, &climate, options);
        let run = |name: &str| {
            let mut routes = voyage.routes.iter();
            let index = routes.position(|route| route.name() == name).unwrap();
            runner.run(index, row.departure).unwrap()
        };
        let found = run(&row.route);
        for (got, expected) in [
            (found.days.p10, row.days_p10),
            (found.days.p50, row.days_p50),
            (found.days.p90, row.days_p90),
            (found.days.mean, row.days_mean),
        ] {
            close(&case, got.unwrap(), expected, QUANTILES * expected);
        }
        for (kind, expected) in [
            (ExposureKind::Headwind, row.headwind_mean_h),
            (ExposureKind::HardBeat, row.hard_beat_mean_h),
            (ExposureKind::Abaft, row.abaft_mean_h),
            (ExposureKind::LightAir, row.light_air_mean_h),
            (ExposureKind::Strong, row.strong_mean_h),
            (ExposureKind::Gale, row.gale_mean_h),
        ] {
            close(
                &format!("{case}: {kind:?}"),
                found.exposure_hours[kind].mean,
                expected,
                (HOURS_SHARE * expected).max(1.0),
            );
        }
        // Four standard errors of our members' mean and the row's.
        let sampling_h =
            4.0 * row.under_power_mean_se_h * (1.0 + row.members / MEMBERS as f64).sqrt();
        let powered_h = found.exposure_hours[ExposureKind::UnderPower].mean;
        let allowed_h = sampling_h + UNDER_POWER_SHARE * row.under_power_mean_h;
        close(
            &format!("{case}: under power"),
            powered_h,
            row.under_power_mean_h,
            allowed_h,
        );
        let litres_per_hour = voyage.boat.engine().unwrap().litres_per_hour();
        close(
            &format!("{case}: litres"),
            powered_h * litres_per_hour,
            row.litres_mean,
            litres_per_hour * allowed_h,
        );
        let dry = found.chance.dry_tanks.unwrap();
        close(&format!("{case}: dry"), dry, row.dry_chance, CHANCE);
        close(
            &format!("{case}: gale"),
            found.chance.gale_6h,
            row.gale_6h_chance,
            CHANCE,
        );
        let light = found.longest_light_air_hours;
        close(&case, light.p50, row.longest_light_p50_h, STEP_H);
        close(&case, light.p90, row.longest_light_p90_h, STEP_H);
        if let Some(expected) = row.beats_other_share {
            let beats = chance_first_arrives_before(&found, &run(other));
            close(&format!("{case}: first"), beats, expected, CHANCE);
        }
    }
}

#[derive(Deserialize)]
struct StaysRow {
    voyage: String,
    route: String,
    departure: Date,
    factor: f64,
    fuel_litres: f64,
    members: f64,
    stop_a: usize,
    stay_a_days: f64,
    diesel_a: u8,
    stop_b: Option<usize>,
    until_b: Option<Date>,
    arrive_by: Date,
    sea_days_mean: f64,
    sea_days_p10: f64,
    sea_days_p50: f64,
    sea_days_p90: f64,
    whole_days_p10: f64,
    whole_days_p50: f64,
    whole_days_p90: f64,
    late_chance: f64,
    late_days_p90: f64,
    powered_mean_h: f64,
    dry_first: f64,
    dry_last: f64,
}

/// The route of a row, with its stops.
fn with_stops(drawn: &Route, row: &StaysRow) -> Route {
    let mut waypoints = drawn.waypoints().to_vec();
    waypoints[row.stop_a - 1].stop = Some(Stop {
        stay: Stay::Hours(24.0 * row.stay_a_days),
        resupply: if row.diesel_a == 1 {
            vec![Goods::Diesel]
        } else {
            Vec::new()
        },
        ..Stop::default()
    });
    if let (Some(stop), Some(until)) = (row.stop_b, row.until_b) {
        waypoints[stop - 1].stop = Some(Stop {
            stay: Stay::Until(until),
            ..Stop::default()
        });
    }
    let route = Route::new(drawn.name(), waypoints).unwrap();
    route.arriving_by(row.arrive_by)
}

#[test]
fn voyages_with_stops_agree_with_numpys() {
    /// Agreement asked for in the quantiles of days and in hours under power, as for voyages without.
    const QUANTILES: f64 = 0.01;
    const POWERED_SHARE: f64 = 0.03;
    const MEMBERS: usize = 20_000;
    let rows: Vec<StaysRow> = reference_rows("passage/stays.csv");
    assert_eq!(rows.len(), 2);
    for row in rows {
        let case = &row.voyage;
        let mut voyage = voyage(row.departure, row.factor, Some(row.fuel_litres));
        voyage.routes.retain(|route| route.name() == row.route);
        let route = with_stops(&voyage.routes[0], &row);
        let climate = voyage.open_climate().unwrap();
        let options = EnsembleOptions {
            members: MEMBERS,
            ..EnsembleOptions::default()
        };
        let runner = EnsembleRunner::new(&voyage.boat, &[route], &climate, options);
        let found = runner.run(0, row.departure).unwrap();
        let whole = found.whole_days.unwrap();
        for (got, expected) in [
            (found.days.mean, row.sea_days_mean),
            (found.days.p10, row.sea_days_p10),
            (found.days.p50, row.sea_days_p50),
            (found.days.p90, row.sea_days_p90),
            (whole.p10, row.whole_days_p10),
            (whole.p50, row.whole_days_p50),
            (whole.p90, row.whole_days_p90),
        ] {
            close(case, got.unwrap(), expected, QUANTILES * expected);
        }
        // Four standard errors of the difference of two shares, and what a tenth of a day moves.
        let chance = |got: f64, expected: f64| {
            let variance = expected * (1.0 - expected);
            let error = (variance * (1.0 / row.members + 1.0 / MEMBERS as f64)).sqrt();
            close(case, got, expected, 4.0 * error + 0.005);
        };
        let late = &found.late[0];
        chance(late.chance, row.late_chance);
        let late_days = late.days_p90.unwrap();
        close(
            case,
            late_days,
            row.late_days_p90,
            QUANTILES * row.whole_days_p90,
        );
        let [first, .., last] = &found.stages[..] else {
            panic!("{case}: no stages");
        };
        chance(first.chance.dry_tanks.unwrap(), row.dry_first);
        chance(last.chance.dry_tanks.unwrap(), row.dry_last);
        let powered_h = found.exposure_hours[ExposureKind::UnderPower].mean;
        let allowed_h = POWERED_SHARE * row.powered_mean_h;
        close(case, powered_h, row.powered_mean_h, allowed_h);
    }
}
