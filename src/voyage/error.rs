//! What can be wrong with a voyage, and where.

use std::fmt;
use std::path::PathBuf;

use jiff::civil::Date;

use super::locate::KeyPath;
use crate::text::{brief, brief_lines, brief_message, visible};

/// What is wrong with a voyage or its file.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum VoyageError {
    /// The file cannot be read.
    #[error("cannot read the voyage file {}: {source}", visible(&.file.to_string_lossy()))]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is not TOML.
    #[error("{}:{line}: not a TOML file: {}", visible(file), brief(message))]
    NotToml {
        /// The file.
        file: String,
        /// The line, from 1.
        line: usize,
        /// What the TOML reader says.
        message: String,
    },
    /// Entries that are wrong, in the order they stand in; never none.
    #[error("{}", lines(.0))]
    Entries(Vec<Fault>),
}

/// A wrong entry: `file:line: key: what is wrong`, and a hint on a line of its own.
#[derive(Debug)]
#[non_exhaustive]
pub struct Fault {
    /// The file and the line, from 1; none for a voyage that comes from no file.
    pub place: Option<(String, usize)>,
    /// The key, with the tables it stands in: `route[1].waypoint[2].position`.
    pub key: String,
    /// What is wrong.
    pub problem: Problem,
    /// What to write instead, where that can be told.
    pub hint: Option<String>,
}

/// What is wrong with one entry.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// The key is not one of its table's.
    #[error("unknown key; allowed: {}", .allowed.join(", "))]
    UnknownKey {
        /// All keys allowed there.
        allowed: Vec<String>,
    },
    /// The key is needed and not there.
    #[error("missing; it is needed here")]
    Missing,
    /// Not the kind of value the key takes.
    #[error("found {}; allowed: {allowed}", brief(found))]
    WrongKind {
        /// What stands there.
        found: String,
        /// What the key takes.
        allowed: String,
    },
    /// A value that its own kind does not allow, in the words of that kind.
    #[error("{}", brief_message(.0))]
    Value(String),
    /// One name for two things.
    #[error("the name '{}' is used twice; give each its own", brief(.0))]
    NameTwice(String),
    /// More of something than a report can show.
    #[error("found {found} of them; allowed: up to {allowed}")]
    TooMany {
        /// How many there are.
        found: usize,
        /// The most there may be.
        allowed: usize,
    },
    /// A key that only makes sense with or without another.
    #[error("{0}")]
    OutOfPlace(&'static str),
    /// A date too early or too late.
    #[error(
        "found {found}; allowed: {from}{}, {why}",
        .to.map_or(" or later".to_owned(), |to| format!(" to {to}"))
    )]
    Date {
        /// The date found.
        found: Date,
        /// The first date allowed.
        from: Date,
        /// The last date allowed; none where there is no last.
        to: Option<Date>,
        /// Why these.
        why: &'static str,
    },
    /// Stages, or ways of one stage, that do not join.
    #[error(
        "{} lies {found_nm:.0} nm from {what} ({}); allowed: {allowed_nm:.0} nm or less",
        brief(here),
        brief(there)
    )]
    Apart {
        /// The waypoint's name.
        here: Box<str>,
        /// How far apart they are, nautical miles.
        found_nm: f64,
        /// What it should be near.
        what: &'static str,
        /// The name of the waypoint there.
        there: Box<str>,
        /// How far apart they may be, nautical miles.
        allowed_nm: f64,
    },
    /// Two keys of which just one is needed.
    #[error("found {found} of `{}` and `{}`; allowed: one of the two", .keys[0], .keys[1])]
    OneOfTwo {
        /// `both` or `neither`.
        found: &'static str,
        /// The two keys.
        keys: [&'static str; 2],
    },
    /// What else is wrong with it, as the boat, the route or the stores say.
    #[error(transparent)]
    Refused(Box<dyn std::error::Error + Send + Sync>),
}

/// A fault whose line has not been looked up.
#[derive(Debug)]
pub(super) struct Complaint {
    pub at: KeyPath,
    pub problem: Problem,
    pub hint: Option<String>,
}

impl Complaint {
    pub fn new(at: KeyPath, problem: Problem) -> Self {
        Self {
            at,
            problem,
            hint: None,
        }
    }

    /// What the boat, a route or the stores refuse.
    pub fn refused(at: KeyPath, reason: impl std::error::Error + Send + Sync + 'static) -> Self {
        Self::new(at, Problem::Refused(Box::new(reason)))
    }

    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The fault, in a file or in none.
    pub fn placed(self, place: Option<(String, usize)>) -> Fault {
        Fault {
            place,
            key: self.at.to_string(),
            problem: self.problem,
            hint: self.hint,
        }
    }
}

impl From<Complaint> for VoyageError {
    /// Of a voyage that comes from no file.
    fn from(complaint: Complaint) -> Self {
        Self::Entries(vec![complaint.placed(None)])
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((file, line)) = &self.place {
            write!(f, "{}:{line}: ", visible(file))?;
        }
        write!(f, "{}: {}", brief(&self.key), self.problem)?;
        if let Some(hint) = &self.hint {
            write!(f, "\nhint: {}", brief_message(hint))?;
        }
        Ok(())
    }
}

fn lines(faults: &[Fault]) -> String {
    let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
    brief_lines(&lines, "\n")
}
