//! The page loads by itself, and its figures are those of the JSON.

use std::fs;

use serde_json::Value;

use crate::browser::{Browser, browser_or_skip};
use crate::page::{Made, grouped, made, open, percent, row, table, tenth, texts};

const LARGEST_PAGE_BYTES: u64 = 1_500_000;

/// Opens a page and complains unless it is small, whole in itself and without a fault.
pub fn loads_clean(browser: &mut Browser, made: &Made) -> Value {
    assert!(fs::metadata(&made.file).unwrap().len() < LARGEST_PAGE_BYTES);
    let page = open(browser, made, 1280);
    assert!(
        browser.complaints().is_empty(),
        "{:?}",
        browser.complaints()
    );
    let asked = browser.requests();
    assert_eq!(asked.len(), 1, "{asked:?}");
    assert!(asked[0].starts_with("file://"), "{asked:?}");
    assert_eq!(
        (&page["scripts"], &page["handlers"]),
        (&0.into(), &0.into())
    );
    page
}

/// Complains unless the tables that every page has say what the JSON says.
pub fn says_what_the_json_says(page: &Value, json: &Value) {
    let routes = json["routes"].as_array().unwrap();
    let of = |path: &str| -> Vec<f64> {
        let value = |route: &Value| route.pointer(path).and_then(Value::as_f64);
        routes
            .iter()
            .map(|route| value(route).expect(path))
            .collect()
    };
    let written = |path: &str, write: &dyn Fn(f64) -> String| -> Vec<String> {
        of(path).into_iter().map(write).collect()
    };
    let compared = table(page, "Distance, time and conditions");
    let names: Vec<&str> = routes
        .iter()
        .map(|route| route["name"].as_str().unwrap())
        .collect();
    assert_eq!(texts(&compared["head"])[1..], names);
    assert_eq!(
        row(compared, "Distance, nm"),
        written("/distance_nm", &grouped)
    );
    assert_eq!(
        row(compared, "Longest run over 500 nm from land, nm"),
        written("/far_from_land/longest_run_nm", &grouped)
    );
    assert_eq!(
        row(compared, "Days on the mean wind"),
        written("/expected/days", &tenth)
    );
    for (label, percentile) in [
        ("P10 (10 % of passages are faster)", "p10"),
        ("median", "p50"),
        ("P90 (10 % are slower)", "p90"),
    ] {
        // A tenth of a day is written only where the standard error leaves it known.
        let days = |name: &str, route: &Value| route["ensemble"]["days"][name].as_f64();
        let error = format!("{percentile}_se");
        let cells = routes.iter().map(|route| {
            let value = days(percentile, route).unwrap();
            let known = days(&error, route).is_some_and(|error| error < 0.25);
            if known {
                tenth(value)
            } else {
                format!("{value:.0}")
            }
        });
        assert_eq!(row(compared, label), cells.collect::<Vec<_>>(), "{label}");
    }
    assert_eq!(
        row(compared, "Mean speed made good, kn"),
        written("/expected/mean_speed_kn", &tenth)
    );
    let metres = |height_m: f64| format!("{} m", tenth(height_m).trim_end_matches(".0"));
    assert_eq!(
        row(compared, "Fully developed wave height"),
        written("/expected/wave_height_m", &metres)
    );
    let celsius = |degrees: f64| format!("{degrees:.0} °C");
    assert_eq!(
        row(compared, "Air, mean"),
        written("/expected/air_temperature_c/mean", &celsius)
    );
    for (label, path) in [
        (
            "headwind (under 60° off the course)",
            "/expected/exposure/headwind",
        ),
        ("beating in 20 kn or more", "/expected/exposure/hard_beat"),
        (
            "wind aft of the beam (over 110°)",
            "/expected/exposure/abaft",
        ),
        ("light air (under 6 kn)", "/expected/exposure/light_air"),
        ("strong wind (22 kn or more)", "/expected/exposure/strong"),
        ("gale (34 kn or more)", "/expected/exposure/gale"),
        ("engine running", "/expected/exposure/under_power"),
        ("a gale of 6 hours or more", "/ensemble/chance/gale_6h"),
        (
            "beating in 20 kn for over 24 hours",
            "/ensemble/chance/hard_beat_24h",
        ),
        (
            "motoring until the tanks are dry",
            "/ensemble/chance/dry_tanks",
        ),
        ("a tropical storm within 200 nm", "/ensemble/storms/chance"),
        ("Time on gap-filled wind data", "/expected/replaced_share"),
    ] {
        assert_eq!(row(compared, label), written(path, &percent), "{label}");
    }
    // A shaped course has no list of what to load.
    if !routes[0]["loading"].is_null() {
        assert_eq!(
            row(compared, "needing more diesel than tanks hold"),
            written("/loading/planned/fuel/reserve_broken_chance", &percent)
        );
    }

    for route in routes {
        let name = route["name"].as_str().unwrap();
        let lines = table(page, &format!("{name}: courses and distances"));
        let winds = table(page, &format!("{name}: time and conditions"));
        let seas = table(page, &format!("{name}: sea, night and help"));
        let legs = route["expected"]["legs"].as_array().unwrap();
        assert_eq!(lines["rows"].as_array().unwrap().len(), legs.len());
        for (index, leg) in legs.iter().enumerate() {
            let figure = |name: &str| leg[name].as_f64().unwrap();
            let cells = texts(&lines["rows"][index]);
            assert_eq!(
                cells[1..3],
                [leg["from"].as_str().unwrap(), leg["to"].as_str().unwrap()]
            );
            let course = |end: &str| format!("{:03.0}", figure(end));
            let ends = ["departure_course_deg", "arrival_course_deg"].map(course);
            assert_eq!(cells[4], ends.join(" to "));
            assert_eq!(cells[6], grouped(figure("distance_nm")));
            let cells = texts(&winds["rows"][index]);
            assert_eq!(cells[1], tenth(figure("days")));
            assert_eq!(cells[2], tenth(figure("elapsed_days")));
            let headwind = percent(leg["exposure"]["headwind"].as_f64().unwrap());
            assert_eq!(format!("{} %", cells[5]), headwind);
            let cells = texts(&seas["rows"][index]);
            let wind_kn = leg["wind"]["p95_speed_kn"].as_f64().unwrap();
            let storms = route["ensemble"]["storms"]["by_leg"][index]["chance"].as_f64();
            let far_nm = &route["far_from_land"]["by_leg"][index]["longest_run_nm"];
            assert_eq!(
                cells[3..7],
                [
                    tenth(figure("wave_height_m")),
                    format!("{wind_kn:.0}"),
                    tenth(figure("wave_height_p95_m")),
                    tenth(figure("dark_hours_per_day")),
                ]
            );
            // The least chances are written as less than a tenth.
            if storms.is_some_and(|chance| chance >= 0.0005) {
                assert_eq!(cells[7], percent(storms.unwrap()));
            }
            assert_eq!(cells[8], grouped(far_nm.as_f64().unwrap()));
        }
    }

    let map = &page["pictures"][0];
    assert_eq!(map["id"], "map-wide");
    assert_eq!(map["routes"], routes.len());
    for drawn in ["land", "barbs"] {
        assert!(
            map[drawn][0].as_u64().unwrap() > 500,
            "{drawn}: {}",
            map[drawn]
        );
    }
}

#[test]
fn the_page_loads_clean_and_says_what_the_json_says() {
    let Some(program) = browser_or_skip("the page's figures") else {
        return;
    };
    let made = made(&["compare"], None);
    let mut browser = Browser::start(program);
    let page = loads_clean(&mut browser, &made);
    says_what_the_json_says(&page, &made.json);
    let ids: Vec<&Value> = page["pictures"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| &p["id"])
        .collect();
    assert_eq!(
        ids,
        [
            "map-wide",
            "spread-wide",
            "swings-wide",
            "exposure-wide",
            "season-wide",
            "years-wide"
        ]
    );
    let swings = made.json["swings"].as_array().unwrap();
    assert!(
        swings.len() > 5
            && swings
                .iter()
                .all(|swing| !swing["first_faster_by_days"]["p50"].is_null())
    );
    assert_eq!(page["pictures"][2]["bars"], swings.len());
    let said = page["said"].as_str().unwrap();
    assert!(
        said.contains("offing compare --members 60 --json --html report.html"),
        "{said}"
    );
}
