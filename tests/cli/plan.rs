//! `offing season` on a voyage with stages, and `--stage`.

use std::fs;
use std::path::Path;

use serde_json::Value;
use tempfile::TempDir;

use crate::command::{WIDTH, assert_shown, json, offing, printed, shown};

/// Most lines of a plan of three stages.
const MOST_LINES: usize = 40;
/// The largest page.
const MOST_BYTES: usize = 60_000;

/// The Pacific of the checks, the polar beside it.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let fixtures = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    let text = fs::read_to_string(fixtures.join("plan/pacific.toml")).unwrap();
    let text = text.replace("../demo/cutter-12m.csv", "polar.csv");
    fs::write(folder.path().join("year.toml"), text).unwrap();
    fs::copy(
        fixtures.join("demo/cutter-12m.csv"),
        folder.path().join("polar.csv"),
    )
    .unwrap();
    folder
}

const FEW: [&str; 6] = ["season", "year.toml", "--members", "100", "--every", "15"];

#[test]
fn a_years_plan_stands_on_one_screen() {
    let folder = folder();
    let text = printed(folder.path(), &FEW);
    assert!(text.lines().count() <= MOST_LINES, "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= WIDTH),
        "{text}"
    );
    assert_shown!("year_plan", folder.path(), shown(folder.path(), &FEW));
    let full = printed(folder.path(), &[&FEW[..], &["--full"]].concat());
    assert!(full.contains("\nCautions\n"));
    let full = full.replace("\n  ", " ");
    assert!(full.contains("then 14.0 days or more in harbour"), "{full}");
}

#[test]
fn the_files_of_a_plan_hold_what_was_tried_and_the_calendar() {
    let folder = folder();
    let files = ["--csv", "plan.csv", "--html", "plan.html"];
    let plan = json(folder.path(), &[&FEW[..], &files, &["--json"]].concat());
    let csv = fs::read_to_string(folder.path().join("plan.csv")).unwrap();
    // Six ways, 25 departures each.
    assert_eq!(csv.lines().count(), 1 + 6 * 25);
    let of_plan = |ending: &str| csv.lines().filter(|row| row.ends_with(ending)).count();
    assert_eq!(of_plan(",time") + of_plan(",time and hardship"), 3, "{csv}");
    let page = fs::read_to_string(folder.path().join("plan.html")).unwrap();
    assert!(page.len() < MOST_BYTES, "{}", page.len());
    assert_eq!(page.matches("<svg id=\"calendar-").count(), 2);
    assert!(!page.contains("<script") && page.contains("The skipper decides."));
    let stages = plan["by_time"]["stages"].as_array().unwrap();
    for pair in stages.windows(2) {
        let day = |stage: &Value, name: &str| stage[name].as_str().unwrap().to_owned();
        assert!(day(&pair[1], "departure") >= day(&pair[0], "ready"));
    }
}

#[test]
fn a_stage_is_compared_as_the_voyage_with_its_routes() {
    let folder = folder();
    let whole = fs::read_to_string(folder.path().join("year.toml")).unwrap();
    let (head, stages) = whole.split_once("[[stage]]").unwrap();
    let stage = stages.split("[[stage]]").nth(1).unwrap();
    let (_, ways) = stage.split_once("[[stage.route]]").unwrap();
    let alone = format!(
        "{head}[[route]]{}",
        ways.replace("[[stage.route", "[[route")
    );
    fs::write(folder.path().join("alone.toml"), alone).unwrap();
    let routes = |run: &[&str]| {
        let run = [run, &["--members", "100", "--json"]].concat();
        json(folder.path(), &run)["routes"].clone()
    };
    let picked = routes(&["compare", "year.toml", "--stage", "Marquesas to Tonga"]);
    assert_eq!(picked, routes(&["compare", "alone.toml"]));
    assert_eq!(picked.as_array().unwrap().len(), 2);
}

#[test]
fn the_same_seed_gives_the_same_plan_on_one_thread() {
    let folder = folder();
    let run = [&FEW[..], &["--json"]].concat();
    let many = printed(folder.path(), &run);
    let mut command = assert_cmd::Command::cargo_bin("offing").unwrap();
    command
        .current_dir(folder.path())
        .env("RAYON_NUM_THREADS", "1");
    let one = command.args(&run).assert().success();
    assert_eq!(many.as_bytes(), one.get_output().stdout);
}

#[test]
fn a_plan_that_cannot_be_says_so_and_is_no_error() {
    let folder = folder();
    let path = folder.path().join("year.toml");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("2027-11-30", "2027-03-10")).unwrap();
    let run = offing(
        folder.path(),
        &[&FEW[..], &["--html", "plan.html"]].concat(),
    )
    .success();
    let said = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    let said = said.replace('\n', " ");
    assert!(
        said.contains("No plan: stage 'Tonga to New Zealand' is not at Opua by 10 Mar 2027"),
        "{said}"
    );
    let page = fs::read_to_string(folder.path().join("plan.html")).unwrap();
    assert!(page.contains("No plan: stage") && !page.contains("<svg"));
}

/// A stop on the way, and a day to be at the end of it.
const STOPPING: &str = r#"
[voyage]
name = "Stopping"
departure = 2027-01-01
arrive_by = 2027-10-01

[boat]
polar = "polar.csv"

[[route]]
name = "By B"
[[route.waypoint]]
name = "A"
position = "12 S, 80 E"
[[route.waypoint]]
name = "B"
position = "18 S, 65 E"
stay = "12 days"
[[route.waypoint]]
name = "C"
position = "28 S, 48 E"
"#;

/// The season of [`STOPPING`] with another day to arrive by.
fn stopping(by: &str, more: &[&str]) -> (TempDir, Vec<String>) {
    let folder = folder();
    let text = STOPPING.replace("2027-10-01", by);
    fs::write(folder.path().join("stopping.toml"), text).unwrap();
    let run = [
        "season",
        "stopping.toml",
        "--members",
        "100",
        "--every",
        "15",
    ];
    let run = run.iter().chain(more).map(|word| (*word).to_owned());
    (folder, run.collect())
}

fn words(run: &[String]) -> Vec<&str> {
    run.iter().map(String::as_str).collect()
}

#[test]
fn the_latest_departure_in_time_is_that_counted_by_hand() {
    let (folder, run) = stopping("2027-10-01", &["--json", "--csv", "season.csv"]);
    let season = json(folder.path(), &words(&run));
    let departures = season["departures"].as_array().unwrap();
    let ensemble = |departure: &Value| departure["routes"][0]["ensemble"].clone();
    let last = |keeps: &dyn Fn(&Value) -> bool| {
        let kept = departures.iter().filter(|one| keeps(&ensemble(one)));
        kept.last().map(|one| one["date"].clone())
    };
    let in_time = |one: &Value| one["late"][0]["chance"].as_f64().unwrap() <= 0.1;
    let clear = |one: &Value| {
        let mut stages = one["stages"].as_array().unwrap().iter();
        stages.all(|stage| stage["storm_chance"].as_f64().unwrap() <= 0.05)
    };
    let keeping = &season["routes"][0]["keeping"];
    assert_eq!(
        Some(&keeping["deadlines"]["latest"]),
        last(&in_time).as_ref()
    );
    let both = last(&|one| in_time(one) && clear(one));
    assert_eq!(Some(&keeping["latest"]), both.as_ref());
    let spans = keeping["storms"]["departures"].as_array().unwrap();
    let within = |date: &str| {
        spans.iter().any(|span| {
            let [first, last] = ["first", "last"].map(|end| span[end].as_str().unwrap());
            (first..=last).contains(&date)
        })
    };
    for departure in departures {
        let date = departure["date"].as_str().unwrap();
        assert_eq!(within(date), clear(&ensemble(departure)), "{date}");
    }
    let csv = fs::read_to_string(folder.path().join("season.csv")).unwrap();
    assert!(
        csv.lines()
            .next()
            .unwrap()
            .ends_with("late_chance,stage_storm_chance")
    );
}

#[test]
fn a_season_says_what_keeps_the_deadline_and_what_fails() {
    let (folder, run) = stopping("2027-10-01", &[]);
    let short = printed(folder.path(), &words(&run));
    assert!(
        short.contains("By B: leave by ") && short.contains("in nine cases of ten"),
        "{short}"
    );
    let full = printed(
        folder.path(),
        &words(&[run, vec!["--full".to_owned()]].concat()),
    );
    // In June every departure keeps all, in November none.
    assert!(
        full.contains("\nJune *") && full.contains("\nNovember  "),
        "{full}"
    );
    assert!(full.contains("Behind a month: * every departure"), "{full}");

    let (folder, run) = stopping("2027-01-10", &["--max-storm-chance", "0"]);
    let said = printed(folder.path(), &words(&run)).replace("\n  ", " ");
    assert!(
        said.contains(
            "By B: no departure keeps every deadline in nine cases of ten. Leaving 1 Jan 2027"
        ),
        "{said}"
    );
    assert!(
        said.contains("is late at C (by 10 Jan 2027, stage 2)"),
        "{said}"
    );
}
