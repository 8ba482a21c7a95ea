//! The floors' order: each imports only from those below it, never from its neighbours.

use std::fs;
use std::path::{Path, PathBuf};

/// The floors from the ground up; those on one line stand side by side.
const FLOORS: &[&[&str]] = &[
    &["units"],
    &["voyage_file"],
    &["geodesy"],
    &["climate", "boat", "route"],
    &["passage"],
    &["shaping", "stores"],
    &["report"],
    &["cli"],
];

/// How high a floor stands; none for what is not a floor.
fn height(name: &str) -> Option<usize> {
    FLOORS.iter().position(|level| level.contains(&name))
}

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
    let paths = code.split("crate::").skip(1);
    paths
        .filter_map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
        })
        .filter(|name| height(name).is_some())
}

#[test]
fn no_import_runs_uphill_or_sideways() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut wrong = Vec::new();
    for floor in FLOORS.iter().copied().flatten() {
        let mut files = Vec::new();
        rust_files(&source.join(floor), &mut files);
        assert!(!files.is_empty(), "the floor {floor} has no files");
        for file in files {
            let text = fs::read_to_string(&file).unwrap();
            for (index, line) in text.lines().enumerate() {
                for named in floors_named(line).filter(|named| named != floor) {
                    if height(named) >= height(floor) {
                        let place = file.strip_prefix(&source).unwrap().display();
                        wrong.push(format!(
                            "src/{place}:{}: {floor} imports {named}",
                            index + 1
                        ));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_floor_of_the_crate_is_watched() {
    let library = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs");
    let library = fs::read_to_string(library).unwrap();
    let modules = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod "));
    for module in modules.map(|rest| rest.trim_end_matches(';')) {
        assert!(height(module).is_some(), "{module} is not in FLOORS");
    }
}

#[test]
fn an_uphill_import_would_be_seen() {
    assert_eq!(
        floors_named("use crate::passage::Voyage;").collect::<Vec<_>>(),
        ["passage"]
    );
    assert_eq!(floors_named("// use crate::passage::Voyage;").count(), 0);
    assert!(height("stores") > height("passage") && height("stores") == height("shaping"));
}
