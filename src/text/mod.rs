//! Text that people type or keep in files: a whole file of a likely length, a CSV with its line
//! numbers, a date, and text from outside as it may be shown.

mod csv_text;
mod plain_date;
mod read_text;
mod visible;

pub use csv_text::CsvText;
pub use plain_date::plain_date;
pub use read_text::{MOST_BYTES, read_text};
pub use visible::{
    MOST_NAME, brief, brief_lines, brief_list, brief_message, is_hidden, visible, visible_lines,
};
