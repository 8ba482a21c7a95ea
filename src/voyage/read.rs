//! From a voyage file to settings, each complaint with its line, and on to the voyage.

use std::path::Path;

use toml::Spanned;
use toml::de::DeTable;

use super::check::complaints;
use super::error::{Complaint, Problem, VoyageError};
use super::load::{Shelf, load};
use super::locate::{KeyPath, line_at};
use super::model::Voyage;
use super::schema::voyage_schema;
use super::settings::Settings;
use crate::text::read_text;

/// A voyage file's text, parsed.
pub(super) struct Document<'t> {
    file: String,
    text: &'t str,
    tables: Spanned<DeTable<'t>>,
}

impl<'t> Document<'t> {
    /// A text that is called `file` in complaints.
    pub fn parse(file: String, text: &'t str) -> Result<Self, VoyageError> {
        match DeTable::parse(text) {
            Ok(tables) => Ok(Self { file, text, tables }),
            Err(error) => Err(VoyageError::NotToml {
                line: line_at(text, error.span().map_or(0, |span| span.start)),
                message: error.message().to_owned(),
                file,
            }),
        }
    }

    /// The settings, each value checked by its own type.
    pub fn settings(&self) -> Result<Settings, VoyageError> {
        let complaints = complaints(self.tables.get_ref(), &voyage_schema());
        if !complaints.is_empty() {
            return Err(self.refuse(complaints));
        }
        let tables = toml::Deserializer::from(self.tables.clone());
        serde_path_to_error::deserialize(tables).map_err(|error| {
            let problem = Problem::Value(error.inner().message().to_owned());
            self.refuse(vec![Complaint::new(KeyPath::from(error.path()), problem)])
        })
    }

    /// Gives each complaint its line, and puts them in the order of the lines.
    pub fn refuse(&self, complaints: Vec<Complaint>) -> VoyageError {
        let mut faults: Vec<_> = complaints
            .into_iter()
            .map(|complaint| {
                let line = complaint.at.line_in(self.tables.get_ref(), self.text);
                complaint.placed(Some((self.file.clone(), line)))
            })
            .collect();
        faults.sort_by_key(|fault| fault.place.as_ref().map(|(_, line)| *line));
        VoyageError::Entries(faults)
    }

    /// The voyage, with the files that it names.
    pub fn voyage(&self, shelf: Shelf<'_>) -> Result<Voyage, VoyageError> {
        load(&self.settings()?, shelf).map_err(|complaint| self.refuse(vec![complaint]))
    }
}

impl Voyage {
    /// Reads a voyage file, and the polar and routes that it names.
    ///
    /// # Errors
    /// A file that cannot be read or is not TOML; any key unknown, missing or out of range, named
    /// with its line.
    pub fn read(path: &Path) -> Result<Self, VoyageError> {
        let text = read_text(path).map_err(|source| VoyageError::Unreadable {
            file: path.to_owned(),
            source,
        })?;
        Document::parse(path.display().to_string(), &text)?.voyage(Shelf::beside(path))
    }

    /// The demonstration voyage that comes with the program: an invented boat, Fremantle to
    /// Durban in May.
    ///
    /// # Errors
    /// None in a released program: a test reads it.
    pub fn demo() -> Result<Self, VoyageError> {
        const POLAR: (&str, &str) = (
            "cutter-12m.csv",
            include_str!("../../fixtures/demo/cutter-12m.csv"),
        );
        let text = include_str!("../../fixtures/demo/fremantle-durban.toml");
        Self::parse("fremantle-durban.toml", text, &[POLAR])
    }

    /// The voyage of a text that is called `name` in complaints, with the names and texts of polars
    /// that need not be there as files yet.
    ///
    /// # Errors
    /// Those of [`Voyage::read`].
    pub fn parse(name: &str, text: &str, polars: &[(&str, &str)]) -> Result<Self, VoyageError> {
        Document::parse(name.to_owned(), text)?.voyage(Shelf::embedded(polars))
    }
}
