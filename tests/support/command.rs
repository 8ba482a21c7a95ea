//! Running the program as a user does, in a folder of the test's own.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use assert_cmd::assert::Assert;
use serde_json::Value;

/// The terminal's width.
pub const WIDTH: usize = 80;

/// A run in `folder`.
pub fn offing(folder: &Path, arguments: &[&str]) -> Assert {
    let mut command = Command::cargo_bin("offing").unwrap();
    command.current_dir(folder).args(arguments).assert()
}

/// What a good run prints; it has no complaint.
pub fn printed(folder: &Path, arguments: &[&str]) -> String {
    let output = offing(folder, arguments).success().get_output().clone();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert_eq!(complaint, "", "{arguments:?} complains");
    String::from_utf8(output.stdout).unwrap()
}

/// The document that a good run prints.
pub fn json(folder: &Path, arguments: &[&str]) -> Value {
    serde_json::from_str(&printed(folder, arguments)).unwrap()
}

/// What a refused run says; it prints and writes nothing.
pub fn refused(folder: &Path, arguments: &[&str]) -> String {
    let files = || fs::read_dir(folder).unwrap().count();
    let before = files();
    let output = offing(folder, arguments).code(2).get_output().clone();
    assert!(output.stdout.is_empty(), "{arguments:?} prints");
    assert_eq!(files(), before, "{arguments:?} writes");
    String::from_utf8(output.stderr).unwrap()
}

/// No line is wider than the terminal.
pub fn assert_fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= WIDTH, "wider than {WIDTH}: {line}");
    }
}
