//! What can be wrong with a boat's data.

use crate::geodesy::GeodesyError;
use crate::text::{brief, visible};
use crate::units::OutOfRange;

/// What is wrong with a polar, a log, an engine or the way the boat is handled.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum BoatError {
    /// The file cannot be read at all.
    #[error("cannot read {file}: {source}", file = visible(file))]
    Read {
        /// The file as it was given.
        file: String,
        /// Why.
        source: std::io::Error,
    },
    /// The text is no CSV.
    #[error("{file} cannot be read as CSV: {source}", file = visible(file))]
    Csv {
        /// The file's name.
        file: String,
        /// Why.
        source: csv::Error,
    },
    /// No header, or no row below it.
    #[error("{file} has no {what}; expected the header `{expected}` and the rows below it", file = visible(file))]
    Empty {
        /// The file's name.
        file: String,
        /// What is missing: the header or the rows.
        what: &'static str,
        /// The header expected.
        expected: String,
    },
    /// The header is another one.
    #[error("{file}, line {line}: the header is `{found}`; expected `{expected}`", file = visible(file), found = brief(found))]
    Header {
        /// The file's name.
        file: String,
        /// The header's line, from 1.
        line: usize,
        /// The header found.
        found: String,
        /// The header expected.
        expected: String,
    },
    /// A forecast's skill for too many days, or for none.
    #[error("forecast skill for {found} days; allowed: for 1 to 10 days")]
    SkillDays {
        /// For how many days there is one.
        found: usize,
    },
    /// A forecast that knows more than any does.
    #[error(
        "forecast skill of day {day} is {found}; allowed: 0 to {most}, and no more than the day before"
    )]
    Skill {
        /// The day, from 1.
        day: usize,
        /// The correlation found.
        found: f64,
        /// The most allowed.
        most: f64,
    },
    /// A row with too few or too many cells.
    #[error(
        "{file}, line {line}: {found} cells; the header has {expected} (decimals take a point, not a comma)", file = visible(file)
    )]
    CellCount {
        /// The file's name.
        file: String,
        /// The row's line, from 1.
        line: usize,
        /// How many cells the row has.
        found: usize,
        /// How many the header has.
        expected: usize,
    },
    /// A cell that cannot be what its column says.
    #[error("{file}, line {line}, {column}: found `{found}`; allowed: {allowed}", file = visible(file), column = brief(column), found = brief(found))]
    Cell {
        /// The file's name.
        file: String,
        /// The row's line, from 1.
        line: usize,
        /// The column's name.
        column: String,
        /// What the cell holds.
        found: String,
        /// What it may hold.
        allowed: String,
    },
    /// One point of the polar is given twice.
    #[error(
        "{file}: the point at {true_wind_speed_kn} kn and {true_wind_angle_deg} deg is given twice, on lines {first_line} and {second_line}", file = visible(file)
    )]
    DuplicatePoint {
        /// The file's name.
        file: String,
        /// The point's true wind speed, kn.
        true_wind_speed_kn: f64,
        /// The point's true wind angle, degrees.
        true_wind_angle_deg: f64,
        /// The line it is on first.
        first_line: usize,
        /// The line it is on again.
        second_line: usize,
    },
    /// A polar of a boat that never moves.
    #[error("{file}: no speed above 0; a polar needs one, or she never arrives", file = visible(file))]
    NoSpeed {
        /// The file's name.
        file: String,
    },
    /// The polar's table has gaps.
    #[error("{file}: every wind speed needs every angle; missing: {points}", file = visible(file))]
    MissingPoints {
        /// The file's name.
        file: String,
        /// The points without a row, in words; a long list is cut short and says so.
        points: String,
    },
    /// A polar with too few wind speeds or angles.
    #[error("{file}: {found} {what}; a polar needs at least {needed}", file = visible(file))]
    TooFew {
        /// The file's name.
        file: String,
        /// What there is too little of.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// The polar does not reach straight downwind.
    #[error(
        "{file}: the largest true wind angle is {found} deg; the table must end at 180 deg, so that nothing downwind is guessed", file = visible(file)
    )]
    NotToDownwind {
        /// The file's name.
        file: String,
        /// The largest angle found, degrees.
        found: f64,
    },
    /// The polar does not say how the boat goes to windward.
    #[error(
        "{file}: the smallest true wind angle is {found} deg; allowed: 0 to {allowed} deg, so that nothing to windward is guessed (give 0 kn where she does not sail)", file = visible(file)
    )]
    NotToWindward {
        /// The file's name.
        file: String,
        /// The smallest angle found, degrees.
        found: f64,
        /// The largest it may be, degrees.
        allowed: f64,
    },
    /// The boat would start her engine only to go slower.
    #[error(
        "motor below {motor_below_kn} kn, but the engine makes only {motor_speed_kn} kn; allowed: at most the speed under power"
    )]
    MotorSlower {
        /// The progress below which the engine would be started, kn.
        motor_below_kn: f64,
        /// The speed under power, kn.
        motor_speed_kn: f64,
    },
    /// A log's column that is missing, twice there or unknown.
    #[error("{file}, line {line}: the column `{column}` {fault}; columns of a log: {allowed}", file = visible(file), column = brief(column))]
    Column {
        /// The file's name.
        file: String,
        /// The header's line, from 1.
        line: usize,
        /// The column's name.
        column: String,
        /// What is wrong with it.
        fault: &'static str,
        /// The columns a log may have.
        allowed: String,
    },
    /// A log's entry that is not later than the one before it.
    #[error(
        "{file}, line {line}, time: found {found}; allowed: after {before} of line {before_line}", file = visible(file)
    )]
    TimeOrder {
        /// The file's name.
        file: String,
        /// The entry's line, from 1.
        line: usize,
        /// The entry's time.
        found: jiff::Timestamp,
        /// The line of the entry before it.
        before_line: usize,
        /// That entry's time.
        before: jiff::Timestamp,
    },
    /// A log with too few entries that say anything about the polar.
    #[error(
        "{file}: {used} of {read} entries can be compared with the polar; needed: at least {needed}{left_out}", file = visible(file)
    )]
    TooFewEntries {
        /// The log's file name.
        file: String,
        /// How many entries can be compared.
        used: usize,
        /// How many there are.
        read: usize,
        /// How many are needed.
        needed: usize,
        /// Why the others cannot, in words; empty where there are no others.
        left_out: String,
    },
    /// Logs with too few entries for a whole polar.
    #[error(
        "{used} of {read} entries can be learned from; a polar needs at least {needed}{left_out}"
    )]
    TooFewToLearn {
        /// How many can be used.
        used: usize,
        /// How many there are.
        read: usize,
        /// How many are needed.
        needed: usize,
        /// Why the others cannot, in words; empty where there are no others.
        left_out: String,
    },
    /// A log without a single wind.
    #[error(
        "{file}: no entry has a wind; allowed: true_wind_speed_kn with true_wind_angle_deg or true_wind_from_deg", file = visible(file)
    )]
    NoWinds {
        /// The log's file name.
        file: String,
    },
    /// A log without speeds, and without fixes to have them from.
    #[error(
        "{file}: no entry has a boat speed, and fewer than two a position; a heading alone says nothing of the speed", file = visible(file)
    )]
    NoSpeedNorFixes {
        /// The log's file name.
        file: String,
    },
    /// A log of fixes that does not say where the wind came from.
    #[error(
        "{file}: no entry says where the wind comes from; learning from fixes needs true_wind_from_deg, since an angle off the bow is none off the course made good", file = visible(file)
    )]
    NoWindDirection {
        /// The log's file name.
        file: String,
    },
    /// Logs of one boat that are kept differently.
    #[error(
        "{file} has the columns {columns}, but {first} has {first_columns}; logs learned from together have the same", file = visible(file), first = visible(first)
    )]
    ColumnsDiffer {
        /// The log's file name.
        file: String,
        /// Its columns.
        columns: String,
        /// The first log's file name.
        first: String,
        /// The first log's columns.
        first_columns: String,
    },
    /// Logged winds from which no polar can be told by wind speed.
    #[error(
        "the winds logged have a standard deviation of {sd_kn:.1} kn, no more than their error of {error_kn} kn; add logs of other winds, or state a smaller error if the wind was measured better"
    )]
    WindsTooAlike {
        /// Standard deviation of the logged wind speeds, knots.
        sd_kn: f64,
        /// The error of one, knots.
        error_kn: f64,
    },
    /// Logs whose boat does not sail by the polar to start from at all.
    #[error("learned from the logs, the {source}; are they of another boat, or in other units?")]
    UnlikelyPolar {
        /// The factor found and what is allowed.
        source: OutOfRange,
    },
    /// A log whose boat does not sail by this polar at all.
    #[error("{file}: {source}; is this log of another boat, or in other units?", file = visible(file))]
    UnlikelyFactor {
        /// The log's file name.
        file: String,
        /// The factor found and what is allowed.
        source: OutOfRange,
    },
    /// Positions that cannot be used.
    #[error(transparent)]
    Geodesy(#[from] GeodesyError),
    /// A figure outside what it may be.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
}
