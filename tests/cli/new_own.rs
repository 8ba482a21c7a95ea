//! `offing new` with the answers given as options: a voyage of the crew's own.

use std::fs;
use std::path::Path;

use crate::command::{printed, refused};

/// From Fremantle to Durban, as far as the boat.
const ENDS: [&str; 7] = [
    "new",
    "--from",
    "Fremantle, Australia",
    "--to",
    "durban, za",
    "--departure",
    "2027-05-01",
];

fn own(folder: &Path, more: &[&str]) -> String {
    printed(folder, &[&ENDS[..], more].concat())
}

fn read(folder: &Path, file: &str) -> String {
    fs::read_to_string(folder.join(file)).unwrap()
}

/// The names of the routes in a voyage file.
fn routes(text: &str) -> Vec<String> {
    let voyage: toml::Table = toml::from_str(text).unwrap();
    let routes = voyage["route"].as_array().unwrap().iter();
    routes
        .map(|route| route["name"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn a_voyage_is_written_from_the_answers_checked_and_compared() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let engine = [
        "--motor-kn",
        "5",
        "--litres-per-hour",
        "2",
        "--diesel",
        "63 US gal",
    ];
    let stores = ["--crew", "2", "--water", "400 L"];
    let answers = [&["--boat", "middle"][..], &engine, &stores].concat();
    let said = own(folder, &[&["mine"][..], &answers].concat());
    assert!(said.starts_with("Wrote mine/voyage.toml."), "{said}");
    for shown in [
        "Fremantle to Durban, leaving 1 May 2027",
        "Great circle",
        "Less headwind",
        "Stores to load",
    ] {
        assert!(said.contains(shown), "{shown}: {said}");
    }
    let text = read(folder, "mine/voyage.toml");
    assert_eq!(routes(&text), ["Great circle", "Less headwind"]);
    assert_eq!(
        text.matches("place = \"Durban, South Africa\"").count(),
        2,
        "{text}"
    );
    for line in [
        "fuel = \"63 US gal\"",
        "tank = \"400 L\"",
        "people = 2",
        "sail_area_m2 = 62",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    let checked = printed(folder, &["check", "mine/voyage.toml", "--strict"]);
    assert!(
        checked.contains("- Fremantle, Australia: 32°03.0'S 115°42.6'E\n- Durban, South Africa: "),
        "{checked}"
    );
    own(folder, &[&["again"][..], &answers].concat());
    assert_eq!(read(folder, "again/voyage.toml"), text);
}

/// The gentle route is slower by a fifth at most, on the mean wind, and has less wind ahead.
#[test]
fn the_gentle_route_is_gentle() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    own(folder, &["--boat", "large"]);
    let compared = crate::command::json(
        folder,
        &["compare", "voyage.toml", "--members", "20", "--json"],
    );
    let route = |index: usize| {
        let expected = &compared["routes"][index]["expected"];
        let days = expected["days"].as_f64().unwrap();
        (days, expected["exposure"]["headwind"].as_f64().unwrap())
    };
    let (great_circle, gentle) = (route(0), route(1));
    assert!(
        gentle.0 < 1.2 * great_circle.0,
        "{gentle:?} {great_circle:?}"
    );
    assert!(
        gentle.1 < 0.5 * great_circle.1,
        "{gentle:?} {great_circle:?}"
    );
}

#[test]
fn land_in_the_way_is_said_and_sailed_round() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let ends = [
        "new",
        "--from",
        "Brest, France",
        "--to",
        "36 S, 5 E",
        "--departure",
        "2027-09-01",
    ];
    let said = printed(folder, &[&ends[..], &["--boat", "small"]].concat());
    assert!(
        said.contains("The great circle crosses land: the first route is"),
        "{said}"
    );
    let text = read(folder, "voyage.toml");
    assert_eq!(routes(&text)[0], "Round the land");
    assert!(
        text.contains("name = \"End\"\nposition = \"-36.00000, 5.00000\""),
        "{text}"
    );
    printed(folder, &["check", "voyage.toml", "--strict"]);
}

#[test]
fn a_great_circle_into_the_ice_is_said_and_kept_clear_of() {
    let folder = tempfile::tempdir().unwrap();
    let ends = ["new", "--from", "39 S, 15 E", "--to", "40 S, 143 E"];
    let rest = ["--departure", "2027-07-01", "--boat", "large"];
    let said = printed(folder.path(), &[&ends[..], &rest].concat());
    assert!(said.contains("of which no winds are known"), "{said}");
    let text = read(folder.path(), "voyage.toml");
    assert_eq!(routes(&text)[0], "Where winds are known");
    printed(folder.path(), &["compare"]);
}

#[test]
fn an_end_in_a_harbour_that_is_land_by_the_outlines_is_left_by_sea() {
    let folder = tempfile::tempdir().unwrap();
    // Fremantle's fishing boat harbour, from memory.
    let ends = ["new", "--from", "32.07 S, 115.80 E", "--to", "durban, za"];
    let rest = ["--departure", "2027-05-01", "--boat", "small"];
    printed(folder.path(), &[&ends[..], &rest].concat());
    let text = read(folder.path(), "voyage.toml");
    assert_eq!(routes(&text), ["Great circle", "Less headwind"]);
    assert_eq!(
        text.matches("\"-32.07000, 115.80000\"").count(),
        2,
        "{text}"
    );
}

#[test]
fn a_polar_is_copied_or_named_where_it_stands() {
    let polar = include_str!("../../fixtures/demo/cutter-12m.csv");
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    fs::write(folder.join("ours.csv"), polar).unwrap();
    own(folder, &["--polar", "ours.csv", "copy"]);
    assert_eq!(read(folder, "copy/polar.csv"), polar);
    assert!(read(folder, "copy/voyage.toml").contains("polar = \"polar.csv\""));
    own(folder, &["--polar", "ours.csv"]);
    assert!(read(folder, "voyage.toml").contains("polar = \"ours.csv\""));
    assert!(!folder.join("polar.csv").exists());
}

#[test]
fn the_example_is_written_when_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    printed(folder.path(), &["new", "--example"]);
    let example = include_str!("../../fixtures/new/voyage.toml");
    assert_eq!(read(folder.path(), "voyage.toml"), example);
}

#[test]
fn answers_that_cannot_be_used_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let boat = ["--boat", "small"];
    for (answers, why) in [
        (
            vec!["new", "--from", "Durban"],
            "still to give: --to, --departure, --boat, --polar or",
        ),
        (vec!["new", "--from", "Durben"], "no port 'Durben' is known"),
        (
            vec!["new", "--to", "Newcastle"],
            "Newcastle, Australia; Newcastle, Saint Kitts",
        ),
        (
            vec!["new", "--example", "--boat", "small"],
            "cannot be used with",
        ),
        (
            [&ENDS[..], &boat, &["--crew", "99"]].concat(),
            "allowed: 1 to 20 people",
        ),
        (
            [&ENDS[..], &boat, &["--motor-kn", "5"]].concat(),
            "--diesel",
        ),
        ([&ENDS[..], &["--polar", "none.csv"]].concat(), "none.csv"),
        (
            [&ENDS[..], &["--waterline-m", "9"]].concat(),
            "--displacement-kg",
        ),
    ] {
        let said = refused(folder, &answers);
        assert!(said.contains(why), "{answers:?}: {said}");
    }
    fs::write(folder.join("voyage.toml"), "mine").unwrap();
    let said = refused(folder, &[&ENDS[..], &boat].concat());
    assert!(said.contains("voyage.toml is there already"), "{said}");
}
