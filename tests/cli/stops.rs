//! Routes with stops and deadlines, and prices, as a user runs them: every report, and bad input.

use std::fs;

use crate::command::{WIDTH, printed, refused, snapshot_settings};

const POLAR: &str = "true_wind_speed_kn,true_wind_angle_deg,boat_speed_kn
6,45,3
6,90,4
6,180,3
20,45,5
20,90,7
20,180,6
";

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

[crew]
people = 2
sex = "female"
age_years = 25
mass = "55 kg"

[water]
tank = "500 L"
PRICES
[[route]]
name = "By the island"
[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 30.0 E"
[[route.waypoint]]
name = "Island"
position = "20 20.0 S, 63 30.0 E"
STOP
[[route.waypoint]]
name = "Open sea"
position = "27 00.0 S, 47 00.0 E"
arrive_by = 2027-06-25

[[route]]
name = "Past it"
[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 30.0 E"
[[route.waypoint]]
name = "Open sea"
position = "27 00.0 S, 47 00.0 E"
"#;

const STOP: &str = r#"stay = "6 days"
resupply = ["water", "diesel", "fresh food"]
arrive_by = 2027-06-01"#;

const PRICES: &str = r#"
[prices]
diesel_per_litre = 1.5
water_per_m3 = 3
food_per_person_day = 12

[[prices.at]]
place = "Island"
diesel_per_litre = 1.9
harbour_per_day = 30
"#;

fn folder(prices: &str, stop: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("polar.csv"), POLAR).unwrap();
    let voyage = VOYAGE.replace("PRICES", prices).replace("STOP", stop);
    fs::write(folder.path().join("voyage.toml"), voyage).unwrap();
    folder
}

fn run(folder: &tempfile::TempDir, command: &[&str], members: &str) -> String {
    let arguments = [command, &["voyage.toml", "--members", members]].concat();
    printed(folder.path(), &arguments)
}

#[test]
fn stops_prices_and_deadlines_are_told_within_80_columns() {
    let folder = folder(PRICES, STOP);
    let mut all = String::new();
    for command in [
        &["compare"][..],
        &["compare", "--full"],
        &["legs"],
        &["legs", "--full"],
        &["stores"],
        &["stores", "--full"],
    ] {
        let text = run(&folder, command, "100");
        for line in text.lines() {
            assert!(line.chars().count() <= WIDTH, "{command:?}: {line}");
        }
        if command.len() == 1 {
            all += &format!("$ offing {}\n{text}\n", command[0]);
        }
    }
    snapshot_settings(folder.path()).bind(|| insta::assert_snapshot!(all));
}

/// A stay of nothing breaks no passage: every report is that of the route without.
#[test]
fn a_stay_of_nothing_changes_no_report() {
    let [with, without] = [r#"stay = "0 h""#, ""].map(|stop| folder("", stop));
    for command in [
        &["compare"][..],
        &["compare", "--full"],
        &["compare", "--json"],
        &["legs", "--full"],
        &["stores"],
        &["stores", "--full"],
        &["season", "--every", "31"],
    ] {
        let [with, without] = [&with, &without].map(|folder| run(folder, command, "20"));
        if command.contains(&"--json") {
            let places = |text: &str| text.matches("\"staged\": null").count();
            assert_eq!((places(&with), places(&without)), (2, 2));
        } else {
            assert_eq!(with, without, "{command:?}");
        }
    }
}

#[test]
fn figures_of_stops_have_columns_of_their_own() {
    let folder = folder(PRICES, STOP);
    run(&folder, &["compare", "--csv", "out.csv"], "20");
    let text = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let heading = rows.headers().unwrap().clone();
    let column = |name: &str| heading.iter().position(|head| head == name).unwrap();
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    let [stopping, passing] = [0, 1].map(|row| {
        ["in_harbour_days_p50", "late_chance", "cost"]
            .map(|name| rows[row][column(name)].to_owned())
    });
    assert_eq!(stopping[0], "6.0000");
    assert!(stopping[1].parse::<f64>().unwrap() <= 1.0);
    assert_eq!(passing[..2], ["", ""]);
    assert!(passing[2].parse::<f64>().unwrap() > 0.0);
}

#[test]
fn places_and_purchases_are_rows_of_the_csv() {
    let folder = folder(PRICES, STOP);
    run(&folder, &["stores", "--csv", "out.csv"], "20");
    let text = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    let cell = |subject: &str, item: &str, place: &str, column: usize| {
        let cells = [(1, subject), (2, item), (3, place)];
        let row = rows
            .iter()
            .find(|row| cells.iter().all(|(at, cell)| &row[*at] == *cell));
        row.map(|row| row[column].to_owned())
    };
    assert_eq!(cell("place", "stay", "Island", 4).unwrap(), "6.0000");
    assert_eq!(cell("place", "food", "Island", 4), None);
    assert_eq!(cell("purchase", "harbour", "Island", 7).unwrap(), "30.0000");
    // Diesel is cheaper at the start, and both fillings do not fit at once.
    let litres = |subject, place| {
        cell(subject, "diesel", place, 4)
            .unwrap()
            .parse::<f64>()
            .unwrap()
    };
    let both = litres("place", "Fremantle") + litres("place", "Island");
    let bought = litres("purchase", "Fremantle") + litres("purchase", "Island");
    assert!((both - bought).abs() < 1e-3, "{both} {bought}");
}

#[test]
fn bad_prices_are_named_with_their_line() {
    let refusal = |prices: &str| {
        let folder = folder(prices, STOP);
        refused(folder.path(), &["stores", "voyage.toml"])
    };
    for (prices, expected) in [
        (
            "[prices]\ndiesel_per_litre = -1",
            "error: voyage.toml:25: prices.diesel_per_litre: price is -1; allowed: 0 to 1000000000\n",
        ),
        (
            "[[prices.at]]\nplace = \"Islnd\"",
            "error: voyage.toml:25: prices.at[1].place: found the text \"Islnd\"; allowed: a stop or an \
             end of a route: Fremantle, Island, Open sea\nhint: did you mean `Island`?\n",
        ),
        (
            "[[prices.at]]\nplace = \"Island\"\n[[prices.at]]\nplace = \"Island\"",
            "error: voyage.toml:27: prices.at[2].place: the name 'Island' is used twice; give each its own\n",
        ),
        (
            "[prices]\nwater_per_litre = 1\nwater_per_m3 = 3",
            "error: voyage.toml:26: prices.water_per_m3: found both of `water_per_litre` and \
             `water_per_m3`; allowed: one of the two\n",
        ),
    ] {
        assert_eq!(refusal(prices), expected);
    }
    let wrong = refusal("[prices]\nbeer = 1");
    assert!(
        wrong.contains("prices.beer: unknown key; allowed: "),
        "{wrong}"
    );
}
