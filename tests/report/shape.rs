//! The page of a shaped course: the same checks as a comparison's, and those of its own parts.

use serde_json::Value;

use crate::access::can_be_read;
use crate::browser::{Browser, browser_or_skip};
use crate::figures::{loads_clean, says_what_the_json_says};
use crate::page::{made, nothing_out_of_place, open, percent, row, table, tenth, texts};
use crate::paper::prints_whole_pages;
use crate::sizes::in_place_at_every_size;

/// A coarser grid than usual, for a test's patience.
const TRADE_OFF: [&str; 9] = [
    "shape",
    "--grid",
    "3",
    "--not-south-of",
    "36S",
    "--max-headwind",
    "35",
    "--tradeoff",
    "headwind",
];
/// Days that differ by less are written as none.
const LEVEL_DAYS: f64 = 0.05;

fn figure(value: &Value, path: &str) -> f64 {
    let figure = value.pointer(path).and_then(Value::as_f64);
    figure.unwrap_or_else(|| panic!("no {path}"))
}

/// Degrees, and minutes to a tenth, as the page writes a position.
fn position(place: &Value) -> String {
    let part = |path: &str, letters: [&str; 2], width: usize| {
        let deg = figure(place, path);
        let tenths = (deg.abs() * 600.0).round() as u32;
        let letter = letters[usize::from(deg < 0.0)];
        format!(
            "{:0width$}°{:02}.{}'{letter}",
            tenths / 600,
            tenths % 600 / 10,
            tenths % 10
        )
    };
    format!(
        "{} {}",
        part("/latitude_deg", ["N", "S"], 2),
        part("/longitude_deg", ["E", "W"], 3)
    )
}

#[test]
fn a_trade_off_is_drawn_and_told_and_all_the_rest_holds() {
    let Some(program) = browser_or_skip("the page of a shaped course") else {
        return;
    };
    let made = made(&TRADE_OFF, None);
    let mut browser = Browser::start(program);
    let page = loads_clean(&mut browser, &made);
    says_what_the_json_says(&page, &made.json);
    the_answer_is_the_gain(&page, &made.json);
    the_course_and_its_limits_are_told(&page, &made.json);
    the_choice_is_told(&page, &made.json);
    let pictures = page["pictures"].as_array().unwrap();
    let ids: Vec<&Value> = pictures.iter().map(|picture| &picture["id"]).collect();
    let expected = [
        "map-wide",
        "spread-wide",
        "choice-wide",
        "map-courses-wide",
        "exposure-wide",
    ];
    assert_eq!(ids, expected);
    let headings = texts(&page["headings"]);
    assert!(!headings.contains(&"H2 When to leave"), "not asked for");
    can_be_read(&mut browser, &made);
    in_place_at_every_size(&mut browser, &made, "shape");
    prints_whole_pages(&mut browser, &made, "shape", 7);
}

/// The days by which a course is faster at P10, the median and P90, in words.
fn gained(days: [f64; 3]) -> String {
    let [p10, median, p90] = days.map(|days| tenth(days.abs()));
    if days.iter().all(|days| *days > -LEVEL_DAYS) {
        return format!("faster by {p10} days at P10, {median} at the median, {p90} at P90");
    }
    if days.iter().all(|days| *days < LEVEL_DAYS) {
        return format!("slower by {p10} days at P10, {median} at the median, {p90} at P90");
    }
    let [p10, median, p90] = days.map(|days| match days {
        days if days.abs() < LEVEL_DAYS => "level".to_owned(),
        days if days > 0.0 => format!("{} days ahead", tenth(days)),
        days => format!("{} days behind", tenth(-days)),
    });
    format!("{p10} at P10, {median} at the median, {p90} at P90")
}

fn the_answer_is_the_gain(page: &Value, json: &Value) {
    let route = |name: &Value| {
        let routes = json["routes"].as_array().unwrap();
        routes.iter().find(|route| route["name"] == *name).unwrap()
    };
    let shaped_name = &json["shaped"]["route"];
    let ranked = json["verdict"]["by_median_days"].as_array().unwrap();
    let best = ranked.iter().find(|name| *name != shaped_name).unwrap();
    let (shaped, best) = (route(shaped_name), route(best));
    let days = |route: &Value| tenth(figure(route, "/expected/days"));
    let faster = ["p10", "p50", "p90"].map(|percentile| {
        let path = format!("/ensemble/days/{percentile}");
        figure(best, &path) - figure(shaped, &path)
    });
    let gained = gained(faster);
    let sentence = format!(
        "Within your limits (not south of 36°S; no more than 35 % of the time with a headwind) \
         the course shaped takes {} days on the mean wind, against {} for {}, the quickest of the \
         routes drawn, which need not keep to your limits. Shaped is {gained}.",
        days(shaped),
        days(best),
        best["name"].as_str().unwrap()
    );
    let said = page["said"].as_str().unwrap();
    assert!(said.contains(&sentence), "{sentence}\n{said}");
}

fn the_course_and_its_limits_are_told(page: &Value, json: &Value) {
    let waypoints = table(page, "Shaped: the waypoints")["rows"]
        .as_array()
        .unwrap();
    let corners = json["shaped"]["corners"].as_array().unwrap();
    assert_eq!(waypoints.len(), corners.len());
    for (row, corner) in waypoints.iter().zip(corners) {
        assert_eq!(row[1].as_str().unwrap(), position(corner));
    }
    let last = waypoints.last().unwrap();
    let shaped = json["routes"].as_array().unwrap().last().unwrap();
    assert_eq!(
        last[4].as_str().unwrap(),
        tenth(figure(shaped, "/expected/days"))
    );

    let told = table(page, "What each limit costs, the others kept");
    let limits = json["shaped"]["limits"].as_array().unwrap();
    assert_eq!(limits.len(), 2);
    for limit in limits {
        let cost = figure(limit, "/costs_days");
        let written = if cost < LEVEL_DAYS {
            "under 0.1".to_owned()
        } else {
            tenth(cost)
        };
        assert_eq!(row(told, limit["limit"].as_str().unwrap()), [written]);
    }
}

fn the_choice_is_told(page: &Value, json: &Value) {
    let told = table(page, "Days and shares of time, by headwind");
    let courses = json["trade_off"]["courses"].as_array().unwrap();
    let rows = told["rows"].as_array().unwrap();
    assert_eq!(rows.len(), courses.len() + 2, "and the two routes drawn");
    let drawn = json["routes"].as_array().unwrap().iter().take(2);
    for (place, (row, course)) in rows.iter().zip(courses.iter().chain(drawn)).enumerate() {
        let days = figure(course, "/expected/days");
        let exposure = &course["expected"]["exposure"];
        let share = |name: &str| figure(exposure, name);
        let cells = texts(row);
        assert_eq!(cells[0], course["name"].as_str().unwrap());
        assert_eq!(cells[2], tenth(days), "row {place}");
        assert_eq!(cells[3], tenth(days * share("/headwind")));
        let shares = ["/headwind", "/hard_beat", "/light_air", "/gale"];
        assert_eq!(cells[4..], shares.map(|name| percent(share(name))));
    }
    // Every course has its number on the curve and on the map, and its figures in words.
    let pictures = page["pictures"].as_array().unwrap();
    for (picture, lines) in [(&pictures[2], 1), (&pictures[3], courses.len())] {
        assert_eq!(picture["courses"], lines, "{}", picture["id"]);
        for number in 1..=courses.len() {
            let number = number.to_string();
            assert!(
                texts(&picture["words"]).contains(&number.as_str()),
                "{}: no {number}",
                picture["id"]
            );
        }
    }
    let described = texts(&pictures[2]["name"])[1];
    for course in courses {
        let words = format!(
            "{}: {} days, {}.",
            course["name"].as_str().unwrap(),
            tenth(figure(course, "/expected/days")),
            percent(figure(course, "/expected/exposure/headwind"))
        );
        assert!(described.contains(&words), "{words}\n{described}");
    }
}

/// Five routes of one crew, more than the colours there are, and so six with the course shaped.
fn many_routes() -> String {
    let mut voyage = "[voyage]\nname = \"Many ways\"\ndeparture = 2027-05-01\n\
                      [boat]\npolar = \"polar.csv\"\n"
        .to_owned();
    for (index, latitude) in ["18 S", "22 S", "25 S", "28 S", "34 S"].iter().enumerate() {
        voyage += &format!(
            "[[route]]\nname = \"The way along {latitude}\"\n\
             [[route.waypoint]]\nname = \"Fremantle\"\nposition = \"32 03.0 S, 115 40.0 E\"\n\
             [[route.waypoint]]\nname = \"Turn {index}\"\nposition = \"{latitude}, 75 E\"\n\
             [[route.waypoint]]\nname = \"Durban\"\nposition = \"29 52.0 S, 31 06.0 E\"\n"
        );
    }
    voyage
}

#[test]
fn six_routes_have_room_and_can_be_told_apart() {
    let Some(program) = browser_or_skip("a page of six routes") else {
        return;
    };
    let made = made(&["shape", "--grid", "5"], Some(&many_routes()));
    let mut browser = Browser::start(program);
    let page = loads_clean(&mut browser, &made);
    let said = page["said"].as_str().unwrap();
    assert!(said.contains("No limits were set."), "{said}");
    let columns: Vec<usize> = page["tables"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|table| {
            let caption = table["caption"].as_str().unwrap();
            caption.starts_with("Distance, time and conditions: The way along")
        })
        .map(|table| table["head"].as_array().unwrap().len())
        .collect();
    assert_eq!(columns, [4, 4], "two tables of three routes");
    let looks = browser.evaluate(
        "[...document.querySelectorAll('#map-wide path.route')].map((line) => { \
         const style = getComputedStyle(line); \
         return style.stroke + ' ' + style.strokeDasharray; })",
    );
    let mut looks = texts(&looks);
    assert_eq!(looks.len(), 6);
    looks.sort_unstable();
    looks.dedup();
    assert_eq!(looks.len(), 6, "{looks:?}");
    let narrow = open(&mut browser, &made, 360);
    nothing_out_of_place(&narrow, "six routes on a phone");
    in_place_at_every_size(&mut browser, &made, "six");
    prints_whole_pages(&mut browser, &made, "six", 10);
}
