//! Reading a tidy CSV: a header, one record a row, `#` comment lines, and line numbers that hold.

use csv::{ReaderBuilder, StringRecord, Trim};

use super::error::BoatError;
use crate::text::CsvText;
use crate::units::Range;

/// A CSV's header and rows, each with its line in the file.
pub(super) struct Tidy {
    pub(super) file: String,
    pub(super) header_line: usize,
    pub(super) columns: Vec<String>,
    pub(super) rows: Vec<Row>,
}

/// One row and where it stands.
pub(super) struct Row {
    pub(super) line: usize,
    cells: StringRecord,
}

impl Tidy {
    /// Splits `text` into header and rows of equal length. `expected` is the header to name where
    /// there is none.
    pub(super) fn parse(text: &str, file: &str, expected: &str) -> Result<Self, BoatError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let text = CsvText::new(text);
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(Trim::All)
            .from_reader(text.bytes());
        let mut records = reader.records().map(|record| {
            let cells = record.map_err(|source| BoatError::Csv {
                file: file.to_owned(),
                source,
            })?;
            let line = text.line_of(cells.position()).unwrap_or(1);
            Ok::<Row, BoatError>(Row { line, cells })
        });
        let empty = |what| BoatError::Empty {
            file: file.to_owned(),
            what,
            expected: expected.to_owned(),
        };
        let header = records.next().ok_or_else(|| empty("header"))??;
        let rows = records.collect::<Result<Vec<_>, _>>()?;
        if rows.is_empty() {
            return Err(empty("rows"));
        }
        let columns: Vec<String> = header.cells.iter().map(str::to_owned).collect();
        if let Some(row) = rows.iter().find(|row| row.cells.len() != columns.len()) {
            return Err(BoatError::CellCount {
                file: file.to_owned(),
                line: row.line,
                found: row.cells.len(),
                expected: columns.len(),
            });
        }
        Ok(Self {
            file: file.to_owned(),
            header_line: header.line,
            columns,
            rows,
        })
    }

    /// The cell's text, without the spaces around it.
    pub(super) fn text<'a>(&self, row: &'a Row, column: usize) -> &'a str {
        row.cells.get(column).unwrap_or_default()
    }

    /// The cell as a number within `range`.
    pub(super) fn number(&self, row: &Row, column: usize, range: &Range) -> Result<f64, BoatError> {
        self.text(row, column)
            .parse()
            .ok()
            .and_then(|value| range.check(value).ok())
            .ok_or_else(|| {
                let allowed = format!(
                    "a number from {} to {} {}",
                    range.min, range.max, range.unit
                );
                self.bad_cell(row, column, allowed)
            })
    }

    /// The error for a cell that holds something else than `allowed`.
    pub(super) fn bad_cell(&self, row: &Row, column: usize, allowed: String) -> BoatError {
        BoatError::Cell {
            file: self.file.clone(),
            line: row.line,
            column: self.columns[column].clone(),
            found: self.text(row, column).to_owned(),
            allowed,
        }
    }
}
