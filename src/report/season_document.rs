//! Departures through the year as JSON and CSV.

use schemars::JsonSchema;
use serde::Serialize;

use super::cautions::CAUTIONS;
use super::csv::{EXPOSURE, number, optional, shares, written as csv_written};
use super::document::{MiddleAndBad, written};
use super::land::land_warnings;
use super::notes::notes;
use super::season::Year;
use crate::passage::{AirTemperature, Chance, Exposure, Window, best_window};
use crate::route::spreadsheet_text;

/// Departures through the voyage's year, on every route.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'a> {
    /// The voyage's name.
    voyage: &'a str,
    /// The departures tried, in order of date.
    departures: Vec<DepartureRecord<'a>>,
    /// The best time to leave on each route.
    windows: Vec<WindowRecord<'a>>,
    /// What to know about the boat, the winds and the land, a sentence or two each.
    notes: Vec<String>,
    /// What to know before trusting the figures, a sentence each.
    cautions: &'static [&'static str],
}

/// One departure.
#[derive(JsonSchema, Serialize)]
struct DepartureRecord<'a> {
    /// The day of departure; passages begin at 00:00 UTC.
    #[schemars(extend("format" = "date"))]
    date: String,
    /// What it brings on each route, in the voyage's order.
    routes: Vec<RouteRecord<'a>>,
}

/// What one departure brings on one route.
#[derive(JsonSchema, Serialize)]
struct RouteRecord<'a> {
    /// The route's name.
    name: &'a str,
    /// Days under way; none where that share of the passages does not arrive in 400 days.
    days: MiddleAndBad,
    /// What is met, as shares of all the passages' time together.
    exposure: Exposure,
    /// Chances over a whole passage, 0 to 1.
    chance: &'a Chance,
    /// Air temperature at the median passage's even pace, degrees Celsius; none where the climate
    /// has none or half the passages do not arrive.
    air_temperature_c: Option<AirTemperature>,
    /// Share of time in waters where tropical cyclones are then to be reckoned with, 0 to 1, at the
    /// pace of the 10, 50 or 90 % passage that has most of it; none where half do not arrive.
    cyclone_season: Option<f64>,
}

/// The best thirty days to leave in on one route. All figures are none where in every thirty days
/// of the year some departure's bad case does not arrive.
#[derive(JsonSchema, Serialize)]
struct WindowRecord<'a> {
    /// The route's name.
    route: &'a str,
    /// The first day.
    #[schemars(extend("format" = "date"))]
    first: Option<String>,
    /// The last day.
    #[schemars(extend("format" = "date"))]
    last: Option<String>,
    /// Mean over the departures in it of the days that 90 passages in a hundred stay below.
    days_p90: Option<f64>,
    /// The same for the worst thirty days of the year, days.
    worst_days_p90: Option<f64>,
    /// Mean chance of at least one gale of six hours or more, 0 to 1.
    gale_6h: Option<f64>,
    /// Whether it keeps half a month clear of cyclone waters in their season at all three paces, for
    /// every departure in it and all of the time.
    clear_of_cyclones: Option<bool>,
    /// The most, over its departures, of the share of time in cyclone waters in their season or half
    /// a month either side of it, 0 to 1.
    cyclone_season_and_margin: Option<f64>,
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
                clear_of_cyclones: window.map(Window::is_clear_of_cyclones),
                cyclone_season_and_margin: window.map(|window| window.near_cyclones),
            }
        })
        .collect();
    written(&Document {
        voyage: &year.voyage.name,
        departures,
        windows,
        notes: [
            land_warnings(&year.voyage.routes, year.land),
            notes(year.voyage, year.climate, year.land),
        ]
        .concat(),
        cautions: &CAUTIONS,
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
