//! Rows of reference values from outside the project, and nearness to them.

use std::path::Path;

use serde::de::DeserializeOwned;

/// The rows of a CSV file under `fixtures/reference/`; lines that begin with `#` are comments.
pub fn reference_rows<Row: DeserializeOwned>(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fixtures/reference")
        .join(name);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("{}: {error}", path.display())))
        .collect();
    assert!(!rows.is_empty(), "{} has no rows", path.display());
    rows
}
