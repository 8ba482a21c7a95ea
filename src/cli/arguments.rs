//! What the command line takes.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;

use super::new::NewOptions;
use super::schema::Described;
use super::shape_options::ShapeOptions;
use super::values::{
    MOST_STORM_PERCENT, area, day, new_year, number, real_year, whole_number, years,
};
use crate::climate::{Month, Region};
use crate::geodesy::Position;
use crate::passage::{EnsembleOptions, LayOff};

/// Compare ocean sailing routes using average winds by month: distance, time at sea, conditions
///
/// A planning aid from averages, not a forecast. Check official pilot charts, warnings and local
/// rules; the skipper decides.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 80)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Compare the routes of a voyage: distance, days, conditions
    Compare(CompareOptions),
    /// Show the routes of a voyage leg by leg: courses, days, winds
    Legs(LegsOptions),
    /// Check a voyage file, its boat and its winds, without simulating passages
    Check(CheckOptions),
    /// Find the best time to leave: compare departures through the year
    Season(SeasonOptions),
    /// Sail a voyage in each real year of its winds: days by year, and the bad years
    Years(YearsOptions),
    /// Show the boat's polar, best angles and course made good; or fit a factor or
    /// learn a polar from logs
    Boat(BoatOptions),
    /// Show the winds at a place by month, or along a route
    Climate(ClimateOptions),
    /// Measure your own wind climate from NetCDF files of real winds
    Winds(WindsOptions),
    /// List the stores to load: diesel, water, food, power, spares; and the watches
    Stores(StoresOptions),
    /// Write a voyage file from your answers, or an example with every key explained
    New(NewOptions),
    /// Print the JSON Schema of the voyage file, or of what a command prints with --json
    Schema(SchemaOptions),
    /// Print a shell completion script
    Completions(CompletionsOptions),
    /// Print the manual page of the program or of one command
    Man(ManOptions),
    /// Find the fastest course within the crew's limits
    Shape(ShapeOptions),
}

/// A voyage and its departure date.
#[derive(Debug, Args)]
pub(super) struct VoyageOptions {
    /// Voyage file [default: the demonstration voyage, Fremantle to Durban]
    pub voyage: Option<PathBuf>,
    /// Departure date; overrides the voyage file [example: 2027-05-01]
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub departure: Option<Date>,
    /// Stage to take as a voyage of its own, where the file has stages [example: Atlantic]
    #[arg(long, value_name = "NAME")]
    pub stage: Option<String>,
}

/// How passages are simulated.
#[derive(Debug, Args)]
pub(super) struct SpreadOptions {
    /// Simulated passages per route
    #[arg(long, value_name = "N", default_value_t = EnsembleOptions::default().members, value_parser = whole_number::<usize>)]
    pub members: usize,
    /// Random seed; the same seed gives the same result
    #[arg(long, default_value_t = EnsembleOptions::default().seed, value_parser = whole_number::<u64>)]
    pub seed: u64,
    /// Correlation time of the wind, in hours [default: as measured in your winds, else 24]
    #[arg(long, value_name = "HOURS", allow_negative_numbers = true, value_parser = number)]
    pub persistence: Option<f64>,
}

#[derive(Debug, Args)]
pub(super) struct CompareOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Sail in the winds of this real year instead of average winds: one of 1982 to 1992, or of your own
    /// winds [example: 1983]
    #[arg(long, value_name = "YEAR", conflicts_with_all = ["html", "also"], value_parser = real_year)]
    pub real_year: Option<i64>,
    /// NetCDF file with other winds for a second opinion, or `built-in` for those that come with the
    /// program [example: other.nc]
    #[arg(long, value_name = "FILE")]
    pub also: Option<PathBuf>,
    /// Print all there is to say instead of one screen
    #[arg(long)]
    pub full: bool,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the comparison as CSV too, one row per route [example: routes.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Write the comparison as an HTML page too, with maps and plots [example: routes.html]
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

#[derive(Debug, Args)]
#[command(mut_arg("departure", |argument| argument.help(
    "First date compared, through twelve months; overrides the voyage file [example: 2027-05-01]"
)))]
pub(super) struct SeasonOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Calendar year to compare instead [example: 2028]
    #[arg(long, value_name = "YEAR", value_parser = new_year, conflicts_with = "departure")]
    pub year: Option<Date>,
    /// Days from one departure to the next, 1 to 31
    #[arg(long, value_name = "DAYS", default_value_t = 5, value_parser = whole_number::<u8>)]
    pub every: u8,
    /// Largest chance of a tropical storm within 200 nm in the days to leave in, in percent
    #[arg(long, value_name = "PERCENT", default_value_t = MOST_STORM_PERCENT, value_parser = number)]
    pub max_storm_chance: f64,
    /// Months through which a voyage with stages leaves, 12 to 24 [default: 12]
    #[arg(long, value_name = "MONTHS", value_parser = whole_number::<u8>)]
    pub months: Option<u8>,
    /// Print all there is to say instead of one screen
    #[arg(long)]
    pub full: bool,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the season as CSV too, one row per departure and route [example: season.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Write the plan of a voyage with stages as an HTML page too, with a calendar [example: plan.html]
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

#[derive(Debug, Args)]
#[command(mut_arg("members", |argument| argument.default_value(YEAR_MEMBERS)
    .help("Simulated passages per route and year")))]
pub(super) struct YearsOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the years as CSV too, one row per year and route [example: years.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

/// Members of a year: enough for a median, since all years have the same.
const YEAR_MEMBERS: &str = "500";

#[derive(Debug, Args)]
pub(super) struct LegsOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// Show this route only [example: Trades]
    #[arg(long, value_name = "NAME")]
    pub route: Option<String>,
    /// Lay the routes off in pieces instead of their legs: day (the median passage from noon to noon,
    /// UTC), whole degrees of longitude, or a distance [example: 5deg or 300nm]
    #[arg(long, value_name = "HOW")]
    pub by: Option<LayOff>,
    /// Print all there is to say instead of one screen
    #[arg(long)]
    pub full: bool,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the legs, or the pieces, as CSV too, one row each [example: legs.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Write the routes as GPX too, for a chart plotter [example: routes.gpx]
    #[arg(long, value_name = "FILE")]
    pub gpx: Option<PathBuf>,
    /// Write the routes as GeoJSON too, for a map [example: routes.geojson]
    #[arg(long, value_name = "FILE")]
    pub geojson: Option<PathBuf>,
    /// Write the waypoints as CSV too, usable as a route file [example: waypoints.csv]
    #[arg(long, value_name = "FILE")]
    pub waypoints: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// Voyage file [example: voyage.toml]
    pub voyage: PathBuf,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub land: LandOptions,
}

/// A voyage file called `fit` or `learn` is given as `./fit` or `./learn`.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, disable_help_subcommand = true)]
pub(super) struct BoatOptions {
    #[command(subcommand)]
    pub command: Option<BoatCommand>,
    /// Voyage file [default: the demonstration voyage]; write ./fit or ./learn for a file
    /// of that name
    pub voyage: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the polar before the factor as CSV too, usable as a polar file [example: polar.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(super) enum BoatCommand {
    /// Compare your own log with the polar, and find the factor to write in the voyage file
    Fit(FitOptions),
    /// Learn a whole polar from your own logs, with how surely they show it
    Learn(LearnOptions),
}

#[derive(Debug, Args)]
pub(super) struct LearnOptions {
    /// Logs as CSV of the same columns: time, true_wind_speed_kn, and either boat_speed_kn with
    /// true_wind_angle_deg (or true_wind_from_deg and heading_deg), or latitude, longitude and
    /// true_wind_from_deg; optional: under_power (yes or no), remarks
    #[arg(required = true, value_name = "LOG")]
    pub logs: Vec<PathBuf>,
    /// Voyage file with the boat to start from [default: the demonstration voyage]
    #[arg(long, value_name = "FILE")]
    pub voyage: Option<PathBuf>,
    /// Write the polar as a polar file [example: polar.csv]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Standard deviation of a logged wind speed's error, knots, 0 to 10 [default: 2, common practice
    /// for a yacht's instruments; a ship's report has 4.1]
    #[arg(long, value_name = "KNOTS", allow_negative_numbers = true, value_parser = number)]
    pub wind_error_kn: Option<f64>,
    /// Standard deviation of a logged wind direction's error, degrees, 0 to 45 [default: 10, common
    /// practice]
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = number)]
    pub wind_error_deg: Option<f64>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct FitOptions {
    /// Log as CSV: time, true_wind_speed_kn, true_wind_angle_deg, and either boat_speed_kn or
    /// latitude and longitude; optional: under_power (yes or no), remarks
    pub log: PathBuf,
    /// Voyage file with the polar [default: the demonstration voyage]
    pub voyage: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct ClimateOptions {
    /// Latitude and longitude, in quotes [example: "32 03 S, 115 40 E" or "-32.05, 115.67"]
    #[arg(
        allow_hyphen_values = true,
        required_unless_present = "route",
        conflicts_with = "route"
    )]
    pub position: Option<Position>,
    /// Month, 1 to 12 or a name [default: all; with --route that of departure] [example: May]
    #[arg(long, value_name = "MONTH")]
    pub month: Option<Month>,
    /// Show the winds along this route, every 300 nm [example: Trades]
    #[arg(long, value_name = "NAME")]
    pub route: Option<String>,
    /// Stage with the route, where the file has stages [example: Atlantic]
    #[arg(long, value_name = "NAME", requires = "route")]
    pub stage: Option<String>,
    /// Voyage file with the routes and the winds [default: the demonstration voyage]
    #[arg(long, value_name = "FILE")]
    pub voyage: Option<PathBuf>,
    /// NetCDF file with the winds; overrides the voyage file's, whose other [climate] keys hold
    /// [example: winds.nc]
    #[arg(long, value_name = "FILE")]
    pub climate: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the winds as CSV too, one row per month or place [example: winds.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

/// The files hold winds of real years, as CF NetCDF: hourly, daily, monthly or between, in one file or in
/// hundreds, split by time or by variable. The result is a file for `[climate] file` of a voyage.
#[derive(Debug, Args)]
pub(super) struct WindsOptions {
    /// NetCDF files with the wind toward the east and the north; optional: speed, gusts, air
    /// temperature, pressure, currents, wave height
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// NetCDF file to write [example: my-winds.nc]
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Area, by its south-west and north-east corners, in quotes; it may cross 180 degrees
    /// [default: all there is] [example: "50 S, 20 E to 10 S, 120 E"]
    #[arg(long, value_name = "CORNERS", allow_hyphen_values = true, value_parser = area)]
    pub area: Option<Region>,
    /// First and last calendar year to read [default: all there are] [example: 1991-2020]
    #[arg(long, value_name = "YEARS", value_parser = years)]
    pub years: Option<(i64, i64)>,
    /// Voyage file whose [climate] keys say what the variables are called and for what height they are
    #[arg(long, value_name = "FILE")]
    pub voyage: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct StoresOptions {
    #[command(flatten)]
    pub voyage: VoyageOptions,
    #[command(flatten)]
    pub spread: SpreadOptions,
    /// List this route only [default: all] [example: Trades]
    #[arg(long, value_name = "NAME")]
    pub route: Option<String>,
    /// Percentage of passages the stores are enough for, 50 to 99; overrides the voyage file
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true, value_parser = number)]
    pub confidence: Option<f64>,
    /// Print every line with its rule and source [default: one page]
    #[arg(long)]
    pub full: bool,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the lists as CSV too, one row per item [example: stores.csv]
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub land: LandOptions,
}

/// What to do where a route crosses land.
#[derive(Debug, Default, Args)]
pub(super) struct LandOptions {
    /// Treat a route that crosses land as an error [default: a warning]
    #[arg(long)]
    pub strict: bool,
}

#[derive(Debug, Args)]
pub(super) struct SchemaOptions {
    /// The voyage file, or the command whose --json to describe
    #[arg(value_name = "WHAT")]
    pub of: Described,
}

#[derive(Debug, Args)]
pub(super) struct CompletionsOptions {
    /// Shell to write the script for
    pub shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub(super) struct ManOptions {
    /// Command, with hyphens between words [default: the program itself] [example: boat-fit]
    pub command: Option<String>,
}
