//! What a sound voyage file holds, as read: for a check before the routes are walked.

use schemars::JsonSchema;
use serde::Serialize;

use super::comparison::voyage_heading;
use super::land::{LandCrossingRecord, crossing_records};
use super::notes::{about_the_voyage, notes};
use super::table::layout;
use super::wording::grouped;
use crate::climate::{Climate, Month};
use crate::passage::months_without_wind;
use crate::route::LandCheck;
use crate::voyage::Voyage;

/// A voyage file that was read without complaint; one with a mistake is told on stderr instead.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'a> {
    /// Always true: every entry can be used.
    sound: bool,
    /// The voyage's name.
    name: &'a str,
    /// The day of departure.
    #[schemars(extend("format" = "date"))]
    departure: String,
    /// Where the winds come from: the file, and its title where it has one.
    climate: &'a str,
    /// Each route, in the voyage's order.
    routes: Vec<RouteRecord<'a>>,
    /// What was assumed or changed about boat, winds and land, a sentence each.
    notes: Vec<String>,
}

/// One route.
#[derive(JsonSchema, Serialize)]
struct RouteRecord<'a> {
    /// The route's name.
    name: &'a str,
    /// How many legs it has.
    legs: usize,
    /// Length over the ground, nautical miles.
    distance_nm: f64,
    /// Numbers of the months, 1 to 12, in which some part of the route has no wind data.
    months_without_wind: Vec<u8>,
    /// Where the route crosses land away from its ends, in the order met.
    land_crossings: Vec<LandCrossingRecord<'a>>,
    /// How much of the route is over land within 10 nautical miles of its ends, nautical miles.
    land_near_ends_nm: f64,
}

/// A voyage that was read without complaint, for a terminal.
pub fn soundness_text(voyage: &Voyage, climate: &Climate, land: &[LandCheck]) -> String {
    let heading = ["Route", "Legs", "nm", "Winds"].map(str::to_owned);
    let rows: Vec<Vec<String>> = voyage
        .routes
        .iter()
        .map(|route| {
            let missing = months_without_wind(route, voyage.step, climate);
            let winds = if missing.is_empty() {
                "in every month".to_owned()
            } else {
                let names: Vec<&str> = missing.into_iter().map(Month::name).collect();
                format!("none somewhere in {}", names.join(", "))
            };
            vec![
                route.name().to_owned(),
                route.legs().len().to_string(),
                grouped(route.length_nm()),
                winds,
            ]
        })
        .collect();
    let mut parts = vec![
        format!(
            "Sound: every entry can be used.\n{}",
            voyage_heading(voyage, climate)
        ),
        layout(&heading, &rows, 1),
    ];
    parts.extend(about_the_voyage(voyage, climate, land));
    parts.join("\n\n") + "\n"
}

/// A voyage that was read without complaint, as JSON.
pub fn soundness_json(voyage: &Voyage, climate: &Climate, land: &[LandCheck]) -> String {
    let document = Document {
        sound: true,
        name: &voyage.name,
        departure: voyage.departure.to_string(),
        climate: climate.label(),
        routes: voyage
            .routes
            .iter()
            .zip(land)
            .map(|(route, check)| RouteRecord {
                name: route.name(),
                legs: route.legs().len(),
                distance_nm: route.length_nm(),
                months_without_wind: months_without_wind(route, voyage.step, climate)
                    .into_iter()
                    .map(Month::number)
                    .collect(),
                land_crossings: crossing_records(route, check),
                land_near_ends_nm: check.near_ends_nm,
            })
            .collect(),
        notes: notes(voyage, climate, land),
    };
    super::document::written(&document)
}
