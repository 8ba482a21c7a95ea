//! What the command line takes of `offing new`: an option for each question that it asks.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use jiff::civil::Date;

use super::super::values::{day, number, whole_number};
use crate::boat::{Keel, Rig};
use crate::geodesy::Position;
use crate::route::{Port, find_port};
use crate::units::{Kind, Quantity};

/// Without options asks in a terminal, and elsewhere writes the example.
#[derive(Debug, Clone, Default, Args)]
pub(in crate::cli) struct NewOptions {
    /// Folder to write into, created if missing [default: the current folder]
    pub folder: Option<PathBuf>,
    /// Write the example, with every key explained, and ask nothing
    #[arg(long)]
    pub example: bool,
    #[command(flatten)]
    pub answers: Answers,
}

/// The answers.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "Instead of the example, a voyage of your own")]
pub(in crate::cli) struct Answers {
    /// Start: a port and its country, or a position [example: "Fremantle, Australia"]
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true, value_parser = end, conflicts_with = "example")]
    pub from: Option<End>,
    /// End: the same [example: "Durban, South Africa"]
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true, value_parser = end, conflicts_with = "example")]
    pub to: Option<End>,
    /// Departure date [example: 2027-05-01]
    #[arg(long, value_name = "DATE", value_parser = day, conflicts_with = "example")]
    pub departure: Option<Date>,
    /// A cruiser like yours: 9, 11 or 13 m long
    #[arg(long, conflicts_with_all = ["example", "polar", "waterline_m"])]
    pub boat: Option<Cruiser>,
    /// Her polar, in place of --boat; it is copied [example: polar.csv]
    #[arg(long, value_name = "FILE", conflicts_with_all = ["example", "waterline_m"])]
    pub polar: Option<PathBuf>,
    /// Her waterline length in metres, with the four options below in place of --boat
    #[arg(long, value_name = "METRES", value_parser = number, requires_all = ["displacement_kg", "sail_area_m2", "rig", "keel"], conflicts_with = "example")]
    pub waterline_m: Option<f64>,
    /// Her displacement in kilograms, as she sails
    #[arg(long, value_name = "KG", value_parser = number, requires = "waterline_m")]
    pub displacement_kg: Option<f64>,
    /// Mainsail and working headsails, in square metres
    #[arg(long, value_name = "M2", value_parser = number, requires = "waterline_m")]
    pub sail_area_m2: Option<f64>,
    /// Her rig
    #[arg(long, requires = "waterline_m")]
    pub rig: Option<RigKind>,
    /// Her keel
    #[arg(long, requires = "waterline_m")]
    pub keel: Option<KeelKind>,
    /// How many people are aboard; without it there is no loading list
    #[arg(long, value_name = "PEOPLE", value_parser = whole_number::<u32>, conflicts_with = "example")]
    pub crew: Option<u32>,
    /// Speed under power in a calm; without it she has no engine
    #[arg(long, value_name = "KNOTS", value_parser = number, requires_all = ["litres_per_hour", "diesel"], conflicts_with = "example")]
    pub motor_kn: Option<f64>,
    /// Diesel burnt at that speed
    #[arg(long, value_name = "LITRES", value_parser = number, requires = "motor_kn")]
    pub litres_per_hour: Option<f64>,
    /// Diesel in the tanks, with its unit [example: "240 L" or "63 US gal"]
    #[arg(long, value_name = "VOLUME", value_parser = volume, requires = "motor_kn")]
    pub diesel: Option<String>,
    /// Fresh water in the tanks, with its unit [example: "400 L"]
    #[arg(long, value_name = "VOLUME", value_parser = volume, requires = "crew")]
    pub water: Option<String>,
}

/// An end of the passage.
#[derive(Debug, Clone)]
pub(in crate::cli) enum End {
    Port(Port),
    Position(Position),
}

/// A port or a position.
pub(super) fn end(text: &str) -> Result<End, String> {
    // No port's name has a digit, and every position has one.
    if text.contains(|letter: char| letter.is_ascii_digit()) {
        return text
            .parse()
            .map(End::Position)
            .map_err(|error: crate::geodesy::GeodesyError| error.to_string());
    }
    find_port(text)
        .map(End::Port)
        .map_err(|error| format!("{error}\n  {}", error.hint()))
}

/// A volume, as it is written.
pub(super) fn volume(text: &str) -> Result<String, String> {
    match Quantity::parse(Kind::Volume, text) {
        Ok(_) => Ok(text.trim().to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

/// An invented cruiser to begin with, plain for her length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Cruiser {
    /// 9 m, 4.5 t, a sloop with a fin keel
    Small,
    /// 11 m, 8 t, a sloop with a fin and a skeg
    Middle,
    /// 13 m, 14 t, a cutter with a long keel
    Large,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum RigKind {
    Sloop,
    Cutter,
    Ketch,
    Gaff,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum KeelKind {
    Fin,
    FinAndSkeg,
    Long,
}

impl From<RigKind> for Rig {
    fn from(kind: RigKind) -> Self {
        match kind {
            RigKind::Sloop => Self::Sloop,
            RigKind::Cutter => Self::Cutter,
            RigKind::Ketch => Self::Ketch,
            RigKind::Gaff => Self::Gaff,
        }
    }
}

impl From<KeelKind> for Keel {
    fn from(kind: KeelKind) -> Self {
        match kind {
            KeelKind::Fin => Self::Fin,
            KeelKind::FinAndSkeg => Self::FinAndSkeg,
            KeelKind::Long => Self::Long,
        }
    }
}

impl Answers {
    /// Whether nothing is answered.
    pub fn are_none(&self) -> bool {
        self.from.is_none()
            && self.to.is_none()
            && self.departure.is_none()
            && self.has_no_boat()
            && self.crew.is_none()
            && self.motor_kn.is_none()
    }

    /// Whether nothing is said of the boat.
    pub fn has_no_boat(&self) -> bool {
        self.boat.is_none() && self.polar.is_none() && self.waterline_m.is_none()
    }

    /// The options that a voyage needs and that are not there.
    pub fn missing(&self) -> Vec<&'static str> {
        let needed = [
            ("--from", self.from.is_none()),
            ("--to", self.to.is_none()),
            ("--departure", self.departure.is_none()),
            ("--boat, --polar or --waterline-m", self.has_no_boat()),
        ];
        let missing = needed.into_iter().filter(|(_, is_missing)| *is_missing);
        missing.map(|(option, _)| option).collect()
    }
}
