//! What can be wrong with a voyage file.

use std::path::PathBuf;

use crate::units::OutOfRange;

/// What is wrong with a voyage file, and where.
#[derive(Debug, thiserror::Error)]
pub enum VoyageError {
    /// The file cannot be read.
    #[error("cannot read the voyage file {}: {source}", .file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is not TOML.
    #[error("{file}:{line}: not a TOML file: {message}")]
    NotToml {
        /// The file.
        file: String,
        /// The line, from 1.
        line: usize,
        /// What the TOML reader says.
        message: String,
    },
    /// An entry of the file is wrong.
    #[error("{file}:{line}: {key}: {problem}")]
    Entry {
        /// The file.
        file: String,
        /// The line, from 1.
        line: usize,
        /// The key, with the tables it stands in.
        key: String,
        /// What is wrong.
        problem: Box<Problem>,
    },
}

/// What is wrong with one entry.
#[derive(Debug, thiserror::Error)]
pub enum Problem {
    /// The key is not one of the table's.
    #[error(
        "unknown key{}; allowed: {}",
        .nearest.map(|key| format!("; did you mean `{key}`?")).unwrap_or_default(),
        .allowed.join(", ")
    )]
    UnknownKey {
        /// The allowed key most like it.
        nearest: Option<&'static str>,
        /// All keys allowed there.
        allowed: &'static [&'static str],
    },
    /// The key is needed and not there.
    #[error("missing; it is needed here")]
    Missing,
    /// The table is needed and not there.
    #[error("missing; it is needed here: write {write}")]
    MissingTable {
        /// What to write.
        write: &'static str,
    },
    /// A text with nothing in it.
    #[error("empty; write something between the quotes")]
    Empty,
    /// A text with a line break, an escape or the like in it.
    #[error("holds a line break or another control character; allowed: one plain line")]
    ControlCharacter,
    /// Not the kind of value the key takes.
    #[error("found {found}; allowed: {wanted}")]
    WrongKind {
        /// What stands there.
        found: String,
        /// What the key takes.
        wanted: &'static str,
    },
    /// A number outside its range.
    #[error(transparent)]
    Range(#[from] OutOfRange),
    /// One name for two things.
    #[error("the name '{found}' is used twice; give each its own")]
    NameTwice {
        /// The name.
        found: String,
    },
    /// A key that only makes sense with another.
    #[error("{reason}")]
    OutOfPlace {
        /// Why it does not belong there.
        reason: &'static str,
    },
    /// Two keys of which just one is needed.
    #[error("found {found} of `{}` and `{}`; allowed: one of the two", .keys[0], .keys[1])]
    OneOfTwo {
        /// `both` or `neither`.
        found: &'static str,
        /// The two keys.
        keys: [&'static str; 2],
    },
    /// What else is wrong with the value, as who knows it says: a quantity, a position, a route, a
    /// boat, the stores.
    #[error(transparent)]
    Refused(Box<dyn std::error::Error + Send + Sync>),
}
