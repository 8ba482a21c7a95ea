//! What keeps the files of a series from becoming a climate, worded for a sailor.

use std::path::PathBuf;

use crate::climate::error::ClimateError;
use crate::climate::month::Month;
use crate::text::visible;

/// A variable and its grid.
#[derive(Debug, Clone, PartialEq)]
pub struct OnGrid {
    /// The file.
    pub file: String,
    /// The variable.
    pub variable: String,
    /// Its grid, in words.
    pub grid: String,
}

/// Files that cannot be used together, and why.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SeriesError {
    /// One of the files cannot be used.
    #[error(transparent)]
    File(#[from] ClimateError),
    /// None of the files has a quantity that is needed.
    #[error(
        "no {quantity} in any of the {files} file(s): no variable has standard_name \
         '{standard_name}' or a usual name for it"
    )]
    NoQuantity {
        /// The quantity, in words.
        quantity: &'static str,
        /// Its CF standard name.
        standard_name: &'static str,
        /// How many files were looked at.
        files: usize,
    },
    /// Two variables do not share one grid.
    #[error(
        "{}: variable '{}' is on a grid of {}, but '{}' in {} on one of {}; all must share one grid",
        .found.file, .found.variable, .found.grid,
        .expected.variable, .expected.file, .expected.grid
    )]
    OtherGrid {
        /// The one that differs.
        found: Box<OnGrid>,
        /// The one it is compared with.
        expected: Box<OnGrid>,
    },
    /// Two files count time in calendars that do not agree.
    #[error(
        "{file}: counts time in the calendar '{found}', {reference_file} in '{expected}'; all must \
         share one calendar"
    )]
    OtherCalendar {
        /// The file that differs.
        file: String,
        /// Its calendar.
        found: &'static str,
        /// The file it is compared with.
        reference_file: String,
        /// The calendar of that one.
        expected: &'static str,
    },
    /// A time is there twice.
    #[error(
        "the {quantity} of {time} is there twice: in {first} and in {second}; leave one of them out"
    )]
    Duplicate {
        /// The quantity, in words.
        quantity: &'static str,
        /// The time.
        time: String,
        /// The file with the first.
        first: String,
        /// The file with the second, which may be the same.
        second: String,
    },
    /// One component of the wind has times that the other has not.
    #[error(
        "{count} time(s) have the {have} but no {lack}, the first {first}; both must have the same \
         times"
    )]
    Unpaired {
        /// How many.
        count: usize,
        /// The component that is there.
        have: &'static str,
        /// The component that is not.
        lack: &'static str,
        /// The first such time.
        first: String,
    },
    /// Steps that are neither months, days nor parts of a day.
    #[error(
        "the steps are mostly {found} apart; allowed: monthly, daily, or a part of a day that goes \
         into it without rest, such as 1, 3, 6 or 12 hours"
    )]
    Spacing {
        /// The time between steps, in words.
        found: String,
    },
    /// Two steps that are nearer to each other than the rest.
    #[error(
        "the steps of {first} and {second} are nearer to each other than the rest, which are \
             {spacing} apart; expected one kind of step in all files"
    )]
    Uneven {
        /// The earlier.
        first: String,
        /// The later.
        second: String,
        /// The usual spacing, in words.
        spacing: String,
    },
    /// Files of a climatology beside files of a series.
    #[error(
        "{file}: holds twelve means over many years, {reference_file} steps of real years; they \
         cannot be used together"
    )]
    Mixed {
        /// The climatology.
        file: String,
        /// The series.
        reference_file: String,
    },
    /// No step lies in the years asked for.
    #[error("no step lies in the years {from} to {to}; the files run from {first} to {last}")]
    NoSuchYears {
        /// The first year asked for.
        from: i64,
        /// The last.
        to: i64,
        /// The first time there is.
        first: String,
        /// The last.
        last: String,
    },
    /// Another run keeps its sums in the same folder.
    #[error(
        "{}: another run is at work on the same climate; wait for its end, or write to another file",
        visible(&.folder.display().to_string())
    )]
    InUse {
        /// The folder.
        folder: PathBuf,
    },
    /// The sums of what was read cannot be kept, or not be read again.
    #[error("{}: what was added up cannot be kept there: {reason}", visible(&.folder.display().to_string()))]
    NotKept {
        /// The folder.
        folder: PathBuf,
        /// What is in the way.
        reason: String,
    },
    /// No wind anywhere in the area.
    #[error("no place in the area has both components of the wind at any time")]
    NoWind,
    /// A monthly series in one file without a calendar month.
    #[error("has no step in {month}; a climate needs each month of the year")]
    NoMonth {
        /// The month.
        month: Month,
    },
    /// A figure that the file's packing cannot hold.
    #[error("the {what} is {found} {unit}, which no wind or sea has; check the files' units")]
    Unwritable {
        /// The figure.
        what: &'static str,
        /// Its value.
        found: f32,
        /// Its unit.
        unit: &'static str,
    },
    /// The NetCDF library did not write.
    #[error("cannot write {file}: {reason}; nothing was written")]
    NotWritten {
        /// The file to be written.
        file: String,
        /// What the library says.
        reason: String,
    },
}
