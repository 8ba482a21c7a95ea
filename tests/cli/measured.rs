//! A voyage that sails a climate measured from a series, end to end.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::command::{json, printed};
use crate::series_files::SeriesFile;

/// Two years, six-hourly, at four nodes: winds that swing slowly about a trade, a swell and a stream.
fn write_series(folder: &Path) {
    let hours = (0..2 * 365 * 4).map(|step| 6.0 * f64::from(step)).collect();
    let swing = |step: usize, days: f64| (step as f64 / (4.0 * days) * std::f64::consts::TAU).sin();
    let mut file = SeriesFile {
        latitudes_deg: vec![-36.0, -24.0],
        longitudes_deg: vec![70.0, 90.0],
        ..SeriesFile::new(hours)
    }
    .with("u10", |step, _| {
        -4.0 + 6.0 * swing(step, 5.3) + 6.0 * swing(step, 17.9)
    })
    .with("v10", |step, _| {
        3.0 + 6.0 * swing(step, 7.1) + 3.0 * swing(step, 3.7)
    })
    .with("uo", |_, _| -0.4)
    .with("vo", |_, _| 0.0)
    .with("swh", |_, _| 2.2);
    file.variables[4].1 = Some("m");
    file.write(folder, "measured-series.nc");
}

pub const VOYAGE: &str = r#"
[voyage]
name = "Measured"
departure = 2027-05-01

[boat.generic]
waterline_length_m = 10.2
displacement_kg = 11000
sail_area_m2 = 80
rig = "sloop"
keel = "fin"

[climate]
file = "my-winds.nc"

[[route]]
name = "West"

[[route.waypoint]]
name = "A"
position = "30 S, 88 E"

[[route.waypoint]]
name = "B"
position = "29 S, 72 E"
"#;

/// Makes `my-winds.nc` of such a series.
pub fn measure(folder: &Path) {
    write_series(folder);
    let measure = ["winds", "measured-series.nc", "--out", "my-winds.nc"];
    printed(folder, &measure);
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    measure(folder.path());
    fs::write(folder.path().join("voyage.toml"), VOYAGE).unwrap();
    let drifters = "[current]\nuse = \"drifters\"\n";
    fs::write(
        folder.path().join("drifters.toml"),
        format!("{VOYAGE}\n{drifters}"),
    )
    .unwrap();
    folder
}

#[test]
fn what_was_measured_is_sailed_and_said() {
    let folder = folder();
    let folder = folder.path();
    let full = ["compare", "voyage.toml", "--members", "200", "--full"];
    let said = printed(folder, &full);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Currents: my-winds.nc (wind climate measured from",
        "lasts as long as these winds have it measured in one part",
        "gale, as counted in the series",
        "calm, as counted in the series",
        "Mean significant height, measured 2.2 m",
        "how long winds last is measured, by place and month",
        "in place of those of the drifters",
    ] {
        assert!(said.contains(words), "no '{words}' in\n{said}");
    }
    assert!(!said.contains("Fully developed"), "{said}");
    let legs = printed(
        folder,
        &["legs", "voyage.toml", "--members", "50", "--full"],
    );
    let legs = legs.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        legs.contains("Sea: the mean significant height, measured"),
        "{legs}"
    );

    let members = ["--members", "200", "--json"];
    let compared = |more: &[&str]| json(folder, &[&["compare"], more, &members].concat());
    let own = compared(&["voyage.toml"]);
    let winds = &own["voyage"]["winds"]["measured"];
    let all = serde_json::json!(["scatter", "memory", "gales_and_calms", "wave_height"]);
    assert_eq!(*winds, all);
    let number = |result: &Value, place: &str| result.pointer(place).unwrap().as_f64().unwrap();
    // 0.4 m/s to the west are 0.78 kn, along a course that is nearly west.
    let along_kn = number(&own, "/routes/0/expected/current_along_kn");
    assert!((along_kn - 0.775).abs() < 0.02, "{along_kn}");
    assert_eq!(own["voyage"]["currents"]["own_file"], true);
    let drifters = compared(&["drifters.toml"]);
    assert_eq!(drifters["voyage"]["currents"]["own_file"], false);
    let along_kn = number(&drifters, "/routes/0/expected/current_along_kn");
    assert!(along_kn.abs() < 0.5, "{along_kn}");

    let swings = own["swings"].as_array().unwrap().iter();
    let swings: Vec<&str> = swings
        .map(|swing| swing["label"].as_str().unwrap())
        .collect();
    assert!(
        swings.contains(&"winds persist 1.5 times as long"),
        "{swings:?}"
    );
    assert!(swings.contains(&"slow part doubled"), "{swings:?}");

    // A time given on the command line takes the place of the memory that was measured.
    let given = compared(&["voyage.toml", "--persistence", "24"]);
    assert_eq!(given["simulated"]["measured_memory"], false);
    let days = |result: &Value| number(result, "/routes/0/ensemble/days/p90");
    assert!(days(&given) != days(&own));
}

#[test]
fn a_place_shows_what_was_counted() {
    let folder = folder();
    let place = ["climate", "29 S, 80 E", "--climate", "my-winds.nc"];
    let said = printed(folder.path(), &place);
    assert!(
        said.contains("Share of time as counted in the series"),
        "{said}"
    );
    let found = json(folder.path(), &[&place[..], &["--json"]].concat());
    let may = &found["places"][4];
    let counted = may["counted"]["gale"].as_f64().unwrap();
    assert!((0.0..0.2).contains(&counted), "{counted}");
}
