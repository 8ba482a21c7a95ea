//! The floors' order: each imports only from those below it, never from its neighbours.

use std::fs;
use std::path::{Path, PathBuf};

/// Each floor and those it may import from.
const FLOORS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("geodesy", &["units"]),
    ("climate", &["units", "geodesy"]),
    ("boat", &["units", "geodesy"]),
    ("route", &["units", "geodesy"]),
    ("passage", &["units", "geodesy", "climate", "boat", "route"]),
    (
        "shaping",
        &["units", "geodesy", "climate", "boat", "route", "passage"],
    ),
    (
        "report",
        &[
            "units", "geodesy", "climate", "boat", "route", "passage", "shaping",
        ],
    ),
    (
        "cli",
        &[
            "units", "geodesy", "climate", "boat", "route", "passage", "shaping", "report",
        ],
    ),
];

fn rust_files(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, files);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
}

/// The floors a line names by `crate::`, outside comments.
fn floors_named(line: &str) -> impl Iterator<Item = &str> {
    let code = line.split("//").next().unwrap_or_default();
    code.split("crate::").skip(1).filter_map(|rest| {
        let name = rest
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .next()?;
        FLOORS
            .iter()
            .map(|(floor, _)| *floor)
            .find(|floor| *floor == name)
    })
}

#[test]
fn no_import_runs_uphill() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut uphill = Vec::new();
    for (floor, below) in FLOORS {
        let mut files = Vec::new();
        rust_files(&source.join(floor), &mut files);
        assert!(!files.is_empty(), "the floor {floor} has no files");
        for file in files {
            let text = fs::read_to_string(&file).unwrap();
            for (index, line) in text.lines().enumerate() {
                for named in floors_named(line).filter(|named| named != floor) {
                    if !below.contains(&named) {
                        let place = file.strip_prefix(&source).unwrap().display();
                        uphill.push(format!(
                            "src/{place}:{}: {floor} imports {named}",
                            index + 1
                        ));
                    }
                }
            }
        }
    }
    assert!(uphill.is_empty(), "{}", uphill.join("\n"));
}

#[test]
fn every_floor_of_the_crate_is_watched() {
    let library = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs"));
    let library = library.unwrap();
    let modules = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod "));
    for module in modules.map(|rest| rest.trim_end_matches(';')) {
        assert!(
            FLOORS.iter().any(|(floor, _)| *floor == module),
            "{module} is not in FLOORS"
        );
    }
}

#[test]
fn an_uphill_import_would_be_seen() {
    assert_eq!(
        floors_named("use crate::passage::Voyage;").collect::<Vec<_>>(),
        ["passage"]
    );
    assert_eq!(floors_named("// use crate::passage::Voyage;").count(), 0);
}
