//! `offing new`: an example voyage file, every key explained, and a polar.

use std::fs;
use std::path::PathBuf;

use super::arguments::NewOptions;
use super::{CliError, print};
use crate::report::{Files, OutputError};

/// The files written: name and text. The voyage comes last, so that it is never there without its polar.
const FILES: [(&str, &str); 2] = [
    (
        "polar.csv",
        include_str!("../../fixtures/demo/cutter-12m.csv"),
    ),
    (
        "voyage.toml",
        include_str!("../../fixtures/new/voyage.toml"),
    ),
];

pub(super) fn run(options: &NewOptions) -> Result<(), CliError> {
    let folder = options.folder.clone().unwrap_or_else(|| PathBuf::from("."));
    fs::create_dir_all(&folder).map_err(|error| OutputError::refused(&folder, &error))?;
    let mut files = Files::beside_old();
    for (name, text) in FILES {
        files.add(&folder.join(name), text.to_owned());
    }
    files.write()?;
    let [polar, voyage] = FILES.map(|(name, _)| folder.join(name).display().to_string());
    print(&format!(
        "Wrote {voyage}, and {polar} for its boat.\nThe boat and the routes are invented examples: \
         replace them with your own, then run\n  offing check {voyage}\n  offing compare {voyage}\n"
    ))
}
