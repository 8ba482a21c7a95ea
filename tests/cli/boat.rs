//! `offing boat` and `offing boat fit`: what they print, write and refuse.

use std::fs;

use offing::boat::Polar;
use serde_json::Value;

use crate::command::{assert_fits, assert_shown, json, printed, shown, shown_refused};

/// The polar file that is written has four decimals.
const SPEED_TOLERANCE_KN: f64 = 1e-4;

const ROUTE: &str = r#"
[[route]]
name = "Out"

[[route.waypoint]]
name = "A"
position = "20 00.0 S, 90 00.0 E"

[[route.waypoint]]
name = "B"
position = "20 00.0 S, 80 00.0 E"
"#;

/// A voyage of a boat with these keys.
pub fn voyage(boat: &str) -> String {
    format!("[voyage]\nname = \"Test\"\ndeparture = 2027-05-01\n\n[boat]\n{boat}\n{ROUTE}")
}

const GENERIC: &str = r#"name = "a ketch"
[boat.generic]
waterline_length_m = 10.2
displacement_kg = 11000
sail_area_m2 = 80
rig = "ketch"
keel = "long"
"#;

/// A log of a boat that makes `factor` of what the sea leaves of the demonstration's polar, an entry
/// an hour.
fn log(factor: f64) -> String {
    let demo = Polar::parse(include_str!("../../fixtures/demo/cutter-12m.csv"), "demo").unwrap();
    let start: jiff::Timestamp = "2025-04-01T00:00:00Z".parse().unwrap();
    let mut text =
        "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg,under_power\n".to_owned();
    for hour in 0..90 {
        let time = start + jiff::SignedDuration::from_hours(hour);
        // In 14 kn the sea takes 7.2 % close to the wind and 40 % of that abeam (`AtSea`).
        let (angle_deg, left) = [(50.0, 0.928), (90.0, 0.9712), (140.0, 1.0)][hour as usize % 3];
        let speed_kn = factor * left * demo.speed_kn(14.0, angle_deg);
        let under_power = if hour % 10 == 9 { "yes" } else { "no" };
        text += &format!("{time},{speed_kn:.3},14,{angle_deg},{under_power}\n");
    }
    text
}

#[test]
fn the_demonstration_boat_is_shown_whole_within_80_columns() {
    let folder = tempfile::tempdir().unwrap();
    let text = printed(folder.path(), &["boat"]);
    assert_fits(&text);
    // The demonstration's polar gives 6.54 kn at 90 degrees in 14 kn of wind; 0.85 of that is 5.6.
    let row = text.lines().find(|line| line.starts_with(" 90 ")).unwrap();
    assert_eq!(row.split_whitespace().nth(6), Some("5.6"));
    assert_shown!(folder.path(), shown(folder.path(), &["boat"]));
}

#[test]
fn a_polar_of_many_winds_breaks_into_tables_that_fit() {
    let folder = tempfile::tempdir().unwrap();
    let mut polar = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn\n".to_owned();
    for wind in 0..40 {
        for angle_deg in [0, 45, 90, 180] {
            polar += &format!("{}.25,{angle_deg},{}\n", 2 * wind, (wind + angle_deg) % 40);
        }
    }
    fs::write(folder.path().join("polar.csv"), polar).unwrap();
    let file = folder.path().join("voyage.toml");
    fs::write(file, voyage("polar = \"polar.csv\"\nfactor = 1.5")).unwrap();
    let text = printed(folder.path(), &["boat", "voyage.toml"]);
    assert_fits(&text);
    // 40 winds above 0, at most 12 abreast: four tables with a row for 180 degrees, twice; and the
    // drawing's.
    let rows = text
        .lines()
        .filter(|line| line.trim_start().starts_with("180 "));
    assert_eq!(rows.count(), 4 + 4 + 1);
}

#[test]
fn json_has_the_polar_with_the_factor_and_what_she_makes_good() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = json(folder.path(), &["boat", "--json"]);
    assert_eq!(sheet["boat"]["factor"], 0.85);
    assert_eq!(sheet["boat"]["generic"], Value::Null);
    let polar = &sheet["polar"];
    let place = |axis: &str, value: f64| {
        let axis = polar[axis].as_array().unwrap();
        axis.iter().position(|node| node == value).unwrap()
    };
    let (wind, angle) = (
        place("true_wind_speeds_kn", 14.0),
        place("true_wind_angles_deg", 90.0),
    );
    let speed_kn = polar["boat_speeds_kn"][wind][angle].as_f64().unwrap();
    assert!((speed_kn - 0.85 * 6.54).abs() < 1e-9, "{speed_kn}");
    for best in sheet["best_angles"].as_array().unwrap() {
        let upwind = &best["upwind"];
        let of = |key: &str| upwind[key].as_f64().unwrap();
        let made_good_kn = of("boat_speed_kn") * of("true_wind_angle_deg").to_radians().cos();
        assert!((of("made_good_kn") - made_good_kn).abs() < 1e-9);
    }
    let progress = &sheet["course_made_good"]["progress_kn"];
    assert_eq!(progress.as_array().unwrap().len(), 12);
    assert_eq!(progress[0].as_array().unwrap().len(), 13);
}

#[test]
fn the_polar_written_can_be_named_in_the_voyage_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(
        path("generic.toml"),
        voyage(&format!("factor = 0.8\n{GENERIC}")),
    )
    .unwrap();
    printed(
        folder.path(),
        &["boat", "generic.toml", "--csv", "polar.csv"],
    );
    fs::write(
        path("named.toml"),
        voyage("polar = \"polar.csv\"\nfactor = 0.8"),
    )
    .unwrap();
    let [generic, named] = ["generic.toml", "named.toml"]
        .map(|name| json(folder.path(), &["boat", name, "--json"])["polar"].clone());
    for key in ["true_wind_speeds_kn", "true_wind_angles_deg"] {
        assert_eq!(generic[key], named[key]);
    }
    let speeds = |polar: &Value| -> Vec<f64> {
        let rows = polar["boat_speeds_kn"].as_array().unwrap().iter();
        rows.flat_map(|row| row.as_array().unwrap())
            .map(|speed| speed.as_f64().unwrap())
            .collect()
    };
    let pairs = speeds(&generic).into_iter().zip(speeds(&named));
    for (before, after) in pairs {
        assert!(
            (before - after).abs() < SPEED_TOLERANCE_KN,
            "{before} {after}"
        );
    }
}

#[test]
fn a_generic_polar_is_said_to_be_one_wherever_it_is_used() {
    let folder = tempfile::tempdir().unwrap();
    let crewed = voyage(GENERIC)
        + "\n[crew]\npeople = 2\nsex = \"female\"\nage_years = 40\nmass = \"60 kg\"\n";
    fs::write(folder.path().join("voyage.toml"), crewed).unwrap();
    for command in ["boat", "check", "compare", "legs", "season", "stores"] {
        let few = ["--members", "20"];
        let mut arguments = vec![command, "voyage.toml"];
        if !matches!(command, "boat" | "check") {
            arguments.extend(few);
        }
        if matches!(command, "compare" | "legs" | "season" | "stores") {
            arguments.push("--full");
        }
        let text = printed(folder.path(), &arguments);
        assert_fits(&text);
        for words in [
            "The polar is generic",
            "in smooth",
            "Write a factor below 1",
        ] {
            assert!(text.contains(words), "{command} does not say {words:?}");
        }
        arguments.push("--json");
        let notes = json(folder.path(), &arguments)["notes"].to_string();
        assert!(notes.contains("The polar is generic"), "{command}: {notes}");
    }
}

#[test]
fn a_log_gives_the_factor_to_write() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("log.csv"), log(0.83)).unwrap();
    let text = shown(folder.path(), &["boat", "fit", "log.csv"]);
    assert_fits(&text);
    assert_shown!(folder.path(), text, @"
    $ offing boat fit log.csv
    log.csv compared with the polar of an invented 12 m cutter as the sea leaves it,
      before any factor

    Boat speed is as logged, through the water. Entries: 90, used: 81.

                            Factor  Std dev   P10   P90  Entries
    All entries               0.83     0.00  0.83  0.83       81
    Upwind, under 60° off     0.83     0.00  0.83  0.83       27
    Reaching, 60° to 110°     0.83     0.00  0.83  0.83       27
    Running, over 110° off    0.83     0.00  0.83  0.83       27

    Factor: the median of logged speed over polar speed. Std dev: the robust
    standard deviation of that ratio from entry to entry. P10, P90: 10 % of the
    entries are below, 10 % above. Empty where the entries are too few.

    Left out
    - 9 under power

    Write under [boat] in the voyage file, in place of the factor of 0.85 it has
    now:

      factor = 0.83
      factor_uncertainty = 0.07

    Cautions
    - The factor holds for the winds, the seas, the load and the state of the bottom
      in which the log was kept; allow for a slower boat where the passage will
      be rougher.
    - Wind instruments and speed logs have errors; a speed log that reads high makes
      the factor too high, and the stores computed with it too small.
    ");
    let fit = json(folder.path(), &["boat", "fit", "log.csv", "--json"]);
    assert_eq!(fit["factor_to_write"], 0.83);
    assert_eq!(fit["boat"]["factor"], 0.85);
    assert_eq!(fit["agrees"], false);
    assert_eq!(fit["overall"]["entries"], 81);
    assert_eq!(fit["dropped"][0]["reason"], "under_power");
}

#[test]
fn the_factor_found_does_not_depend_on_the_one_in_the_voyage_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(path("log.csv"), log(0.83)).unwrap();
    let demo = include_str!("../../fixtures/demo/cutter-12m.csv");
    fs::write(path("polar.csv"), demo).unwrap();
    for factor in ["0.5", "0.83", "1.2"] {
        let boat = format!("polar = \"polar.csv\"\nfactor = {factor}");
        fs::write(path("voyage.toml"), voyage(&boat)).unwrap();
        let fit = json(
            folder.path(),
            &["boat", "fit", "log.csv", "voyage.toml", "--json"],
        );
        assert_eq!(fit["factor_to_write"], 0.83, "{factor}");
    }
    fs::write(
        path("voyage.toml"),
        voyage("polar = \"polar.csv\"\nfactor = 0.83"),
    )
    .unwrap();
    let text = printed(folder.path(), &["boat", "fit", "log.csv", "voyage.toml"]);
    assert!(text.contains("agrees with the log"), "{text}");
}

#[test]
fn a_factor_too_high_for_sailing_upwind_is_pointed_out() {
    let folder = tempfile::tempdir().unwrap();
    let slow_upwind: String = log(0.9)
        .lines()
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            if cells[3] == "50" {
                let speed_kn = cells[1].parse::<f64>().unwrap() * 0.8;
                format!("{},{speed_kn},{}\n", cells[0], cells[2..].join(","))
            } else {
                format!("{line}\n")
            }
        })
        .collect();
    fs::write(folder.path().join("log.csv"), slow_upwind).unwrap();
    let text = printed(folder.path(), &["boat", "fit", "log.csv"]);
    assert!(
        text.contains("The overall factor is too high for upwind (0.72)"),
        "{text}"
    );
}

#[test]
fn the_lines_that_fit_prints_make_a_voyage_file_that_agrees_with_the_log() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let slow_upwind: String = log(0.9)
        .lines()
        .map(|line| match line.split(',').collect::<Vec<_>>()[..] {
            [time, speed_kn, wind_kn, "50", power] => {
                let speed_kn = 0.8 * speed_kn.parse::<f64>().unwrap();
                format!("{time},{speed_kn},{wind_kn},50,{power}\n")
            }
            _ => format!("{line}\n"),
        })
        .collect();
    fs::write(path("log.csv"), slow_upwind).unwrap();
    let demo = include_str!("../../fixtures/demo/cutter-12m.csv");
    fs::write(path("polar.csv"), demo).unwrap();
    fs::write(path("before.toml"), voyage("polar = \"polar.csv\"")).unwrap();
    let text = printed(folder.path(), &["boat", "fit", "log.csv", "before.toml"]);
    let lines: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("  "))
        .collect();
    let start = lines
        .iter()
        .position(|line| *line == "factor = 0.90")
        .unwrap();
    let to_write = lines[start..start + 6].join("\n");
    assert!(
        to_write.contains("[boat.factors]\nbeating = 0.80"),
        "{text}"
    );
    let boat = format!("polar = \"polar.csv\"\n{to_write}");
    fs::write(path("after.toml"), voyage(&boat)).unwrap();
    let text = printed(folder.path(), &["boat", "fit", "log.csv", "after.toml"]);
    assert!(text.contains("agrees with the log: leave it."), "{text}");
    let text = printed(folder.path(), &["boat", "after.toml"]);
    assert!(
        text.contains("factor 0.9, on top of it 0.8 beating"),
        "{text}"
    );
}

#[test]
fn factors_by_point_of_sailing_scale_the_polar_and_are_held_to_their_range() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let demo = include_str!("../../fixtures/demo/cutter-12m.csv");
    fs::write(path("polar.csv"), demo).unwrap();
    let boat = |beating: &str| {
        voyage(&format!(
            "polar = \"polar.csv\"\nfactor = 0.9\n[boat.factors]\nbeating = {beating}"
        ))
    };
    fs::write(path("voyage.toml"), boat("0.8")).unwrap();
    let sheet = json(folder.path(), &["boat", "voyage.toml", "--json"]);
    assert_eq!(sheet["boat"]["factors"]["beating"], 0.8);
    assert_eq!(sheet["boat"]["factors"]["running"], 1.0);
    fs::write(path("voyage.toml"), boat("0.1")).unwrap();
    let message = crate::command::refused(folder.path(), &["boat", "voyage.toml"]);
    assert!(
        message.contains("boat.factors.beating: factor on the polar is 0.1; allowed: 0.3 to 1.5"),
        "{message}"
    );
}

#[test]
fn a_voyage_file_called_fit_is_reached_by_its_folder() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("fit"), voyage(GENERIC)).unwrap();
    assert!(printed(folder.path(), &["boat", "./fit"]).contains("Boat: a ketch"));
    let help = printed(folder.path(), &["boat", "--help"]);
    assert!(help.contains("write ./fit"), "{help}");
}

#[test]
fn bad_logs_are_refused_with_line_column_and_what_is_allowed() {
    let folder = tempfile::tempdir().unwrap();
    let head = "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg\n";
    let row = "2025-04-01T00:00:00Z,5,14,90\n";
    let logs = [
        ("twice.csv", format!("{head}{row}{row}")),
        (
            "back.csv",
            format!("{head}{row}2025-03-31T23:00:00Z,5,14,90\n"),
        ),
        (
            "words.csv",
            format!("{head}2025-04-01T00:00:00Z,5 kn,14,90\n"),
        ),
        (
            "unit.csv",
            format!("time,boat_speed_kn,true_wind_speed_ms,true_wind_angle_deg\n{row}"),
        ),
        (
            "no-angle.csv",
            "time,boat_speed_kn,true_wind_speed_kn\n2025-04-01T00:00:00Z,5,14\n".to_owned(),
        ),
        ("short.csv", format!("{head}{row}")),
        ("empty.csv", String::new()),
        ("another-boat.csv", log(2.0)),
    ];
    for (name, text) in &logs {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let mut runs: Vec<[&str; 3]> = logs
        .iter()
        .map(|(name, _)| ["boat", "fit", *name])
        .collect();
    runs.push(["boat", "fit", "none.csv"]);
    let runs: Vec<&[&str]> = runs.iter().map(|run| &run[..]).collect();
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @"
    $ offing boat fit twice.csv
    --- stderr
    error: twice.csv, line 3, time: found 2025-04-01T00:00:00Z; allowed: after 2025-04-01T00:00:00Z of line 2
    --- exit code 2

    $ offing boat fit back.csv
    --- stderr
    error: back.csv, line 3, time: found 2025-03-31T23:00:00Z; allowed: after 2025-04-01T00:00:00Z of line 2
    --- exit code 2

    $ offing boat fit words.csv
    --- stderr
    error: words.csv, line 2, boat_speed_kn: found `5 kn`; allowed: a number from 0 to 40 kn
    --- exit code 2

    $ offing boat fit unit.csv
    --- stderr
    error: unit.csv, line 1: the column `true_wind_speed_ms` is not known; columns of a log: time, boat_speed_kn, latitude, longitude, true_wind_speed_kn, true_wind_angle_deg, true_wind_from_deg, heading_deg, under_power, remarks
    --- exit code 2

    $ offing boat fit no-angle.csv
    --- stderr
    error: no-angle.csv, line 1: the column `true_wind_angle_deg` is missing; columns of a log: time, boat_speed_kn, latitude, longitude, true_wind_speed_kn, true_wind_angle_deg, true_wind_from_deg, heading_deg, under_power, remarks
    --- exit code 2

    $ offing boat fit short.csv
    --- stderr
    error: short.csv: 1 of 1 entries can be compared with the polar; needed: at least 20
    --- exit code 2

    $ offing boat fit empty.csv
    --- stderr
    error: empty.csv has no header; expected the header `time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg` and the rows below it
    --- exit code 2

    $ offing boat fit another-boat.csv
    --- stderr
    error: another-boat.csv: factor on the polar is 2; allowed: 0.3 to 1.5; is this log of another boat, or in other units?
    --- exit code 2

    $ offing boat fit none.csv
    --- stderr
    error: cannot read none.csv: [os error]
    --- exit code 2
    ");
}

#[test]
fn a_bad_boat_is_refused_and_no_polar_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(path("voyage.toml"), voyage(&GENERIC.replace("80", "800"))).unwrap();
    let runs: [&[&str]; 2] = [
        &["boat", "voyage.toml", "--csv", "out.csv"],
        &["boat", "--csv", "missing/out.csv"],
    ];
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @"
    $ offing boat voyage.toml --csv out.csv
    --- stderr
    error: voyage.toml:10: boat.generic.sail_area_m2: sail area is 800 m2; allowed: 10 to 700 m2
    --- exit code 2

    $ offing boat --csv missing/out.csv
    --- stderr
    error: cannot write missing/out.csv: there is no such folder; nothing was written
    --- exit code 2
    ");
}
