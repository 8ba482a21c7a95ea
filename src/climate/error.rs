//! What can be wrong with a climate file, worded for a sailor.

use std::borrow::Cow;
use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::region::Region;
use crate::geodesy::Coordinate;
use crate::text::{brief_message, visible};
use crate::units::OutOfRange;

/// A climate file that cannot be used, and why.
#[derive(Debug, thiserror::Error)]
#[error("{} {}: {}", .of.words(), visible(file), brief_message(&fault.to_string()))]
pub struct ClimateError {
    /// What the file was read for.
    pub of: ClimatePart,
    /// The file's path, or the name of the embedded data.
    pub file: String,
    /// What is wrong with it.
    pub fault: Box<ClimateFault>,
}

/// What a file is read for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClimatePart {
    /// Winds and air temperature.
    Winds,
    /// Surface currents.
    Currents,
}

impl ClimatePart {
    fn words(self) -> &'static str {
        match self {
            Self::Winds => "wind climate",
            Self::Currents => "surface currents",
        }
    }
}

/// Words of the reader's own.
type Words = Cow<'static, str>;

/// What is wrong with a climate file. A [`Guard`](super::Guard) hands it on from process to process.
#[derive(Debug, thiserror::Error, Serialize, Deserialize)]
pub enum ClimateFault {
    /// The operating system does not give the file.
    #[error("cannot be read: {0}")]
    Unreadable(
        #[from]
        #[serde(with = "super::fault_wire::io_error")]
        std::io::Error,
    ),
    /// The library was built without what reads NetCDF.
    #[error(
        "cannot be read: this program was built without NetCDF; use the winds and currents it carries, \
         or one built with it (feature 'netcdf'), such as the command line"
    )]
    WithoutNetcdf,
    /// The path leads to a directory or a device.
    #[error("is not a file; expected a NetCDF file")]
    NotAFile,
    /// The file has no bytes.
    #[error("is empty; expected a NetCDF file")]
    Empty,
    /// The file has more bytes than the winds of a year can.
    #[error("has {found_bytes} bytes; at most {most_bytes} can be used: cut the region out of it")]
    TooLarge {
        /// Bytes in the file.
        found_bytes: u64,
        /// The most that are read.
        most_bytes: u64,
    },
    /// The process that read the file under guard came to no end.
    #[error(
        "is damaged, or on a slow disk: reading it took more than {most_seconds} s and was given \
         up; copy or download it again"
    )]
    TooSlow {
        /// The time it had.
        most_seconds: u64,
    },
    /// The file is in another format.
    #[error(
        "is not NetCDF: it begins with {found}; expected a NetCDF file (classic, 64-bit or NetCDF-4)"
    )]
    NotNetcdf {
        /// The first bytes, readable.
        found: String,
    },
    /// The file is shorter than its own header says.
    #[error(
        "was cut short: it has {found_bytes} bytes and its header promises {needed_bytes}; \
         copy or download it again"
    )]
    CutShort {
        /// Bytes in the file.
        found_bytes: u64,
        /// Bytes the header promises.
        needed_bytes: u64,
    },
    /// The NetCDF library cannot make sense of the file's contents.
    #[error("is damaged or was cut short: {doing}: {reason}; copy or download it again")]
    Damaged {
        /// What was being read.
        doing: String,
        /// What the library says.
        reason: String,
    },
    /// A quantity that is needed is not in the file.
    #[error(
        "has no {quantity}: no variable has standard_name '{standard_name}' or a usual name for it \
         ({usual_names}); the file has: {present}"
    )]
    NoVariable {
        /// The quantity, in words.
        quantity: Words,
        /// Its CF standard name.
        standard_name: Words,
        /// The names looked for.
        usual_names: String,
        /// The variables in the file.
        present: String,
    },
    /// The variable named by the user is not in the file.
    #[error("has no variable '{variable}', named for {quantity}; it has: {present}")]
    NoSuchVariable {
        /// The variable named.
        variable: String,
        /// The quantity it was named for.
        quantity: Words,
        /// The variables in the file.
        present: String,
    },
    /// Several variables could be the quantity.
    #[error("has more than one {quantity}: {candidates}")]
    Ambiguous {
        /// The quantity, in words.
        quantity: Words,
        /// Its CF standard name.
        standard_name: Words,
        /// The variables that fit.
        candidates: String,
    },
    /// A variable is not laid out as months, latitudes and longitudes.
    #[error(
        "variable '{variable}' has dimensions ({found}); expected latitude, longitude and time \
         steps ({steps}), in any order, and no other dimension longer than 1"
    )]
    Layout {
        /// The variable.
        variable: String,
        /// Its dimensions and their lengths.
        found: String,
        /// The time steps allowed.
        steps: Words,
    },
    /// Another number of time steps than is allowed.
    #[error("variable '{variable}' has {found} time step(s); expected {expected}")]
    Months {
        /// The variable.
        variable: String,
        /// Time steps in the file.
        found: usize,
        /// The time steps allowed.
        expected: Words,
    },
    /// Two time steps belong to one month.
    #[error(
        "time coordinate '{variable}' puts steps {first_step} and {second_step} both in {month}; \
         expected one step for each month"
    )]
    RepeatedMonth {
        /// The time coordinate.
        variable: String,
        /// The month both fall in.
        month: Words,
        /// The earlier step, counted from 1.
        first_step: usize,
        /// The later step, counted from 1.
        second_step: usize,
    },
    /// Two variables do not share one grid.
    #[error(
        "variable '{variable}' is on the grid ({found}), but '{reference}' is on ({expected}); \
         all must share one grid"
    )]
    OtherGrid {
        /// The variable that differs.
        variable: String,
        /// Its dimensions.
        found: String,
        /// The variable it is compared with.
        reference: String,
        /// The dimensions of that one.
        expected: String,
    },
    /// A coordinate is not usable.
    #[error("coordinate '{variable}' {problem}")]
    Coordinate {
        /// The coordinate variable.
        variable: String,
        /// What is wrong, and what is expected.
        problem: String,
    },
    /// A unit is missing or unknown.
    #[error("variable '{variable}' has {found}; allowed: {allowed}")]
    Units {
        /// The variable.
        variable: String,
        /// The units found, in words.
        found: String,
        /// The units allowed.
        allowed: Words,
    },
    /// An attribute that says how to read the numbers is not usable.
    #[error("variable '{variable}': attribute {attribute} is {found}; expected {expected}")]
    Attribute {
        /// The variable.
        variable: String,
        /// The attribute.
        attribute: Words,
        /// What it holds.
        found: String,
        /// What it should hold.
        expected: Words,
    },
    /// An attribute whose name is nearly that of one that says how to read the numbers.
    #[error(
        "variable '{variable}' has an attribute '{found}' and no {meant}: taken as it stands it would be \
         overlooked and the values wrong; if {meant} is meant, give it that name"
    )]
    NearAttribute {
        /// The variable.
        variable: String,
        /// The attribute's name.
        found: String,
        /// The name it is like.
        meant: Words,
    },
    /// The grid does not reach the region.
    #[error("covers {grid}; what is wanted is {region}: they do not meet")]
    Misses {
        /// Where the file's grid lies.
        grid: String,
        /// Where winds are needed.
        region: Region,
    },
    /// More nodes than can sensibly be held in memory.
    #[error("has {nodes} nodes in the region needed; at most {most} can be used")]
    TooFine {
        /// Nodes in the region.
        nodes: usize,
        /// The most that are used.
        most: usize,
    },
    /// A variable holds nothing where it is needed.
    #[error("variable '{variable}' has no value at all in {region}")]
    AllMissing {
        /// The variable.
        variable: String,
        /// Where winds are needed.
        region: Region,
    },
    /// No node has all that a wind needs.
    #[error("has no place in {region} where its wind variables all have a value")]
    NoWind {
        /// Where winds are needed.
        region: Region,
    },
    /// Nothing known of the currents anywhere along the routes.
    #[error(
        "has no current at any place along the routes; allowed: a value on some of them at least"
    )]
    NoCurrent,
    /// A value that no wind, air or current has.
    #[error(
        "variable '{variable}' is {found:.2} {unit} in {month} at {} {}; values \
         from {least} to {most} {unit} are plausible. Check \
         its units, scale_factor and missing values",
        Coordinate::latitude(*.latitude_deg), Coordinate::longitude(*.longitude_deg)
    )]
    Absurd {
        /// The variable.
        variable: String,
        /// The value, in `unit`.
        found: f64,
        /// The unit after conversion.
        unit: Words,
        /// The month.
        month: Words,
        /// The node's latitude, degrees north.
        latitude_deg: f64,
        /// The node's longitude, degrees east.
        longitude_deg: f64,
        /// The least plausible value.
        least: f64,
        /// The greatest plausible value.
        most: f64,
    },
    /// A series that is finer than monthly.
    #[error(
        "holds {steps} {spacing} steps; expected twelve months, or monthly means of several years"
    )]
    NotMonthly {
        /// How many steps there are.
        steps: usize,
        /// What they are, in words.
        spacing: String,
    },
    /// A series of months that cannot be used.
    #[error("{0}")]
    Series(String),
    /// A file without real years.
    #[error(
        "holds no real years: it has no variables 'u_anomaly' and 'v_anomaly', which a file made by \
         `offing winds` of several years has"
    )]
    NoYears,
    /// A year that is not there, or lacks a month.
    #[error("has no whole year {found}; allowed: {allowed}")]
    NoSuchYear {
        /// The year asked for.
        found: i64,
        /// Those there are.
        allowed: String,
    },
    /// A setting or a height is out of range.
    #[error(transparent)]
    OutOfRange(
        #[from]
        #[serde(with = "super::fault_wire::out_of_range")]
        OutOfRange,
    ),
    /// The process that was to read the file under guard does not start. Last, for the encoding does not
    /// count a variant that is skipped.
    #[error("cannot be read: {} does not start for it: {error}", .program.display())]
    #[serde(skip)]
    NotStarted {
        /// The program.
        program: PathBuf,
        /// What the operating system says.
        error: std::io::Error,
    },
}

impl ClimateFault {
    /// The CF standard name of the quantity for which a variable has to be named; none where the
    /// fault is another.
    pub fn quantity_without_variable(&self) -> Option<&str> {
        match self {
            Self::NoVariable { standard_name, .. } | Self::Ambiguous { standard_name, .. } => {
                Some(standard_name)
            }
            _ => None,
        }
    }

    /// Puts the file's name to the fault.
    pub(super) fn in_file(self, of: ClimatePart, file: &str) -> ClimateError {
        ClimateError {
            of,
            file: file.to_owned(),
            fault: Box::new(self),
        }
    }
}
