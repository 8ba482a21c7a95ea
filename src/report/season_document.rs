//! Departures through the year as JSON and CSV.

use serde::Serialize;

use super::cautions::CAUTIONS;
use super::csv::{EXPOSURE, number, optional, shares, written as csv_written};
use super::document::{MiddleAndBad, written};
use super::season::Year;
use crate::passage::{AirTemperature, Chance, Exposure, best_window};
use crate::route::spreadsheet_text;

#[derive(Serialize)]
struct Document<'a> {
    voyage: &'a str,
    departures: Vec<DepartureRecord<'a>>,
    windows: Vec<WindowRecord<'a>>,
    notes: &'a [String],
    cautions: [&'static str; CAUTIONS.len()],
}

#[derive(Serialize)]
struct DepartureRecord<'a> {
    date: String,
    routes: Vec<RouteRecord<'a>>,
}

#[derive(Serialize)]
struct RouteRecord<'a> {
    name: &'a str,
    days: MiddleAndBad,
    exposure: Exposure,
    chance: &'a Chance,
    air_temperature_c: Option<AirTemperature>,
    cyclone_season: Option<f64>,
}

/// The best thirty days to leave in, or `null` where one passage in ten never arrives.
#[derive(Serialize)]
struct WindowRecord<'a> {
    route: &'a str,
    first: Option<String>,
    last: Option<String>,
    days_p90: Option<f64>,
    worst_days_p90: Option<f64>,
    gale_6h: Option<f64>,
    clear_of_cyclones: Option<bool>,
}

/// The year as JSON, indented.
pub fn season_json(year: &Year<'_>) -> String {
    let names = || year.voyage.routes.iter().map(|route| route.name());
    let departures = year
        .departures
        .iter()
        .map(|departure| DepartureRecord {
            date: departure.date.to_string(),
            routes: names()
                .zip(&departure.routes)
                .map(|(name, passage)| RouteRecord {
                    name,
                    days: MiddleAndBad {
                        p50: passage.ensemble.days_at(0.5),
                        p90: passage.ensemble.days_at(0.9),
                    },
                    exposure: passage.exposure,
                    chance: &passage.ensemble.chance,
                    air_temperature_c: passage.air_temperature_c,
                    cyclone_season: passage.ensemble.cyclone_share(),
                })
                .collect(),
        })
        .collect();
    let windows = names()
        .enumerate()
        .map(|(index, route)| {
            let window = best_window(year.departures, index);
            let window = window.as_ref();
            WindowRecord {
                route,
                first: window.map(|window| window.days[0].to_string()),
                last: window.map(|window| window.days[1].to_string()),
                days_p90: window.map(|window| window.days_p90),
                worst_days_p90: window.map(|window| window.worst_days_p90),
                gale_6h: window.map(|window| window.gale_6h),
                clear_of_cyclones: window.map(|window| window.clear_of_cyclones),
            }
        })
        .collect();
    written(&Document {
        voyage: &year.voyage.name,
        departures,
        windows,
        notes: year.climate.notes(),
        cautions: CAUTIONS,
    })
}

/// The year as CSV, a row a departure and route.
pub fn season_csv(year: &Year<'_>) -> String {
    let mut heading = vec!["departure", "route", "days_p50", "days_p90"];
    heading.extend(EXPOSURE);
    heading.extend([
        "gale_6h_chance",
        "hard_beat_24h_chance",
        "dry_tanks_chance",
        "air_temperature_mean_c",
        "air_temperature_lowest_c",
        "cyclone_season_share",
    ]);
    let rows = year.departures.iter().flat_map(|departure| {
        year.voyage
            .routes
            .iter()
            .zip(&departure.routes)
            .map(|(route, passage)| {
                let chance = &passage.ensemble.chance;
                let air = passage.air_temperature_c;
                let mut row = vec![departure.date.to_string(), spreadsheet_text(route.name())];
                row.extend([0.5, 0.9].map(|share| optional(passage.ensemble.days_at(share))));
                row.extend(shares(&passage.exposure));
                row.extend([
                    number(chance.gale_6h),
                    number(chance.hard_beat_24h),
                    optional(chance.dry_tanks),
                    optional(air.map(|air| air.mean)),
                    optional(air.map(|air| air.lowest)),
                    optional(passage.ensemble.cyclone_share()),
                ]);
                row
            })
    });
    csv_written(&heading, rows)
}
