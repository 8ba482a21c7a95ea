//! A page made by the program, and what the tests ask of every page.

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use base64::prelude::{BASE64_STANDARD, Engine as _};
use serde_json::Value;

use crate::browser::Browser;

/// The least height of a line of words in a picture, in CSS pixels: 11 px type.
const LEAST_WORDS_PX: f64 = 11.0;
/// How exact Chromium's own sizes are, in CSS pixels.
const LAYOUT_TOLERANCE_PX: f64 = 0.02;
/// Few members: the tests look at the page, not at the spread.
pub const MEMBERS: &str = "60";

/// Asks a page all that these tests want to know of it.
pub const QUESTIONS: &str = include_str!("page.js");

/// A page made by a run of the program, with what the same run prints as JSON.
pub struct Made {
    _folder: tempfile::TempDir,
    pub file: PathBuf,
    pub json: Value,
}

/// The page of a command with options, of the demonstration or of a voyage file's text.
pub fn made(command: &[&str], voyage: Option<&str>) -> Made {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("report.html");
    let mut run = Command::cargo_bin("offing").unwrap();
    run.current_dir(folder.path()).args(command);
    if let Some(voyage) = voyage {
        fs::write(folder.path().join("voyage.toml"), voyage).unwrap();
        let polar = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/cutter-12m.csv");
        fs::copy(polar, folder.path().join("polar.csv")).unwrap();
        run.arg("voyage.toml");
    }
    run.args(["--members", MEMBERS, "--json", "--html", "report.html"]);
    let run = run.assert().success();
    let json = serde_json::from_slice(&run.get_output().stdout).unwrap();
    Made {
        _folder: folder,
        file,
        json,
    }
}

pub fn open(browser: &mut Browser, made: &Made, width: u32) -> Value {
    browser.resize(width, 900);
    browser.open(&made.file);
    browser.evaluate(QUESTIONS)
}

/// Puts a picture where the environment asks for it.
pub fn keep(name: &str, base64: &str) {
    if let Some(folder) = std::env::var_os("OFFING_PICTURES") {
        let bytes = BASE64_STANDARD.decode(base64).unwrap();
        fs::write(Path::new(&folder).join(name), bytes).unwrap();
    }
}

pub fn texts(value: &Value) -> Vec<&str> {
    let list = value.as_array().unwrap();
    list.iter().map(|text| text.as_str().unwrap()).collect()
}

pub fn table<'p>(page: &'p Value, caption: &str) -> &'p Value {
    let tables = page["tables"].as_array().unwrap();
    tables
        .iter()
        .find(|table| table["caption"] == caption)
        .unwrap_or_else(|| panic!("no table '{caption}'"))
}

/// The figures of the first row of a table that begins with `label`.
pub fn row<'p>(table: &'p Value, label: &str) -> Vec<&'p str> {
    let rows = table["rows"].as_array().unwrap();
    let named = rows.iter().find(|row| row[0] == label);
    let cells = texts(named.unwrap_or_else(|| panic!("no row '{label}'")));
    cells[1..].to_vec()
}

/// A whole number as the page writes it, its thousands apart.
pub fn grouped(value: f64) -> String {
    let digits = format!("{value:.0}");
    match digits.len() {
        4.. => format!(
            "{},{}",
            &digits[..digits.len() - 3],
            &digits[digits.len() - 3..]
        ),
        _ => digits,
    }
}

pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent >= 9.95 {
        format!("{percent:.0} %")
    } else {
        format!("{percent:.1} %")
    }
}

/// A number with one decimal, as the page writes it.
pub fn tenth(value: f64) -> String {
    format!("{value:.1}")
}

/// Complains unless nothing on the page is out of place at its present size.
pub fn nothing_out_of_place(page: &Value, what: &str) {
    assert!(
        page["scrollWidth"].as_f64() <= page["width"].as_f64(),
        "{what}: the page is wider than the screen"
    );
    for fault in [
        "beyond",
        "wordsOutside",
        "overlaps",
        "faint",
        "faintLines",
        "doubled",
    ] {
        assert_eq!(texts(&page[fault]), Vec::<&str>::new(), "{what}: {fault}");
    }
    assert!(
        page["smallest"].as_f64().unwrap() >= LEAST_WORDS_PX - LAYOUT_TOLERANCE_PX,
        "{what}: words of {} px",
        page["smallest"]
    );
}
