//! What may stand on the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;

use super::schema::Described;
use super::shape_options::ShapeOptions;
use super::values::{day, number, whole_number};
use crate::climate::Month;
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
    /// Find the best time to leave: departures through the year on every route
    Season(SeasonOptions),
    /// Show the boat: polar, best angles, course made good; or fit her factor to a log
    Boat(BoatOptions),
    /// Show the winds of a place through the months, or along a route
    Climate(ClimateOptions),
    /// List what to load for a voyage's routes: diesel, water, food, power, spares, watches
    Stores(StoresOptions),
    /// Write a voyage file to begin with, every key explained, and a polar beside it
    New(NewOptions),
    /// Print the JSON Schema of the voyage file, or of what a command prints with --json
    Schema(SchemaOptions),
    /// Print the script that lets a shell complete this program's commands
    Completions(CompletionsOptions),
    /// Print the manual page, or that of one command
    Man(ManOptions),
    /// Shape a course: the fastest route under the crew's own limits
    Shape(ShapeOptions),
}

/// A voyage, and the day to leave.
#[derive(Debug, Args)]
pub(super) struct VoyageOptions {
    /// The voyage file; without one, the demonstration voyage from Fremantle to Durban
    pub voyage: Option<PathBuf>,
    /// Leave on this day, whatever the voyage file says: 2027-05-01
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub departure: Option<Date>,
}

/// What the spread of passages is made of.
#[derive(Debug, Args)]
pub(super) struct SpreadOptions {
    /// How many passages to try on each route
    #[arg(long, value_name = "N", default_value_t = EnsembleOptions::default().members, value_parser = whole_number::<usize>)]
    pub members: usize,
    /// The seed of the winds: the same seed gives the same passages
    #[arg(long, default_value_t = EnsembleOptions::default().seed, value_parser = whole_number::<u64>)]
    pub seed: u64,
    /// How long a wind persists
    #[arg(long, value_name = "HOURS", allow_negative_numbers = true, default_value_t = EnsembleOptions::default().persistence_hours, value_parser = number)]
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
    /// Also write the comparison to this file as a page with maps and plots, to study and print
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

#[derive(Debug, Args)]
#[command(mut_arg("departure", |argument| argument.help(
    "Try the departures of this day's year, whatever the voyage file says: 2027-05-01"
)))]
pub(super) struct SeasonOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// How many days apart the departures are; they run through the voyage's year
    #[arg(long, value_name = "DAYS", default_value_t = 5, value_parser = whole_number::<u8>)]
    pub every: u8,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the season to this file as CSV, a row a departure and route
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
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
    /// Also write the routes to this file as GPX, for a plotter
    #[arg(long, value_name = "FILE")]
    pub gpx: Option<PathBuf>,
    /// Also write the routes to this file as GeoJSON, for a map
    #[arg(long, value_name = "FILE")]
    pub geojson: Option<PathBuf>,
    /// Also write the waypoints to this file as CSV, a row a waypoint, to be read as a route file
    #[arg(long, value_name = "FILE")]
    pub waypoints: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// The voyage file
    pub voyage: PathBuf,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub land: LandOptions,
}

/// A voyage file called `fit` is reached as `./fit`.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, disable_help_subcommand = true)]
pub(super) struct BoatOptions {
    #[command(subcommand)]
    pub fit: Option<BoatCommand>,
    /// The voyage file; without one, the demonstration voyage (for a file called fit, ./fit)
    pub voyage: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the polar to this file as CSV, in the form of a polar file
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(super) enum BoatCommand {
    /// Compare your own log with the polar: the factor to write in the voyage file
    Fit(FitOptions),
}

#[derive(Debug, Args)]
pub(super) struct FitOptions {
    /// The log, CSV: time, true_wind_speed_kn, true_wind_angle_deg, and boat_speed_kn or latitude
    /// and longitude; if wanted under_power (yes or no) and remarks
    pub log: PathBuf,
    /// The voyage file with the polar; without one, the demonstration voyage
    pub voyage: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct ClimateOptions {
    /// Latitude and longitude in quotes: "32 03 S, 115 40 E" or "-32.05, 115.67"
    #[arg(
        allow_hyphen_values = true,
        required_unless_present = "route",
        conflicts_with = "route"
    )]
    pub position: Option<Position>,
    /// Show this month only, with its winds by direction; with --route, instead of the month the
    /// voyage leaves in: 1 to 12, or a name
    #[arg(long, value_name = "MONTH")]
    pub month: Option<Month>,
    /// Show the winds along this route of the voyage, every 300 nm
    #[arg(long, value_name = "NAME")]
    pub route: Option<String>,
    /// The voyage file with the route, and with the winds to show and how they are to be read;
    /// without one, the demonstration voyage
    #[arg(long, value_name = "FILE")]
    pub voyage: Option<PathBuf>,
    /// Read the winds from this NetCDF file instead, with what the voyage file says of its
    /// variables, height and steadiness
    #[arg(long, value_name = "FILE")]
    pub climate: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the winds to this file as CSV, a row a month or a place
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct StoresOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// List this route only; without it, all routes side by side and then each in full
    #[arg(long, value_name = "NAME")]
    pub route: Option<String>,
    /// Provide for so many passages in a hundred, 50 to 99, whatever the voyage file says
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true, value_parser = number)]
    pub confidence: Option<f64>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Also write the lists to this file as CSV, a row a line
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

/// What to do about land in a route's way.
#[derive(Debug, Args)]
pub(super) struct LandOptions {
    /// Refuse routes that cross land, instead of warning
    #[arg(long)]
    pub strict: bool,
}

#[derive(Debug, Args)]
pub(super) struct NewOptions {
    /// The folder to write into; made if it is not there. Without one, this folder
    pub folder: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct SchemaOptions {
    /// The voyage file, or the command whose --json to describe
    #[arg(value_name = "WHAT")]
    pub of: Described,
}

#[derive(Debug, Args)]
pub(super) struct CompletionsOptions {
    /// The shell
    pub shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub(super) struct ManOptions {
    /// The command whose page to print, boat-fit for boat fit; without one, the program's own
    pub command: Option<String>,
}
