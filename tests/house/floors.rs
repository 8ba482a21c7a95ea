//! The floors' order: each imports only from those below it, never from its neighbours.

use std::fs;
use std::path::{Path, PathBuf};

/// The floors from the ground up; those on one line stand side by side.
const FLOORS: &[&[&str]] = &[
    &["text", "units"],
    &["geodesy"],
    &["climate", "boat", "route"],
    &["passage"],
    &["shaping", "stores"],
    &["voyage"],
    &["study"],
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

/// A file's text without its tests, which may take the demonstration voyage for an example.
fn without_tests(file: &Path) -> String {
    let name = file.file_stem().unwrap_or_default().to_string_lossy();
    let in_tests = |part: &std::ffi::OsStr| part == "tests";
    if name.ends_with("tests") || file.iter().any(in_tests) {
        return String::new();
    }
    let text = fs::read_to_string(file).unwrap();
    let end = text.find("\n#[cfg(test)]\nmod tests").unwrap_or(text.len());
    text[..end].to_owned()
}

/// The floors a source text names by `crate::`, outside comments, each with its line from 1; in
/// `crate::{a, b::{c, d}}` those that begin the outer list.
fn floors_named(text: &str) -> Vec<(usize, String)> {
    let code: Vec<&str> = text
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect();
    let code = code.join("\n");
    let name_at = |start: usize| {
        let rest = &code[start..];
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
        &rest[..end.unwrap_or(rest.len())]
    };
    let mut named = Vec::new();
    for (at, prefix) in code.match_indices("crate::") {
        let start = at + prefix.len();
        let mut begins = vec![start];
        if code[start..].starts_with('{') {
            begins.clear();
            let (mut depth, mut expected) = (0, false);
            for (index, letter) in code[start..].char_indices() {
                match letter {
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    _ => {}
                }
                if depth == 0 {
                    break;
                }
                if depth == 1 && matches!(letter, '{' | ',') {
                    expected = true;
                } else if expected && !letter.is_whitespace() {
                    begins.push(start + index);
                    expected = false;
                }
            }
        }
        for begin in begins {
            let name = name_at(begin);
            if height(name).is_some() {
                let line = code[..begin].matches('\n').count() + 1;
                named.push((line, name.to_owned()));
            }
        }
    }
    named
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
            let text = without_tests(&file);
            for (line, named) in floors_named(&text) {
                if named != *floor && height(&named) >= height(floor) {
                    let place = file.strip_prefix(&source).unwrap().display();
                    wrong.push(format!("src/{place}:{line}: {floor} imports {named}"));
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
    let named = |text: &str| -> Vec<String> {
        let found = floors_named(text).into_iter();
        found.map(|(_, name)| name).collect()
    };
    assert_eq!(named("use crate::passage::Walk;"), ["passage"]);
    assert_eq!(
        named("use crate::{passage::Voyage, climate::{Month, Region}, stores};"),
        ["passage", "climate", "stores"]
    );
    assert_eq!(
        floors_named("\nuse crate::{\n    units::{Course, Range},\n    cli,\n};\nfn report() {}"),
        [(3, "units".to_owned()), (4, "cli".to_owned())]
    );
    assert!(named("// use crate::passage::Walk;").is_empty());
    assert!(height("stores") > height("passage") && height("stores") == height("shaping"));
}
