//! `offing shape` from the command line: what it prints and writes, and what it refuses.

use std::path::Path;

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::contains;

use crate::command;

/// A coarser grid than usual, for a test's patience.
const COARSE: [&str; 4] = ["--grid", "3", "--members", "64"];

fn shape(arguments: &[&str]) -> assert_cmd::assert::Assert {
    let mut command = Command::cargo_bin("offing").unwrap();
    command.arg("shape").args(COARSE).args(arguments).assert()
}

#[test]
fn a_grid_too_fine_is_refused() {
    let mut command = Command::cargo_bin("offing").unwrap();
    let run = command.args(["shape", "--grid", "0.01"]).assert();
    run.code(2).stderr(contains(
        "--grid: grid step is 0.01 degrees; allowed: 0.25 to 5 degrees",
    ));
}

#[test]
fn the_course_shaped_stands_beside_the_routes_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let (csv, gpx) = (
        folder.path().join("routes.csv"),
        folder.path().join("course.gpx"),
    );
    shape(&[
        "--full",
        "--not-south-of",
        "35S",
        "--csv",
        csv.to_str().unwrap(),
        "--gpx",
        gpx.to_str().unwrap(),
    ])
    .success()
    .stdout(contains(
        "The fastest course found on the mean wind; not south of 35°S",
    ))
    .stdout(contains("'not south of 35°S' costs"))
    .stdout(predicate::str::is_match(r"Trades +Direct +Shaped").unwrap())
    .stdout(
        predicate::str::is_match(r"The chance that Shaped\s+arrives\s+before\s+Direct is").unwrap(),
    )
    .stdout(contains("The skipper decides."));
    let rows = std::fs::read_to_string(csv).unwrap();
    assert!(
        rows.lines().nth(3).unwrap().starts_with("Shaped,"),
        "{rows}"
    );
    let course = std::fs::read_to_string(gpx).unwrap();
    assert!(course.contains("<rtept lat=\"-32.05"), "{course}");
}

#[test]
fn a_course_and_a_trade_off_as_they_are_printed() {
    let limited = [&["shape", "--max-headwind", "30"][..], &COARSE].concat();
    let traded = [&["shape", "--tradeoff", "headwind"][..], &COARSE].concat();
    for (name, arguments) in [("demo_shape", limited), ("demo_trade_off", traded)] {
        let full = format!("{name}_full");
        let text = command::shown(Path::new("."), &[&arguments[..], &["--full"]].concat());
        command::assert_fits(&text);
        command::assert_shown!(full, Path::new("."), text);
        let text = command::shown(Path::new("."), &arguments);
        command::assert_fits(&text);
        assert!(text.lines().count() <= 40, "{text}");
        command::assert_shown!(name, Path::new("."), text);
    }
}

#[test]
fn a_trade_off_is_a_table_a_file_and_records() {
    let folder = tempfile::tempdir().unwrap();
    let csv = folder.path().join("courses.csv");
    let output = shape(&[
        "--tradeoff",
        "headwind",
        "--json",
        "--csv",
        csv.to_str().unwrap(),
    ])
    .success();
    let text = String::from_utf8(output.get_output().stdout.clone()).unwrap();
    let document: serde_json::Value = serde_json::from_str(&text).unwrap();
    let courses = document["trade_off"]["courses"].as_array().unwrap();
    let rows = std::fs::read_to_string(csv).unwrap();
    assert_eq!(rows.lines().count(), courses.len() + 1);
    let figure = |course: &serde_json::Value, path: &str| course.pointer(path).unwrap().as_f64();
    for pair in courses.windows(2) {
        assert!(figure(&pair[0], "/expected/days") < figure(&pair[1], "/expected/days"));
        let share = "/expected/exposure/headwind";
        assert!(figure(&pair[0], share) > figure(&pair[1], share));
    }
    // The course shaped is the fastest of them all.
    assert_eq!(document["shaped"]["corners"], courses[0]["corners"]);
    assert_eq!(document["shaped"]["route"], "Shaped");
    assert_eq!(document["routes"].as_array().unwrap().len(), 3);
}

#[test]
fn wrong_limits_are_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let (csv, bow) = (
        folder.path().join("out.csv"),
        folder.path().join("bow.geojson"),
    );
    let text = r#"{"type": "Polygon",
        "coordinates": [[[60, -30], [70, -20], [70, -30], [60, -20], [60, -30]]]}"#;
    std::fs::write(&bow, text).unwrap();
    let refused = |arguments: &[&str], said: &str| {
        let mut all = vec!["--csv", csv.to_str().unwrap()];
        all.extend(arguments);
        let said_whole = predicate::function(|text: &str| text.replace("\n  ", " ").contains(said));
        shape(&all).code(2).stderr(said_whole).stdout("");
        assert!(!csv.exists());
    };
    refused(
        &["--not-south-of", "20S", "--not-north-of", "30S"],
        "the limits cross",
    );
    refused(
        &["--max-gale", "120"],
        "--max-gale: share of time is 120 %; allowed: 0 to 100 %",
    );
    refused(&["--not-south-of", "forty"], "not a latitude; allowed: 40S");
    refused(
        &["--max-gale", "little"],
        "not a number; allowed: a number such as",
    );
    for departure in ["2027-13-01", "2027-05-01T18:30:00", "1 May"] {
        refused(
            &["--departure", departure],
            "not a date; allowed: a date such as 2027-05-01",
        );
    }
    refused(
        &["--seed", "one"],
        "not a whole number; allowed: a number such as",
    );
    refused(
        &["--not-north-of", "85N"],
        "latitude is 85 degrees; allowed: -80 to 80 degrees",
    );
    refused(
        &["--keep-out", bow.to_str().unwrap()],
        "its outline crosses or touches itself",
    );
    refused(
        &["--from", "32 00 S, 117 00 E"],
        "is on land; the nearest sea is at",
    );
    refused(&["--max-storm-chance", "3"], "--avoid-cyclones");
    refused(&["--to", "32 03.0 S, 115 40.0 E"], "begins and ends at");
    refused(
        &[
            "--departure",
            "2027-12-01",
            "--avoid-cyclones",
            "--max-storm-chance",
            "0",
        ],
        "no more than 0 % chance of a storm in ten days anywhere",
    );
}

#[test]
fn a_trade_off_by_engine_wants_one_aboard() {
    let folder = tempfile::tempdir().unwrap();
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let polar = "cutter-12m.csv";
    std::fs::copy(demo.join(polar), folder.path().join(polar)).unwrap();
    let text = std::fs::read_to_string(demo.join("fremantle-durban.toml")).unwrap();
    let (before, rest) = text.split_once("[boat.engine]").unwrap();
    let (_, after) = rest.split_once("\n[").unwrap();
    let sailed = format!("{before}[{after}").replace("motor_below_kn", "# motor_below_kn");
    // Nor is there anything to turn an alternator.
    let (before, rest) = sailed.split_once("[power.alternator]").unwrap();
    let (_, after) = rest.split_once("\n[").unwrap();
    let sailed = format!("{before}[{after}");
    let file = folder.path().join("voyage.toml");
    std::fs::write(&file, sailed).unwrap();
    shape(&["--tradeoff", "engine", file.to_str().unwrap()])
        .code(2)
        .stderr(contains(
            "a trade-off by time under power needs an engine, and there is none aboard",
        ))
        .stdout("");
}

/// Eastabout from the Cape to the Horn is more than two thirds of the way round: the winds are kept
/// for that side of the Earth and not for the other.
#[test]
fn a_course_most_of_the_way_round_finds_its_winds() {
    let folder = tempfile::tempdir().unwrap();
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    std::fs::copy(
        demo.join("cutter-12m.csv"),
        folder.path().join("cutter-12m.csv"),
    )
    .unwrap();
    let text = std::fs::read_to_string(demo.join("fremantle-durban.toml")).unwrap();
    let without_routes = text.split("[[route]]").next().unwrap();
    let mut voyage = format!("{without_routes}[[route]]\nname = \"Eastabout\"\n");
    for (name, position) in [
        ("Cape", "36 S, 18 E"),
        ("Indian Ocean", "42 S, 80 E"),
        ("Tasman Sea", "48 S, 150 E"),
        ("Pacific", "52 S, 130 W"),
        ("Horn", "57 S, 68 W"),
    ] {
        voyage += &format!("\n[[route.waypoint]]\nname = \"{name}\"\nposition = \"{position}\"\n");
    }
    let file = folder.path().join("voyage.toml");
    std::fs::write(&file, voyage).unwrap();
    let mut command = Command::cargo_bin("offing").unwrap();
    command
        .args(["shape", "--full", "--grid", "5", "--members", "16"])
        .arg(file)
        .assert()
        .success()
        .stdout(predicate::str::is_match(r"Eastabout +Shaped").unwrap());
}

#[test]
fn other_ends_leave_the_routes_drawn_aside() {
    shape(&["--from", "20 S, 60 E", "--to", "-30, 40"])
        .success()
        .stdout(contains(
            "20°00.0'S 060°00.0'E to 30°00.0'S 040°00.0'E, leaving",
        ))
        .stdout(contains("Trades").not());
}

/// The demonstration's file and polar in a folder of their own, with routes of ours instead of its
/// own where there are any.
fn demo_with(folder: &Path, routes: Option<&str>) -> std::path::PathBuf {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let polar = "cutter-12m.csv";
    std::fs::copy(demo.join(polar), folder.join(polar)).unwrap();
    let text = std::fs::read_to_string(demo.join("fremantle-durban.toml")).unwrap();
    let text = match routes {
        Some(routes) => format!("{}{routes}", text.split("[[route]]").next().unwrap()),
        None => text,
    };
    let file = folder.join("voyage.toml");
    std::fs::write(&file, text).unwrap();
    file
}

fn document(assert: &assert_cmd::assert::Assert) -> serde_json::Value {
    serde_json::from_slice(&assert.get_output().stdout).unwrap()
}

#[test]
fn a_course_picked_is_written_to_paste_and_read_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let voyage = demo_with(folder.path(), None);
    let [csv, gpx, toml] =
        ["c.csv", "c.gpx", "c.toml"].map(|name| folder.path().join(name).display().to_string());
    let written = ["--csv", &csv, "--gpx", &gpx, "--toml", &toml];
    let pick = |number: &str| {
        let options = ["--tradeoff", "headwind", "--pick", number, "--json"];
        shape(&[&options[..], &written, &[voyage.to_str().unwrap()]].concat())
    };
    pick("0").code(2).stderr(contains(
        "--pick: the trade-off has no course 0; allowed: 1 to",
    ));
    pick("99").code(2).stdout("");
    for file in [&csv, &gpx, &toml] {
        assert!(!Path::new(file).exists(), "{file}");
    }
    shape(&["--pick", "2"])
        .code(2)
        .stderr(contains("--tradeoff"));

    let document_of_shape = document(&pick("3").success());
    let course = &document_of_shape["trade_off"]["courses"][2];
    let rows = std::fs::read_to_string(&csv).unwrap();
    assert_eq!(rows.lines().count(), 2);
    assert!(
        rows.lines().nth(1).unwrap().starts_with("Course 3,"),
        "{rows}"
    );
    let points = std::fs::read_to_string(&gpx).unwrap();
    assert!(points.contains("<name>Course 3</name>"), "{points}");

    // Pasted into the voyage, `compare` sails it as the trade-off did.
    let mut text = std::fs::read_to_string(&voyage).unwrap();
    text += &format!("\n{}", std::fs::read_to_string(&toml).unwrap());
    std::fs::write(&voyage, text).unwrap();
    let mut command = Command::cargo_bin("offing").unwrap();
    let compared = command
        .args(["compare", "--members", "16", "--json"])
        .arg(&voyage)
        .assert()
        .success();
    let compared = document(&compared);
    let pasted = compared["routes"].as_array().unwrap().last().unwrap();
    assert_eq!(pasted["name"], "Course 3");
    for figure in ["distance_nm", "days"] {
        let [read, shaped] = [pasted, course].map(|of| of["expected"][figure].as_f64().unwrap());
        assert!((read - shaped).abs() < 1e-2, "{figure}: {read}, {shaped}");
    }
}

#[test]
fn without_a_pick_the_course_found_is_written_to_paste() {
    let folder = tempfile::tempdir().unwrap();
    let toml = folder.path().join("course.toml");
    shape(&["--toml", toml.to_str().unwrap()]).success();
    let text = std::fs::read_to_string(&toml).unwrap();
    assert!(
        text.starts_with(
            "[[route]]\nname = \"Shaped\"\n\n[[route.waypoint]]\nname = \"Fremantle\"\n\
             position = \"32 03.000 S, 115 40.000 E\"\n\n[[route.waypoint]]\n"
        ),
        "{text}"
    );
    assert!(text.ends_with("leg = \"great-circle\"\n"), "{text}");
}

/// Routes drawn back to Fremantle through the westerlies.
const EASTWARD: &str = r#"[[route]]
name = "Direct"

[[route.waypoint]]
name = "Durban"
position = "29 52.0 S, 31 06.0 E"

[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 40.0 E"

[[route]]
name = "By 38 S"

[[route.waypoint]]
name = "Durban"
position = "29 52.0 S, 31 06.0 E"

[[route.waypoint]]
name = "West"
position = "38 S, 48 E"

[[route.waypoint]]
name = "East"
position = "38 S, 100 E"

[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 40.0 E"
"#;

#[test]
fn a_route_drawn_stands_on_the_curve_or_is_beaten_by_it() {
    let folder = tempfile::tempdir().unwrap();
    let voyage = demo_with(folder.path(), Some(EASTWARD));
    let voyage = voyage.to_str().unwrap();
    let run = shape(&["--tradeoff", "gale", "--json", voyage]).success();
    let document = document(&run);
    let figures = |of: &serde_json::Value| {
        let figure = |path: &str| of.pointer(path).unwrap().as_f64().unwrap();
        (figure("/expected/days"), figure("/expected/exposure/gale"))
    };
    let courses = document["trade_off"]["courses"].as_array().unwrap();
    let mut members = 0;
    for route in document["routes"].as_array().unwrap().iter().take(2) {
        let (days, gale) = figures(route);
        let is_member = courses
            .iter()
            .any(|course| course["drawn"] == true && course["name"] == route["name"]);
        members += usize::from(is_member);
        let beaten = courses.iter().map(figures).any(|(other_days, other_gale)| {
            other_days <= days && other_gale <= gale && (other_days, other_gale) != (days, gale)
        });
        assert_ne!(is_member, beaten, "{}", route["name"]);
        let beats = courses.iter().map(figures).any(|(other_days, other_gale)| {
            days <= other_days && gale <= other_gale && (other_days, other_gale) != (days, gale)
        });
        assert!(!beats, "{}", route["name"]);
    }
    assert!(members > 0, "the great circle at least");
    let text = String::from_utf8(
        shape(&["--tradeoff", "gale", voyage])
            .success()
            .get_output()
            .stdout
            .clone(),
    );
    let text = text.unwrap();
    let member = courses
        .iter()
        .find(|course| course["drawn"] == true)
        .unwrap();
    let label = format!(
        "{} ({})",
        member["name"].as_str().unwrap(),
        member["number"]
    );
    assert_eq!(text.matches(&label).count(), 1, "{text}");
    // A limit that a route drawn breaks keeps it off the curve.
    let limited = [
        "--tradeoff",
        "gale",
        "--not-south-of",
        "31S",
        "--json",
        voyage,
    ];
    let run = shape(&limited).code(2);
    run.stderr(contains("itself breaks a limit"));
    let limited = [
        "--tradeoff",
        "gale",
        "--not-south-of",
        "33S",
        "--json",
        voyage,
    ];
    let limited = self::document(&shape(&limited).success());
    let courses = limited["trade_off"]["courses"].as_array().unwrap();
    assert!(courses.iter().all(|course| course["drawn"] == false));
}

#[test]
fn an_end_a_little_inland_by_the_outlines_is_a_harbour() {
    // East of the coast's outline at Fremantle.
    let run = shape(&["--from", "32 02.0 S, 115 50.0 E", "--json"]).success();
    let document = document(&run);
    let inland = document["shaped"]["inland_ends"].as_array().unwrap();
    assert_eq!(inland.len(), 1);
    assert_eq!(inland[0]["name"], "Start");
    let off_nm = inland[0]["distance_nm"].as_f64().unwrap();
    assert!((0.0..=10.0).contains(&off_nm), "{off_nm}");
    let corners = document["shaped"]["corners"].as_array().unwrap();
    assert_eq!(corners[0], inland[0]["position"]);
    assert_eq!(corners[1], inland[0]["sea"]);
    shape(&["--from", "32 02.0 S, 115 50.0 E"])
        .success()
        .stdout(contains("Start lies on land by the coarse outlines"))
        .stderr("");
}
