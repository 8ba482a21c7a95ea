//! The voyage file as a text of tables and keys, whatever they mean: what is read from it by name,
//! and complaints that name the file, the line and the key.
//!
//! The floors above say what the tables hold: `passage` those of the passage, `stores` those of the
//! crew and what they load. A key whose name says its unit takes a number in that unit; a key
//! without takes a quantity with its unit in quotes, such as `"130 US gal"`. The CSV files that a voyage names keep
//! their line numbers by [`CsvText`].

mod csv_text;
mod error;
mod read_text;
mod table;
mod text;

pub use csv_text::CsvText;
pub use error::{Problem, VoyageError};
pub use read_text::{MOST_BYTES, read_text};
pub use table::{Entry, Table, plain_date};
pub use text::VoyageText;
