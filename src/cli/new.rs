//! `offing new`: a voyage file to begin with, every key explained, and a polar beside it.

use std::fs;
use std::path::PathBuf;

use super::arguments::NewOptions;
use super::{CliError, print};
use crate::report::{OutputError, write_new};

/// The files written: name and text. The voyage comes last, so that it never stands there alone.
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
    for (name, _) in FILES {
        let file = folder.join(name);
        if file.symlink_metadata().is_ok() {
            return Err(CliError::AlreadyThere { file });
        }
    }
    fs::create_dir_all(&folder).map_err(|source| OutputError {
        file: folder.clone(),
        source,
    })?;
    let mut written = Vec::new();
    for (name, text) in FILES {
        let file = folder.join(name);
        if let Err(error) = write_new(&file, text) {
            // All or nothing: what was written a moment ago goes again. Nothing better can be done
            // if that fails as well.
            for file in &written {
                let _ = fs::remove_file(file);
            }
            return Err(error.into());
        }
        written.push(file);
    }
    let [polar, voyage] = FILES.map(|(name, _)| folder.join(name).display().to_string());
    print(&format!(
        "Wrote {voyage}, and {polar} for its boat.\nThe boat and the routes are invented: put your \
         own in their place, then\n  offing check {voyage}\n  offing compare {voyage}\n"
    ))
}
