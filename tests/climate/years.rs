//! The real years carried in the program.

use jiff::civil::date;
use offing::climate::{Climate, Month, Region, SeasonDay, Years};
use offing::geodesy::Position;
use serde::Deserialize;

use crate::rows::reference_rows;

/// Anomalies are stored to this, m/s.
const QUANTUM_MS: f64 = 0.02;

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).expect("a place on the Earth")
}

fn world() -> Years {
    Years::navy(&Region::world()).expect("the years in the program")
}

#[derive(Debug, Deserialize)]
struct Row {
    latitude_deg: f64,
    longitude_deg: f64,
    year: i64,
    month: u8,
    u_ms: f64,
    v_ms: f64,
}

#[test]
fn anomalies_are_those_of_an_independent_computation() {
    let years = world();
    for row in reference_rows::<Row>("climate/years.csv") {
        let month = Month::from_number(row.month).unwrap();
        let place = at(row.latitude_deg, row.longitude_deg);
        let [u_ms, v_ms] = years.anomaly_at(place, row.year, month).unwrap();
        // Rounded once; the rows have four decimals.
        for (found, expected) in [(u_ms, row.u_ms), (v_ms, row.v_ms)] {
            assert!(
                (found - expected).abs() <= 0.5 * QUANTUM_MS + 1e-4,
                "{row:?}: {found}"
            );
        }
    }
}

#[test]
fn over_all_years_a_months_anomalies_come_to_nothing() {
    let years = world();
    assert_eq!(years.whole(), (1982..=1992).collect::<Vec<_>>());
    assert!(years.incomplete().is_empty());
    let mut nodes = 0;
    for row in -16..=16 {
        for column in -36..36 {
            let place = at(5.0 * f64::from(row), 5.0 * f64::from(column));
            for month in Month::ALL {
                let anomalies = years.whole().into_iter();
                let all: Option<Vec<[f64; 2]>> = anomalies
                    .map(|year| years.anomaly_at(place, year, month))
                    .collect();
                let Some(all) = all else { continue };
                nodes += 1;
                for part in 0..2 {
                    let mean = all.iter().map(|one| one[part]).sum::<f64>() / all.len() as f64;
                    assert!(mean.abs() <= 0.5 * QUANTUM_MS, "{place} {month}: {mean}");
                }
            }
        }
    }
    // Node-months: three fifths of the globe's.
    assert!(nodes > 15_000, "{nodes}");
}

/// From memory: in the El Nino of 1982 and 1983 the trades of the central equatorial Pacific failed from
/// autumn on, and in the cold event of late 1988 they blew harder than usual.
#[test]
fn the_trades_fail_in_the_el_nino_of_1982() {
    let years = world();
    let mean_u_ms = |year, months: [u8; 3]| {
        let places = (0..10).flat_map(|column| {
            [-5.0, 0.0, 5.0].map(|latitude_deg| {
                at(
                    latitude_deg,
                    170.0 + 5.0 * f64::from(column) - 360.0 * f64::from(column > 2),
                )
            })
        });
        let all: Vec<f64> = places
            .flat_map(|place| months.map(|month| (place, Month::from_number(month).unwrap())))
            .map(|(place, month)| years.anomaly_at(place, year, month).unwrap()[0])
            .collect();
        all.iter().sum::<f64>() / all.len() as f64
    };
    let (warm, cold) = (mean_u_ms(1982, [10, 11, 12]), mean_u_ms(1988, [10, 11, 12]));
    assert!(
        warm > 1.0,
        "late 1982: {warm} m/s toward the east of the mean"
    );
    assert!(cold < -1.0, "late 1988: {cold}");
}

#[test]
fn every_place_with_a_wind_has_one_in_each_year() {
    let (climate, years) = (Climate::ship_winds(&Region::world()).unwrap(), world());
    let may = SeasonDay::from_date(date(1986, 5, 1));
    let sailed = climate.in_year(&years, 1986, may).unwrap();
    for row in -83..=83 {
        for column in -180..180 {
            let place = at(f64::from(row), f64::from(column));
            for month in [Month::ALL[4], Month::ALL[11]] {
                let known = [&climate, &sailed].map(|one| one.month_at(place, month).is_some());
                assert_eq!(known[0], known[1], "{place} {month}");
            }
        }
    }
}
