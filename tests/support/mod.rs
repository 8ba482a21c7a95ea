//! What tests share: running the program, reading rows of `fixtures/reference/`, distances.

// Each test is a crate of its own and few need all of this.
#![allow(dead_code)]

pub mod command;
pub mod ground;

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
    reader
        .deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("{}: {error}", path.display())))
        .collect()
}
