//! The page of `offing compare --html`, as a crew sees it: in a real browser, on a phone, on a
//! screen and on paper. Set OFFING_PICTURES to a folder to have what the tests see put there.

mod browser;

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use base64::prelude::{BASE64_STANDARD, Engine as _};
use serde_json::Value;

use browser::{Browser, browser_or_skip};

const LARGEST_PAGE_BYTES: u64 = 1_500_000;
/// A4 in PostScript points, and how far Chromium rounds it.
const A4_POINTS: [f64; 2] = [595.3, 841.9];
const PAPER_TOLERANCE_POINTS: f64 = 1.0;
/// What the page's margins leave of A4, in CSS pixels of 1/96 inch.
const SHEET_PX: [u32; 2] = [680, 1002];
/// The least height of a line of words in a picture, in CSS pixels: 11 px type.
const LEAST_WORDS_PX: f64 = 11.0;
/// Few members: the tests look at the page, not at the spread.
const MEMBERS: &str = "60";

const QUESTIONS: &str = include_str!("page.js");

/// A page made by a run of the program, with what the same run prints as JSON.
struct Made {
    _folder: tempfile::TempDir,
    file: PathBuf,
    json: Value,
}

fn made(voyage: Option<&str>) -> Made {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("report.html");
    let mut command = Command::cargo_bin("offing").unwrap();
    command.current_dir(folder.path()).arg("compare");
    if let Some(voyage) = voyage {
        fs::write(folder.path().join("voyage.toml"), voyage).unwrap();
        let polar = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/cutter-12m.csv");
        fs::copy(polar, folder.path().join("polar.csv")).unwrap();
        command.arg("voyage.toml");
    }
    command.args(["--members", MEMBERS, "--json", "--html", "report.html"]);
    let run = command.assert().success();
    let json = serde_json::from_slice(&run.get_output().stdout).unwrap();
    Made {
        _folder: folder,
        file,
        json,
    }
}

fn open(browser: &mut Browser, made: &Made, width: u32) -> Value {
    browser.resize(width, 900);
    browser.open(&made.file);
    browser.evaluate(QUESTIONS)
}

/// Puts a picture where the environment asks for it.
fn keep(name: &str, base64: &str) {
    if let Some(folder) = std::env::var_os("OFFING_PICTURES") {
        let bytes = BASE64_STANDARD.decode(base64).unwrap();
        fs::write(Path::new(&folder).join(name), bytes).unwrap();
    }
}

fn texts(value: &Value) -> Vec<&str> {
    let list = value.as_array().unwrap();
    list.iter().map(|text| text.as_str().unwrap()).collect()
}

fn table<'p>(page: &'p Value, caption: &str) -> &'p Value {
    let tables = page["tables"].as_array().unwrap();
    tables
        .iter()
        .find(|table| table["caption"] == caption)
        .unwrap_or_else(|| panic!("no table '{caption}'"))
}

/// The figures of the first row of a table that begins with `label`.
fn row<'p>(table: &'p Value, label: &str) -> Vec<&'p str> {
    let rows = table["rows"].as_array().unwrap();
    let named = rows.iter().find(|row| row[0] == label);
    let cells = texts(named.unwrap_or_else(|| panic!("no row '{label}'")));
    cells[1..].to_vec()
}

/// A whole number as the page writes it, its thousands apart.
fn grouped(value: f64) -> String {
    let digits = format!("{value:.0}");
    match digits.len() {
        4.. => format!(
            "{},{}",
            &digits[..digits.len() - 3],
            &digits[digits.len() - 3..]
        ),
        _ => digits,
    }
}

fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent >= 9.95 {
        format!("{percent:.0} %")
    } else {
        format!("{percent:.1} %")
    }
}

/// Complains unless nothing on the page is out of place at its present size.
fn nothing_out_of_place(page: &Value, what: &str) {
    assert!(
        page["scrollWidth"].as_f64() <= page["width"].as_f64(),
        "{what}: the page is wider than the screen"
    );
    for fault in [
        "beyond",
        "wordsOutside",
        "overlaps",
        "faint",
        "faintLines",
        "doubled",
    ] {
        assert_eq!(texts(&page[fault]), Vec::<&str>::new(), "{what}: {fault}");
    }
    assert!(
        page["smallest"].as_f64().unwrap() >= LEAST_WORDS_PX,
        "{what}: words of {} px",
        page["smallest"]
    );
}

#[test]
fn the_page_loads_clean_and_says_what_the_json_says() {
    let Some(program) = browser_or_skip("the page's figures") else {
        return;
    };
    let made = made(None);
    assert!(fs::metadata(&made.file).unwrap().len() < LARGEST_PAGE_BYTES);
    let mut browser = Browser::start(program);
    let page = open(&mut browser, &made, 1280);
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

    let routes = made.json["routes"].as_array().unwrap();
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
    let compared = table(&page, "What each route asks of boat and crew");
    let names: Vec<&str> = routes
        .iter()
        .map(|route| route["name"].as_str().unwrap())
        .collect();
    assert_eq!(texts(&compared["head"])[1..], names);
    let tenth = |value: f64| format!("{value:.1}");
    assert_eq!(
        row(compared, "Distance, nm"),
        written("/distance_nm", &grouped)
    );
    assert_eq!(
        row(compared, "Days on the mean wind"),
        written("/expected/days", &tenth)
    );
    for (label, path) in [
        ("one in ten is quicker than", "/ensemble/days/p10"),
        ("median", "/ensemble/days/p50"),
        ("one in ten is slower than", "/ensemble/days/p90"),
        ("Mean speed made good, kn", "/expected/mean_speed_kn"),
        ("Full sea for the wind, m", "/expected/wave_height_m"),
    ] {
        assert_eq!(row(compared, label), written(path, &tenth), "{label}");
    }
    for (label, path) in [
        ("headwind (under 60° off)", "/expected/exposure/headwind"),
        ("hard beat (and 20 kn up)", "/expected/exposure/hard_beat"),
        ("wind from abaft (over 110°)", "/expected/exposure/abaft"),
        ("light air (under 6 kn)", "/expected/exposure/light_air"),
        ("strong wind (22 kn up)", "/expected/exposure/strong"),
        ("gale (34 kn up)", "/expected/exposure/gale"),
        ("engine running", "/expected/exposure/under_power"),
        ("a gale of 6 hours or more", "/ensemble/chance/gale_6h"),
        (
            "a hard beat over 24 hours",
            "/ensemble/chance/hard_beat_24h",
        ),
        (
            "the engine alone running the tanks dry",
            "/ensemble/chance/dry_tanks",
        ),
        (
            "motoring, charging and reserve beyond the tanks",
            "/to_load/reserve_broken_chance",
        ),
        (
            "Time in cyclone waters in their season",
            "/ensemble/cyclone_season",
        ),
        ("Time on replaced wind data", "/expected/replaced_data"),
    ] {
        assert_eq!(row(compared, label), written(path, &percent), "{label}");
    }

    for route in routes {
        let name = route["name"].as_str().unwrap();
        let lines = table(&page, &format!("{name}: the lines to steer"));
        let winds = table(&page, &format!("{name}: what to expect"));
        let legs = route["legs"].as_array().unwrap();
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
    let ids: Vec<&Value> = page["pictures"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| &p["id"])
        .collect();
    assert_eq!(
        ids,
        ["map-wide", "spread-wide", "exposure-wide", "season-wide"]
    );
    let said = page["said"].as_str().unwrap();
    assert!(
        said.contains("offing compare --members 60 --json --html report.html"),
        "{said}"
    );
}

#[test]
fn everyone_can_read_it() {
    let Some(program) = browser_or_skip("the page's access") else {
        return;
    };
    let made = made(None);
    let mut browser = Browser::start(program);
    let page = open(&mut browser, &made, 1280);
    assert_eq!(page["lang"], "en");
    let headings = texts(&page["headings"]);
    assert_eq!(
        headings
            .iter()
            .filter(|heading| heading.starts_with("H1"))
            .count(),
        1
    );
    for picture in page["pictures"].as_array().unwrap() {
        assert_eq!(picture["role"], "img");
        for name in texts(&picture["name"]) {
            assert!(name.len() > 20, "{}: '{name}' says little", picture["id"]);
        }
    }
    for table in page["tables"].as_array().unwrap() {
        assert_eq!(table["scoped"], true, "{}", table["caption"]);
    }

    // By keyboard: first past the links, and then down the page in the order it is read.
    browser.press("Tab", 9);
    assert_eq!(browser.evaluate("document.activeElement.className"), "skip");
    assert_eq!(
        browser.evaluate("document.activeElement.getBoundingClientRect().left > 0"),
        true,
        "the link is in sight when it has the focus"
    );
    let mut last = -1.0;
    for _ in 0..20 {
        browser.press("Tab", 9);
        let place =
            browser.evaluate("[...document.querySelectorAll('*')].indexOf(document.activeElement)");
        let place = place.as_f64().unwrap();
        if browser.evaluate("document.activeElement === document.body") == true {
            break;
        }
        assert!(place > last, "the focus goes back");
        last = place;
    }
    assert!(last > 0.0);
}

#[test]
fn nothing_is_out_of_place_on_a_phone_a_tablet_or_a_screen() {
    let Some(program) = browser_or_skip("the page's sizes") else {
        return;
    };
    let made = made(None);
    let mut browser = Browser::start(program);
    for scheme in ["light", "dark"] {
        browser.show_as("screen", scheme);
        for width in [320, 360, 768, 1280] {
            let page = open(&mut browser, &made, width);
            let what = format!("{scheme}, {width} px");
            let size = if width < 560 {
                "map-narrow"
            } else {
                "map-wide"
            };
            assert_eq!(page["pictures"][0]["id"], size, "{what}");
            keep(&format!("{scheme}-{width}.png"), &browser.screenshot());
            nothing_out_of_place(&page, &what);
        }
    }
}

#[test]
fn on_paper_the_pages_are_whole() {
    let Some(program) = browser_or_skip("the page on paper") else {
        return;
    };
    let made = made(None);
    let mut browser = Browser::start(program);
    // As on paper, also where the screen is dark.
    browser.show_as("print", "dark");
    let page = open(&mut browser, &made, SHEET_PX[0]);
    nothing_out_of_place(&page, "paper");
    assert!(
        page["tallest"].as_f64().unwrap() <= f64::from(SHEET_PX[1]),
        "something must be cut in two: {} px tall",
        page["tallest"]
    );
    let wide = browser.evaluate(
        "[...document.querySelectorAll('.scroll > table')].filter((table) => \
         table.scrollWidth > table.parentElement.clientWidth + 1).map((table) => table.caption.textContent)",
    );
    assert_eq!(
        texts(&wide),
        Vec::<&str>::new(),
        "tables that run off the paper"
    );
    browser.show_as("", "dark");
    let printed = browser.print();
    keep("paper.pdf", &printed);
    let pdf = BASE64_STANDARD.decode(printed).unwrap();
    let document = lopdf::Document::load_mem(&pdf).unwrap();
    let sheets = document.get_pages();
    assert!((4..=12).contains(&sheets.len()), "{} pages", sheets.len());
    for (number, id) in sheets {
        let sheet = document.get_dictionary(id).unwrap();
        let size = sheet.get(b"MediaBox").unwrap().as_array().unwrap();
        for axis in [0, 1] {
            let points = f64::from(size[axis + 2].as_float().unwrap());
            assert!(
                (points - A4_POINTS[axis]).abs() <= PAPER_TOLERANCE_POINTS,
                "page {number}: {points} points"
            );
        }
        let marks = document.get_page_content(id);
        assert!(marks.len() > 200, "page {number} is empty");
    }
}

/// Names that would be markup, attributes, entities or template code if they were not escaped.
const HOSTILE: &str = r#"
[voyage]
name = "<script>alert(1)</script> & \"Sons\""
departure = 2027-05-01

[boat]
name = "<img src=x onerror=alert(2)>"
polar = "polar.csv"

[[route]]
name = "A\" onload=\"alert(3)"

[[route.waypoint]]
name = "{{ 7 * 7 }} </title></svg><script>alert(4)</script>"
position = "32 03.0 S, 115 40.0 E"

[[route.waypoint]]
name = "&lt;b&gt;'--><!--"
position = "29 52.0 S, 31 06.0 E"

[[route]]
name = "{% if x %}<i>"

[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 40.0 E"

[[route.waypoint]]
name = "Mauritius </text>"
position = "20 30.0 S, 57 30.0 E"
"#;

#[test]
fn names_are_shown_as_they_are_written() {
    let Some(program) = browser_or_skip("names on the page") else {
        return;
    };
    let made = made(Some(HOSTILE));
    let mut browser = Browser::start(program);
    let page = open(&mut browser, &made, 360);
    assert!(
        browser.complaints().is_empty(),
        "{:?}",
        browser.complaints()
    );
    assert_eq!(
        (&page["scripts"], &page["handlers"]),
        (&0.into(), &0.into())
    );
    let said = page["said"].as_str().unwrap();
    for name in [
        "<script>alert(1)</script> & \"Sons\", leaving",
        "<img src=x onerror=alert(2)>",
        "A\" onload=\"alert(3)",
        "{{ 7 * 7 }} </title></svg><script>alert(4)</script>",
        "&lt;b&gt;'--><!--",
        "{% if x %}<i>",
        "Mauritius </text>",
    ] {
        assert!(said.contains(name), "{name} is not shown as written");
    }
    // Without a crew there is nothing to load.
    assert!(!said.contains("What to load"));
    nothing_out_of_place(&page, "hostile names");
}

const OVER_THE_ANTIMERIDIAN: &str = r#"
[voyage]
name = "Out into the Pacific"
departure = 2027-06-10

[boat]
polar = "polar.csv"

[[route]]
name = "A long name for a route that goes by the Austral islands"

[[route.waypoint]]
name = "Opua"
position = "35 10.0 S, 174 20.0 E"

[[route.waypoint]]
name = "Forty south"
position = "40 00.0 S, 175 00.0 W"
leg = "rhumb"

[[route.waypoint]]
name = "Papeete"
position = "17 20.0 S, 149 40.0 W"

[[route]]
name = "Straight"

[[route.waypoint]]
name = "Opua"
position = "35 10.0 S, 174 20.0 E"

[[route.waypoint]]
name = "Papeete"
position = "17 20.0 S, 149 40.0 W"
"#;

#[test]
fn a_route_over_the_antimeridian_is_drawn_in_one_piece() {
    /// Points of a route are 30 nm apart at most, which is a few units of the drawing.
    const LONGEST_STEP: f64 = 12.0;
    let Some(program) = browser_or_skip("routes over the antimeridian") else {
        return;
    };
    let made = made(Some(OVER_THE_ANTIMERIDIAN));
    let mut browser = Browser::start(program);
    let page = open(&mut browser, &made, 1280);
    keep("antimeridian.png", &browser.screenshot());
    for line in texts(&page["pictures"][0]["lines"]) {
        let points: Vec<[f64; 2]> = line[1..]
            .split('L')
            .map(|point| {
                let (x, y) = point.split_once(' ').unwrap();
                [x.parse().unwrap(), y.parse().unwrap()]
            })
            .collect();
        assert!(points.len() > 20);
        for ends in points.windows(2) {
            let step = (ends[1][0] - ends[0][0]).hypot(ends[1][1] - ends[0][1]);
            assert!(step < LONGEST_STEP, "a step of {step} units");
        }
        assert!(
            points[0][0] < points[points.len() - 1][0],
            "eastward is to the right"
        );
    }
    nothing_out_of_place(&page, "antimeridian");
}

#[test]
fn a_missing_folder_is_named_and_an_old_page_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let run = |file: &str| {
        let mut command = Command::cargo_bin("offing").unwrap();
        command.current_dir(folder.path());
        command
            .args(["compare", "--members", MEMBERS, "--html", file])
            .assert()
    };
    let refused = run("missing/report.html").code(2).get_output().clone();
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(said.contains("missing/report.html"), "{said}");
    assert!(refused.stdout.is_empty());
    let old = folder.path().join("report.html");
    fs::write(&old, "old").unwrap();
    run("report.html").success();
    assert!(
        fs::read_to_string(&old)
            .unwrap()
            .starts_with("<!DOCTYPE html>")
    );
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        1,
        "no draft stays"
    );
}
