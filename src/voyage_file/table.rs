//! A TOML table read key by key, so that each complaint names the file, the line and the key.

use jiff::civil::Date;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::error::{Problem, VoyageError};
use crate::units::{Kind, Quantity, QuantityError, Range, nearest};

/// One table of a voyage file, with the keys it may hold.
pub struct Table<'t> {
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
pub struct Entry<'t, T> {
    /// What was read.
    pub value: T,
    document: Document<'t>,
    key: String,
    offset: usize,
}

impl Document<'_> {
    /// The line of a place in the text, from 1.
    pub(super) fn line_at(&self, offset: usize) -> usize {
        let before = &self.text.as_bytes()[..offset.min(self.text.len())];
        before.iter().filter(|byte| **byte == b'\n').count() + 1
    }

    pub(super) fn error(&self, key: &str, offset: usize, problem: Problem) -> VoyageError {
        VoyageError::Entry {
            file: self.file.to_owned(),
            line: self.line_at(offset),
            key: key.to_owned(),
            problem: Box::new(problem),
        }
    }
}

impl<T> Entry<'_, T> {
    /// A complaint about this value.
    pub fn error(&self, problem: Problem) -> VoyageError {
        self.document.error(&self.key, self.offset, problem)
    }

    /// Who knows what the value means finds it wrong.
    pub fn refuse(&self, reason: impl std::error::Error + Send + Sync + 'static) -> VoyageError {
        self.error(Problem::Refused(Box::new(reason)))
    }

    /// This value where `range` allows it.
    fn within(self, range: &Range, amount: fn(&T) -> f64) -> Result<Self, VoyageError> {
        match range.check(amount(&self.value)) {
            Ok(_) => Ok(self),
            Err(breach) => Err(self.error(Problem::Range(breach))),
        }
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
                    nearest: nearest(found, keys.iter().copied()),
                    allowed: keys,
                };
                return Err(document.error(&table.path(found), key.span().start, problem));
            }
        }
        Ok(table)
    }

    /// A complaint about the table as a whole, or about a key it lacks.
    pub fn error(&self, key: &str, problem: Problem) -> VoyageError {
        self.document.error(&self.path(key), self.offset, problem)
    }

    /// Who knows what the table means finds it wrong as a whole, or what stands at one of its keys.
    pub fn refuse(
        &self,
        key: &str,
        reason: impl std::error::Error + Send + Sync + 'static,
    ) -> VoyageError {
        self.error(key, Problem::Refused(Box::new(reason)))
    }

    /// The value of a key that must be there.
    ///
    /// # Errors
    /// [`Problem::Missing`], at the table's line.
    pub fn required<T>(&self, key: &str, value: Option<T>) -> Result<T, VoyageError> {
        value.ok_or_else(|| self.error(key, Problem::Missing))
    }

    /// The value of one of two keys, of which just one must be there: `first` and `second` are what
    /// was read from them.
    ///
    /// # Errors
    /// [`Problem::OneOfTwo`] where both are there or neither.
    pub fn one_of_two<T>(
        &self,
        keys: [&'static str; 2],
        first: Option<T>,
        second: Option<T>,
    ) -> Result<T, VoyageError> {
        let found = "neither";
        self.one_of_two_at_most(keys, first, second)?
            .ok_or_else(|| self.error("", Problem::OneOfTwo { found, keys }))
    }

    /// The value of one of two keys, of which just one may be there.
    ///
    /// # Errors
    /// [`Problem::OneOfTwo`], at the second, where both are there.
    pub fn one_of_two_at_most<T>(
        &self,
        keys: [&'static str; 2],
        first: Option<T>,
        second: Option<T>,
    ) -> Result<Option<T>, VoyageError> {
        if first.is_some() && second.is_some() {
            let found = "both";
            let second = self.entries.get(keys[1]);
            let offset = second.map_or(self.offset, |value| value.span().start);
            let problem = Problem::OneOfTwo { found, keys };
            return Err(self.document.error(&self.path(keys[1]), offset, problem));
        }
        Ok(first.or(second))
    }

    /// Whether the key is there at all.
    pub fn has(&self, key: &str) -> bool {
        debug_assert!(self.keys.contains(&key), "{key} is not a key of the table");
        self.entries.contains_key(key)
    }

    /// A number within `range`; a whole number will do.
    ///
    /// # Errors
    /// Another kind of value, or a number out of range.
    pub fn number(&self, key: &str, range: &Range) -> Result<Option<Entry<'t, f64>>, VoyageError> {
        self.entry(key, "a number", |value| match value {
            DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
            _ => None,
        })?
        .map(|entry| entry.within(range, |number| *number))
        .transpose()
    }

    /// A whole number within `range`.
    ///
    /// # Errors
    /// Another kind of value, or a number out of range.
    pub fn whole_number(
        &self,
        key: &str,
        range: &Range,
    ) -> Result<Option<Entry<'t, i64>>, VoyageError> {
        self.entry(key, "a whole number", |value| match value {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
            _ => None,
        })?
        .map(|entry: Entry<'t, i64>| entry.within(range, |number| *number as f64))
        .transpose()
    }

    /// Yes or no.
    ///
    /// # Errors
    /// Another kind of value.
    pub fn flag(&self, key: &str) -> Result<Option<Entry<'t, bool>>, VoyageError> {
        self.entry(key, "true or false", |value| value.as_bool())
    }

    /// A quantity with its unit in quotes, such as `"130 US gal"`, in the base unit of its kind and
    /// within `range` there.
    ///
    /// # Errors
    /// A bare number, a text that is no quantity of that kind, or one out of range.
    pub fn quantity(
        &self,
        key: &str,
        kind: Kind,
        range: &Range,
    ) -> Result<Option<Entry<'t, f64>>, VoyageError> {
        self.quantity_read(key, kind, |text| {
            Quantity::parse(kind, text).map(Quantity::in_base)
        })?
        .map(|entry| entry.within(range, |amount| *amount))
        .transpose()
    }

    /// A battery's size with its unit in quotes: `"400 Ah"` or `"4.8 kWh"`.
    ///
    /// # Errors
    /// A bare number, or a text that is neither.
    pub fn battery_size(&self, key: &str) -> Result<Option<Entry<'t, Quantity>>, VoyageError> {
        self.quantity_read(key, Kind::Charge, Quantity::parse_battery)
    }

    fn quantity_read<T>(
        &self,
        key: &str,
        kind: Kind,
        read: impl Fn(&str) -> Result<T, QuantityError>,
    ) -> Result<Option<Entry<'t, T>>, VoyageError> {
        let wanted = "a number and its unit, in quotes";
        let Some(entry) = self.entry(key, wanted, |value| match value {
            DeValue::String(text) => Some(Ok(text.as_ref())),
            DeValue::Integer(_) | DeValue::Float(_) => Some(Err(describe(value))),
            _ => None,
        })?
        else {
            return Ok(None);
        };
        let read = match &entry.value {
            Ok(text) => read(text),
            Err(number) => Err(QuantityError::NoUnit {
                found: number.clone(),
                allowed: kind.written_units(),
            }),
        };
        match read {
            Ok(value) => Ok(Some(Entry {
                value,
                document: entry.document,
                key: entry.key,
                offset: entry.offset,
            })),
            Err(error) => Err(entry.refuse(error)),
        }
    }

    /// One of a few words; `wanted` lists them.
    ///
    /// # Errors
    /// Anything else.
    pub fn choice<T>(
        &self,
        key: &str,
        wanted: &'static str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<Entry<'t, T>>, VoyageError> {
        self.entry(key, wanted, |value| value.as_str().and_then(&read))
    }

    /// A list of a few words; `wanted` lists them.
    ///
    /// # Errors
    /// Anything that is not a list of them.
    pub fn choices<T>(
        &self,
        key: &str,
        wanted: &'static str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<Entry<'t, Vec<T>>>, VoyageError> {
        self.entry(key, wanted, |value| {
            let list = value.as_array()?.iter();
            list.map(|item| item.get_ref().as_str().and_then(&read))
                .collect()
        })
    }

    /// A text that is not empty.
    ///
    /// # Errors
    /// Another kind of value, an empty text, or one with control characters.
    pub fn text(&self, key: &str) -> Result<Option<Entry<'t, &'t str>>, VoyageError> {
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
    ///
    /// # Errors
    /// Anything else, a date with a time of day too.
    pub fn date(&self, key: &str) -> Result<Option<Entry<'t, Date>>, VoyageError> {
        self.entry(key, "a date like 2027-05-01", |value| match value {
            DeValue::Datetime(date) => plain_date(&date.to_string()),
            DeValue::String(text) => plain_date(text),
            _ => None,
        })
    }

    /// A table of its own under `key`.
    ///
    /// # Errors
    /// Another kind of value, or a key in it that is not among `keys`.
    pub fn table(
        &self,
        key: &str,
        keys: &'static [&'static str],
    ) -> Result<Option<Table<'t>>, VoyageError> {
        self.entry(key, "a table", |value| value.as_table())?
            .map(|entry| Self::open(self.document, &entry.key, entry.offset, entry.value, keys))
            .transpose()
    }

    /// A list of tables, `[[key]]`; none at all is an empty list.
    ///
    /// # Errors
    /// Another kind of value, or a key in one of them that is not among `keys`.
    pub fn tables(
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

/// The date of a text like 2027-05-01 and nothing more; what reads dates would pass over a time of
/// day after it.
pub fn plain_date(text: &str) -> Option<Date> {
    const FORM: &[u8] = b"dddd-dd-dd";
    let fits = |(found, form): (u8, &u8)| match form {
        b'd' => found.is_ascii_digit(),
        other => found == *other,
    };
    let plain = text.len() == FORM.len() && text.bytes().zip(FORM).all(fits);
    plain.then(|| text.parse().ok()).flatten()
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
