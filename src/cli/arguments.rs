//! What may stand on the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;

use crate::geodesy::Position;
use crate::passage::EnsembleOptions;

/// Compare ocean sailing routes on real wind climatology: distance, days, and what the crew meets.
///
/// A planning aid from averages, not a forecast. Check official pilot charts, warnings and local
/// rules; the skipper decides.
#[derive(Debug, Parser)]
#[command(version)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Compare a voyage's routes: distance, days, exposure
    Compare(CompareOptions),
    /// Show a voyage leg by leg: courses, days, winds
    Legs(LegsOptions),
    /// Check a voyage file, its boat and its winds, without walking the routes
    Check(CheckOptions),
    /// Shape a course: the fastest route under the crew's own limits
    Shape(ShapeOptions),
}

/// A voyage, and the day to leave.
#[derive(Debug, Args)]
pub(super) struct VoyageOptions {
    /// The voyage file; without one, the demonstration voyage from Fremantle to Durban
    pub voyage: Option<PathBuf>,
    /// Leave on this day, whatever the voyage file says: 2027-05-01
    #[arg(long, value_name = "DATE")]
    pub departure: Option<Date>,
}

/// What the spread of passages is made of.
#[derive(Debug, Args)]
pub(super) struct SpreadOptions {
    /// How many passages to try on each route
    #[arg(long, value_name = "N", default_value_t = EnsembleOptions::default().members)]
    pub members: usize,
    /// The seed of the winds: the same seed gives the same passages
    #[arg(long, default_value_t = EnsembleOptions::default().seed)]
    pub seed: u64,
    /// How long a wind persists
    #[arg(long, value_name = "HOURS", default_value_t = EnsembleOptions::default().persistence_hours)]
    pub persistence: f64,
}

#[derive(Debug, Args)]
pub(super) struct CompareOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the comparison to this file as CSV, a row a route
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct LegsOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Show this route only
    #[arg(long, value_name = "NAME")]
    pub route: Option<String>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the leg table to this file as CSV, a row a leg
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// The voyage file
    pub voyage: PathBuf,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct ShapeOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Start here instead of where the voyage's first route does: "32 03 S, 115 40 E"
    #[arg(long, value_name = "POSITION", allow_hyphen_values = true)]
    pub from: Option<Position>,
    /// End here instead of where the voyage's first route does
    #[arg(long, value_name = "POSITION", allow_hyphen_values = true)]
    pub to: Option<Position>,
    #[command(flatten)]
    pub limits: LimitOptions,
    /// Show the choice from the fastest route to the gentlest by one hardship
    #[arg(long, value_name = "KIND")]
    pub tradeoff: Option<HardshipKind>,
    /// Step of the grid searched, in degrees; it is halved near the answer
    #[arg(long, value_name = "DEGREES", default_value_t = 1.0)]
    pub grid: f64,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the routes to this file as CSV, a row a route
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

/// What the crew will not do, or not for long.
#[derive(Debug, Args)]
#[command(next_help_heading = "Limits")]
pub(super) struct LimitOptions {
    /// Not south of this latitude: 40S
    #[arg(long, value_name = "LATITUDE", allow_hyphen_values = true, value_parser = latitude)]
    pub not_south_of: Option<f64>,
    /// Not north of this latitude: 10S
    #[arg(long, value_name = "LATITUDE", allow_hyphen_values = true, value_parser = latitude)]
    pub not_north_of: Option<f64>,
    /// At most this much of the passage's time with the wind less than 60 degrees off the course
    #[arg(long, value_name = "PERCENT")]
    pub max_headwind: Option<f64>,
    /// At most this much of the passage's time with a headwind of 20 knots or more
    #[arg(long, value_name = "PERCENT")]
    pub max_hard_beat: Option<f64>,
    /// Nowhere more of the time than this with 34 knots or more
    #[arg(long, value_name = "PERCENT")]
    pub max_gale: Option<f64>,
    /// Nowhere colder than this on the month's average
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true)]
    pub min_air: Option<f64>,
    /// At least this far off land, but for the waters about the ends
    #[arg(long, value_name = "NM")]
    pub off_land: Option<f64>,
    /// Out of the polygons in this GeoJSON file
    #[arg(long, value_name = "FILE")]
    pub keep_out: Option<PathBuf>,
    /// Out of cyclone basins in their season
    #[arg(long)]
    pub avoid_cyclones: bool,
}

/// What a crew would rather have less of.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum HardshipKind {
    Headwind,
    HardBeat,
    LightAir,
    StrongWind,
    Gale,
    Engine,
}

/// A latitude as a crew writes it, in degrees north.
fn latitude(text: &str) -> Result<f64, String> {
    let lettered = text.ends_with(|letter: char| letter.is_ascii_alphabetic());
    let longitude = if lettered { "0 E" } else { "0" };
    let place = format!("{text}, {longitude}").parse::<Position>();
    place
        .map(|place| place.latitude_deg())
        .map_err(|_| "no latitude; allowed: 40S, 40 30.5 S or -40.5, from 90S to 90N".to_owned())
}
