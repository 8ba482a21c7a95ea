//! `offing legs` as a crew runs it: the answer on one screen, the lines laid off in pieces, what it
//! refuses.

use std::fs;
use std::path::Path;

use crate::command::{assert_fits, assert_shown, json, printed, refused, shown, shown_refused};

const FEW: [&str; 2] = ["--members", "200"];

fn here() -> &'static Path {
    Path::new(".")
}

fn with_few<'a>(arguments: &[&'a str]) -> Vec<&'a str> {
    [arguments, &FEW].concat()
}

/// The demonstration's file with some of it replaced, and its polar, in a folder.
fn demo_with(changes: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    fs::copy(
        demo.join("cutter-12m.csv"),
        folder.path().join("cutter-12m.csv"),
    )
    .unwrap();
    let mut voyage = fs::read_to_string(demo.join("fremantle-durban.toml")).unwrap();
    for (from, to) in changes {
        assert!(voyage.contains(from), "{from}");
        voyage = voyage.replace(from, to);
    }
    fs::write(folder.path().join("voyage.toml"), voyage).unwrap();
    folder
}

#[test]
fn the_demo_s_legs_as_they_are_printed() {
    let show = |name: &str, arguments: &[&str]| {
        let text = shown(here(), &with_few(arguments));
        assert_fits(&text);
        assert_shown!(name, here(), text);
    };
    show("demo_legs", &["legs"]);
    show("demo_legs_full", &["legs", "--full"]);
    show(
        "demo_legs_by_day",
        &["legs", "--route", "Trades", "--by", "day"],
    );
    show("demo_legs_by_longitude", &["legs", "--by", "5deg"]);
}

#[test]
fn the_legs_of_two_routes_stand_on_one_screen() {
    const MOST_LINES: usize = 40;
    let text = printed(here(), &with_few(&["legs"]));
    assert!(text.lines().count() <= MOST_LINES, "{text}");
    assert!(text.contains("The hardest\nleg is 5") || text.contains("The hardest leg is 5"));
}

/// The table, the CSV and the JSON of pieces have the same rows, one more in the table for the end.
#[test]
fn pieces_are_the_same_in_every_form() {
    let folder = tempfile::tempdir().unwrap();
    let run = with_few(&["legs", "--route", "Direct", "--by", "300nm"]);
    let text = printed(folder.path(), &[&run[..], &["--csv", "out.csv"]].concat());
    let document = json(folder.path(), &[&run[..], &["--json"]].concat());
    assert_eq!(document["by"], "300nm");
    let pieces = document["laid_off"][0]["pieces"].as_array().unwrap();
    let of_a_date = |line: &&str| matches!(line.split(' ').nth(1), Some("May" | "Jun"));
    assert_eq!(text.lines().filter(of_a_date).count(), pieces.len() + 1);
    let csv = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let headings = reader.headers().unwrap().clone();
    let at = |name: &str| headings.iter().position(|heading| heading == name).unwrap();
    let mut compared = 0;
    for (row, piece) in reader.records().zip(pieces) {
        let row = row.unwrap();
        for name in [
            "course_deg",
            "distance_nm",
            "storm_days",
            "dark_hours_per_day",
        ] {
            let written: f64 = row[at(name)].parse().unwrap();
            assert!(
                (written - piece[name].as_f64().unwrap()).abs() < 1e-4,
                "{name}"
            );
        }
        let gale: f64 = row[at("gale_share")].parse().unwrap();
        assert!((gale - piece["exposure"]["gale"].as_f64().unwrap()).abs() < 1e-4);
        compared += 1;
    }
    assert_eq!(compared, pieces.len());
    assert!(compared == 15, "4,241 nm by 300 nm: {compared}");
}

#[test]
fn us_units_and_fahrenheit_reach_the_legs() {
    let output = "[output]\nunits = \"us\"\ntemperature = \"fahrenheit\"\n\n[reserve]";
    let folder = demo_with(&[("[reserve]", output)]);
    let run = with_few(&["legs", "voyage.toml", "--full", "--route", "Trades"]);
    let text = printed(folder.path(), &run);
    assert_fits(&text);
    let heading = text
        .lines()
        .find(|line| line.contains("95 % wind"))
        .unwrap();
    assert!(
        heading.contains("°F") && heading.contains("Sea ft"),
        "{heading}"
    );
    let metric = printed(here(), &with_few(&["legs", "--full", "--route", "Trades"]));
    let first_leg = |text: &str| {
        let rows = text
            .split("95 % wind")
            .nth(1)
            .unwrap()
            .lines()
            .nth(1)
            .unwrap();
        let cells: Vec<f64> = rows
            .split_whitespace()
            .filter_map(|cell| cell.parse().ok())
            .collect();
        (cells[1], cells[4])
    };
    let ((air_c, sea_m), (air_f, sea_ft)) = (first_leg(&metric), first_leg(&text));
    // Whole degrees and tenths of a metre are what is printed.
    assert!((air_c * 1.8 + 32.0 - air_f).abs() <= 1.5, "{air_c} {air_f}");
    assert!(
        (sea_m / 0.3048 - sea_ft).abs() <= 0.05 / 0.3048 + 0.05,
        "{sea_m} {sea_ft}"
    );
}

#[test]
fn without_a_median_passage_there_are_no_pieces_and_it_is_said() {
    let folder = demo_with(&[]);
    let slow = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n\
                14,45,0.01\n14,90,0.02\n14,180,0.02\n15,45,0.01\n15,90,0.02\n15,180,0.02\n";
    fs::write(folder.path().join("cutter-12m.csv"), slow).unwrap();
    let run = with_few(&["legs", "voyage.toml", "--route", "Direct", "--by", "day"]);
    let text = printed(folder.path(), &run);
    let document = json(folder.path(), &[&run[..], &["--json"]].concat());
    assert_eq!(document["laid_off"][0]["pieces"], serde_json::json!([]));
    assert!(text.contains("Direct stalls on leg 1"), "{text}");
}

#[test]
fn what_is_no_way_to_lay_off_is_refused() {
    let folder = demo_with(&[("[voyage]", "[voyage]\nstep_nm = 1")]);
    let mut runs: Vec<Vec<&str>> = ["0nm", "5", "week", "1nm", "2.5deg"]
        .map(|by| vec!["legs", "--by", by])
        .to_vec();
    runs.push(vec![
        "legs",
        "voyage.toml",
        "--by",
        "1nm",
        "--members",
        "20",
    ]);
    for run in &runs {
        let said = refused(folder.path(), run);
        assert_eq!(said.matches("error:").count(), 1, "{said}");
    }
    let runs: Vec<&[&str]> = runs.iter().map(Vec::as_slice).collect();
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @"
    $ offing legs --by 0nm
    --- stderr
    error: invalid value '0nm' for '--by <HOW>': allowed: day, whole degrees of longitude from 1deg to 180deg, or a distance from 0.1nm to 25000nm

    hint: for more, add `--help`
    --- exit code 2

    $ offing legs --by 5
    --- stderr
    error: invalid value '5' for '--by <HOW>': allowed: day, whole degrees of longitude from 1deg to 180deg, or a distance from 0.1nm to 25000nm

    hint: for more, add `--help`
    --- exit code 2

    $ offing legs --by week
    --- stderr
    error: invalid value 'week' for '--by <HOW>': allowed: day, whole degrees of longitude from 1deg to 180deg, or a distance from 0.1nm to 25000nm

    hint: for more, add `--help`
    --- exit code 2

    $ offing legs --by 1nm
    --- stderr
    error: pieces of 1 nm are shorter than the sampling step, which is 60 nm; allowed: --by 60nm or more, or a smaller `step_nm` in the voyage file
    --- exit code 2

    $ offing legs --by 2.5deg
    --- stderr
    error: invalid value '2.5deg' for '--by <HOW>': allowed: day, whole degrees of longitude from 1deg to 180deg, or a distance from 0.1nm to 25000nm

    hint: for more, add `--help`
    --- exit code 2

    $ offing legs voyage.toml --by 1nm --members 20
    --- stderr
    error: route 'Trades' laid off by 1nm has 4947 pieces; allowed: 2000 at most; ask for longer ones with --by
    --- exit code 2
    ");
}
