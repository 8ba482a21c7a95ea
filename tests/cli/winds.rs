//! `offing winds`: a climate of one's own.

use std::fs;
use std::path::Path;

use crate::command::{assert_shown, json, offing, printed, refused, shown, shown_refused};

/// Six-hourly winds of three years at four nodes, invented; across 180 degrees.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let series = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/reference/climate/series.nc");
    fs::copy(series, folder.path().join("series.nc")).unwrap();
    folder
}

#[test]
fn three_years_become_a_climate_that_every_command_takes() {
    let folder = folder();
    let measure = ["winds", "series.nc", "--out", "my-winds.nc"];
    assert_shown!(folder.path(), shown(folder.path(), &measure));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    let place = [
        "climate",
        "29 S, 180 E",
        "--month",
        "may",
        "--climate",
        "my-winds.nc",
    ];
    let text = printed(folder.path(), &place);
    assert!(
        text.contains("standard deviation is that which was"),
        "{text}"
    );
    assert!(
        text.contains("my-winds.nc (wind climate measured from"),
        "{text}"
    );

    // Measured anew it takes the old one's place, and is the same.
    let first = fs::read(folder.path().join("my-winds.nc")).unwrap();
    printed(folder.path(), &measure);
    assert!(fs::read(folder.path().join("my-winds.nc")).unwrap() == first);
}

#[test]
fn an_area_and_a_year_are_kept_to() {
    let folder = folder();
    let arguments = [
        "winds",
        "series.nc",
        "--out",
        "w.nc",
        "--json",
        "--years",
        "1996",
        "--area",
        "29.5 S, 179.5 E to 29 S, 179.5 W",
    ];
    let winds = json(folder.path(), &arguments);
    assert_eq!(winds["years"], serde_json::json!([1996]));
    assert_eq!(winds["first"], "1996-01-01 00:00");
    assert_eq!(winds["steps"], 366 * 4);
    assert_eq!((&winds["rows"], &winds["columns"]), (&2.into(), &2.into()));
    // One year has no years to lie between.
    assert_eq!(
        winds["months"][0]["between_years_kn"],
        serde_json::Value::Null
    );
}

#[test]
fn what_cannot_be_measured_is_refused_and_nothing_is_written() {
    let folder = folder();
    fs::write(folder.path().join("text.nc"), "no winds").unwrap();
    let runs: [&[&str]; 8] = [
        &["winds", "missing.nc", "--out", "w.nc"],
        &["winds", "text.nc", "--out", "w.nc"],
        &["winds", "series.nc", "--out", "series.nc"],
        &["winds", "series.nc", "--out", "nowhere/w.nc"],
        &[
            "winds",
            "series.nc",
            "--out",
            "w.nc",
            "--years",
            "2020-1991",
        ],
        &[
            "winds",
            "series.nc",
            "--out",
            "w.nc",
            "--years",
            "1960-1970",
        ],
        &[
            "winds",
            "series.nc",
            "--out",
            "w.nc",
            "--area",
            "10 S, 20 E to 50 S, 120 E",
        ],
        &[
            "winds",
            "series.nc",
            "--out",
            "w.nc",
            "--area",
            "10 N, 20 E to 50 N, 40 E",
        ],
    ];
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs));
}

/// As a climate a series finer than monthly is not taken, and the hint says what to do.
#[test]
fn a_series_named_as_a_climate_is_told_what_to_do() {
    let folder = folder();
    let said = refused(
        folder.path(),
        &["climate", "29 S, 180 E", "--climate", "series.nc"],
    );
    assert!(said.contains("holds 4384 6-hourly steps"), "{said}");
    assert!(
        said.contains("hint: make a climate of it with `offing winds`"),
        "{said}"
    );
}

/// A file that is there keeps its place where the new one cannot be made.
#[test]
fn an_old_climate_stays_where_the_new_one_fails() {
    let folder = folder();
    let old = folder.path().join("w.nc");
    fs::write(&old, "old").unwrap();
    fs::write(
        folder.path().join("cut.nc"),
        &fs::read(folder.path().join("series.nc")).unwrap()[..60_000],
    )
    .unwrap();
    offing(folder.path(), &["winds", "cut.nc", "--out", "w.nc"]).code(2);
    assert_eq!(fs::read_to_string(&old).unwrap(), "old");
}

/// A pipe would be waited for without end.
#[cfg(unix)]
#[test]
fn what_is_no_file_is_refused_at_once() {
    let folder = folder();
    let made = std::process::Command::new("mkfifo")
        .arg(folder.path().join("pipe.nc"))
        .status();
    assert!(made.unwrap().success());
    let said = refused(folder.path(), &["winds", "pipe.nc", "--out", "w.nc"]);
    assert!(said.contains("pipe.nc: is not a file"), "{said}");
}
