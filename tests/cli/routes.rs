//! Route files in and out of the commands, and land in a route's way.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::command::offing;

/// The voyage of these tests, with what stands in `routes`; its polar is the demonstration's.
fn folder_with(routes: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/cutter-12m.csv");
    fs::copy(demo, folder.path().join("polar.csv")).unwrap();
    let head =
        "[voyage]\nname = \"Test\"\ndeparture = 2027-05-01\n\n[boat]\npolar = \"polar.csv\"\n";
    fs::write(
        folder.path().join("voyage.toml"),
        format!("{head}\n{routes}"),
    )
    .unwrap();
    folder
}

/// What a run that ends with `code` says on standard output and on standard error.
fn said(folder: &Path, arguments: &[&str], code: i32) -> (String, String) {
    let output = offing(folder, arguments).code(code).get_output().clone();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (text(output.stdout), text(output.stderr))
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    serde_json::from_str(&said(folder, arguments, 0).0).unwrap()
}

const FEW: [&str; 2] = ["--members", "20"];

/// Across the south of Madagascar, from sea to sea.
const OVER_LAND: &str = r#"[[route]]
name = "Over"
[[route.waypoint]]
name = "East"
position = "24 S, 50 E"
[[route.waypoint]]
name = "West"
position = "24 S, 42 E"
leg = "rhumb"
"#;

#[test]
fn a_route_read_from_a_file_is_that_of_the_file() {
    let routes = "[[route]]\nname = \"Drawn\"\nfile = \"tracks/plan.gpx\"\nfile_route = \"B\"\n";
    let folder = folder_with(routes);
    fs::create_dir(folder.path().join("tracks")).unwrap();
    let gpx = "<gpx version=\"1.1\" creator=\"test\"><rte><name>A</name><rtept lat=\"0\" lon=\"1\"/></rte>\
               <rte><name>B</name><rtept lat=\"-32\" lon=\"110\"><name>Off</name></rtept>\
               <rtept lat=\"-30\" lon=\"90\"/><rtept lat=\"-30\" lon=\"70\"/></rte></gpx>";
    fs::write(folder.path().join("tracks/plan.gpx"), gpx).unwrap();
    let legs = json(
        folder.path(),
        &["legs", "voyage.toml", "--json", FEW[0], FEW[1]],
    );
    let legs = legs["routes"][0]["expected"]["legs"].as_array().unwrap();
    assert_eq!(legs.len(), 2);
    assert_eq!(
        (legs[0]["from"].as_str(), legs[0]["kind"].as_str()),
        (Some("Off"), Some("rhumb"))
    );

    let voyage = folder.path().join("voyage.toml");
    let text = fs::read_to_string(&voyage).unwrap();
    for (old, new, expected) in [
        (
            "\"B\"",
            "\"C\"",
            "plan.gpx: holds no route 'C'; it holds: A, B",
        ),
        (
            "file_route = \"B\"",
            "",
            "plan.gpx: holds 2 routes; say which with file_route: A, B",
        ),
        (
            "plan.gpx",
            "none.gpx",
            "voyage.toml:10: route[1].file: tracks/none.gpx: cannot be read",
        ),
        (
            "file_route",
            "leg = \"composite\"\nfile_route",
            "\"great-circle\" or \"rhumb\"",
        ),
        (
            "file = \"tracks/plan.gpx\"\n",
            "",
            "only a route with a `file` has this",
        ),
    ] {
        fs::write(&voyage, text.replacen(old, new, 1)).unwrap();
        let (stdout, stderr) = said(folder.path(), &["check", "voyage.toml"], 2);
        assert!(
            stdout.is_empty() && stderr.contains(expected),
            "{new}: {stderr}"
        );
    }
    let both = format!("{text}\n[[route.waypoint]]\nname = \"A\"\nposition = \"1 S, 2 E\"\n");
    fs::write(&voyage, both).unwrap();
    let (_, stderr) = said(folder.path(), &["check", "voyage.toml"], 2);
    assert!(
        stderr.contains("a `file` or waypoints of its own, not both"),
        "{stderr}"
    );
    fs::write(
        &voyage,
        text.replacen("file_route", "leg = \"great-circle\"\nfile_route", 1),
    )
    .unwrap();
    let legs = json(
        folder.path(),
        &["legs", "voyage.toml", "--json", FEW[0], FEW[1]],
    );
    assert_eq!(
        legs["routes"][0]["expected"]["legs"][1]["kind"],
        "great-circle"
    );
}

#[test]
fn a_route_of_two_metres_is_refused_with_its_line() {
    let metres = OVER_LAND.replace("24 S, 42 E", "24.00002 S, 50 E");
    let folder = folder_with(&metres);
    for command in ["check", "compare", "season", "stores"] {
        let (stdout, stderr) = said(folder.path(), &[command, "voyage.toml"], 2);
        assert_eq!(stdout, "");
        let expected = "voyage.toml:10: route[1].waypoint: route 'Over' is only 0.001 nm long; \
                        allowed: 1 nm or more";
        assert!(stderr.contains(expected), "{command}: {stderr}");
    }
    fs::write(
        folder.path().join("near.csv"),
        "latitude_deg,longitude_deg\n-24,50\n-24.00002,50\n",
    )
    .unwrap();
    let voyage = fs::read_to_string(folder.path().join("voyage.toml")).unwrap();
    let (head, _) = voyage.split_once("[[route]]").unwrap();
    let text = format!("{head}[[route]]\nname = \"Over\"\nfile = \"near.csv\"\n");
    fs::write(folder.path().join("voyage.toml"), text).unwrap();
    let (_, stderr) = said(folder.path(), &["check", "voyage.toml"], 2);
    let expected = "voyage.toml:10: route[1].file: route 'Over' is only 0.001 nm long";
    assert!(stderr.contains(expected), "{stderr}");
}

#[test]
fn files_that_are_no_text_or_never_end_are_refused() {
    let folder = folder_with(OVER_LAND);
    let refused = |expected: &str| {
        let (stdout, stderr) = said(folder.path(), &["check", "voyage.toml"], 2);
        assert_eq!(stdout, "");
        assert!(stderr.contains(expected), "{stderr}");
    };
    fs::write(folder.path().join("polar.csv"), [0xff, 0xfe, 0x00]).unwrap();
    refused("voyage.toml:6: boat.polar: cannot read polar.csv: it is not UTF-8 text");
    fs::write(folder.path().join("voyage.toml"), [0xff, 0xfe, 0x00]).unwrap();
    refused("cannot read the voyage file voyage.toml: it is not UTF-8 text");
    #[cfg(unix)]
    {
        let endless = ["check", "/dev/zero"];
        let (_, stderr) = said(folder.path(), &endless, 2);
        let expected = "cannot read the voyage file /dev/zero: it is longer than 20 MB";
        assert!(stderr.contains(expected), "{stderr}");
    }
}

#[test]
fn exported_routes_come_back_as_long_as_they_went() {
    let folder = folder_with("");
    let arguments = [
        "legs",
        "--gpx",
        "out.gpx",
        "--geojson",
        "out.geojson",
        "--waypoints",
        "out.csv",
        FEW[0],
        FEW[1],
    ];
    offing(folder.path(), &arguments).success();
    let demo = json(folder.path(), &["compare", "--json", FEW[0], FEW[1]]);
    let demo_nm: Vec<f64> = lengths(&demo);
    let head = fs::read_to_string(folder.path().join("voyage.toml")).unwrap();
    for (file, most_off_nm) in [("out.gpx", 0.5), ("out.geojson", 0.5), ("out.csv", 1e-3)] {
        let routes: String = ["Trades", "Direct"]
            .map(|name| {
                format!(
                    "[[route]]\nname = \"{name}\"\nfile = \"{file}\"\nfile_route = \"{name}\"\n"
                )
            })
            .concat();
        fs::write(folder.path().join("back.toml"), format!("{head}\n{routes}")).unwrap();
        let back = json(folder.path(), &["check", "back.toml", "--json"]);
        for (back_nm, demo_nm) in lengths(&back).iter().zip(&demo_nm) {
            assert!(
                (back_nm - demo_nm).abs() < most_off_nm,
                "{file}: {back_nm} {demo_nm}"
            );
        }
    }
    let gpx = fs::read_to_string(folder.path().join("out.gpx")).unwrap();
    assert!(gpx.contains("<name>South of Madagascar</name>"));
}

fn lengths(document: &Value) -> Vec<f64> {
    let routes = document["routes"].as_array().unwrap();
    routes
        .iter()
        .map(|route| route["distance_nm"].as_f64().unwrap())
        .collect()
}

#[test]
fn one_route_alone_is_exported_if_asked() {
    let folder = folder_with("");
    offing(
        folder.path(),
        &[
            "legs",
            "--route",
            "Direct",
            "--geojson",
            "one.geojson",
            FEW[0],
            FEW[1],
        ],
    )
    .success();
    let text = fs::read_to_string(folder.path().join("one.geojson")).unwrap();
    let json: Value = serde_json::from_str(&text).unwrap();
    let shapes: Vec<&str> = json["features"]
        .as_array()
        .unwrap()
        .iter()
        .map(|feature| feature["geometry"]["type"].as_str().unwrap())
        .collect();
    assert_eq!(shapes, ["LineString", "Point", "Point"]);
}

#[test]
fn a_file_that_cannot_be_written_leaves_the_old_one_whole() {
    let folder = folder_with("");
    for option in ["--gpx", "--geojson", "--waypoints"] {
        let (_, stderr) = said(
            folder.path(),
            &["legs", option, "missing/out.x", FEW[0], FEW[1]],
            2,
        );
        assert!(stderr.contains("cannot write missing/out.x"), "{stderr}");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let shut = folder.path().join("shut");
        fs::create_dir(&shut).unwrap();
        fs::write(shut.join("out.gpx"), "old").unwrap();
        fs::set_permissions(&shut, fs::Permissions::from_mode(0o555)).unwrap();
        let writable = fs::write(shut.join("probe"), "").is_ok(); // as root it is
        let code = if writable { 0 } else { 2 };
        said(
            folder.path(),
            &["legs", "--gpx", "shut/out.gpx", FEW[0], FEW[1]],
            code,
        );
        let left = fs::read_to_string(shut.join("out.gpx")).unwrap();
        assert!(left == "old" || writable && left.ends_with("</gpx>\n"));
        fs::set_permissions(&shut, fs::Permissions::from_mode(0o755)).unwrap();
    }
}

#[test]
fn the_demonstration_crosses_no_land_and_says_what_was_checked() {
    let folder = folder_with("");
    for command in [&["compare", "--full"][..], &["legs", "--full"]] {
        let strict = [command, &["--strict", FEW[0], FEW[1]]].concat();
        let (stdout, stderr) = said(folder.path(), &strict, 0);
        assert_eq!(stderr, "");
        let plain = stdout.replace("\n  ", " ");
        assert!(
            plain.contains("small islands, rocks, reefs and shoals are missing"),
            "{stdout}"
        );
        assert!(!plain.contains("WARNING"), "{stdout}");
    }
    let demo = json(folder.path(), &["compare", "--json", FEW[0], FEW[1]]);
    for route in demo["routes"].as_array().unwrap() {
        assert_eq!(route["land"]["crossings"], serde_json::json!([]));
    }
    let notes = demo["notes"].to_string();
    assert!(notes.contains("small islands, rocks, reefs and shoals are missing"));
}

#[test]
fn land_in_the_way_is_a_warning_and_with_strict_an_error() {
    let folder = folder_with(OVER_LAND);
    let (stdout, stderr) = said(folder.path(), &["check", "voyage.toml"], 0);
    let start = "warning: route 'Over' crosses land once, 2";
    assert!(stderr.starts_with(start), "{stderr}");
    assert_eq!(stderr.lines().count(), 1);
    let plain = stdout.replace("\n  ", " ");
    let all = "WARNING: route 'Over', leg 1 from East to West, crosses land: it meets it at \
               24°00.0'S 047°";
    assert!(plain.contains(all), "{stdout}");

    let checked = json(folder.path(), &["check", "voyage.toml", "--json"]);
    let crossing = &checked["routes"][0]["land"]["crossings"][0];
    let over_nm = crossing["over_nm"].as_f64().unwrap();
    // Along 24 S from 47.6 to 43.7 E or so, 54.9 nm a degree.
    assert!((190.0..230.0).contains(&over_nm), "{crossing}");
    assert_eq!(crossing["leg"], 1);
    assert!((crossing["enters"]["latitude_deg"].as_f64().unwrap() + 24.0).abs() < 1e-9);

    let voyage = fs::read_to_string(folder.path().join("voyage.toml")).unwrap();
    let crew = "[crew]\npeople = 2\nsex = \"female\"\nage_years = 40\nmass = \"60 kg\"\n";
    let crewed = folder.path().join("crewed.toml");
    fs::write(crewed, format!("{voyage}\n{crew}")).unwrap();
    let stores = ["stores", "crewed.toml", "--members", "20"];
    let (stdout, stderr) = said(folder.path(), &stores, 0);
    assert!(stderr.starts_with(start), "{stderr}");
    assert!(
        stdout.contains("WARNING: route 'Over' crosses land once, 2"),
        "{stdout}"
    );
    let (stdout, _) = said(folder.path(), &[&stores[..], &["--full"]].concat(), 0);
    assert!(
        stdout.contains("WARNING: route 'Over' crosses land once"),
        "{stdout}"
    );
    let (document, _) = said(folder.path(), &[&stores[..], &["--json"]].concat(), 0);
    let document: Value = serde_json::from_str(&document).unwrap();
    assert_eq!(&document["routes"][0]["land"]["crossings"][0], crossing);

    for command in ["check", "compare", "legs", "season", "stores"] {
        let (stdout, stderr) = said(folder.path(), &[command, "crewed.toml", "--strict"], 2);
        assert_eq!(stdout, "");
        assert!(
            stderr.contains("land in the way:\n  route 'Over', leg 1"),
            "{stderr}"
        );
    }
    let asked = ["legs", "voyage.toml", "--strict", "--gpx", "out.gpx"];
    said(folder.path(), &asked, 2);
    assert!(!folder.path().join("out.gpx").exists());
}

#[test]
fn land_by_a_harbour_is_a_note() {
    let routes = OVER_LAND
        .replace("24 S, 50 E", "29 51 S, 30 54 E")
        .replace("24 S, 42 E", "30 S, 40 E");
    let folder = folder_with(&routes);
    let (stdout, stderr) = said(folder.path(), &["check", "voyage.toml", "--strict"], 0);
    assert_eq!(stderr, "");
    let plain = stdout.replace("\n  ", " ");
    assert!(
        plain.contains("Over land within 10 nm of a route's ends: Over "),
        "{stdout}"
    );
}

#[test]
fn a_track_of_a_hundred_thousand_points_is_read() {
    let folder = folder_with("[[route]]\nname = \"Kept\"\nfile = \"track.gpx\"\n");
    let points: String = (0..100_000)
        .map(|n| {
            let along = f64::from(n) / 100_000.0;
            let (lat, lon) = (-30.0 + 5.0 * (along * 9.0).sin(), 60.0 + 50.0 * along);
            format!("<trkpt lat=\"{lat:.5}\" lon=\"{lon:.5}\"/>\n")
        })
        .collect();
    let text = format!(
        "<gpx version=\"1.1\" creator=\"test\"><trk><name>T</name><trkseg>{points}</trkseg></trk></gpx>"
    );
    fs::write(folder.path().join("track.gpx"), text).unwrap();
    let read = json(folder.path(), &["check", "voyage.toml", "--json"]);
    let legs = read["routes"][0]["legs"].as_u64().unwrap();
    assert!((10..200).contains(&legs), "{legs}");
}
