//! What a command can end with other than its result.

use crate::passage::PassageError;
use crate::report::OutputError;
use crate::units::OutOfRange;

/// What went wrong, in words for the person at the keyboard.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// The voyage, its boat, its routes or its winds.
    #[error(transparent)]
    Passage(#[from] PassageError),
    /// A file that was asked for could not be written.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// A departure that the calendar or the winds cannot place.
    #[error("--departure: {0}")]
    Departure(OutOfRange),
    /// A route that the voyage does not have.
    #[error("the voyage has no route '{found}'; it has: {}", .names.join(", "))]
    NoSuchRoute {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// Standard output cannot be written to.
    #[error("cannot write to standard output: {0}")]
    Stdout(std::io::Error),
}
