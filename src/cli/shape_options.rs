//! What may stand on the command line of `offing shape`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::arguments::{LandOptions, SpreadOptions, VoyageOptions};
use super::values::{latitude, number};
use crate::geodesy::Position;

#[derive(Debug, Args)]
pub(super) struct ShapeOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    #[command(flatten)]
    pub land: LandOptions,
    /// Start here instead of where the voyage's first route does: "32 03 S, 115 40 E"
    #[arg(long, value_name = "POSITION", allow_hyphen_values = true)]
    pub from: Option<Position>,
    /// End here instead of where the voyage's first route does
    #[arg(long, value_name = "POSITION", allow_hyphen_values = true)]
    pub to: Option<Position>,
    /// Show the choice from the fastest route to that with least of one hardship
    #[arg(long, value_name = "KIND")]
    pub tradeoff: Option<HardshipKind>,
    /// Step of the grid searched, in degrees; it is halved near the answer
    #[arg(long, value_name = "DEGREES", default_value_t = 1.0, value_parser = number)]
    pub grid: f64,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the routes to this file as CSV, a row a route
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Also write the courses to this file as a page with maps and plots, to study and print
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// Also write the course shaped to this file as a GPX route
    #[arg(long, value_name = "FILE")]
    pub gpx: Option<PathBuf>,
    // The last: its heading holds for all that is declared after it.
    #[command(flatten)]
    pub limits: LimitOptions,
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
    #[arg(long, value_name = "PERCENT", value_parser = number)]
    pub max_headwind: Option<f64>,
    /// At most this much of the passage's time with a headwind of 20 knots or more
    #[arg(long, value_name = "PERCENT", value_parser = number)]
    pub max_hard_beat: Option<f64>,
    /// Nowhere more of the time than this with 34 knots or more
    #[arg(long, value_name = "PERCENT", value_parser = number)]
    pub max_gale: Option<f64>,
    /// Nowhere colder than this on the month's average
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true, value_parser = number)]
    pub min_air: Option<f64>,
    /// At least this far off land everywhere but within 10 nm of the two ends
    #[arg(long, value_name = "NM", value_parser = number)]
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
