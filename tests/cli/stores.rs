//! `offing stores` as a crew runs it: what it prints, what it writes, what it refuses.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;

use crate::command;

/// The terminal's width.
const WIDTH: usize = 80;
/// Few passages: these tests are about the list, not about the spread.
const MEMBERS: &str = "200";

/// What is to be loaded, in a route's plan.
const TO_LOAD: [&str; 3] = [
    "/fuel/chosen/to_load_litres",
    "/food/to_load_kg",
    "/water/to_load_litres",
];

/// Relative; more than reading a number back loses, less than any figure shows.
const LAST_BIT: f64 = 1e-12;

const ROUTE: &str = r#"
[[route]]
name = "North about"

[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 40.0 E"

[[route.waypoint]]
name = "Off Rodrigues"
position = "20 20.0 S, 63 30.0 E"
"#;

const POLAR: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn
6,45,3
6,90,4
6,180,3
20,45,5
20,90,7
20,180,6
";

/// A sound voyage of the test's own, less its crew and stores.
const VOYAGE: &str = r#"[voyage]
name = "A crossing"
departure = 2027-05-01

[boat]
polar = "polar.csv"

[boat.engine]
motor_speed_kn = 5
litres_per_hour = 2
fuel_litres = 200

[handling]
motor_below_kn = 2
"#;

const CREW: &str = r#"
[crew]
people = 2
sex = "female"
age_years = 25
mass = "55 kg"

[water]
tank = "500 L"
"#;

fn offing(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_offing"));
    command.args(arguments).args(["--members", MEMBERS]);
    command
}

fn stdout(mut command: Command) -> String {
    let output = command.assert().success().get_output().stdout.clone();
    String::from_utf8(output).unwrap()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&stdout(offing(arguments))).unwrap()
}

/// A folder with a voyage of these tables in it, and the voyage file's path.
fn folder_with(stores: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("polar.csv"), POLAR).unwrap();
    let file = folder.path().join("voyage.toml");
    fs::write(&file, format!("{VOYAGE}{stores}{ROUTE}")).unwrap();
    let file = file.display().to_string();
    (folder, file)
}

/// What goes wrong with a voyage of these tables; nothing may have been written.
fn refusal(stores: &str, arguments: &[&str]) -> String {
    let (folder, file) = folder_with(stores);
    let csv = folder.path().join("out.csv");
    let csv_text = csv.display().to_string();
    let mut command = offing(&["stores", &file, "--csv", &csv_text]);
    let output = command
        .args(arguments)
        .assert()
        .code(2)
        .get_output()
        .clone();
    assert!(output.stdout.is_empty(), "something was printed");
    assert!(!csv.exists(), "something was written");
    String::from_utf8(output.stderr).unwrap()
}

fn plans(document: &Value) -> Vec<&Value> {
    let routes = document["routes"].as_array().unwrap();
    routes
        .iter()
        .map(|route| &route["loading"]["planned"])
        .collect()
}

/// A figure as the text has it.
fn figure(value: f64) -> String {
    if value.abs() >= 99.95 {
        let digits = format!("{value:.0}");
        match digits.len() {
            4.. => format!(
                "{},{}",
                &digits[..digits.len() - 3],
                &digits[digits.len() - 3..]
            ),
            _ => digits,
        }
    } else if value.abs() >= 0.995 || value == 0.0 {
        format!("{value:.1}").trim_end_matches(".0").to_owned()
    } else {
        format!("{value:.2}")
    }
}

#[test]
fn without_a_file_the_demonstration_is_provided_for() {
    let text = stdout(offing(&["stores", "--full"]));
    for section in [
        "Days to provide for",
        "Diesel",
        "Water",
        "Power",
        "Food",
        "Service and spares",
        "Watches and sleep",
        "Before acting on it",
        "Cautions",
    ] {
        let count = text.lines().filter(|line| *line == section).count();
        let expected = if section == "Cautions" { 1 } else { 2 };
        assert_eq!(count, expected, "'{section}' for each route");
    }
    for words in [
        "Trades: to load for 90 % of passages",
        "To buy, in the order to use it",
        "The skipper decides",
        "minimums, not targets",
        "Two of each?",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn the_demonstration_as_it_is_printed() {
    let arguments = ["stores", "--route", "Trades", "--members", MEMBERS];
    let text = command::shown(Path::new("."), &arguments);
    command::assert_shown!("demo_stores", Path::new("."), text);
    let arguments = [
        "stores",
        "--route",
        "Trades",
        "--members",
        MEMBERS,
        "--full",
    ];
    let text = command::shown(Path::new("."), &arguments);
    command::assert_shown!("demo_stores_full", Path::new("."), text);
}

/// The lines that two routes' stores may fill before `--full` is asked for.
const PAGE: usize = 45;

#[test]
fn two_routes_fit_on_one_page_that_says_what_does_not_fit() {
    let text = stdout(offing(&["stores"]));
    let lines = text.lines().count();
    assert!(lines <= PAGE, "{lines} lines:\n{text}");
    for words in [
        "Days at sea, as provided for",
        "Diesel to load",
        "tanks and cans give",
        "Water in tanks and bottles",
        "room in lockers",
        "Diesel that does not fit: Trades ",
        "(this voyage)",
        "Spares: engine oil",
        "Cautions: ",
        "the skipper decides",
        "--full",
    ] {
        assert!(text.contains(words), "'{words}' in:\n{text}");
    }
    let document = json(&["stores", "--json"]);
    let row = text.lines().find(|line| line.starts_with("Diesel to load"));
    for plan in plans(&document) {
        let fuel = &plan["fuel"];
        let [need, short] = ["/chosen/to_load_litres", "/shortfall_litres"]
            .map(|there| fuel.pointer(there).unwrap().as_f64().unwrap());
        let over = if fuel["chosen"]["is_least"] == true {
            "over "
        } else {
            ""
        };
        let cell = format!(" {over}{} L ({short:.0} short)", figure(need));
        assert!(row.unwrap().contains(&cell), "{cell} in {row:?}");
        // Every threshold's passage against the tanks, whichever of them it does not fit.
        for tried in fuel["thresholds"].as_array().unwrap() {
            let slow = &tried["chosen"];
            let [days, litres] = ["days", "litres"].map(|what| slow[what].as_f64().unwrap());
            let lacks = litres - fuel["usable_litres"].as_f64().unwrap();
            let cell = format!("{} d, {} L", figure(days), figure(litres));
            let short = match lacks {
                ..=0.0 => String::new(),
                // Less than ten litres have decimals.
                ..9.95 => format!(" ({} short)", figure(lacks)),
                _ => format!(" ({lacks:.0} short)"),
            };
            assert!(text.contains(&(cell.clone() + &short)), "{cell}{short}");
        }
    }
}

#[test]
fn the_page_says_that_all_fits_or_that_it_is_not_known() {
    let fitting = CREW.replace("500 L", "5000 L");
    let (_folder, file) = folder_with(&fitting);
    let text = fs::read_to_string(&file).unwrap();
    fs::write(
        &file,
        text.replace("fuel_litres = 200", "fuel_litres = 5000"),
    )
    .unwrap();
    let page = stdout(offing(&["stores", &file]));
    assert!(
        page.contains("Diesel and water fit tanks, cans and bottles."),
        "{page}"
    );
    let (_folder, file) = folder_with(&CREW.replace("[water]\ntank = \"500 L\"\n", ""));
    let page = stdout(offing(&["stores", &file]));
    assert!(
        page.contains("Whether the water fits is not known"),
        "{page}"
    );
    assert!(page.contains("not known"), "{page}");
}

#[test]
fn drinking_and_cooking_is_4_litres_unless_the_crew_writes_another() {
    let people_and_days = |document: &Value| {
        let days = plans(document)[0]["days"]["water_days"].as_f64().unwrap();
        2.0 * days
    };
    for (key, litres) in [("", 4.0), ("per_person_day = \"6.5 L\"\n", 6.5)] {
        let (_folder, file) = folder_with(&format!("{CREW}{key}"));
        let document = json(&["stores", &file, "--json"]);
        let least = plans(&document)[0]["water"]["tank_minimum_litres"].as_f64();
        let expected = litres * people_and_days(&document);
        assert!(
            (least.unwrap() - expected).abs() < 1e-9,
            "{least:?}, {expected}"
        );
        let full = stdout(offing(&["stores", &file, "--full"]));
        let said = full.split_whitespace().collect::<Vec<_>>().join(" ");
        let published = "2.5 to 3 L for drinking, 3 to 6 L for cooking, 2 to 6 L for washing, 7.5 \
                         to 15 L in all (Sphere handbook 2011, basic water needs (seen \
                         second-hand))";
        assert!(said.contains(published), "{said}");
        assert!(said.contains(&format!(
            "{litres} L for each person and day is to drink and cook"
        )));
    }
}

#[test]
fn compare_never_shows_what_dry_tanks_gave_as_if_it_were_enough() {
    let (folder, file) = folder_with(&CREW.replace("500 L", "50 L"));
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("fuel_litres = 200", "fuel_litres = 10")).unwrap();
    let csv = folder.path().join("routes.csv");
    let csv_path = csv.display().to_string();
    let text = stdout(offing(&["compare", "--full", &file, "--csv", &csv_path]));
    let document = json(&["compare", &file, "--json"]);
    let route = &document["routes"][0];
    // Nine tenths of ten litres can be pumped, and more than one passage in ten ran dry.
    assert!(route["ensemble"]["chance"]["dry_tanks"].as_f64().unwrap() > 0.1);
    let row = |begins: &str| {
        let row = text.lines().find(|line| line.starts_with(begins));
        row.unwrap_or_else(|| panic!("{begins} in\n{text}"))
            .to_owned()
    };
    assert!(row("Diesel burnt, P90").ends_with(" over 9 L"), "{text}");
    let plan = &route["loading"]["planned"];
    let diesel = plan["fuel"]["shortfall_litres"].as_f64().unwrap();
    let water = plan["water"]["shortfall_litres"].as_f64().unwrap();
    for (name, short) in [("  diesel ", diesel), ("  water ", water)] {
        let said = format!(" L ({short:.0} short)");
        assert!(row(name).ends_with(&said), "{}: {said}", row(name));
    }
    assert!(row("  diesel ").contains(" over "), "{}", row("  diesel "));
    let mut reader = csv::Reader::from_path(&csv).unwrap();
    let heading = reader.headers().unwrap().clone();
    let cells = reader.records().next().unwrap().unwrap();
    for column in [
        "diesel_p90_litres",
        "load_diesel_litres",
        "load_water_litres",
    ] {
        let at = heading.iter().position(|name| name == column).unwrap();
        assert!(cells[at].parse::<f64>().is_ok(), "{column}: {}", &cells[at]);
    }
}

#[test]
fn us_units_and_fahrenheit_reach_stores_compare_and_the_page() {
    let output = "\n[output]\nunits = \"us\"\ntemperature = \"fahrenheit\"\n";
    let (folder, us) = folder_with(&format!("{CREW}{output}"));
    let html = folder.path().join("routes.html");
    let compared = stdout(offing(&[
        "compare",
        "--full",
        &us,
        "--html",
        &html.display().to_string(),
    ]));
    let shown = [
        stdout(offing(&["stores", &us])),
        stdout(offing(&["stores", &us, "--full"])),
        compared.clone(),
    ];
    for text in &shown {
        for metric in [" L ", " L\n", " kg ", " kg\n", "litres", "°C", " m "] {
            assert!(!text.contains(metric), "'{metric}' in\n{text}");
        }
    }
    // 180 L of 200, by 231 cubic inches a gallon.
    for text in &shown[1..] {
        assert!(text.contains("47.6 US gal of diesel usable"), "{text}");
    }
    let air = json(&["compare", &us, "--json"]);
    let air = air["routes"][0]["expected"]["air_temperature_c"]["mean"].as_f64();
    let expected = format!(" {:.0} °F", air.unwrap() * 9.0 / 5.0 + 32.0);
    let row = compared.lines().find(|line| line.starts_with("Air, mean"));
    assert!(row.unwrap().ends_with(&expected), "{row:?}: {expected}");
    let page = fs::read_to_string(&html).unwrap();
    assert!(page.contains("47.6 US gal of diesel usable") && page.contains(expected.trim()));
    assert!(!page.contains(" litres of diesel usable"));
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    let long = "name = \"A crew member whose name is quite a bit longer than others are\"";
    let crew = CREW
        .replace("people = 2\n", "")
        .replace("[crew]", &format!("[[crew.person]]\n{long}"));
    let (_folder, file) = folder_with(&crew);
    for text in [
        stdout(offing(&["stores"])),
        stdout(offing(&["stores", "--full"])),
        stdout(offing(&["stores", &file])),
        stdout(offing(&["stores", &file, "--full"])),
        stdout(offing(&["compare", "--full", &file])),
    ] {
        for line in text.lines() {
            assert!(line.chars().count() <= WIDTH, "{line}");
            assert_eq!(line.trim_end(), line, "blanks at the end");
        }
    }
}

#[test]
fn every_line_of_the_text_has_the_figure_of_the_json() {
    let text = stdout(offing(&["stores", "--route", "Direct", "--full"]));
    let document = json(&["stores", "--route", "Direct", "--json"]);
    let plan = plans(&document)[0];
    let mut compared = 0;
    for subject in [
        "days", "fuel", "water", "power", "food", "service", "watches",
    ] {
        let lines = plan[subject]["lines"].as_array().unwrap().iter();
        let lines = lines.map(|line| (line, "quantity", line["unit"].as_str().unwrap()));
        // The food to buy has a table of its own.
        let food = plan[subject]["provisions"].as_array().into_iter().flatten();
        for (line, quantity, unit) in lines.chain(food.map(|food| (food, "mass_kg", "kg"))) {
            let quantity = line[quantity].as_f64().unwrap();
            // Turns on watch are a count without a unit.
            let ends = match (subject, unit) {
                ("watches", "pcs") => String::new(),
                _ => format!(" {unit}"),
            };
            // JSON read back may be off in the last bit, and fall on the other side of a half.
            let amounts = [1.0 - LAST_BIT, 1.0 + LAST_BIT]
                .map(|near| format!(" {}{ends}", figure(quantity * near)));
            // A kind of food whose name fills two lines of its table has its figures on the first.
            let name = line["name"].as_str().unwrap_or_default();
            let begins = &name[..name.len().min(20)];
            let found = text.lines().any(|row| {
                (row.contains(begins) && amounts.iter().any(|amount| row.contains(amount)))
                    || amounts
                        .iter()
                        .any(|amount| row.contains(&format!(":{amount}")))
            });
            assert!(found, "{subject}: {line} is {}", amounts[0]);
            assert!(line["basis"]["status"].is_string());
            compared += 1;
        }
    }
    assert!(compared > 70, "{compared} lines");
}

#[test]
fn the_same_call_prints_the_same() {
    let call = ["stores", "--json", "--seed", "7"];
    assert_eq!(stdout(offing(&call)), stdout(offing(&call)));
}

#[test]
fn more_confidence_never_means_less_to_load() {
    let at = |percent: &str| json(&["stores", "--json", "--confidence", percent]);
    let (mut below, mut differs) = (at("50"), false);
    for percent in ["75", "95", "99"] {
        let above = at(percent);
        for (low, high) in plans(&below).into_iter().zip(plans(&above)) {
            assert_eq!(high["chosen"]["percent"], percent.parse::<f64>().unwrap());
            let tried = |plan: &Value| {
                let rows = plan["fuel"]["thresholds"].as_array().unwrap();
                rows[1]["chosen"]["days"].as_f64().unwrap()
            };
            assert!(tried(high) > tried(low), "the table of thresholds too");
            for what in TO_LOAD {
                let amount = |plan: &Value| plan.pointer(what).unwrap().as_f64().unwrap();
                assert!(amount(high) >= amount(low), "{what} at {percent} %");
                differs |= amount(high) > amount(low);
            }
        }
        below = above;
    }
    assert!(differs, "some percentile asks for more");
}

#[test]
fn a_gentler_threshold_costs_days_and_saves_diesel() {
    let document = json(&["stores", "--json"]);
    for plan in plans(&document) {
        let rows = plan["fuel"]["thresholds"].as_array().unwrap();
        assert_eq!(
            rows.len(),
            6,
            "never, and five thresholds of which one is the voyage's own"
        );
        assert!(rows[0]["motor_below_kn"].is_null(), "never comes first");
        for pair in rows.windows(2) {
            let median = |row: &Value, what: &str| row["p50"][what].as_f64().unwrap();
            assert!(median(&pair[1], "days") <= median(&pair[0], "days"));
            assert!(median(&pair[1], "litres") >= median(&pair[0], "litres"));
        }
    }
}

#[test]
fn one_route_only_if_asked() {
    let text = stdout(offing(&["stores", "--route", "Trades", "--full"]));
    assert!(text.contains("Trades: to load") && !text.contains("Direct"));
    let mut command = offing(&["stores", "--route", "Roundabout"]);
    let output = command.assert().code(2).get_output().clone();
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("its routes: Trades, Direct"), "{message}");
}

#[test]
fn the_csv_has_a_row_a_line() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("stores.csv");
    let path = file.display().to_string();
    let document = json(&["stores", "--json", "--csv", &path]);
    let mut expected: Vec<(&str, &Value, f64)> = Vec::new();
    for plan in plans(&document) {
        for subject in [
            "days", "fuel", "water", "power", "food", "service", "watches",
        ] {
            let lines = plan[subject]["lines"].as_array().unwrap().iter();
            expected.extend(lines.map(|line| {
                let quantity = line["quantity"].as_f64().unwrap();
                (subject, &line["item"], quantity)
            }));
        }
        let food = plan["food"]["provisions"].as_array().unwrap().iter();
        expected
            .extend(food.map(|food| ("food", &food["name"], food["mass_kg"].as_f64().unwrap())));
    }
    let mut reader = csv::Reader::from_path(Path::new(&path)).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), expected.len());
    for (row, (subject, item, quantity)) in rows.iter().zip(expected) {
        assert_eq!(row[1], *subject);
        let item = item.as_str().unwrap();
        assert!([&row[2], &row[3]].contains(&item), "{row:?}: {item}");
        assert_eq!(row[4], format!("{quantity:.4}"));
    }
}

#[test]
fn compare_says_what_to_load_where_there_is_a_crew() {
    let (_folder, file) = folder_with(CREW);
    let text = stdout(offing(&["compare", "--full", &file]));
    let listed = json(&["stores", &file, "--json"]);
    let compared = json(&["compare", &file, "--json"]);
    let plan = plans(&listed)[0];
    let to_load = plans(&compared)[0];
    assert_eq!(to_load["chosen"]["percent"], 90.0);
    for (what, there) in ["diesel", "food", "water"].into_iter().zip(TO_LOAD) {
        let amount = plan.pointer(there).unwrap();
        assert_eq!(to_load.pointer(there), Some(amount), "{what}");
        let amount = figure(amount.as_f64().unwrap());
        let begins = format!("  {what} ");
        let row = text.lines().find(|line| line.starts_with(&begins)).unwrap();
        assert!(row.contains(&amount), "{row}: {amount}");
    }
    let (_folder, file) = folder_with("");
    assert!(!stdout(offing(&["compare", "--full", &file])).contains("Stores to load"));
    assert!(json(&["compare", &file, "--json"])["routes"][0]["loading"].is_null());
}

#[test]
fn us_units_are_one_choice_for_all_output() {
    let (_folder, metric) = folder_with(CREW);
    let in_us = format!("{CREW}\n[output]\nunits = \"us\"\n");
    let (_other, us) = folder_with(&in_us);
    let document = |file: &str| json(&["stores", file, "--json"])["routes"].clone();
    assert_eq!(document(&metric), document(&us), "JSON is metric");
    let water = |text: &str| {
        let mut rows = text.lines();
        let row = rows
            .find(|line| line.starts_with("Emergency water "))
            .unwrap();
        row["Emergency water".len()..]
            .split("  ")
            .find(|cell| !cell.is_empty())
            .unwrap()
            .trim()
            .to_owned()
    };
    // 6 L, by 231 cubic inches a gallon.
    assert_eq!(
        water(&stdout(offing(&["stores", &metric, "--full"]))),
        "6 L"
    );
    assert_eq!(
        water(&stdout(offing(&["stores", &us, "--full"]))),
        "1.6 US gal"
    );
    let text = stdout(offing(&["stores", &us, "--full"]));
    assert!(
        !text.contains(" kg ") && !text.contains(" L "),
        "litres or kilograms are left"
    );
}

#[test]
fn the_engine_burns_what_the_pump_can_reach() {
    let (_folder, file) = folder_with(CREW);
    let text = fs::read_to_string(&file).unwrap();
    let supply = "fuel = \"50 US gal\"\nusable_share = 0.8\ncans = \"20 L\"";
    fs::write(&file, text.replace("fuel_litres = 200", supply)).unwrap();
    let document = json(&["stores", &file, "--json"]);
    let usable = plans(&document)[0]["fuel"]["usable_litres"]
        .as_f64()
        .unwrap();
    let expected = 0.8 * 50.0 * 3.785_411_784 + 20.0;
    assert!(
        (usable - expected).abs() < 1e-9,
        "{usable}, expected {expected}"
    );
    let heading = stdout(offing(&["compare", "--full", &file]));
    assert!(
        heading.contains("171 litres of diesel"),
        "the same for the passage"
    );
}

#[test]
fn the_propeller_law_says_what_the_engine_burns() {
    let (_folder, file) = folder_with(CREW);
    let text = fs::read_to_string(&file).unwrap();
    let power = "power_kw = 20\npower_speed_kn = 7";
    fs::write(&file, text.replace("litres_per_hour = 2", power)).unwrap();
    let document = json(&["stores", &file, "--json"]);
    let lines = plans(&document)[0]["fuel"]["lines"].as_array().unwrap();
    let (how, under_power) = (&lines[0], &lines[1]);
    let burn = under_power["rate"]["value"].as_f64().unwrap();
    // 20 kW x (5 / 7)^3 x 250 g/kWh / 0.84 kg/L.
    let expected = 20.0 * (5.0f64 / 7.0).powi(3) * 0.25 / 0.84;
    assert!(
        (burn - expected).abs() < 1e-9,
        "{burn}, expected {expected}"
    );
    assert_eq!(how["quantity"].as_f64(), Some(burn));
    let rule = &how["rule"];
    assert_eq!(rule["kind"], "propeller-law");
    assert_eq!(
        (&rule["power_kw"], &rule["speed_kn"]),
        (&20.0.into(), &7.0.into())
    );
    assert_eq!(rule["consumption_g_per_kwh"]["value"], 250.0);
    let text_of = |file: &str| stdout(offing(&["stores", file, "--full"])).replace("\n      ", " ");
    let printed = text_of(&file);
    assert!(
        printed.contains(
            "20 kW at 7 kn x (5 / 7)^3 x 250 g/kWh (engine makers' sheets, 210 to 270 g/kWh (from \
             memory)) / 0.84 kg/L (EN 590, 0.82 to 0.845 kg/L (from memory))"
        ),
        "{printed}"
    );
    let given = text.replace(
        "litres_per_hour = 2",
        &format!("{power}\ndensity_kg_per_litre = 0.84"),
    );
    fs::write(&file, given).unwrap();
    let printed = text_of(&file);
    assert!(
        printed.contains("/ 0.84 kg/L (given by the crew)"),
        "{printed}"
    );
}

#[test]
fn a_tank_too_small_is_a_warning_with_the_shortfall() {
    let crew = CREW.replace("500 L", "100 L");
    let (_folder, file) = folder_with(&crew);
    let document = json(&["stores", &file, "--json"]);
    let plan = plans(&document)[0];
    let short = plan["water"]["shortfall_litres"].as_f64().unwrap();
    let least = plan["water"]["tank_minimum_litres"].as_f64().unwrap();
    assert!(short > 0.0 && (least - 100.0 - short).abs() < 1e-9);
    let warned = plan["cautions"]
        .as_array()
        .unwrap()
        .iter()
        .any(|caution| caution["short_litres"].as_f64() == Some(short));
    assert!(warned);
    let text = stdout(offing(&["stores", &file, "--full"]));
    let words: Vec<&str> = text.split_whitespace().collect();
    let said = format!("short by {} L.", figure(short));
    assert!(words.join(" ").contains(&said), "{text}");
}

#[test]
fn passages_that_do_not_arrive_are_said_and_no_error() {
    let (_folder, file) = folder_with(CREW);
    let text = fs::read_to_string(&file).unwrap();
    // She heaves to in a breeze, has no engine, and so sits where she is.
    let engine = text.find("[boat.engine]").unwrap()..text.find("[handling]").unwrap();
    let mut becalmed = text.clone();
    becalmed.replace_range(engine, "");
    let becalmed = becalmed.replace("motor_below_kn = 2", "heave_to_kn = 15");
    let slow = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn
14,45,0.1
14,90,0.2
14,180,0.2
15,45,0.1
15,90,0.2
15,180,0.2
";
    fs::write(Path::new(&file).with_file_name("polar.csv"), slow).unwrap();
    fs::write(&file, becalmed).unwrap();
    let document = json(&["stores", &file, "--json"]);
    let route = &document["routes"][0];
    let too_few = &route["loading"]["too-few-arrive"];
    assert_eq!(too_few["confidence_percent"], 90.0);
    let text = stdout(offing(&["stores", &file]));
    assert!(text.contains("North about: no list."), "{text}");
    assert!(stdout(offing(&["compare", "--full", &file])).contains("too few arrive"));
}

#[test]
fn bad_input_is_named_and_nothing_is_written() {
    let cases = [
        ("", "crew: missing"),
        (
            "\n[crew]\npeople = -1\n",
            "crew.people: crew is -1 people; allowed: 1 to 20",
        ),
        ("\n[crew]\n", "crew.people: missing"),
        (
            &*CREW.replace("\"500 L\"", "500"),
            "water.tank: found '500', a bare number; write its unit: L, ml, US gal, imp gal",
        ),
        (&*CREW.replace("500 L", "500 gal"), "write '500 US gal'"),
        (
            &*CREW.replace("500 L", "5 barrels"),
            "whose unit is unknown",
        ),
        (
            &*format!("{CREW}\n[reserve]\nconfidence_percent = 49\n"),
            "reserve.confidence_percent: percentile is 49 %; allowed: 50 to 99 %",
        ),
    ];
    for (stores, words) in cases {
        let message = refusal(stores, &[]);
        assert!(message.contains(words), "{message}");
        assert!(message.contains("voyage.toml:"), "{message}");
    }
    let no_number = refusal(CREW, &["--confidence", "nan"]);
    assert!(no_number.contains("'nan' for '--confidence"), "{no_number}");
    for percent in ["49.9", "100", "-3"] {
        let message = refusal(CREW, &["--confidence", percent]);
        assert!(message.contains("--confidence: percentile is"), "{message}");
        assert!(message.contains("allowed: 50 to 99 %"), "{message}");
    }
}

#[test]
fn check_reads_the_stores_too() {
    let (_folder, file) = folder_with(&CREW.replace("500 L", "500"));
    let mut command = Command::new(env!("CARGO_BIN_EXE_offing"));
    let output = command
        .args(["check", &file])
        .assert()
        .code(2)
        .get_output()
        .clone();
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("a bare number")
    );
}
