//! `offing new`, `offing completions` and `offing man`.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::command::{assert_shown, json, printed, refused, shown, shown_refused};

#[test]
fn a_new_voyage_is_sound_and_clear_of_land() {
    let folder = tempfile::tempdir().unwrap();
    let said = shown(folder.path(), &["new", "atlantic/crossing"]);
    assert_shown!(folder.path(), said, @"
    $ offing new atlantic/crossing
    Wrote atlantic/crossing/voyage.toml, and atlantic/crossing/polar.csv for its boat.
    The boat and the routes are invented examples: replace them with your own, then run
      offing check atlantic/crossing/voyage.toml
      offing compare atlantic/crossing/voyage.toml
    ");
    let checked = printed(
        folder.path(),
        &["check", "atlantic/crossing/voyage.toml", "--strict"],
    );
    assert!(
        checked.starts_with("Valid: every entry can be used."),
        "{checked}"
    );
    let compare = [
        "compare",
        "atlantic/crossing/voyage.toml",
        "--members",
        "20",
    ];
    assert!(printed(folder.path(), &compare).contains("South first"));
}

/// The new voyage with every key in use, but for those of which only one of two may stand.
fn in_full(text: &str) -> String {
    let keys = text.lines().map(|line| match line.strip_prefix('#') {
        Some(key) if !key.is_empty() && !key.starts_with(' ') => key,
        _ => line,
    });
    let one_of_two = [
        "polar =",
        "litres_per_hour = 2.0",
        "fuel =",
        "assumed_steadiness",
        "forecast_skill =",
        "use =",
        "period =",
    ];
    keys.filter(|line| !one_of_two.iter().any(|start| line.starts_with(start)))
        .map(|line| format!("{line}\n"))
        .collect()
}

/// Keys that have no default where their table stands: what the new voyage writes is an example.
const EXAMPLES: [&str; 39] = [
    "wait_up_to",
    "waterline_length_m",
    "displacement_kg",
    "sail_area_m2",
    "rig",
    "keel",
    "power_kw",
    "power_speed_kn",
    "file",
    "name",
    "animal",
    "mass",
    "per_person_day",
    "keeping",
    "share",
    "kcal_per_kg",
    "litres_per_kg",
    "keeps_days",
    "power",
    "when",
    "kind",
    "size",
    "volts",
    "peak",
    "rated",
    "rated_wind_ms",
    "starts_at_ms",
    "net",
    "every_engine_hours",
    "fluid",
    "stay",
    "resupply",
    "leave_after",
    "arrive_by",
    "diesel_per_litre",
    "water_per_litre",
    "food_per_person_day",
    "harbour_per_day",
    "place",
];

/// What a list is made of, less what says where a figure comes from.
fn figures(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            fields.retain(|field, _| field != "basis" && field != "rule");
            fields.values_mut().for_each(figures);
        }
        Value::Array(items) => items.iter_mut().for_each(figures),
        _ => {}
    }
}

#[test]
fn what_the_new_voyage_writes_behind_a_key_is_what_holds_without_it() {
    let (folder, full) = folder_in_full();
    // A watermaker takes the default reserve of water away; it stands in neither.
    let maker = full.find("[water.watermaker]").unwrap();
    let end = maker + full[maker..].find("\n\n").unwrap();
    let full = format!("{}{}", &full[..maker], &full[end..]);
    let shipped = include_str!("../../fixtures/new/voyage.toml");
    let mut left_out = 0;
    let with_defaults: String = full
        .lines()
        .filter(|line| {
            let key = line.split(" =").next().unwrap_or_default();
            let is_default = line.contains(" = ")
                && !EXAMPLES.contains(&key)
                && shipped.contains(&format!("\n#{line}\n"));
            left_out += usize::from(is_default);
            !is_default
        })
        .map(|line| format!("{line}\n"))
        .collect();
    assert!(left_out > 35, "only {left_out} defaults are left out");
    let listed = |text: &str| {
        fs::write(folder.path().join("voyage.toml"), text).unwrap();
        let stores = ["stores", "voyage.toml", "--members", "20", "--json"];
        let mut list: Value = serde_json::from_str(&printed(folder.path(), &stores)).unwrap();
        figures(&mut list["routes"]);
        list["routes"].clone()
    };
    assert_eq!(listed(&with_defaults), listed(&full));
}

/// A folder with the new voyage in full and the files that it names.
fn folder_in_full() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    printed(folder.path(), &["new"]);
    let voyage = folder.path().join("voyage.toml");
    let text = in_full(&fs::read_to_string(&voyage).unwrap());
    fs::write(&voyage, &text).unwrap();
    let gpx = "<gpx version=\"1.1\" creator=\"test\"><rte><name>Atlantic 2019</name>\
               <rtept lat=\"27\" lon=\"-16.5\"/><rtept lat=\"13\" lon=\"-59\"/></rte></gpx>";
    fs::write(folder.path().join("track.gpx"), gpx).unwrap();
    let climate = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/climate");
    for (from, to) in [
        ("ship-winds.nc", "winds.nc"),
        ("currents.nc", "currents.nc"),
    ] {
        fs::copy(climate.join(from), folder.path().join(to)).unwrap();
    }
    (folder, text)
}

#[test]
fn what_the_new_voyage_leaves_out_is_sound_too() {
    let (folder, text) = folder_in_full();
    assert!(text.contains("\nfile = \"track.gpx\"") && text.contains("\nstep_nm"));
    assert!(printed(folder.path(), &["check", "voyage.toml"]).contains("As last time"));
    let stores = ["stores", "voyage.toml", "--members", "20", "--full"];
    let stores = printed(folder.path(), &stores);
    assert!(stores.contains("oat bars"), "{stores}");
}

/// The names in every table of a schema, and the schema of each.
fn keys<'a>(schema: &'a Value, found: &mut Vec<(&'a str, &'a Value)>) {
    for (key, inner) in schema["properties"].as_object().into_iter().flatten() {
        found.push((key, inner));
        keys(inner, found);
        keys(&inner["items"], found);
    }
}

#[test]
fn the_new_voyage_explains_every_key() {
    let folder = tempfile::tempdir().unwrap();
    let schema = json(folder.path(), &["schema", "voyage"]);
    let mut found = Vec::new();
    keys(&schema, &mut found);
    assert!(found.len() > 120, "{} keys", found.len());
    let explained = include_str!("../../fixtures/new/voyage.toml");
    for (key, schema) in found {
        let heading = [schema, &schema["items"]]
            .iter()
            .any(|of| of["properties"].is_object());
        let named = if heading {
            ["[", "."].map(|before| format!("{before}{key}]"))
        } else {
            [format!("{key} ="), format!("{key}`")]
        };
        let is_named = named.iter().any(|way| explained.contains(way));
        assert!(is_named, "{key} is not explained");
        let meaning = schema["description"].as_str().unwrap_or_default();
        assert!(meaning.ends_with('.'), "{key}: {meaning:?}");
    }
}

/// A TOML document as JSON, its dates as texts.
fn as_json(value: toml::Value) -> Value {
    match value {
        toml::Value::Datetime(date) => date.to_string().into(),
        toml::Value::Array(list) => list.into_iter().map(as_json).collect(),
        toml::Value::Table(table) => {
            let entries = table.into_iter();
            Value::Object(entries.map(|(key, value)| (key, as_json(value))).collect())
        }
        plain => serde_json::to_value(plain).unwrap(),
    }
}

#[test]
fn the_schema_of_the_voyage_file_takes_sound_voyages_and_no_others() {
    let folder = tempfile::tempdir().unwrap();
    let schema = json(folder.path(), &["schema", "voyage"]);
    jsonschema::draft202012::meta::validate(&schema).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let every_key: String = include_str!("../../fixtures/new/voyage.toml")
        .lines()
        .map(|line| match line.strip_prefix('#') {
            Some(key) if !key.starts_with([' ', '#']) => format!("{key}\n"),
            _ => format!("{line}\n"),
        })
        .collect();
    let valid = |text: &str| {
        let errors = validator
            .iter_errors(&as_json(toml::from_str(text).unwrap()))
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect::<Vec<_>>();
        if errors.is_empty() {
            Ok(())
        } else {
            Err(errors.join("\n"))
        }
    };
    valid(include_str!("../../fixtures/demo/fremantle-durban.toml")).unwrap();
    valid(&every_key).unwrap();
    for (old, new) in [
        ("factor = 0.85", "factor = 1.6"),
        ("factor = 0.85", "factro = 0.85"),
        ("rig = \"cutter\"", "rig = \"lateen\""),
        ("tank = \"420 L\"", "tank = 420"),
        ("departure = 2027-12-01", ""),
        ("sold_there = [", "sold_there = [\"beer\", "),
    ] {
        assert!(every_key.contains(old), "{old}");
        assert!(valid(&every_key.replacen(old, new, 1)).is_err(), "{new}");
    }
}

#[test]
fn nothing_is_overwritten() {
    for there in ["voyage.toml", "polar.csv"] {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(there), "mine").unwrap();
        let said = refused(folder.path(), &["new"]);
        assert!(said.contains(there), "{said}");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        assert_eq!(
            fs::read_to_string(folder.path().join(there)).unwrap(),
            "mine"
        );
    }
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("file"), "").unwrap();
    fs::write(folder.path().join("polar.csv"), "").unwrap();
    let runs: [&[&str]; 2] = [&["new"], &["new", "file/inside"]];
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @"
    $ offing new
    --- stderr
    error: ./polar.csv is there already; nothing was written. Choose another folder
    --- exit code 2

    $ offing new file/inside
    --- stderr
    error: cannot write file/inside: a part of its path is not a folder; nothing was written
    --- exit code 2
    ");
}

#[test]
fn completions_and_manual_pages_name_the_commands() {
    let folder = tempfile::tempdir().unwrap();
    for shell in ["bash", "zsh", "fish"] {
        let script = printed(folder.path(), &["completions", shell]);
        assert!(
            script.contains("compare") && script.contains("strict"),
            "{shell}"
        );
    }
    let page = printed(folder.path(), &["man"]);
    assert!(
        page.contains(".TH offing 1") && page.contains("compare"),
        "{page}"
    );
    let page = printed(folder.path(), &["man", "legs"]);
    assert!(
        page.contains(".TH offing-legs 1") && page.contains("geojson"),
        "{page}"
    );
    let page = printed(folder.path(), &["man", "boat-fit"]);
    assert!(
        page.contains(".TH offing-boat-fit 1") && page.contains("under_power"),
        "{page}"
    );
    let runs: [&[&str]; 2] = [&["completions", "abacus"], &["man", "sail"]];
    assert_shown!(folder.path(), shown_refused(folder.path(), &runs), @"
    $ offing completions abacus
    --- stderr
    error: invalid value 'abacus' for '<SHELL>'
      [possible values: bash, elvish, fish, powershell, zsh]

    hint: for more, add `--help`
    --- exit code 2

    $ offing man sail
    --- stderr
    error: no command 'sail'; commands: compare, legs, check, season, years, boat, boat-fit, boat-learn, climate, winds, stores, new, schema, completions, man, shape, help
    --- exit code 2
    ");
}
