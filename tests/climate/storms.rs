//! The observed storms carried in the program against the seasons of the official outlooks.

use std::collections::HashMap;

use offing::climate::{Basin, Month, STORM_CIRCLE_NM, StormDays};
use offing::geodesy::Position;
use serde::Deserialize;

use crate::rows::reference_rows;

/// Months in a season of some waters, and what share of the storm-days they have.
#[derive(Debug, Deserialize)]
struct Season {
    waters: String,
    months: String,
    least_share: f64,
    most_share: f64,
    least_days: Option<f64>,
    most_days: Option<f64>,
    source: String,
}

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).expect("a place on the Earth")
}

/// Storm-days by month in each of the waters, from the rate about the middle of each square degree:
/// the rate over the circle's area is that of a square mile.
fn storm_days_by_waters() -> HashMap<&'static str, [f64; 12]> {
    let circle_nm2 = std::f64::consts::PI * STORM_CIRCLE_NM * STORM_CIRCLE_NM;
    let mut waters: HashMap<&str, [f64; 12]> = HashMap::new();
    for (row, column) in (-70..70).flat_map(|row| (-180..180).map(move |column| (row, column))) {
        let place = at(f64::from(row) + 0.5, f64::from(column) + 0.5);
        let Some(basin) = Basin::of(place) else {
            continue;
        };
        let area_nm2 = 3600.0 * place.latitude_deg().to_radians().cos();
        let rate = StormDays::observed().at(place);
        let sums = waters.entry(basin.name()).or_default();
        for (sum, month) in sums.iter_mut().zip(Month::ALL) {
            *sum += rate.in_month(month) / circle_nm2 * area_nm2 * month.days();
        }
    }
    waters
}

/// Sources beside the rows of the file.
#[test]
fn storms_come_in_the_seasons_of_the_official_outlooks() {
    let waters = storm_days_by_waters();
    for season in reference_rows::<Season>("climate/storm-seasons.csv") {
        let days = waters[season.waters.as_str()];
        let year: f64 = days.iter().sum();
        let months = season.months.split(' ').map(|month| month.parse::<usize>());
        let inside: f64 = months.map(|month| days[month.unwrap() - 1]).sum();
        let share = inside / year;
        let shares = season.least_share..=season.most_share;
        assert!(shares.contains(&share), "{season:?}: {share:.3}");
        let bounds = season.least_days.unwrap_or(0.0)..=season.most_days.unwrap_or(f64::INFINITY);
        assert!(bounds.contains(&year), "{season:?}: {year:.1} days");
        assert!(!season.source.is_empty());
    }
    let north_west = waters["North-West Pacific"];
    assert!(north_west.iter().all(|days| *days > 0.0), "{north_west:?}");
}

/// Common knowledge: yachts wait in the Canaries for the end of the hurricane season. A storm within
/// 200 nm in twenty years would be too many.
#[test]
fn the_canaries_have_next_to_no_storms_all_year() {
    let rate = StormDays::observed().at(at(28.0, -15.0));
    let year: f64 = Month::ALL
        .into_iter()
        .map(|month| rate.in_month(month) * month.days())
        .sum();
    assert!(year < 0.05, "{year} storm-days a year within 200 nm");
    let barbados = StormDays::observed().at(at(13.1, -59.5));
    let september = Month::from_number(9).unwrap();
    assert!(barbados.in_month(september) > 10.0 * rate.in_month(september));
}
