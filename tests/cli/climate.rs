//! `offing climate`: its figures against an integration of our own, and what it refuses.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::command::{self, assert_shown, shown_refused};

const KN_PER_MS: f64 = 3600.0 / 1852.0;
/// How far a share may be from the dense integration's, of 1.
const SHARE_TOLERANCE: f64 = 1e-6;
/// How far a mean speed may be from the dense integration's, kn.
const SPEED_TOLERANCE_KN: f64 = 1e-4;
/// The dense integration's cells. No bound of speed or direction cuts through one, and the fastest
/// speed is more than 7 standard deviations above any mean here.
const CELL_KN: f64 = 0.05;
const CELL_DEG: f64 = 0.1;
const FASTEST_KN: f64 = 130.0;

/// What a good run prints, in a folder of its own.
fn printed(arguments: &[&str]) -> String {
    command::printed(tempfile::tempdir().unwrap().path(), arguments)
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&printed(arguments)).unwrap()
}

fn number(value: &Value, path: &str) -> f64 {
    let found = value.pointer(path).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("no number at {path} in {value}"))
}

/// A file of the ship winds with a voyage that names it, its variables and the height: the winds of
/// a place are read as the voyage says, with and without `--climate`.
#[test]
fn a_place_is_read_as_the_voyage_says_its_winds_are() {
    let ship_winds = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/climate/ship-winds.nc");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let folder = tempfile::tempdir().unwrap();
    fs::copy(
        demo.join("cutter-12m.csv"),
        folder.path().join("cutter-12m.csv"),
    )
    .unwrap();
    let own = folder.path().join("own.nc");
    fs::copy(&ship_winds, &own).unwrap();
    let text = fs::read_to_string(demo.join("fremantle-durban.toml")).unwrap();
    let voyage = folder.path().join("voyage.toml");
    let climate = "[climate]\nfile = \"own.nc\"\nwind_height_m = 20\n";
    fs::write(&voyage, format!("{text}\n{climate}")).unwrap();
    let (voyage, own) = (voyage.to_str().unwrap(), own.to_str().unwrap());
    let place = ["climate", "20 S, 80 E", "--month", "5", "--json"];
    let mean_kn = |more: &[&str]| {
        let found = json(&[&place[..], more].concat());
        number(&found["places"][0], "/wind/mean_speed_kn")
    };
    let at_20_m = mean_kn(&["--voyage", voyage]);
    // The factor of the neutral profile from 20 m (tests/climate/files).
    assert!((at_20_m / mean_kn(&[]) - 0.940).abs() < 1e-3, "{at_20_m}");
    assert_eq!(mean_kn(&["--voyage", voyage, "--climate", own]), at_20_m);
    let route = ["climate", "--route", "Direct", "--json", "--voyage", voyage];
    let along = json(&route);
    let renamed = json(&[&route[..], &["--climate", own]].concat());
    assert_eq!(along["places"], renamed["places"]);
}

/// Shares of time and mean speeds of a wind, by summing its density over cells of speed and direction.
#[derive(Default)]
struct Dense {
    whole: f64,
    mean_speed_kn: f64,
    calm: f64,
    light_air: f64,
    strong: f64,
    gale: f64,
    sector_share: [f64; 8],
    sector_speed_kn: [f64; 8],
}

impl Dense {
    /// Of independent Gaussian components of means `u_ms` and `v_ms` and standard deviation `s_ms`.
    fn of(u_ms: f64, v_ms: f64, s_ms: f64) -> Self {
        let [u_kn, v_kn, s_kn] = [u_ms, v_ms, s_ms].map(|ms| ms * KN_PER_MS);
        let peak = CELL_KN * CELL_DEG.to_radians() / (std::f64::consts::TAU * s_kn * s_kn);
        let mut dense = Self::default();
        for turn in 0..(360.0 / CELL_DEG) as usize {
            let from_deg = (turn as f64 + 0.5) * CELL_DEG;
            let sector = ((from_deg + 22.5) / 45.0) as usize % 8;
            let (toward_east, toward_north) = {
                let (sin, cos) = from_deg.to_radians().sin_cos();
                (-sin, -cos)
            };
            for step in 0..(FASTEST_KN / CELL_KN) as usize {
                let speed_kn = (step as f64 + 0.5) * CELL_KN;
                let off_kn = (speed_kn * toward_east - u_kn).hypot(speed_kn * toward_north - v_kn);
                let share = peak * speed_kn * (-0.5 * (off_kn / s_kn).powi(2)).exp();
                dense.whole += share;
                dense.mean_speed_kn += share * speed_kn;
                // WMO bounds: calm below 1 kn, force 6 from 22 kn, force 8 from 34 kn.
                dense.calm += if speed_kn < 1.0 { share } else { 0.0 };
                dense.light_air += if speed_kn < 6.0 { share } else { 0.0 };
                dense.strong += if speed_kn >= 22.0 { share } else { 0.0 };
                dense.gale += if speed_kn >= 34.0 { share } else { 0.0 };
                dense.sector_share[sector] += share;
                dense.sector_speed_kn[sector] += share * speed_kn;
            }
        }
        for (speed_kn, share) in dense.sector_speed_kn.iter_mut().zip(dense.sector_share) {
            *speed_kn /= share;
        }
        dense
    }
}

#[test]
fn every_share_agrees_with_a_dense_integration() {
    // A trade wind, a westerly in winter, and a place of variable winds.
    for (position, month) in [
        ("20 S, 80 E", "July"),
        ("39 00 S, 79 30 E", "6"),
        ("-32.05, 115.67", "may"),
    ] {
        let found = json(&["climate", position, "--month", month, "--json"]);
        let wind = &found["places"][0]["wind"];
        let of = |path: &str| number(wind, path);
        let (u_ms, v_ms, s_ms) = (
            of("/components_ms/toward_east"),
            of("/components_ms/toward_north"),
            of("/components_ms/standard_deviation"),
        );
        let dense = Dense::of(u_ms, v_ms, s_ms);
        let same = |what: &str, found: f64, expected: f64, tolerance: f64| {
            let apart = (found - expected).abs();
            assert!(
                apart < tolerance,
                "{position}, {what}: found {found}, expected {expected}, {apart:e} apart"
            );
        };
        same("all of it", 1.0, dense.whole, SHARE_TOLERANCE);
        for (what, expected) in [
            ("calm", dense.calm),
            ("light_air", dense.light_air),
            ("strong", dense.strong),
            ("gale", dense.gale),
        ] {
            same(
                what,
                of(&format!("/share/{what}")),
                expected,
                SHARE_TOLERANCE,
            );
        }
        let mean_kn = of("/mean_speed_kn");
        same(
            "mean speed",
            mean_kn,
            dense.mean_speed_kn,
            SPEED_TOLERANCE_KN,
        );
        let vector_kn = u_ms.hypot(v_ms) * KN_PER_MS;
        same("vector mean", of("/vector_mean_speed_kn"), vector_kn, 1e-9);
        same("steadiness", of("/steadiness"), vector_kn / mean_kn, 1e-9);
        let from_deg = (-u_ms).atan2(-v_ms).to_degrees().rem_euclid(360.0);
        same("direction", of("/from_deg"), from_deg, 1e-9);
        for sector in 0..8 {
            let name = format!("sector {sector}");
            let path = |key: &str| format!("/rose/{sector}/{key}");
            let share = of(&path("share"));
            same(&name, share, dense.sector_share[sector], SHARE_TOLERANCE);
            if share > 1e-3 {
                let found_kn = of(&path("mean_speed_kn"));
                let expected_kn = dense.sector_speed_kn[sector];
                same(&name, found_kn, expected_kn, SPEED_TOLERANCE_KN);
            }
        }
    }
}

#[test]
fn twelve_months_or_one_within_80_columns() {
    let year = printed(&["climate", "32 03 S, 115 40 E"]);
    let month = printed(&["climate", "32 03 S, 115 40 E", "--month", "5"]);
    for text in [&year, &month] {
        command::assert_fits(text);
        assert!(text.contains("Cautions"), "no cautions");
    }
    let rows = |text: &str, start: &str| text.lines().filter(|l| l.starts_with(start)).count();
    assert_eq!(
        (rows(&year, "December "), rows(&month, "December ")),
        (2, 0)
    );
    let folder = tempfile::tempdir().unwrap();
    assert_shown!(folder.path(), year);
    assert_shown!(folder.path(), month);
}

#[test]
fn a_month_is_read_as_a_number_a_name_or_its_beginning() {
    let may = json(&["climate", "20 S, 80 E", "--month", "5", "--json"]);
    for month in ["05", "May", "MAY", "may"] {
        let found = json(&["climate", "20 S, 80 E", "--month", month, "--json"]);
        assert_eq!(found, may);
    }
    let year = json(&["climate", "20 S, 80 E", "--json"]);
    assert_eq!(year["places"].as_array().unwrap().len(), 12);
    assert_eq!(year["places"][4], may["places"][0]);
}

#[test]
fn a_position_may_begin_with_a_minus_sign_anywhere_on_the_line() {
    let lettered = json(&["climate", "32.5 S, 115 E", "--month", "5", "--json"]);
    for arguments in [
        ["climate", "-32.5, 115", "--month", "5", "--json"],
        ["climate", "--month", "5", "-32.5, 115", "--json"],
        ["climate", "--json", "--month", "5", "-32.5, 115"],
    ] {
        assert_eq!(json(&arguments), lettered, "{arguments:?}");
    }
}

#[test]
fn a_route_is_listed_from_end_to_end_in_the_month_of_departure() {
    let text = printed(&["climate", "--route", "Trades"]);
    assert!(
        text.starts_with("Wind climate along Trades in May"),
        "{text}"
    );
    command::assert_fits(&text);
    let found = json(&["climate", "--route", "Trades", "--json"]);
    let places = found["places"].as_array().unwrap();
    assert_eq!(number(&places[0], "/distance_nm"), 0.0);
    assert_eq!(number(&places[1], "/distance_nm"), 300.0);
    assert!((number(&places[0], "/position/latitude_deg") + 32.05).abs() < 1e-9);
    let last = &places[places.len() - 1];
    assert!((number(last, "/position/longitude_deg") - 31.1).abs() < 1e-9);
    // Each place alone says the same.
    let position = format!(
        "{}, {}",
        number(&places[5], "/position/latitude_deg"),
        number(&places[5], "/position/longitude_deg")
    );
    let alone = json(&["climate", &position, "--month", "5", "--json"]);
    let mean_kn = |place: &Value| number(place, "/wind/mean_speed_kn");
    assert!((mean_kn(&places[5]) - mean_kn(&alone["places"][0])).abs() < 1e-6);
    let june = printed(&["climate", "--route", "Trades", "--month", "June"]);
    assert!(june.starts_with("Wind climate along Trades in June"));
}

#[test]
fn csv_has_a_row_a_month_that_sums_to_the_whole() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = ["climate", "20 S, 80 E", "--csv", "winds.csv"];
    command::offing(folder.path(), &arguments).success();
    let mut reader = csv::Reader::from_path(folder.path().join("winds.csv")).unwrap();
    let heading = reader.headers().unwrap().clone();
    let mut months = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let shares = heading
            .iter()
            .zip(&row)
            .filter(|(name, _)| name.starts_with("from_") && name.ends_with("_share"))
            .map(|(_, cell)| cell.parse::<f64>().unwrap());
        let sum: f64 = shares.sum();
        // Eight cells of four decimals.
        assert!((sum - 1.0).abs() < 8.0 * 0.5e-4, "{sum}");
        months += 1;
    }
    assert_eq!(months, 12);
}

#[test]
fn places_without_winds_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let runs: [&[&str]; 3] = [
        &["climate", "23.7 S, 133.9 E", "--csv", "out.csv"],
        // No sea for hundreds of miles around.
        &["climate", "50 N, 90 E"],
        &["climate", "23.7 S, 133.9 E", "--month", "5"],
    ];
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @"
    $ offing climate '23.7 S, 133.9 E' --csv out.csv
    --- stderr
    error: no wind data around 23°42.0'S 133°54.0'E in any month; it may be land or ice, or a part of the sea without reports
    --- exit code 2

    $ offing climate '50 N, 90 E'
    --- stderr
    error: no wind data around 50°00.0'N 090°00.0'E in any month; it may be land or ice, or a part of the sea without reports
    --- exit code 2

    $ offing climate '23.7 S, 133.9 E' --month 5
    --- stderr
    error: no wind data around 23°42.0'S 133°54.0'E in May; it may be land or ice, or a part of the sea without reports
    --- exit code 2
    ");
}

#[test]
fn bad_input_is_told_what_was_found_and_what_is_allowed() {
    let folder = tempfile::tempdir().unwrap();
    let runs: [&[&str]; 11] = [
        &["climate", "91 S, 115 E"],
        &["climate", "-95, 115"],
        &["climate", "Fremantle"],
        &["climate", "20 S, 80 E", "--month", "13"],
        &["climate", "20 S, 80 E", "--month", "Mai"],
        &["climate"],
        &["climate", "20 S, 80 E", "--route", "Trades"],
        &["climate", "--route", "Tades"],
        &["climate", "--route", "Trades", "--voyage", "none.toml"],
        &["climate", "20 S, 80 E", "--climate", "none.nc"],
        &["climate", "20 S, 80 E", "--csv", "missing/winds.csv"],
    ];
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @r#"
    $ offing climate '91 S, 115 E'
    --- stderr
    error: invalid value '91 S, 115 E' for '[POSITION]': cannot read the position
      "91 S, 115 E": latitude is 91 degrees; allowed: 0 to 90 degrees; write it like
      32°03.2'S 115°44.0'E, 32.0533S 115.7333E or -32.0533, 115.7333

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate '-95, 115'
    --- stderr
    error: invalid value '-95, 115' for '[POSITION]': cannot read the position
      "-95, 115": latitude is -95 degrees; allowed: -90 to 90 degrees; write it like
      32°03.2'S 115°44.0'E, 32.0533S 115.7333E or -32.0533, 115.7333

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate Fremantle
    --- stderr
    error: invalid value 'Fremantle' for '[POSITION]': cannot read the position
      "Fremantle": found no clear split into a latitude and then a longitude; write
      it like 32°03.2'S 115°44.0'E, 32.0533S 115.7333E or -32.0533, 115.7333

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate '20 S, 80 E' --month 13
    --- stderr
    error: invalid value '13' for '--month <MONTH>': found '13'; allowed: 1 to 12,
      or an English month name or its first 3 letters or more

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate '20 S, 80 E' --month Mai
    --- stderr
    error: invalid value 'Mai' for '--month <MONTH>': found 'Mai'; allowed: 1 to 12,
      or an English month name or its first 3 letters or more

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate
    --- stderr
    error: the following required arguments were not provided:
      <POSITION>

    Usage: offing climate <POSITION>

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate '20 S, 80 E' --route Trades
    --- stderr
    error: the argument '[POSITION]' cannot be used with '--route <NAME>'

    Usage: offing climate <POSITION>

    hint: for more, add `--help`
    --- exit code 2

    $ offing climate --route Tades
    --- stderr
    error: the voyage has no route 'Tades'; its routes: Trades, Direct
    hint: did you mean `Trades`?
    --- exit code 2

    $ offing climate --route Trades --voyage none.toml
    --- stderr
    error: cannot read the voyage file none.toml: [os error]
    --- exit code 2

    $ offing climate '20 S, 80 E' --climate none.nc
    --- stderr
    error: wind climate none.nc: cannot be read: [os error]
    --- exit code 2

    $ offing climate '20 S, 80 E' --csv missing/winds.csv
    --- stderr
    error: cannot write missing/winds.csv: there is no such folder; nothing was written
    --- exit code 2
    "#);
}

#[test]
fn winds_of_ones_own_are_read_from_a_file() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/climate/ship-winds.nc");
    let file = file.display().to_string();
    let place = ["climate", "20 S, 80 E", "--month", "5", "--json"];
    let own = json(&[&place[..], &["--climate", &file]].concat());
    let embedded = json(&place);
    assert_eq!(own["places"], embedded["places"]);
    let route = ["climate", "--route", "Direct", "--json", "--climate", &file];
    assert_eq!(json(&route)["places"], json(&route[..4])["places"]);
}

/// A title may be anything; it does not steer the terminal, and the JSON has it as it is.
#[test]
fn the_title_of_a_file_is_shown_and_not_obeyed() {
    const TITLE: &str = "Winds\u{1b}]0;owned\u{7}\n\u{202e}sdniW";
    let folder = tempfile::tempdir().unwrap();
    let ship_winds = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/climate/ship-winds.nc");
    let own = folder.path().join("own.nc");
    fs::copy(ship_winds, &own).unwrap();
    let mut file = netcdf::append(&own).unwrap();
    file.add_attribute("title", TITLE).unwrap();
    file.close().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    for name in ["cutter-12m.csv", "fremantle-durban.toml"] {
        fs::copy(demo.join(name), folder.path().join(name)).unwrap();
    }
    let voyage = folder.path().join("fremantle-durban.toml");
    let text = fs::read_to_string(&voyage).unwrap();
    fs::write(&voyage, format!("{text}\n[climate]\nfile = \"own.nc\"\n")).unwrap();
    let voyage = "fremantle-durban.toml";
    let place = ["climate", "20 S, 80 E", "--climate", "own.nc"];
    let compare = ["compare", voyage, "--members", "10", "--full"];
    for arguments in [&place[..], &["check", voyage], &compare] {
        let shown = command::printed(folder.path(), arguments);
        let hidden = |letter: char| letter != '\n' && offing::text::is_hidden(letter);
        assert!(!shown.chars().any(hidden), "{shown:?}");
        assert!(
            shown
                .replace("\n  ", " ")
                .contains(r"(Winds\x1b]0;owned\x07\n\u{202e}sdniW)"),
            "{shown}"
        );
    }
    let json = command::json(folder.path(), &[&place[..], &["--json"]].concat());
    let label = json["winds"]["label"].as_str().unwrap();
    assert!(label.ends_with(&format!("({TITLE})")), "{label:?}");
}
