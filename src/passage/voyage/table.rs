//! A TOML table read key by key, so that each complaint names the file, the line and the key.

use jiff::civil::Date;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::error::{Problem, VoyageError};
use crate::units::Range;

/// One table of a voyage file, with the keys it may hold.
pub(super) struct Table<'t> {
    document: Document<'t>,
    /// The table's own name, empty at the top: `boat.engine`.
    name: String,
    /// Where the table's heading stands.
    offset: usize,
    entries: &'t DeTable<'t>,
    keys: &'static [&'static str],
}

/// The file a table came from.
#[derive(Clone, Copy)]
pub(super) struct Document<'t> {
    pub file: &'t str,
    pub text: &'t str,
}

/// A value and the place it stands, for complaints that come later.
pub(super) struct Entry<'t, T> {
    pub value: T,
    document: Document<'t>,
    key: String,
    offset: usize,
}

impl Document<'_> {
    pub(super) fn error(&self, key: &str, offset: usize, problem: Problem) -> VoyageError {
        let line = self.text[..offset.min(self.text.len())]
            .matches('\n')
            .count()
            + 1;
        VoyageError::Entry {
            file: self.file.to_owned(),
            line,
            key: key.to_owned(),
            problem,
        }
    }
}

impl<T> Entry<'_, T> {
    /// A complaint about this value.
    pub(super) fn error(&self, problem: Problem) -> VoyageError {
        self.document.error(&self.key, self.offset, problem)
    }
}

impl<'t> Table<'t> {
    /// Opens a table; a key that is not among `keys` is an error that names the nearest.
    pub(super) fn open(
        document: Document<'t>,
        name: &str,
        offset: usize,
        entries: &'t DeTable<'t>,
        keys: &'static [&'static str],
    ) -> Result<Self, VoyageError> {
        let table = Self {
            document,
            name: name.to_owned(),
            offset,
            entries,
            keys,
        };
        for key in entries.keys() {
            let found = key.get_ref().as_ref();
            if !keys.contains(&found) {
                let problem = Problem::UnknownKey {
                    nearest: nearest(found, keys),
                    allowed: keys,
                };
                return Err(document.error(&table.path(found), key.span().start, problem));
            }
        }
        Ok(table)
    }

    /// A complaint about the table as a whole, or about a key it lacks.
    pub(super) fn error(&self, key: &str, problem: Problem) -> VoyageError {
        self.document.error(&self.path(key), self.offset, problem)
    }

    pub(super) fn required<T>(&self, key: &str, value: Option<T>) -> Result<T, VoyageError> {
        value.ok_or_else(|| self.error(key, Problem::Missing))
    }

    /// A number within `range`; a whole number will do.
    pub(super) fn number(
        &self,
        key: &str,
        range: &Range,
    ) -> Result<Option<Entry<'t, f64>>, VoyageError> {
        self.entry(key, "a number", |value| match value {
            DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
            _ => None,
        })?
        .map(|entry| match range.check(entry.value) {
            Ok(_) => Ok(entry),
            Err(breach) => Err(entry.error(Problem::Range(breach))),
        })
        .transpose()
    }

    /// A text that is not empty.
    pub(super) fn text(&self, key: &str) -> Result<Option<Entry<'t, &'t str>>, VoyageError> {
        let entry = self.entry(key, "a text in quotes", |value| value.as_str())?;
        match entry {
            Some(entry) if entry.value.trim().is_empty() => Err(entry.error(Problem::Empty)),
            // A name is printed to terminals and files as it stands.
            Some(entry) if entry.value.chars().any(char::is_control) => {
                Err(entry.error(Problem::ControlCharacter))
            }
            other => Ok(other),
        }
    }

    /// A calendar date, written bare or in quotes.
    pub(super) fn date(&self, key: &str) -> Result<Option<Entry<'t, Date>>, VoyageError> {
        self.entry(key, "a date like 2027-05-01", |value| match value {
            DeValue::Datetime(date) => date.to_string().parse().ok(),
            DeValue::String(text) => text.parse().ok(),
            _ => None,
        })
    }

    /// A table of its own under `key`.
    pub(super) fn table(
        &self,
        key: &str,
        keys: &'static [&'static str],
    ) -> Result<Option<Table<'t>>, VoyageError> {
        self.entry(key, "a table", |value| value.as_table())?
            .map(|entry| Self::open(self.document, &entry.key, entry.offset, entry.value, keys))
            .transpose()
    }

    /// A list of tables, `[[key]]`; none at all is an empty list.
    pub(super) fn tables(
        &self,
        key: &str,
        keys: &'static [&'static str],
    ) -> Result<Vec<Table<'t>>, VoyageError> {
        let what = "a list of tables";
        let Some(list) = self.entry(key, what, |value| value.as_array())? else {
            return Ok(Vec::new());
        };
        list.value
            .iter()
            .enumerate()
            .map(|(index, item)| {
                let name = format!("{}[{}]", list.key, index + 1);
                let offset = item.span().start;
                let Some(entries) = item.get_ref().as_table() else {
                    let found = describe(item.get_ref());
                    let problem = Problem::WrongKind {
                        found,
                        wanted: what,
                    };
                    return Err(self.document.error(&name, offset, problem));
                };
                Self::open(self.document, &name, offset, entries, keys)
            })
            .collect()
    }

    fn entry<T>(
        &self,
        key: &str,
        wanted: &'static str,
        read: impl Fn(&'t DeValue<'t>) -> Option<T>,
    ) -> Result<Option<Entry<'t, T>>, VoyageError> {
        debug_assert!(
            self.keys.contains(&key),
            "{key} is missing from the table's list of keys"
        );
        let Some(spanned) = self.entries.get(key) else {
            return Ok(None);
        };
        let spanned: &'t Spanned<DeValue<'t>> = spanned;
        let (path, offset) = (self.path(key), spanned.span().start);
        match read(spanned.get_ref()) {
            Some(value) => Ok(Some(Entry {
                value,
                document: self.document,
                key: path,
                offset,
            })),
            None => {
                let problem = Problem::WrongKind {
                    found: describe(spanned.get_ref()),
                    wanted,
                };
                Err(self.document.error(&path, offset, problem))
            }
        }
    }

    fn path(&self, key: &str) -> String {
        if self.name.is_empty() {
            key.to_owned()
        } else if key.is_empty() {
            self.name.clone()
        } else {
            format!("{}.{key}", self.name)
        }
    }
}

/// What stands where something else should, cut short if it is long.
fn describe(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) if text.chars().count() > 40 => {
            format!(
                "the text \"{}...\"",
                text.chars().take(40).collect::<String>()
            )
        }
        DeValue::String(text) => format!("the text \"{text}\""),
        DeValue::Integer(number) => number.to_string(),
        DeValue::Float(number) => number.to_string(),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(date) => date.to_string(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// The allowed key most like `found`, if one is like enough to be meant.
fn nearest(found: &str, keys: &[&'static str]) -> Option<&'static str> {
    const LIKE_ENOUGH: f64 = 0.75;
    keys.iter()
        .map(|key| (strsim::jaro_winkler(&found.to_lowercase(), key), *key))
        .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, key)| key)
}
