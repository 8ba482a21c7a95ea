//! `offing compare`, `legs`, `check` and `season` as a user runs them: results, and bad input.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;

use crate::command;

fn offing() -> Command {
    Command::cargo_bin("offing").unwrap()
}

/// The folder that the tests run in, where the demonstration needs no file.
fn here() -> &'static Path {
    Path::new(".")
}

fn output(arguments: &[&str]) -> String {
    command::printed(here(), arguments)
}

fn json(arguments: &[&str]) -> Value {
    command::json(here(), arguments)
}

fn complaint(arguments: &[&str]) -> String {
    command::refused(here(), arguments)
}

/// The row of the text table that begins with `label`, less the label.
fn row<'t>(text: &'t str, label: &str) -> Vec<&'t str> {
    let line = text
        .lines()
        .find(|line| line.trim_start().starts_with(label));
    let line = line.unwrap_or_else(|| panic!("no row {label:?} in\n{text}"));
    line.trim_start()[label.len()..]
        .split("  ")
        .map(str::trim)
        .filter(|c| !c.is_empty())
        .collect()
}

const POLAR: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn
10,40,4\n10,90,6\n10,180,5\n20,40,5\n20,90,7\n20,180,6\n";

const VOYAGE: &str = r#"[voyage]
name = "A short one"
departure = 2027-05-01

[boat]
polar = "polar.csv"

[[route]]
name = "Out"

[[route.waypoint]]
name = "A"
position = "30 00.0 S, 80 00.0 E"

[[route.waypoint]]
name = "B"
position = "32 00.0 S, 70 00.0 E"
leg = "rhumb"
"#;

/// A screen of text.
const MOST_LINES: usize = 40;

/// A folder with a voyage and its polar, each as given.
fn folder(voyage: &str, polar: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("polar.csv"), polar).unwrap();
    let file = folder.path().join("voyage.toml");
    fs::write(&file, voyage).unwrap();
    let name = file.to_str().unwrap().to_owned();
    (folder, name)
}

#[test]
fn the_demo_tells_its_story() {
    let text = output(&["compare", "--full"]);
    command::assert_fits(&text);
    let document = json(&["compare", "--json"]);
    let route = |name: &str| {
        let routes = document["routes"].as_array().unwrap();
        routes.iter().find(|route| route["name"] == name).unwrap()
    };
    let share =
        |name: &str, kind: &str| route(name)["expected"]["exposure"][kind].as_f64().unwrap();
    // scripts/reference/passages.py, whose rows tests/passage/reference.rs holds the library to.
    assert!((0.52..0.56).contains(&share("Direct", "headwind")));
    assert!((0.09..0.11).contains(&share("Trades", "headwind")));
    let days = |name: &str| route(name)["expected"]["days"].as_f64().unwrap();
    assert!((days("Direct") - 46.2).abs() < 0.3 && (days("Trades") - 42.8).abs() < 0.3);
    // Common practice, no source: a trade-wind crossing shows less than 1 % gales and well above
    // half the time from abaft.
    assert!(share("Trades", "gale") < 0.01 && share("Trades", "abaft") > 0.6);

    for (index, name) in ["Trades", "Direct"].iter().enumerate() {
        let ensemble = &route(name)["ensemble"];
        let median = format!("{:.1}", ensemble["days"]["p50"].as_f64().unwrap());
        assert_eq!(row(&text, "median")[index], median);
        let rising = ["p5", "p10", "p25", "p50", "p75", "p90", "p95"]
            .map(|p| ensemble["days"][p].as_f64().unwrap());
        assert!(rising.is_sorted());
    }
    let chance = document["pairs"][0]["chance_first_arrives_before"]
        .as_f64()
        .unwrap();
    assert!(
        (0.7..0.95).contains(&chance),
        "Trades before Direct: {chance}"
    );
}

#[test]
fn the_comparison_stands_on_one_screen_and_marks_the_better_value() {
    let text = output(&["compare"]);
    command::assert_fits(&text);
    assert!(text.lines().count() <= MOST_LINES, "{text}");
    let document = json(&["compare", "--json"]);
    let days = |route: usize| document["routes"][route]["ensemble"]["days"]["p50"].as_f64();
    let best = usize::from(days(1) < days(0));
    let cells = row(&text, "median");
    assert!(
        cells[best].ends_with('*') && !cells[1 - best].contains('*'),
        "{text}"
    );
    // What is the same on both routes, or nothing on either, decides nothing.
    assert!(!text.contains("no arrival within"), "{text}");
    assert!(text.contains("The skipper\ndecides.") || text.contains("the skipper decides."));
}

#[test]
fn long_names_and_us_units_stay_readable() {
    const LONG: &str = "By the trade winds, and south of Madagascar, as the pilot charts have it";
    let (_folder, file) = demo_with(&[
        ("name = \"Trades\"", &format!("name = \"{LONG}\"")),
        (
            "[[route]]\nname = \"Direct\"",
            "[output]\nunits = \"us\"\ntemperature = \"fahrenheit\"\n\n[[route]]\nname = \"Direct\"",
        ),
    ]);
    let few = ["--members", "100"];
    for more in [&[][..], &["--full"]] {
        let text = output(&[&["compare", &file][..], &few, more].concat());
        command::assert_fits(&text);
        assert!(
            text.contains(&format!("\nA: {LONG}\nB: Direct\n")),
            "{text}"
        );
        assert!(text.contains("How the days spread\nA  "), "{text}");
        assert!(text.contains("US gal") && !text.contains("°C"), "{text}");
    }
    let season = ["season", &file, "--every", "30", "--members", "50"];
    for more in [&[][..], &["--full"]] {
        let text = output(&[&season[..], more].concat());
        command::assert_fits(&text);
        assert!(text.contains(LONG) && !text.contains("°C"), "{text}");
    }
    let text = output(&[&season[..], &["--full"]].concat());
    assert!(text.contains("°F low"), "{text}");
}

#[test]
fn the_demo_as_it_is_printed() {
    let show = |name: &str, arguments: &[&str]| {
        let text = command::shown(here(), arguments);
        command::assert_fits(&text);
        command::assert_shown!(name, here(), text);
    };
    show("demo_compare", &["compare"]);
    show("demo_compare_full", &["compare", "--full"]);
    let season = ["season", "--every", "10", "--members", "100"];
    show("demo_season", &season);
    show("demo_season_full", &[&season[..], &["--full"]].concat());
}

/// The demonstration with some of its file replaced, and its polar beside it.
fn demo_with(changes: &[(&str, &str)]) -> (tempfile::TempDir, String) {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let mut voyage = fs::read_to_string(demo.join("fremantle-durban.toml")).unwrap();
    for (from, to) in changes {
        assert!(voyage.contains(from), "{from}");
        voyage = voyage.replace(from, to);
    }
    let polar = fs::read_to_string(demo.join("cutter-12m.csv")).unwrap();
    let (folder, file) = folder(&voyage.replace("cutter-12m.csv", "polar.csv"), &polar);
    (folder, file)
}

#[test]
fn storms_are_told_of_in_every_form() {
    const LABEL: &str = "a tropical storm within 200 nm";
    const WARNING: &str = "the chance of a tropical storm centre within 200 nm is";
    let told = |text: &str| {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        words.contains(WARNING)
    };
    let few = ["--members", "100"];
    let january = [
        &["compare", "--full", "--departure", "2027-01-05"][..],
        &few,
    ]
    .concat();
    let text = output(&january);
    let cells = row(&text, LABEL);
    let document = json(&[&january[..], &["--json"]].concat());
    let storms = &document["routes"][0]["ensemble"]["storms"];
    let chance = storms["chance"].as_f64().unwrap();
    assert!(chance > 0.2, "{chance}");
    assert_eq!(cells[0], format!("{:.0} %", 100.0 * chance));
    assert!(told(&text), "{text}");
    let last = &storms["waters"].as_array().unwrap().last().unwrap();
    assert_eq!(*last, "South-West Indian");

    let folder = tempfile::tempdir().unwrap();
    let (csv, html) = (
        folder.path().join("out.csv"),
        folder.path().join("out.html"),
    );
    let files = [
        "--csv",
        csv.to_str().unwrap(),
        "--html",
        html.to_str().unwrap(),
    ];
    output(&[&january[..], &files].concat());
    let mut table = csv::Reader::from_path(csv).unwrap();
    let column = table
        .headers()
        .unwrap()
        .iter()
        .position(|name| name == "storm_chance")
        .unwrap();
    let first = table.records().next().unwrap().unwrap();
    assert_eq!(first[column], format!("{chance:.4}"));
    assert!(told(&fs::read_to_string(html).unwrap()));

    // The season's own figure for a departure of that day, and the leg table's warning.
    let from_new_year = [
        "season",
        "--every",
        "4",
        "--departure",
        "2027-01-01",
        "--json",
    ];
    let season = json(&[&from_new_year[..], &few].concat());
    let on_the_fifth = &season["departures"][1];
    assert_eq!(on_the_fifth["date"], "2027-01-05");
    assert_eq!(
        on_the_fifth["routes"][0]["ensemble"]["storms"]["chance"],
        chance
    );
    let in_january = ["legs", "--full", "--departure", "2027-01-05"];
    let legs = output(&[&in_january[..], &few].concat());
    command::assert_fits(&legs);
    assert!(
        told(&legs) && legs.contains("the same by leg: leg 1"),
        "{legs}"
    );

    let july = output(
        &[
            &["compare", "--full", "--departure", "2027-07-01"][..],
            &few,
        ]
        .concat(),
    );
    assert!(row(&july, LABEL)[1] == "0.0 %" && !told(&july), "{july}");
}

#[test]
fn a_window_says_its_chance_of_a_storm_and_takes_the_crew_s_limit() {
    let words = |more: &[&str]| {
        let text = output(
            &[
                &["season", "--full", "--every", "30", "--members", "100"][..],
                more,
            ]
            .concat(),
        );
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let usual = words(&[]);
    assert!(usual.contains("% at most."), "{usual}");
    let none = words(&["--max-storm-chance", "0"]);
    assert!(
        none.contains("no thirty days of the year keep it to 0.0 %"),
        "{none}"
    );
    let refusal = complaint(&["season", "--max-storm-chance", "101"]);
    assert!(refusal.contains("allowed: 0 to 100"), "{refusal}");
}

#[test]
fn what_a_figure_counts_and_why_one_is_missing_is_said_below() {
    let words = |arguments: &[&str]| {
        let text = output(arguments);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let compared = words(&["compare", "--full", "--members", "20"]);
    assert!(compared.contains("motoring until they are dry, motoring alone."));
    assert!(!compared.contains("An empty cell"));
    let within = words(&["legs", "--departure", "2027-05-01"]);
    assert!(!within.contains("magnetic model"));
    let beyond = words(&["legs", "--departure", "2040-05-01"]);
    assert!(beyond.contains("outside the years of the magnetic model"));
}

#[test]
fn charging_and_the_reserve_are_in_the_chance_of_running_short() {
    // Without sun and wind the engine charges: 240 litres do for motoring, but not for that too.
    let (_folder, file) = demo_with(&[
        ("[power.solar]\npeak = \"900 W\"\n", ""),
        (
            "[power.wind]\nrated = \"400 W\"\nrated_wind_ms = 12\nstarts_at_ms = 3.5\n",
            "",
        ),
    ]);
    let few = ["--members", "200"];
    let arguments = [&["compare", "--full", &file][..], &few].concat();
    let text = output(&arguments);
    command::assert_fits(&text);
    let document = json(&[&arguments[..], &["--json"]].concat());
    let broken = document["routes"][0]["loading"]["planned"]["fuel"]["reserve_broken_chance"]
        .as_f64()
        .unwrap();
    assert!(broken > 0.5, "{broken}");
    let cells = row(&text, "needing more diesel than tanks hold");
    assert_eq!(cells[0], format!("{:.0} %", 100.0 * broken));
    let alone = row(&text, "motoring until the tanks are dry");
    let alone_percent: f64 = alone[0].trim_end_matches(" %").parse().unwrap();
    assert!(alone_percent < 50.0 * broken, "{alone_percent}");
    let stores = json(&[&["stores", &file, "--json"][..], &few].concat());
    let plan = &stores["routes"][0]["loading"]["planned"];
    assert_eq!(plan["fuel"]["reserve_broken_chance"], broken);
    assert!(
        text.contains("Trades: Tanks and cans hold less diesel"),
        "{text}"
    );

    // Without a crew there is no plan, and no row of it.
    let (_other, crewless) = folder(VOYAGE, POLAR);
    let text = output(&[&["compare", "--full", &crewless][..], &few].concat());
    assert!(!text.contains("more diesel than") && !text.contains("Stores to load"));
}

#[test]
fn a_tank_is_nine_tenths_usable_unless_the_voyage_says_otherwise() {
    let (_folder, file) = demo_with(&[
        (
            "usable_share = 0.9                  # the pump does not reach the rest\n",
            "",
        ),
        ("cans = \"24 L\"\n", ""),
    ]);
    let text = output(&["compare", "--full", &file, "--members", "50"]);
    assert!(text.contains("216 litres of diesel"), "{text}");
}

#[test]
fn waiting_for_weather_is_told_beside_leaving_at_once() {
    let keys = "[handling]\nwait_up_to = \"5 days\"\nforecast = \"2 days\"";
    let (_folder, file) = demo_with(&[("[handling]", keys)]);
    let run =
        |more: &'static [&'static str]| [&["compare", &file, "--members", "200"], more].concat();
    let short = output(&run(&[]));
    let told = "Waiting for weather, up to 5 days: for forecasts of 2 days with no headwind of\n20 kn or more \
                and 70 % of the usual progress.";
    assert!(short.contains(told), "{short}");
    let full = output(&run(&["--full"]));
    let joined = full.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        joined.contains("cannot choose the weather of the third week"),
        "{full}"
    );
    assert!(!full.contains("leave on the day"), "{full}");
    let routes = json(&run(&["--json"]))["routes"].clone();
    for route in routes.as_array().unwrap() {
        let name = route["name"].as_str().unwrap();
        let (ensemble, waiting) = (&route["ensemble"], &route["ensemble"]["waiting"]);
        let stage = &waiting["stages"][0];
        let days = |value: &Value| format!("{:.1}", value.as_f64().unwrap());
        let waits = format!("{} days in the mean", days(&stage["waited_days_mean"]));
        let line = short.split("\n- ").find(|line| line.starts_with(name));
        let line = line
            .unwrap()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        assert!(line.contains(&waits), "{line}");
        let at_once = &waiting["at_once"];
        let both = [
            format!(
                "{} / {}",
                days(&ensemble["days"]["p50"]),
                days(&at_once["days"]["p50"])
            ),
            format!(
                "{} / {}",
                days(&ensemble["days"]["p90"]),
                days(&at_once["days"]["p90"])
            ),
        ];
        let rows = full.lines().filter(|line| line.starts_with(name));
        let row = rows
            .filter(|line| line.contains(&both[0]))
            .find(|line| line.contains(&both[1]));
        assert!(row.is_some(), "{both:?} in\n{full}");
    }
    assert!(output(&["compare", "--full"]).contains("Passages leave on the day"));
}

#[test]
fn a_result_depends_on_the_seed_and_not_on_the_threads() {
    let with = |threads: &str, seed: &str| {
        let arguments = ["compare", "--json", "--members", "700", "--seed", seed];
        let run = offing()
            .args(arguments)
            .env("RAYON_NUM_THREADS", threads)
            .assert()
            .success();
        run.get_output().stdout.clone()
    };
    let one = with("1", "5");
    assert_eq!(one, with("2", "5"));
    assert_eq!(one, with("7", "5"));
    assert_ne!(one, with("1", "6"));
}

#[test]
fn legs_add_up_to_their_route() {
    command::assert_fits(&output(&["legs"]));
    let document = json(&["legs", "--route", "Trades", "--json"]);
    let routes = document["routes"].as_array().unwrap();
    assert_eq!(routes.len(), 1);
    let legs = routes[0]["expected"]["legs"].as_array().unwrap();
    assert_eq!(legs.len(), 5);
    let sum = |key: &str| {
        legs.iter()
            .map(|leg| leg[key].as_f64().unwrap())
            .sum::<f64>()
    };
    let whole_nm = routes[0]["distance_nm"].as_f64().unwrap();
    assert!((sum("distance_nm") - whole_nm).abs() < 1e-6);
    let days = routes[0]["expected"]["days"].as_f64().unwrap();
    assert!((sum("days") - days).abs() < 1e-9);
    assert!((legs[4]["elapsed_days"].as_f64().unwrap() - days).abs() < 1e-9);
    // 2027 is within the years of the World Magnetic Model.
    assert!(legs[0]["departure_course_magnetic_deg"].is_number());
    let later = json(&["legs", "--departure", "2041-05-01", "--json"]);
    assert!(later["routes"][0]["expected"]["legs"][0]["departure_course_magnetic_deg"].is_null());
}

#[test]
fn tables_go_to_files_whole() {
    let folder = tempfile::tempdir().unwrap();
    for (command, heading) in [
        ("compare", "route,distance_nm,days_mean_wind,days_p10"),
        ("legs", "route,leg,from,to,kind"),
        ("season", "departure,route,days_p10,days_p50,days_p90"),
    ] {
        let file = folder.path().join(format!("{command}.csv"));
        output(&[command, "--members", "50", "--csv", file.to_str().unwrap()]);
        let text = fs::read_to_string(&file).unwrap();
        assert!(text.starts_with(heading), "{text}");
        let mut rows = csv::Reader::from_reader(text.as_bytes());
        assert!(rows.records().all(|row| row.is_ok()));
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
    let nowhere = folder.path().join("missing").join("out.csv");
    let message = complaint(&["compare", "--csv", nowhere.to_str().unwrap()]);
    assert!(message.contains("nothing was written"), "{message}");
}

#[test]
fn the_season_has_a_row_a_month_and_a_best_window() {
    let few = ["--every", "10", "--members", "100"];
    let short = output(&[&["season"][..], &few].concat());
    command::assert_fits(&short);
    assert!(short.lines().count() <= MOST_LINES, "{short}");
    assert!(short.contains("never exceeds 5.0 %"), "{short}");
    assert_eq!(short.matches("\nJanuary ").count(), 1);
    let text = output(&[&["season", "--full"][..], &few].concat());
    command::assert_fits(&text);
    assert!(text.contains("\nlonger: P90 between"), "{text}");
    assert_eq!(text.matches("\nJanuary ").count(), 2);
    assert!(text.contains("When to leave"));
    let document = json(&["season", "--every", "10", "--members", "100", "--json"]);
    assert_eq!(document["departures"].as_array().unwrap().len(), 37);
    let of_trades = &document["routes"][0];
    assert_eq!(of_trades["name"], "Trades");
    assert!(
        of_trades["window"]["days_p90"].as_f64() < of_trades["window"]["worst_days_p90"].as_f64()
    );
    let first = &document["departures"][0]["routes"][0]["ensemble"];
    assert!(first["days"]["p50"].as_f64() < first["days"]["p90"].as_f64());
}

#[test]
fn a_voyage_of_ones_own_is_checked_and_compared() {
    let (_folder, file) = folder(VOYAGE, POLAR);
    let text = output(&["check", &file]);
    command::assert_fits(&text);
    assert!(text.starts_with("Valid"), "{text}");
    let checked = json(&["check", &file, "--json"]);
    assert_eq!(checked["routes"][0]["name"], "Out");
    let document = json(&["compare", &file, "--json"]);
    assert!(
        document["routes"][0]["expected"]["litres"].is_null(),
        "there is no engine"
    );
    assert_eq!(document["pairs"].as_array().unwrap().len(), 0);
}

#[test]
fn what_is_wrong_is_named() {
    let missing = complaint(&["compare", "no-such-voyage.toml"]);
    assert!(missing.contains("no-such-voyage.toml"), "{missing}");

    let bad_polar = |polar: &str| {
        let (_folder, file) = folder(VOYAGE, polar);
        complaint(&["compare", &file])
    };
    let hole = bad_polar(&POLAR.replace("20,90,7\n", ""));
    assert!(
        hole.contains("polar.csv") && hole.contains("20") && hole.contains("90"),
        "{hole}"
    );
    for value in ["-1", "NaN", "fast"] {
        let message = bad_polar(&POLAR.replace("10,90,6", &format!("10,90,{value}")));
        assert!(message.contains("polar.csv, line 3"), "{message}");
        assert!(message.contains("allowed"), "{message}");
    }

    let (_folder, file) = folder(&VOYAGE.replace("30 00.0 S", "91 00.0 S"), POLAR);
    let message = complaint(&["compare", &file]);
    assert!(
        message.contains("voyage.toml:13") && message.contains("91"),
        "{message}"
    );

    // The middle of Australia has no ships' reports.
    let inland = VOYAGE
        .replace("30 00.0 S, 80", "25 00.0 S, 125")
        .replace("70 00.0 E", "140 00.0 E");
    let (_folder, file) = folder(&inland, POLAR);
    let message = complaint(&["compare", &file]);
    assert!(
        message.contains("route 'Out'") && message.contains("no wind data"),
        "{message}"
    );
}

#[test]
fn options_out_of_range_are_refused() {
    for (arguments, what) in [
        (&["compare", "--members", "0"][..], "--members"),
        (&["compare", "--members", "99000000"], "--members"),
        (&["compare", "--persistence", "0"], "--persistence"),
        (&["compare", "--persistence", "-5"], "--persistence"),
        (&["compare", "--persistence", "NaN"], "--persistence"),
        (&["compare", "--departure", "2027-02-30"], "--departure"),
        (&["compare", "--departure", "1492-08-03"], "--departure"),
        (&["season", "--every", "0"], "--every"),
        (&["legs", "--route", "Northabout"], "Northabout"),
    ] {
        let message = complaint(arguments);
        assert!(message.contains(what), "{arguments:?}: {message}");
    }
}

#[test]
fn a_wind_file_that_cannot_be_used_is_named() {
    let folder_of = |bytes: &[u8]| {
        let text = format!("{VOYAGE}\n[climate]\nfile = \"winds.nc\"\n");
        let (folder, file) = folder(&text, POLAR);
        fs::write(folder.path().join("winds.nc"), bytes).unwrap();
        (folder, file)
    };
    let (_folder, file) = folder_of(b"these are not winds");
    let message = complaint(&["compare", &file]);
    assert!(message.contains("winds.nc"), "{message}");

    let whole =
        fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/climate/ship-winds.nc"))
            .unwrap();
    let (_folder, file) = folder_of(&whole[..whole.len() / 2]);
    let message = complaint(&["compare", &file]);
    assert!(message.contains("winds.nc"), "{message}");

    // The program's own file, read as a user's, gives the program's own answer.
    let (_folder, own) = folder_of(&whole);
    let (_other, embedded) = folder(VOYAGE, POLAR);
    let days =
        |file: &str| json(&["compare", file, "--json"])["routes"][0]["expected"]["days"].clone();
    assert_eq!(days(&own), days(&embedded));
}

#[test]
fn a_season_runs_over_the_twelve_months_from_departure_or_a_year() {
    let few = ["season", "--every", "31", "--members", "20"];
    let days = |more: &[&str]| {
        let document = json(&[&few[..], more, &["--json"]].concat());
        let departures = document["departures"].as_array().unwrap().clone();
        let day = |departure: &Value| departure["date"].as_str().unwrap().to_owned();
        (
            day(&departures[0]),
            day(departures.last().unwrap()),
            document,
        )
    };
    let (first, last, document) = days(&["--departure", "2027-10-15"]);
    assert_eq!((&first[..], &last[..]), ("2027-10-15", "2028-09-20"));
    assert_eq!(document["routes"][0]["months"][0]["month"], 10);
    let (first, last, _) = days(&["--year", "2028"]);
    assert_eq!((&first[..], &last[..]), ("2028-01-01", "2028-12-07"));
    let message = complaint(&["season", "--year", "soon"]);
    assert!(
        message.contains("--year") && message.contains("such as 2028"),
        "{message}"
    );
}
