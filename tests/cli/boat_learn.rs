//! `offing boat learn`: what it prints, writes and refuses. The logs are invented data.

use std::fs;
use std::path::Path;

use offing::boat::{Polar, course_made_good_kn};

use crate::boat::voyage;
use crate::command::{assert_fits, json, offing, printed, refused};

const LOGGED: &str = "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg,under_power";
const FIXES: &str = "time,latitude,longitude,true_wind_speed_kn,true_wind_from_deg";
/// The factor on the demonstration's polar in these logs.
const FACTOR: f64 = 0.8;
const FACTOR_TOLERANCE: f64 = 0.02;

fn demo() -> Polar {
    Polar::parse(include_str!("../../fixtures/demo/cutter-12m.csv"), "demo").unwrap()
}

fn time(hour: usize) -> String {
    let start: jiff::Timestamp = "2025-04-01T00:00:00Z".parse().unwrap();
    (start + jiff::SignedDuration::from_hours(hour as i64)).to_string()
}

/// An entry an hour, in winds that go up and down, on headings all round; every tenth under power.
fn hours(first: usize, entries: usize) -> String {
    let demo = demo();
    let mut text = format!("{LOGGED}\n");
    for hour in first..first + entries {
        let wind_kn = 15.0 + 9.0 * (hour as f64 / 7.0).sin();
        let angle_deg = 45.0 + 15.0 * (hour % 10) as f64;
        let speed_kn = FACTOR * demo.speed_kn(wind_kn, angle_deg);
        let under_power = if hour % 10 == 9 { "yes" } else { "no" };
        let time = time(hour);
        text += &format!("{time},{speed_kn:.2},{wind_kn:.1},{angle_deg},{under_power}\n");
    }
    text
}

/// A fix every noon on the way east, in winds from ahead, from abeam and from astern.
fn noons(days: usize) -> String {
    let demo = demo();
    let mut text = format!("{FIXES}\n");
    let mut longitude_deg = 0.0;
    for day in 0..days {
        let wind_kn = 15.0 + 9.0 * (day as f64 / 7.0).sin();
        let from_deg = (90 + 45 * (day / 3 % 5)) % 360;
        let time = time(24 * day);
        text += &format!("{time},0,{longitude_deg:.4},{wind_kn:.1},{from_deg}\n");
        let off_deg = f64::from(u16::try_from(from_deg).unwrap()) - 90.0;
        let made_good_nm = 24.0 * FACTOR * course_made_good_kn(&demo, wind_kn, off_deg);
        longitude_deg += made_good_nm / 60.1; // 1 degree of the equator
    }
    text
}

/// A voyage file of the demonstration's polar as it is at sea, without a factor.
fn at_sea() -> String {
    voyage("polar = \"demo.csv\"\npolar_from = \"sea\"")
}

fn folder(files: &[(&str, String)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("voyage.toml", &at_sea());
    write(
        "demo.csv",
        include_str!("../../fixtures/demo/cutter-12m.csv"),
    );
    for (name, text) in files {
        write(name, text);
    }
    folder
}

fn learn<'a>(arguments: &[&'a str]) -> Vec<&'a str> {
    let ahead = ["boat", "learn", "--voyage", "voyage.toml"];
    ahead.iter().chain(arguments).copied().collect()
}

#[test]
fn logs_give_a_polar_and_the_lines_to_write() {
    let folder = folder(&[("april.csv", hours(0, 200)), ("may.csv", hours(720, 200))]);
    let run = learn(&["april.csv", "may.csv", "--out", "learned.csv"]);
    let text = printed(folder.path(), &run);
    assert_fits(&text);
    for words in [
        "A polar learned from april.csv, may.csv",
        "Entries: 400; used: 360 logged speeds, 0 stretches",
        "off by 2 kn and 10 degrees",
        "13 to 18",
        "24 and more",
        "60° to 110°",
        "- 40 under power",
        "polar = \"learned.csv\"",
        "polar_from = \"sea\"",
        "factor_uncertainty = 0.",
        "The skipper decides.",
    ] {
        assert!(text.contains(words), "no {words:?} in\n{text}");
    }
    let polar = Polar::read(&folder.path().join("learned.csv")).unwrap();
    let ratio = polar.speed_kn(15.0, 90.0) / demo().speed_kn(15.0, 90.0);
    assert!((ratio - FACTOR).abs() < 0.06, "{ratio}");
    // The lines printed make a voyage file that is taken.
    let lines: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("  "))
        .filter(|line| line.contains(" = "))
        .collect();
    let written = at_sea().replace(
        "polar = \"demo.csv\"\npolar_from = \"sea\"",
        &lines.join("\n"),
    );
    fs::write(folder.path().join("learned.toml"), written).unwrap();
    let sheet = json(folder.path(), &["boat", "learned.toml", "--json"]);
    assert!(sheet["boat"]["factor_uncertainty"].as_f64().unwrap() >= 0.07);
    assert_eq!(sheet["boat"]["sea_brake"], 0.0);
}

#[test]
fn the_winds_errors_can_be_stated() {
    let folder = folder(&[("log.csv", hours(0, 200))]);
    let overall = |errors: &[&str]| {
        let arguments = [&["log.csv", "--json"], errors].concat();
        json(folder.path(), &learn(&arguments))
    };
    let exact = overall(&["--wind-error-kn", "0", "--wind-error-deg", "0"]);
    let factor = exact["overall_factor"].as_f64().unwrap();
    assert!((factor - FACTOR).abs() < FACTOR_TOLERANCE, "{factor}");
    let vague = overall(&["--wind-error-kn", "4"]);
    assert_eq!(vague["wind_errors"]["speed_kn"], 4.0);
    assert_ne!(vague["parts"], exact["parts"]);
}

#[test]
fn noon_positions_are_learned_from_by_the_course_made_good() {
    let folder = folder(&[("noons.csv", noons(120))]);
    let learned = json(folder.path(), &learn(&["noons.csv", "--json"]));
    assert_eq!(learned["stretches"], 119);
    assert_eq!(learned["logged_speeds"], 0);
    let factor = learned["overall_factor"].as_f64().unwrap();
    assert!((factor - FACTOR).abs() < 0.06, "{factor}");
}

#[test]
fn a_log_is_not_written_over_and_nothing_is_written_where_it_is_refused() {
    let folder = folder(&[("log.csv", hours(0, 200))]);
    let message = refused(folder.path(), &learn(&["log.csv", "--out", "log.csv"]));
    assert!(message.contains("one of the files read"), "{message}");
    let message = refused(folder.path(), &learn(&["log.csv", "log.csv"]));
    assert!(message.contains("log.csv is given twice"), "{message}");
}

/// A log without one of its columns' cells.
fn emptied(text: &str, columns: &[usize]) -> String {
    let line = |(index, line): (usize, &str)| {
        let cells = line.split(',').enumerate();
        let cells = cells.map(|(column, cell)| {
            let empty = index > 0 && columns.contains(&column);
            if empty { "" } else { cell }
        });
        cells.collect::<Vec<_>>().join(",")
    };
    let lines: Vec<String> = text.lines().enumerate().map(line).collect();
    lines.join("\n")
}

fn message(folder: &Path, arguments: &[&str]) -> String {
    let message = refused(folder, &learn(arguments));
    assert!(message.starts_with("error: "), "{message}");
    message
}

#[test]
fn bad_logs_are_refused_with_what_is_wrong() {
    let good = hours(0, 200);
    let headings = "time,boat_speed_kn,heading_deg,true_wind_speed_kn,true_wind_from_deg\n";
    let only_headings = (0..200).map(|hour| format!("{},,90,14,45\n", time(hour)));
    let backwards = format!("{LOGGED}\n{},5,14,90,no\n{},5,14,90,no\n", time(1), time(0));
    let steady = (0..200).map(|hour| format!("{},5,14,90,no\n", time(hour)));
    let folder = folder(&[
        ("good.csv", good.clone()),
        ("windless.csv", emptied(&good, &[2, 3])),
        (
            "headings.csv",
            headings.to_owned() + &only_headings.collect::<String>(),
        ),
        (
            "bare.csv",
            "time,heading_deg,true_wind_speed_kn,true_wind_from_deg\n2025-04-01T00:00:00Z,1,2,3\n"
                .to_owned(),
        ),
        ("backwards.csv", backwards),
        ("few.csv", hours(0, 60)),
        ("noons.csv", noons(60)),
        (
            "bow.csv",
            noons(60)
                .replace("true_wind_from_deg", "true_wind_angle_deg")
                .replace(",225", ",135")
                .replace(",270", ",180"),
        ),
        (
            "steady.csv",
            format!("{LOGGED}\n{}", steady.collect::<String>()),
        ),
    ]);
    let cases: [(&[&str], &str); 11] = [
        (&["windless.csv"], "windless.csv: no entry has a wind"),
        (
            &["headings.csv"],
            "headings.csv: no entry has a boat speed, and fewer than two a position",
        ),
        (
            &["bare.csv"],
            "bare.csv, line 1: the column `boat_speed_kn` is missing",
        ),
        (&["backwards.csv"], "backwards.csv, line 3, time: found"),
        (
            &["few.csv"],
            "54 of 60 entries can be learned from; a polar needs at least 100 (left out: 6 under power)",
        ),
        (
            &["good.csv", "noons.csv"],
            "noons.csv has the columns latitude, longitude",
        ),
        (
            &["bow.csv"],
            "bow.csv: no entry says where the wind comes from",
        ),
        (
            &["steady.csv"],
            "standard deviation of 0.0 kn, no more than their error of 2 kn",
        ),
        (
            &["good.csv", "--wind-error-kn", "-1"],
            "--wind-error-kn: error of a logged wind speed is -1 kn; allowed: 0 to 10 kn",
        ),
        (
            &["good.csv", "--wind-error-deg", "90"],
            "--wind-error-deg: error of a logged wind direction is 90 deg",
        ),
        (&["none.csv"], "cannot read none.csv"),
    ];
    for (arguments, words) in cases {
        let message = message(folder.path(), arguments);
        assert!(message.contains(words), "{arguments:?}: {message}");
    }
    offing(folder.path(), &["boat", "learn"]).code(2);
}
