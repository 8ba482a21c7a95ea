//! What the command line takes of `offing shape`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::arguments::{LandOptions, SpreadOptions, VoyageOptions};
use super::values::{MOST_STORM_PERCENT, latitude, number, whole_number};
use crate::geodesy::Position;

#[derive(Debug, Args)]
pub(super) struct ShapeOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    #[command(flatten)]
    pub land: LandOptions,
    /// Start [default: that of the first route] [example: "32 03 S, 115 40 E"]
    #[arg(long, value_name = "POSITION", allow_hyphen_values = true)]
    pub from: Option<Position>,
    /// End [default: that of the first route] [example: "29 53 S, 31 06 E"]
    #[arg(long, value_name = "POSITION", allow_hyphen_values = true)]
    pub to: Option<Position>,
    /// Show the courses from the fastest to the one with least of this condition
    #[arg(long, value_name = "KIND")]
    pub tradeoff: Option<HardshipKind>,
    /// Step of the search grid, in degrees; halved near the course found
    #[arg(long, value_name = "DEGREES", default_value_t = 1.0, value_parser = number)]
    pub grid: f64,
    /// Print all there is to say instead of one screen
    #[arg(long)]
    pub full: bool,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Course of the trade-off to write with --gpx, --csv or --toml [default: the fastest
    /// to GPX and TOML, all to CSV]
    #[arg(long, value_name = "N", requires = "tradeoff", value_parser = whole_number::<usize>)]
    pub pick: Option<usize>,
    /// Write the courses as CSV too, one row per course [example: courses.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Write the courses as an HTML page too, with maps and plots [example: courses.html]
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// Write the course found as a GPX route too [example: course.gpx]
    #[arg(long, value_name = "FILE")]
    pub gpx: Option<PathBuf>,
    /// Write the course found as a [[route]] to paste into a voyage file too [example:
    /// course.toml]
    #[arg(long, value_name = "FILE")]
    pub toml: Option<PathBuf>,
    // Last, because its heading holds for all that is declared after it.
    #[command(flatten)]
    pub limits: LimitOptions,
}

/// The crew's limits.
#[derive(Debug, Args)]
#[command(next_help_heading = "Limits")]
pub(super) struct LimitOptions {
    /// Southernmost latitude allowed [example: 40S]
    #[arg(long, value_name = "LATITUDE", allow_hyphen_values = true, value_parser = latitude)]
    pub not_south_of: Option<f64>,
    /// Northernmost latitude allowed [example: 10S]
    #[arg(long, value_name = "LATITUDE", allow_hyphen_values = true, value_parser = latitude)]
    pub not_north_of: Option<f64>,
    /// Largest share of time with the wind under 60 degrees off the course, in percent
    #[arg(long, value_name = "PERCENT", value_parser = number)]
    pub max_headwind: Option<f64>,
    /// Largest share of time beating in 20 kn or more, in percent
    #[arg(long, value_name = "PERCENT", value_parser = number)]
    pub max_hard_beat: Option<f64>,
    /// Largest share of time with 34 kn or more at any place, in percent
    #[arg(long, value_name = "PERCENT", value_parser = number)]
    pub max_gale: Option<f64>,
    /// Lowest monthly mean air temperature at any place, in degrees Celsius
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true, value_parser = number)]
    pub min_air: Option<f64>,
    /// Smallest distance off land, in nm; not within 10 nm of the two ends
    #[arg(long, value_name = "NM", value_parser = number)]
    pub off_land: Option<f64>,
    /// GeoJSON file with polygons to keep out of [example: areas.geojson]
    #[arg(long, value_name = "FILE")]
    pub keep_out: Option<PathBuf>,
    /// Keep out of waters with tropical storms at the time: see --max-storm-chance
    #[arg(long)]
    pub avoid_cyclones: bool,
    /// Largest chance of a storm within 200 nm in ten days at any place, in percent
    #[arg(
        long,
        value_name = "PERCENT",
        requires = "avoid_cyclones",
        default_value_t = MOST_STORM_PERCENT,
        value_parser = number
    )]
    pub max_storm_chance: f64,
}

/// A condition of which a crew wants less.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum HardshipKind {
    Headwind,
    HardBeat,
    LightAir,
    StrongWind,
    Gale,
    Engine,
}
