//! The ships, their tracks, and what the program says of each passage.

use std::collections::HashMap;

use jiff::civil::Date;
use offing::boat::{Boat, Handling, Polar, PolarFrom};
use offing::climate::{Climate, Currents, Region};
use offing::geodesy::{LegKind, Position};
use offing::passage::{Ensemble, EnsembleOptions, EnsembleRunner};
use offing::route::{Route, Waypoint};
use serde::Deserialize;

use crate::rows::reference_rows;

/// Members of each ensemble: a passage's rank among them is then known to 0.022 (standard error) or
/// better.
pub const MEMBERS: usize = 500;
/// Speed of a ship bound home, deep laden and foul, as a share of the polar's: fitted to these ships
/// with the polar.
pub const HOMEWARD_FACTOR: f64 = 0.86;
const HOMEWARD: [(&str, &str); 6] = [
    ("Sunda Strait", "Cape"),
    ("Cape", "St Helena"),
    ("St Helena", "Channel"),
    ("Suriname", "Channel"),
    ("Plate", "Finisterre"),
    ("Havana", "Finisterre"),
];

/// A passage as its ship made it.
#[derive(Debug, Clone, Deserialize)]
pub struct Made {
    pub passage: u32,
    pub ship: u32,
    pub nation: String,
    pub from: String,
    pub to: String,
    pub departure: Date,
    pub days: f64,
}

impl Made {
    pub fn route(&self) -> String {
        format!("{} to {}", self.from, self.to)
    }

    pub fn is_homeward(&self) -> bool {
        HOMEWARD.contains(&(self.from.as_str(), self.to.as_str()))
    }

    /// Of the ships that the polar is of: Dutch, 1826 to 1854.
    pub fn is_of_the_fleet(&self) -> bool {
        self.nation == "NL" && self.departure.year() >= 1826
    }
}

/// A passage made, and the ensemble of it.
pub struct Held {
    pub made: Made,
    pub ensemble: Ensemble,
}

impl Held {
    /// The share of the members that were quicker, half of those that took the same time among them.
    pub fn rank(&self) -> f64 {
        let days = self.ensemble.sorted_days();
        let quicker = days.partition_point(|&days| days < self.made.days);
        let no_slower = days.partition_point(|&days| days <= self.made.days);
        (quicker + no_slower) as f64 / 2.0 / days.len() as f64
    }

    /// Days made, as a multiple of the median predicted.
    pub fn over_median(&self) -> f64 {
        self.made.days / self.ensemble.days.p50.unwrap()
    }
}

/// The embedded winds of the whole world, over these currents.
pub fn climate(with_currents: bool) -> Climate {
    let world = Region::world();
    let currents = if with_currents {
        Currents::drifters(&world).unwrap()
    } else {
        Currents::None
    };
    Climate::ship_winds(&world).unwrap().with_currents(currents)
}

/// The square-rigger, without an engine; nothing is taken off speeds that were made at sea.
pub fn square_rigger(factor: f64) -> Boat {
    let text = include_str!("../../fixtures/reference/logbooks/square-rigger.csv");
    ship(&Polar::parse(text, "square-rigger.csv").unwrap(), factor)
}

/// A ship of this polar, made at sea, without an engine.
pub fn ship(polar: &Polar, factor: f64) -> Boat {
    let handling = Handling::default();
    let handling = handling.with_at_sea(PolarFrom::Sea.at_sea()).unwrap();
    Boat::new(polar, factor, None, handling).unwrap()
}

/// The passages that `wanted` picks.
pub fn passages(wanted: impl Fn(&Made) -> bool) -> Vec<Made> {
    let rows: Vec<Made> = reference_rows("logbooks/passages.csv");
    rows.into_iter().filter(wanted).collect()
}

#[derive(Deserialize)]
struct Noon {
    passage: u32,
    latitude_deg: f64,
    longitude_deg: f64,
}

/// Each passage's own track, by its number.
fn tracks() -> HashMap<u32, Vec<Position>> {
    let mut tracks: HashMap<u32, Vec<Position>> = HashMap::new();
    for noon in reference_rows::<Noon>("logbooks/tracks.csv") {
        let position = Position::new(noon.latitude_deg, noon.longitude_deg).unwrap();
        tracks.entry(noon.passage).or_default().push(position);
    }
    tracks
}

/// Rhumb legs through these places.
fn rhumb_route(name: &str, places: &[Position]) -> Route {
    let waypoints = places
        .iter()
        .enumerate()
        .map(|(index, &position)| Waypoint::new(index.to_string(), position, LegKind::Rhumb));
    Route::new(name, waypoints.collect()).unwrap()
}

/// The routes of these passages by their own tracks.
pub fn own_tracks(made: &[&Made]) -> Vec<Route> {
    let tracks = tracks();
    let route = |made: &&Made| rhumb_route(&made.passage.to_string(), &tracks[&made.passage]);
    made.iter().map(route).collect()
}

/// So many members, otherwise as the program does it.
pub fn members(members: usize) -> EnsembleOptions {
    EnsembleOptions {
        members,
        ..EnsembleOptions::default()
    }
}

/// Every passage of the square-rigger on its own track in this climate, the ship's speed uncertain from
/// passage to passage by `uncertainty`, or by the program's own where none is given.
pub fn hold(
    made: &[Made],
    climate: &Climate,
    options: EnsembleOptions,
    uncertainty: Option<f64>,
) -> Vec<Held> {
    let [outward, homeward] = [1.0, HOMEWARD_FACTOR].map(|factor| {
        let boat = square_rigger(factor);
        match uncertainty {
            Some(uncertainty) => boat.with_factor_uncertainty(uncertainty).unwrap(),
            None => boat,
        }
    });
    hold_ships(made, climate, options, &outward, &homeward)
}

/// Every passage on its own track in this climate, by the ship outward bound or by that homeward bound.
pub fn hold_ships(
    made: &[Made],
    climate: &Climate,
    options: EnsembleOptions,
    outward: &Boat,
    homeward: &Boat,
) -> Vec<Held> {
    let mut held = Vec::with_capacity(made.len());
    for (is_homeward, boat) in [(false, outward), (true, homeward)] {
        let these: Vec<&Made> = made
            .iter()
            .filter(|made| made.is_homeward() == is_homeward)
            .collect();
        let routes = own_tracks(&these);
        let runner = EnsembleRunner::new(boat, &routes, climate, options);
        held.extend(these.into_iter().enumerate().map(|(index, made)| Held {
            made: made.clone(),
            ensemble: runner.run(index, made.departure).unwrap(),
        }));
    }
    held
}
