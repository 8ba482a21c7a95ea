//! `offing schema`: what `--json` prints keeps to the schema of it, and every command has one.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use jsonschema::{Draft, Validator};
use serde_json::{Map, Value};

use crate::command::offing;

/// What stands in a run's folder.
const FILES: [(&str, &str); 12] = [
    ("measured.toml", crate::measured::VOYAGE),
    (
        "polar.csv",
        include_str!("../../fixtures/demo/cutter-12m.csv"),
    ),
    ("slow.csv", SLOW),
    ("bare.toml", BARE),
    ("stalls.toml", STALLS),
    ("alone.toml", ALONE),
    ("stopping.toml", STOPPING),
    ("ports.toml", PORTS),
    ("typhoons.toml", TYPHOONS),
    ("year.toml", YEAR),
    ("log.csv", LOG_HEAD),
    ("fixes.csv", FIXES_HEAD),
];

/// A boat that makes next to nothing in any wind.
const SLOW: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn
14,45,0.01
14,90,0.02
14,180,0.02
15,45,0.01
15,90,0.02
15,180,0.02
";

/// No polar, no name, no engine, no crew; all three kinds of leg, one of them over Madagascar.
const BARE: &str = r#"
[voyage]
name = "Bare"
departure = 2027-05-01T09:00:00+08:00

[boat.generic]
waterline_length_m = 10.2
displacement_kg = 11000
sail_area_m2 = 80
rig = "ketch"
keel = "long"

[[route]]
name = "Over"

[[route.waypoint]]
name = "A"
position = "24 S, 50 E"

[[route.waypoint]]
name = "B"
position = "24 S, 42 E"
leg = "rhumb"

[[route.waypoint]]
name = "C"
position = "30 S, 60 E"
leg = "composite"
limit_latitude = 32

[[route.waypoint]]
name = "D"
position = "29 S, 62 E"
"#;

/// A crew who heave to in a breeze, have no engine, and so sit where they are.
const STALLS: &str = r#"
[voyage]
name = "Becalmed"
departure = 2027-05-01T09:00:00+08:00

[boat]
polar = "slow.csv"

[handling]
heave_to_kn = 15

[crew]
people = 2
kcal_per_day = 2400

[current]
use = "none"

[[route]]
name = "Nowhere"

[[route.waypoint]]
name = "A"
position = "20 S, 90 E"

[[route.waypoint]]
name = "B"
position = "20 S, 85 E"
"#;

/// From port to port.
const PORTS: &str = r#"
[voyage]
name = "Ports"
departure = 2027-05-01

[boat]
polar = "polar.csv"

[[route]]
name = "Direct"

[[route.waypoint]]
name = "Fremantle"
place = "Fremantle, Australia"

[[route.waypoint]]
name = "Durban"
place = "durban, za"
"#;

/// One person and a cat, in US units, with little water and less diesel, in years that no magnetic
/// model covers.
const ALONE: &str = r#"
[voyage]
name = "Alone"
departure = 2045-05-01
arrive_by = 2045-07-01

[boat]
name = "an invented boat"
polar = "polar.csv"

[boat.engine]
motor_speed_kn = 5
litres_per_hour = 2
fuel_litres = 10

[handling]
wait_up_to = "2 days"
motor_below_kn = 3

[[crew.person]]
name = "She"
kcal_per_day = 2400

[[crew.pet]]
name = "Cat"
animal = "cat"
mass = "5 kg"

[water]
tank = "20 L"

[output]
units = "us"

[[route]]
name = "Short"

[[route.waypoint]]
name = "A"
position = "20 S, 90 E"

[[route.waypoint]]
name = "B"
position = "20 S, 80 E"
"#;

/// A route with a stop, a deadline and prices.
const STOPPING: &str = r#"
[voyage]
name = "Stopping"
departure = 2027-05-01
arrive_by = 2027-05-20

[boat]
polar = "polar.csv"

[boat.engine]
motor_speed_kn = 5
litres_per_hour = 2
fuel_litres = 10

[handling]
wait_up_to = "2 days"
motor_below_kn = 3

[crew]
people = 2
kcal_per_day = 2400

[water]
tank = "20 L"

[prices]
diesel_per_litre = 1.5
harbour_per_day = 30

[[prices.at]]
place = "B"
diesel_per_litre = 1.2

[[route]]
name = "By way of B"

[[route.waypoint]]
name = "A"
position = "20 S, 90 E"

[[route.waypoint]]
name = "B"
position = "20 S, 85 E"
stay = "2 days"
resupply = ["diesel", "fresh food"]

[[route.waypoint]]
name = "C"
position = "20 S, 80 E"
"#;

/// A route with a stop where typhoons come all the year round, and a deadline that none keeps.
const TYPHOONS: &str = r#"
[voyage]
name = "Typhoons"
departure = 2027-08-01
arrive_by = 2027-08-03

[boat]
polar = "polar.csv"

[[route]]
name = "By way of B"

[[route.waypoint]]
name = "A"
position = "10 N, 145 E"

[[route.waypoint]]
name = "B"
position = "10 N, 140 E"
stay = "2 days"

[[route.waypoint]]
name = "C"
position = "10 N, 135 E"
"#;

/// Two stages with all that can be said of them, one way over Madagascar.
const YEAR: &str = r#"
[voyage]
name = "Year"
departure = 2027-05-01T09:00:00+08:00

[boat]
name = "an invented boat"

[boat.generic]
waterline_length_m = 10.2
displacement_kg = 11000
sail_area_m2 = 80
rig = "ketch"
keel = "long"

[boat.engine]
motor_speed_kn = 5
litres_per_hour = 2
fuel_litres = 10

[handling]
motor_below_kn = 3

[[stage]]
name = "One"
stay = "5 days"
arrive_by = 2027-05-24
leave_after = 2027-05-25
resupply = ["water", "fresh food"]

[[stage.route]]
name = "Direct"

[[stage.route.waypoint]]
name = "A"
position = "24 S, 56 E"

[[stage.route.waypoint]]
name = "B"
position = "24 S, 51 E"

[[stage]]
name = "Two"

[[stage.route]]
name = "Direct"

[[stage.route.waypoint]]
name = "B"
position = "24 S, 51 E"

[[stage.route.waypoint]]
name = "C"
position = "24 S, 42 E"

[[stage.route]]
name = "South about"

[[stage.route.waypoint]]
name = "B"
position = "24 S, 51 E"

[[stage.route.waypoint]]
name = "D"
position = "27 S, 46 E"

[[stage.route.waypoint]]
name = "C"
position = "24 S, 42 E"
"#;

const LOG_HEAD: &str = "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg,under_power\n";
const FIXES_HEAD: &str = "time,latitude,longitude,true_wind_speed_kn,true_wind_angle_deg\n";

const FEW: &[&str] = &["--members", "100"];

/// Runs for each name of a schema. Between them every name it has must get a value once.
const RUNS: &[(&str, &[&[&str]])] = &[
    (
        "compare",
        &[
            &["compare", "--strict"],
            &["compare", "bare.toml"],
            &["compare", "stalls.toml"],
            &["compare", "alone.toml"],
            &["compare", "stopping.toml"],
            &["compare", "--also", "built-in"],
            &["compare", "--real-year", "1983"],
            &["compare", "measured.toml"],
        ],
    ),
    (
        "legs",
        &[
            &["legs", "--route", "Direct"],
            &["legs", "bare.toml"],
            &["legs", "stalls.toml"],
            &["legs", "stopping.toml"],
            &["legs", "--departure", "2045-01-01"],
            &["legs", "--by", "5deg"],
            &["legs", "measured.toml", "--by", "5deg"],
        ],
    ),
    (
        "check",
        &[
            &["check", "bare.toml"],
            &["check", "alone.toml"],
            &["check", "ports.toml"],
            &["check", "year.toml"],
            &["check", "stalls.toml", "--strict"],
        ],
    ),
    (
        "shape",
        &[
            &["shape", "bare.toml", "--grid", "2", "--not-south-of", "33S"],
            &["shape", "alone.toml", "--grid", "2", "--tradeoff", "engine"],
            // A start a little inland.
            &[
                "shape",
                "alone.toml",
                "--grid",
                "5",
                "--from",
                "32 02 S, 115 50 E",
            ],
        ],
    ),
    (
        "boat",
        &[
            &["boat"],
            &["boat", "alone.toml"],
            &["boat", "bare.toml"],
            &["boat", "stalls.toml"],
        ],
    ),
    (
        "boat-fit",
        &[
            &["boat", "fit", "log.csv"],
            &["boat", "fit", "fixes.csv", "alone.toml"],
            &["boat", "fit", "log.csv", "bare.toml"],
        ],
    ),
    (
        "boat-learn",
        &[
            &["boat", "learn", "hours.csv", "--voyage", "bare.toml"],
            &["boat", "learn", "hours.csv", "--voyage", "alone.toml"],
        ],
    ),
    (
        "season",
        &[
            &["season", "--every", "30"],
            &["season", "stalls.toml", "--every", "30"],
            &["season", "bare.toml", "--every", "30"],
            &["season", "stopping.toml", "--year", "2027", "--every", "30"],
            &[
                "season",
                "typhoons.toml",
                "--every",
                "31",
                "--max-storm-chance",
                "0",
            ],
        ],
    ),
    (
        "season-plan",
        &[
            &["season", "year.toml", "--every", "10"],
            &[
                "season",
                "year.toml",
                "--departure",
                "2027-05-23",
                "--every",
                "30",
            ],
        ],
    ),
    (
        "years",
        &[
            &["years", "--departure", "2027-12-20"],
            &["years", "bare.toml"],
            &["years", "alone.toml"],
        ],
    ),
    (
        "climate",
        &[
            &["climate", "20 S, 80 E"],
            &["climate", "50 N, 30 W", "--month", "5"],
            &["climate", "--route", "Trades"],
            &["climate", "29 S, 80 E", "--climate", "my-winds.nc"],
        ],
    ),
    ("winds", &[&["winds", "series.nc", "--out", "w.nc"]]),
    (
        "stores",
        &[
            &["stores"],
            &["stores", "alone.toml", "--confidence", "95"],
            &["stores", "stalls.toml"],
            &["stores", "crewed.toml"],
            &["stores", "stopping.toml"],
        ],
    ),
];

/// What a good run prints, whatever it warns of.
fn printed(folder: &Path, arguments: &[&str]) -> String {
    let run = offing(folder, arguments).success();
    String::from_utf8(run.get_output().stdout.clone()).unwrap()
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    serde_json::from_str(&printed(folder, arguments)).unwrap()
}

/// A folder with the files in it, the logs with entries.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in FILES {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let crew = "[crew]\npeople = 2\nkcal_per_day = 2400\n";
    fs::write(folder.path().join("crewed.toml"), format!("{crew}{BARE}")).unwrap();
    let hour = |hour: i64| {
        let start: jiff::Timestamp = "2025-04-01T00:00:00Z".parse().unwrap();
        start + jiff::SignedDuration::from_hours(hour)
    };
    let (mut log, mut fixes) = (LOG_HEAD.to_owned(), FIXES_HEAD.to_owned());
    for entry in 0..90 {
        let (time, angle_deg) = (hour(entry), [50, 90, 140][entry as usize % 3]);
        let under_power = if entry % 10 == 9 { "yes" } else { "no" };
        log += &format!("{time},5.5,14,{angle_deg},{under_power}\n");
        let latitude_deg = -20.0 + 0.08 * entry as f64;
        fixes += &format!("{time},{latitude_deg:.2},90,14,90\n");
    }
    let mut hours = LOG_HEAD.to_owned();
    for entry in 0..240 {
        let (time, wind_kn) = (hour(entry), 6 + 2 * (entry % 9));
        let angle_deg = 45 + 15 * (entry % 10);
        let under_power = if entry % 10 == 9 { "yes" } else { "no" };
        let speed_kn = 2.0 + 0.2 * wind_kn as f64;
        hours += &format!("{time},{speed_kn:.1},{wind_kn},{angle_deg},{under_power}\n");
    }
    let series = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/reference/climate/series.nc");
    fs::copy(series, folder.path().join("series.nc")).unwrap();
    fs::write(folder.path().join("hours.csv"), hours).unwrap();
    fs::write(folder.path().join("log.csv"), log).unwrap();
    fs::write(folder.path().join("fixes.csv"), fixes).unwrap();
    folder
}

/// The schema, read as the draft it says it is; formats are held to as well.
fn validator(schema: &Value) -> Validator {
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    jsonschema::draft202012::meta::validate(schema).unwrap();
    jsonschema::options()
        .with_draft(Draft::Draft202012)
        .should_validate_formats(true)
        .build(schema)
        .unwrap()
}

fn complaints(validator: &Validator, document: &Value) -> Vec<String> {
    let errors = validator.iter_errors(document);
    errors
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

/// Every schema within a schema that has properties, with the place it stands.
fn objects<'a>(place: &str, schema: &'a Value, found: &mut Vec<(String, &'a Map<String, Value>)>) {
    match schema {
        Value::Object(members) => {
            if members.get("properties").is_some_and(Value::is_object) {
                found.push((place.to_owned(), members));
            }
            for (name, member) in members {
                objects(&format!("{place}/{name}"), member, found);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                objects(&format!("{place}/{index}"), item, found);
            }
        }
        _ => {}
    }
}

/// The key that is all of a record, as it is where a kind of thing is told by its key.
fn only_key(record: &Value) -> Option<&str> {
    let properties = record["properties"].as_object()?;
    let mut keys = properties.keys().filter(|_| properties.len() == 1);
    keys.next().map(String::as_str).filter(|key| *key != "kind")
}

/// The properties that a document gives a value, by the record they belong to.
fn met(root: &Value, schema: &Value, place: &str, value: &Value, seen: &mut BTreeSet<String>) {
    if let Some(reference) = schema["$ref"].as_str() {
        let pointer = reference.trim_start_matches('#');
        return met(root, root.pointer(pointer).unwrap(), pointer, value, seen);
    }
    for branch in schema["anyOf"].as_array().into_iter().flatten() {
        if !value.is_null() {
            met(root, branch, place, value, seen);
        }
    }
    // Of the kinds of a thing it is the one whose name the value has, as its `kind` or as its key.
    for (index, kind) in schema["oneOf"].as_array().into_iter().flatten().enumerate() {
        let by_name =
            value["kind"] == kind["properties"]["kind"]["const"] && value["kind"].is_string();
        let by_key = only_key(kind).is_some_and(|key| !value[key].is_null());
        if by_name || by_key {
            met(root, kind, &format!("{place}/oneOf/{index}"), value, seen);
        }
    }
    match value {
        Value::Object(members) => {
            for (name, member) in members.iter().filter(|(_, member)| !member.is_null()) {
                if let Some(property) = schema["properties"].get(name) {
                    seen.insert(format!("{place}/{name}"));
                    met(root, property, place, member, seen);
                }
            }
        }
        Value::Array(items) => {
            for item in items {
                met(root, &schema["items"], place, item, seen);
            }
        }
        _ => {}
    }
}

/// The commands that the help of a command lists; none where it lists none.
fn commands_in(help: &str) -> Vec<String> {
    let listed = help.split("\nCommands:\n").nth(1).unwrap_or_default();
    let lines = listed.lines().take_while(|line| !line.is_empty());
    lines
        .filter_map(|line| {
            line.strip_prefix("  ")
                .filter(|rest| !rest.starts_with(' '))
        })
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

/// The words of every command that takes `--json`, by the program's own help.
fn commands_with_json(folder: &Path, words: &[String], found: &mut Vec<Vec<String>>) {
    let mut arguments: Vec<&str> = words.iter().map(String::as_str).collect();
    arguments.push("--help");
    let help = printed(folder, &arguments);
    if help
        .lines()
        .any(|line| line.trim_start().starts_with("--json ") || line == "      --json")
    {
        found.push(words.to_vec());
    }
    for name in commands_in(&help) {
        commands_with_json(folder, &[words, &[name]].concat(), found);
    }
}

/// The records that a record of a schema is made of, and itself.
fn named_below(root: &Value, record: &str, named: &mut BTreeSet<String>) {
    if !named.insert(record.to_owned()) {
        return;
    }
    let text = root["$defs"][record].to_string();
    for part in text.split("\"#/$defs/").skip(1) {
        let name = part.split('"').next().unwrap_or_default();
        named_below(root, name, named);
    }
}

/// The schemas with a run in a climate that was measured.
const MEASURED: [&str; 3] = ["compare", "legs", "climate"];

/// Runs whose output must keep to the schema called `name`.
fn check_runs(name: &str) {
    let folder = folder();
    if MEASURED.contains(&name) {
        crate::measured::measure(folder.path());
    }
    let schema = json(folder.path(), &["schema", name]);
    let validator = validator(&schema);
    let mut seen = BTreeSet::new();
    let (_, runs) = RUNS.iter().find(|(known, _)| *known == name).unwrap();
    for &run in *runs {
        let drawn = matches!(
            name,
            "compare" | "legs" | "shape" | "season" | "season-plan" | "years" | "stores"
        );
        let few = if drawn { FEW } else { &[] };
        let document = json(folder.path(), &[run, few, &["--json"]].concat());
        let wrong = complaints(&validator, &document);
        assert!(wrong.is_empty(), "{run:?}\n{}", wrong.join("\n"));
        met(&schema, &schema, "", &document, &mut seen);
    }
    let mut unseen = Vec::new();
    let mut found = Vec::new();
    objects("", &schema, &mut found);
    for (place, object) in found {
        // A kind of thing that no run meets need not show its figures.
        let is_kind = object["properties"]["kind"].get("const").is_some();
        if is_kind && !seen.contains(&format!("{place}/kind")) {
            continue;
        }
        for property in object["properties"].as_object().unwrap().keys() {
            let property = format!("{place}/{property}");
            if !seen.contains(&property) {
                unseen.push(property);
            }
        }
    }
    // Only `stores` tries other motoring thresholds.
    if matches!(name, "compare" | "legs") {
        let tried = ["/ThresholdTrial/", "/DaysAndLitres/"];
        unseen.retain(|place| !tried.iter().any(|record| place.contains(record)));
    }
    // Only `compare` moves its assumptions.
    if matches!(name, "legs" | "shape") {
        let swung = [
            "/Swing/",
            "/SwungRoute/",
            "/SwungDifference/",
            "/SecondWinds/",
            "/second_winds",
        ];
        unseen.retain(|place| !swung.iter().any(|record| place.contains(record)));
    }
    // Only these sail a climate that was measured.
    if !MEASURED.contains(&name) {
        let measured = [
            "/counted",
            "/measured_wave_height_m",
            "/CountedBesideModel/",
        ];
        unseen.retain(|place| !measured.iter().any(|of| place.contains(of)));
    }
    // The year's plan is of a crew that leaves on the day.
    if name == "season-plan" {
        unseen.retain(|place| !place.ends_with("/waiting") && !place.contains("/WaitForWeather/"));
    }
    // Only `compare` sails one real year.
    if name != "compare" {
        unseen.retain(|place| !place.ends_with("/real_year"));
    }
    // No course is shaped beside a route with stops.
    if name == "shape" {
        let of_stops = [
            "/StageSpread/",
            "/ExpectedStop/",
            "/whole_days",
            "/in_harbour_days",
        ];
        unseen.retain(|place| !of_stops.iter().any(|record| place.contains(record)));
    }
    // A shaped course has no list of what to load, stalls nowhere and meets no land.
    if name == "shape" {
        let mut of_loading = BTreeSet::from(["Stall".to_owned()]);
        named_below(&schema, "RoutePlan", &mut of_loading);
        unseen.retain(|place| {
            let record = place.split('/').nth(2).unwrap_or_default();
            !of_loading.contains(record)
                && !["/loading", "/stalled"]
                    .iter()
                    .any(|end| place.ends_with(end))
        });
    }
    assert!(
        unseen.is_empty(),
        "no run of {name} gives a value to\n{}",
        unseen.join("\n")
    );
}

#[test]
fn compare_keeps_to_its_schema() {
    check_runs("compare");
}

#[test]
fn legs_keep_to_their_schema() {
    check_runs("legs");
}

#[test]
fn a_check_keeps_to_its_schema() {
    check_runs("check");
}

#[test]
fn a_shaped_course_keeps_to_its_schema() {
    check_runs("shape");
}

#[test]
fn a_boat_keeps_to_its_schema() {
    check_runs("boat");
}

#[test]
fn a_fit_keeps_to_its_schema() {
    check_runs("boat-fit");
}

#[test]
fn a_learned_polar_keeps_to_its_schema() {
    check_runs("boat-learn");
}

#[test]
fn years_keep_to_their_schema() {
    check_runs("years");
}

#[test]
fn a_years_plan_keeps_to_its_schema() {
    check_runs("season-plan");
}

#[test]
fn a_season_keeps_to_its_schema() {
    check_runs("season");
}

#[test]
fn a_climate_keeps_to_its_schema() {
    check_runs("climate");
}

#[test]
fn stores_keep_to_their_schema() {
    check_runs("stores");
}

#[test]
fn every_command_with_json_has_a_schema_and_runs() {
    let folder = tempfile::tempdir().unwrap();
    let mut found = Vec::new();
    commands_with_json(folder.path(), &[], &mut found);
    let mut commands: Vec<String> = found.iter().map(|words| words.join("-")).collect();
    let mut run: Vec<String> = RUNS.iter().map(|(name, _)| (*name).to_owned()).collect();
    // What `season` prints of a voyage with stages.
    commands.push("season-plan".to_owned());
    commands.sort();
    run.sort();
    assert_eq!(commands, run, "commands with --json, and those with runs");
    let mut listed: Vec<String> = {
        let help = printed(folder.path(), &["schema", "--help"]);
        let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
        let values = help.split("[possible values: ").nth(1).unwrap();
        let values = values.split(']').next().unwrap().split(',');
        values.map(|name| name.trim().to_owned()).collect()
    };
    listed.sort();
    commands.push("voyage".to_owned());
    commands.sort();
    assert_eq!(
        listed, commands,
        "schemas: of the commands with --json, and of the voyage file"
    );
    for words in found {
        let schema = json(folder.path(), &["schema", &words.join("-")]);
        assert_eq!(
            schema["title"],
            format!("offing {} --json", words.join(" "))
        );
    }
}

#[test]
fn every_schema_is_closed_and_explains_every_name() {
    let folder = tempfile::tempdir().unwrap();
    for (name, _) in RUNS {
        let schema = json(folder.path(), &["schema", name]);
        let mut found = Vec::new();
        objects("", &schema, &mut found);
        assert!(!found.is_empty());
        for (place, object) in found {
            let place = format!("{name}{place}");
            assert_eq!(object["additionalProperties"], false, "{place}");
            assert!(object["description"].is_string(), "{place}");
            let properties = object["properties"].as_object().unwrap();
            let required = object["required"].as_array().unwrap();
            assert_eq!(required.len(), properties.len(), "{place}");
            for (property, described) in properties {
                // The name of a kind is explained by what stands over its figures.
                let is_kind = property == "kind" && described.get("const").is_some();
                let described = if is_kind || place.contains("/oneOf/") && properties.len() == 1 {
                    &object["description"]
                } else {
                    &described["description"]
                };
                let text = described.as_str().unwrap_or_default();
                let whole = text.ends_with('.') && !text.contains('\n') && !text.contains("None");
                assert!(whole, "{place}/{property}: {text:?}");
            }
        }
    }
}

#[test]
fn a_document_that_departs_from_its_schema_is_seen() {
    let folder = folder();
    let validator = validator(&json(folder.path(), &["schema", "check"]));
    let sound = json(folder.path(), &["check", "bare.toml", "--json"]);
    assert_eq!(complaints(&validator, &sound), Vec::<String>::new());
    let changed = |change: &dyn Fn(&mut Value)| {
        let mut document = sound.clone();
        change(&mut document);
        complaints(&validator, &document)
    };
    let wrong = [
        changed(&|document| document["routes"][0]["colour"] = "red".into()),
        changed(&|document| document["routes"][0]["distance_nm"] = Value::Null),
        changed(&|document| document["voyage"]["departure"] = "1 May 2027".into()),
        changed(&|document| {
            document.as_object_mut().unwrap().remove("voyage");
        }),
    ];
    for complaints in wrong {
        assert_eq!(complaints.len(), 1, "{complaints:?}");
    }
}

#[test]
fn a_command_without_a_schema_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let run = offing(folder.path(), &["schema", "new"]).code(2);
    let output = run.get_output();
    assert!(output.stdout.is_empty());
    let message = String::from_utf8(output.stderr.clone()).unwrap();
    assert!(
        message.contains("invalid value 'new' for '<WHAT>'"),
        "{message}"
    );
}
