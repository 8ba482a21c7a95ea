//! The text of a voyage file, and its tables at the top.

use std::path::Path;

use toml::de::DeTable;

use super::error::VoyageError;
use super::read_text::read_text;
use super::table::{Document, Table};

/// The tables a voyage file may have, those of every floor.
const TABLES: &[&str] = &[
    "voyage", "boat", "handling", "climate", "route", "crew", "reserve", "resupply", "water",
    "power", "food", "service", "watches", "output",
];

/// A voyage file's text, and what the file is called in complaints.
#[derive(Debug, Clone, PartialEq)]
pub struct VoyageText {
    file: String,
    text: String,
}

impl VoyageText {
    /// A text that is already at hand, called `file` in complaints.
    pub fn new(file: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            text: text.into(),
        }
    }

    /// The text of a file.
    ///
    /// # Errors
    /// What [`read_text`] refuses.
    pub fn read(path: &Path) -> Result<Self, VoyageError> {
        let text = read_text(path).map_err(|source| VoyageError::Unreadable {
            file: path.to_owned(),
            source,
        })?;
        Ok(Self::new(path.display().to_string(), text))
    }

    /// Hands the file's top table to `decode`.
    ///
    /// # Errors
    /// A text that is not TOML, a table that no voyage file has, and what `decode` complains of.
    pub fn decode<T>(
        &self,
        decode: impl FnOnce(&Table<'_>) -> Result<T, VoyageError>,
    ) -> Result<T, VoyageError> {
        let document = Document {
            file: &self.file,
            text: &self.text,
        };
        let parsed = DeTable::parse(&self.text).map_err(|error| VoyageError::NotToml {
            file: self.file.clone(),
            line: document.line_at(error.span().map_or(0, |span| span.start)),
            message: error.message().to_owned(),
        })?;
        decode(&Table::open(document, "", 0, parsed.get_ref(), TABLES)?)
    }
}
