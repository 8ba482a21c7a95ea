//! `offing years`, and a comparison in one real year or by a second climate.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::command::{assert_fits, json, printed, refused};

/// A short voyage in the trades by a file of the crew's own.
const OWN: &str = r#"
[voyage]
name = "Own winds"
departure = 2027-05-10

[boat]
polar = "polar.csv"

[climate]
file = "winds.nc"

[[route]]
name = "West"

[[route.waypoint]]
name = "A"
position = "20 S, 90 E"

[[route.waypoint]]
name = "B"
position = "20 S, 80 E"

[[route]]
name = "East"

[[route.waypoint]]
name = "B"
position = "20 S, 80 E"

[[route.waypoint]]
name = "A"
position = "20 S, 90 E"
"#;

/// A folder with the voyage, its polar, and monthly means of the years from 2001 on as `winds.nc`: each
/// of them as often and as strong as `u_ms` says, by year, with `months` in all.
fn folder(months: usize, u_ms: impl Fn(usize) -> f64) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let polar = include_str!("../../fixtures/demo/cutter-12m.csv");
    fs::write(folder.path().join("polar.csv"), polar).unwrap();
    fs::write(folder.path().join("own.toml"), OWN).unwrap();
    // Another test may start a program while the library has the file open, which then holds the
    // library's lock on it: so a copy is read.
    let written = folder.path().join("written.nc");
    write_series(&written, months, u_ms);
    fs::copy(&written, folder.path().join("winds.nc")).unwrap();
    folder
}

fn write_series(path: &Path, months: usize, u_ms: impl Fn(usize) -> f64) {
    let mut file = netcdf::create(path).unwrap();
    let middle = |month: usize| 365.25 * (month as f64 + 0.5) / 12.0;
    let times: Vec<f64> = (0..months).map(middle).collect();
    let latitudes = [-35.0, -25.0, -15.0, -5.0];
    let longitudes = [60.0, 70.0, 80.0, 90.0, 100.0, 110.0];
    for (name, units, values) in [
        ("time", "days since 2001-01-01", &times[..]),
        ("lat", "degrees_north", &latitudes[..]),
        ("lon", "degrees_east", &longitudes[..]),
    ] {
        file.add_dimension(name, values.len()).unwrap();
        let mut axis = file.add_variable::<f64>(name, &[name]).unwrap();
        axis.put_attribute("units", units).unwrap();
        axis.put_values(values, ..).unwrap();
    }
    let nodes = latitudes.len() * longitudes.len();
    let seasonal = |month: usize| (month % 12) as f64 * 0.1;
    for (name, value) in [
        (
            "u10",
            &(|month: usize| u_ms(month / 12) + seasonal(month)) as &dyn Fn(usize) -> f64,
        ),
        ("v10", &|_| 2.0),
        ("wspd", &|_| 10.0),
    ] {
        let mut variable = file
            .add_variable::<f64>(name, &["time", "lat", "lon"])
            .unwrap();
        variable.put_attribute("units", "m s-1").unwrap();
        let values: Vec<f64> = (0..months)
            .flat_map(|month| vec![value(month); nodes])
            .collect();
        variable.put_values(&values, ..).unwrap();
    }
    file.close().unwrap();
}

const FEW: [&str; 2] = ["--members", "100"];

fn years_of(folder: &Path, voyage: &str) -> Value {
    json(folder, &["years", voyage, FEW[0], FEW[1], "--json"])
}

#[test]
fn equal_years_have_equal_days_and_no_spread() {
    let folder = folder(48, |_| -6.0);
    let folder = folder.path();
    let direct = years_of(folder, "own.toml");
    printed(
        folder,
        &[
            "winds", "winds.nc", "--out", "made.nc", "--voyage", "own.toml",
        ],
    );
    fs::write(folder.join("made.toml"), OWN.replace("winds.nc", "made.nc")).unwrap();
    for found in [direct, years_of(folder, "made.toml")] {
        assert_eq!(found["years"], serde_json::json!([2001, 2002, 2003, 2004]));
        assert_eq!(found["left_out"], serde_json::json!([]));
        for route in found["routes"].as_array().unwrap() {
            let years = route["years"].as_array().unwrap();
            assert_eq!(years.len(), 4);
            assert!(years[0]["p50"].as_f64().unwrap() > 1.0);
            for year in years {
                for figure in ["p10", "p50", "p90", "headwind", "gale"] {
                    assert_eq!(year[figure], route["average"][figure], "{figure}");
                }
            }
            assert_eq!(route["between_years_days"], 0.0);
            assert_eq!(route["bad_years"], serde_json::json!([]));
        }
    }
}

#[test]
fn a_year_with_wind_ahead_is_bad_and_one_that_lacks_a_month_is_left_out() {
    // The wind of 2003 comes from the west; the last month of 2005 is missing.
    let folder = folder(59, |year| if year == 2 { 6.0 } else { -6.0 });
    let found = years_of(folder.path(), "own.toml");
    assert_eq!(found["left_out"], serde_json::json!([2005]));
    assert_eq!(found["years"], serde_json::json!([2001, 2002, 2003, 2004]));
    let bad = |route: usize| &found["routes"][route]["bad_years"];
    assert_eq!(bad(0), &serde_json::json!([2003]));
    assert_eq!(bad(1), &serde_json::json!([]));
    let one = json(
        folder.path(),
        &[
            "compare",
            "own.toml",
            "--real-year",
            "2003",
            FEW[0],
            FEW[1],
            "--json",
        ],
    );
    let median = &one["routes"][0]["ensemble"]["days"]["p50"];
    assert_eq!(median, &found["routes"][0]["years"][2]["p50"]);
    assert_eq!(one["voyage"]["winds"]["real_year"], 2003);
    let text = printed(folder.path(), &["years", "own.toml", FEW[0], FEW[1]]);
    let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("2005 is left out"), "{text}");
}

#[test]
fn a_passage_over_the_last_new_year_says_that_average_winds_blow_then() {
    let folder = tempfile::tempdir().unwrap();
    let late = ["years", "--departure", "2027-12-20", FEW[0], FEW[1]];
    let text = printed(folder.path(), &late);
    let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("is not there: 1992 (January, February"),
        "{told}"
    );
    let years = json(folder.path(), &[&late[..], &["--json"]].concat());
    let of = |year: usize| &years["routes"][0]["years"][year]["average_months"];
    assert_eq!(of(9), &serde_json::json!([]));
    assert_eq!(of(10)[0], 1);
}

#[test]
fn the_demonstration_in_each_year_is_one_screen_that_says_what_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let text = printed(folder.path(), &["years", "--csv", "years.csv"]);
    assert_fits(&text);
    let lines = text.lines().count();
    assert!(lines <= 40, "{lines} lines\n{text}");
    let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("do not widen the spread"), "{told}");
    assert!(told.contains("passages within one year by"), "{told}");
    let csv = fs::read_to_string(folder.path().join("years.csv")).unwrap();
    assert_eq!(csv.lines().count(), 1 + 2 * 12);
    assert!(csv.starts_with("year,route,days_p10,days_p50"), "{csv}");
    let full = printed(folder.path(), &["compare", "--full", FEW[0], FEW[1]]);
    assert!(
        full.contains("\nReal years (Navy monthly winds 1982 to 1992, homogenised"),
        "{full}"
    );
}

#[test]
fn of_many_years_one_screen_shows_those_at_both_ends() {
    // Each year's trade wind is a little weaker than the last one's.
    let folder = folder(12 * 30, |year| 0.1 * year as f64 - 8.0);
    let text = printed(folder.path(), &["years", "own.toml", FEW[0], FEW[1]]);
    assert_fits(&text);
    assert!(text.lines().count() <= 40, "{text}");
    let has = |year: usize| {
        text.lines()
            .any(|line| line.starts_with(&format!("{year} ")))
    };
    let shown: Vec<usize> = (2001..=2030).filter(|year| has(*year)).collect();
    // The five shortest and the six longest medians of the first route.
    let found = years_of(folder.path(), "own.toml");
    let years = found["routes"][0]["years"].as_array().unwrap();
    let median = |year: &Value| year["p50"].as_f64().unwrap();
    let mut by_days: Vec<(f64, u64)> = years
        .iter()
        .map(|year| (median(year), year["year"].as_u64().unwrap()))
        .collect();
    by_days.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut ends: Vec<usize> = [&by_days[..5], &by_days[24..]]
        .concat()
        .into_iter()
        .map(|(_, year)| year as usize)
        .collect();
    ends.sort_unstable();
    assert_eq!(shown, ends);
    let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("Of 30 years"), "{told}");
}

#[test]
fn one_real_year_is_in_the_heading_and_the_notes() {
    let folder = tempfile::tempdir().unwrap();
    let compare = ["compare", "--real-year", "1983", FEW[0], FEW[1]];
    let text = printed(folder.path(), &compare);
    assert!(
        text.lines()
            .next()
            .unwrap()
            .ends_with("in the winds of 1983"),
        "{text}"
    );
    let document = json(folder.path(), &[&compare[..], &["--json"]].concat());
    let has = |list: &Value, words: &str| list.to_string().contains(words);
    assert!(
        has(&document["notes"], "the real year 1983"),
        "{}",
        document["notes"]
    );
    assert!(
        has(&document["cautions"], "one past year"),
        "{}",
        document["cautions"]
    );
    let full = printed(folder.path(), &[&compare[..], &["--full"]].concat());
    assert!(!full.contains("Real years"), "{full}");
}

#[test]
fn the_same_climate_as_a_second_changes_nothing_and_another_is_a_swing() {
    let folder = tempfile::tempdir().unwrap();
    let compare = ["compare", "--also", "built-in", FEW[0], FEW[1]];
    let same = json(folder.path(), &[&compare[..], &["--json"]].concat());
    let second = |document: &Value| {
        let swings = document["swings"].as_array().unwrap();
        let found = swings
            .iter()
            .find(|swing| swing["assumption"] == "second_climate");
        found.unwrap().clone()
    };
    for (route, swung) in [0, 1].map(|index| {
        (
            &same["routes"][index],
            second(&same)["routes"][index].clone(),
        )
    }) {
        assert_eq!(route["ensemble"]["days"]["p50"], swung["p50"]);
        assert_eq!(route["ensemble"]["days"]["p90"], swung["p90"]);
    }
    // Weaker winds than the ships', the same everywhere.
    let own = self::folder(12, |_| -3.0);
    let also = ["compare", "own.toml", "--also", "built-in", FEW[0], FEW[1]];
    let text = printed(own.path(), &also);
    assert!(text.contains("Second opinion: ship winds"), "{text}");
    assert!(text.contains("under the second climate"), "{text}");
    let other = json(own.path(), &[&also[..], &["--json"]].concat());
    let moved = second(&other)["routes"][0]["p50"].as_f64().unwrap();
    let first = other["routes"][0]["ensemble"]["days"]["p50"]
        .as_f64()
        .unwrap();
    assert!((moved - first).abs() > 0.2, "{moved} {first}");
    let full = printed(own.path(), &[&also[..], &["--full"]].concat());
    assert!(full.contains("\nthe second climate"), "{full}");
}

#[test]
fn years_that_are_not_there_are_refused() {
    let own = folder(12, |_| -6.0);
    let refusals = [
        (&["years", "own.toml"][..], "holds no real years"),
        (&["compare", "--real-year", "2001"], "allowed: 1982 to 1992"),
        (&["compare", "--real-year", "soon"], "not a year"),
        (&["compare", "--also", "missing.nc"], "missing.nc"),
        (&["compare", "--also", "polar.csv"], "polar.csv"),
        (
            &["compare", "--real-year", "1983", "--html", "page.html"],
            "cannot be used with",
        ),
        (&["years", "--members", "3"], "--members"),
    ];
    for (arguments, words) in refusals {
        let message = refused(own.path(), arguments);
        let told = message.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(words), "{arguments:?}: {message}");
    }
    // A whole comparison by such a file has no years, and says nothing of them.
    let full = printed(
        own.path(),
        &["compare", "own.toml", "--full", FEW[0], FEW[1]],
    );
    assert!(!full.contains("Real years"), "{full}");
}
