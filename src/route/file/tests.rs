//! Route files good and bad, out and in again.

use super::*;
use crate::geodesy::{LegKind, LegTrack, Position};
use crate::route::{Route, Waypoint};

fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
    Position::new(latitude_deg, longitude_deg).unwrap()
}

fn route(name: &str, kind: LegKind, places: &[(&str, f64, f64)]) -> Route {
    let waypoints = places
        .iter()
        .map(|(name, latitude_deg, longitude_deg)| Waypoint {
            name: (*name).to_owned(),
            position: at(*latitude_deg, *longitude_deg),
            reached_by: kind,
        });
    Route::new(name, waypoints.collect()).unwrap()
}

/// What reading `text` from a file called `name` gives.
fn read_bytes(name: &str, bytes: &[u8]) -> Result<RouteFile, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    RouteFile::read(&path).map_err(|error| {
        let message = error.to_string();
        let start = message.find(name).expect("the file is named");
        message[start..].to_owned()
    })
}

fn read(name: &str, text: &str) -> RouteFile {
    read_bytes(name, text.as_bytes()).unwrap()
}

fn complaint(name: &str, text: &str) -> String {
    read_bytes(name, text.as_bytes()).unwrap_err()
}

fn gpx(inside: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"test\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\">\n{inside}\n</gpx>\n"
    )
}

const NASTY: &str = r#"Tom & "Jerry's" <script>alert(1)</script> ]]> é"#;

fn round_tripped(file: &str, write: fn(&[Route]) -> String) -> String {
    let out = route(
        NASTY,
        LegKind::Rhumb,
        &[
            (NASTY, -17.0, 178.0),
            ("=2+5", -17.0, -179.0),
            ("C", -17.0, -170.0),
        ],
    );
    let text = write(std::slice::from_ref(&out));
    let back = read(file, &text).route("Back", Some(NASTY), None).unwrap();
    let names: Vec<&str> = back
        .waypoints()
        .iter()
        .map(|waypoint| waypoint.name.as_str())
        .collect();
    let named: Vec<&str> = names
        .iter()
        .copied()
        .filter(|name| !name.starts_with("Point"))
        .collect();
    assert_eq!(named, [NASTY, "=2+5", "C"], "{text}");
    approx::assert_abs_diff_eq!(back.length_nm(), out.length_nm(), epsilon = 0.02);
    for waypoint in out.waypoints() {
        assert!(
            back.waypoints()
                .iter()
                .any(|found| found.name == waypoint.name
                    && (found.position.latitude_deg() - waypoint.position.latitude_deg()).abs()
                        < 1e-7
                    && (found.position.longitude_deg() - waypoint.position.longitude_deg()).abs()
                        < 1e-7),
            "{waypoint:?}"
        );
    }
    text
}

#[test]
fn every_format_gives_back_what_was_written() {
    let gpx = round_tripped("a.gpx", gpx_text);
    assert!(!gpx.contains("<script>") && !gpx.contains("]]>"), "{gpx}");
    round_tripped("a.GeoJSON", geojson_text);
    round_tripped("a.csv", waypoints_csv);
}

#[test]
fn the_csv_of_waypoints_keeps_the_kinds_of_legs() {
    let mut waypoints = Vec::new();
    for (name, longitude_deg, reached_by) in [
        ("A", 10.0, LegKind::GreatCircle),
        (
            "B",
            60.0,
            LegKind::Composite {
                limit_latitude_deg: -45.5,
            },
        ),
        ("C", 70.0, LegKind::Rhumb),
        ("D", 90.0, LegKind::GreatCircle),
    ] {
        waypoints.push(Waypoint {
            name: name.to_owned(),
            position: at(-40.0, longitude_deg),
            reached_by,
        });
    }
    let out = Route::new("Kinds", waypoints).unwrap();
    let text = waypoints_csv(std::slice::from_ref(&out));
    assert!(text.starts_with(
        "route,name,latitude_deg,longitude_deg,leg,limit_latitude_deg\n\
         Kinds,A,-40.0000000,10.0000000,,\nKinds,B,-40.0000000,60.0000000,composite,-45.5\n"
    ));
    let back = read("k.csv", &text).route("Kinds", None, None).unwrap();
    assert_eq!(back.waypoints()[1..], out.waypoints()[1..]);
}

#[test]
fn a_formula_is_disarmed_and_armed_again() {
    for name in ["=1", "+1", "-1", "@1"] {
        assert_eq!(spreadsheet_text(name), format!("'{name}"));
    }
    assert_eq!(spreadsheet_text("'tis"), "'tis");
}

#[test]
fn a_gpx_route_is_read_with_its_names() {
    let text = gpx("<rte><name>Out &amp;\n  about</name>\
         <rtept lat=\"-32.05\" lon=\"115.6\"><name>Fremantle</name></rtept>\
         <rtept lat=\"-30\" lon=\"100\"></rtept>\
         <rtept lat=\"-29.9\" lon=\"31.1\"/></rte>");
    let file = read("a.gpx", &text);
    assert_eq!(file.names(), ["Out & about"]);
    let route = file.route("Mine", None, None).unwrap();
    let names: Vec<&str> = route
        .waypoints()
        .iter()
        .map(|waypoint| waypoint.name.as_str())
        .collect();
    assert_eq!(names, ["Fremantle", "Point 2", "End"]);
    assert_eq!(route.name(), "Mine");
    assert!(
        route
            .waypoints()
            .iter()
            .all(|waypoint| waypoint.reached_by == LegKind::Rhumb)
    );
    let route = file
        .route("Mine", None, Some(LegKind::GreatCircle))
        .unwrap();
    assert_eq!(route.waypoints()[1].reached_by, LegKind::GreatCircle);
}

#[test]
fn a_recorded_track_becomes_a_few_rhumb_lines() {
    let leg = LegTrack::new(at(-32.0, 115.0), at(-30.0, 31.0), LegKind::GreatCircle).unwrap();
    let points: String = (0..=4000)
        .map(|n| {
            let place = leg
                .at_nm(leg.length_nm() * f64::from(n) / 4000.0)
                .unwrap()
                .position;
            let (lat, lon) = (place.latitude_deg(), place.longitude_deg());
            format!("<trkpt lat=\"{lat}\" lon=\"{lon}\"></trkpt>\n")
        })
        .collect();
    let (first, second) = points.split_at(points.len() / 2);
    let (head, tail) = second.split_once('\n').unwrap();
    let text = gpx(&format!(
        "<trk><name>T</name><trkseg>{first}{head}</trkseg><trkseg>{tail}</trkseg></trk>"
    ));
    let file = read("t.gpx", &text);
    let route = file.route("T", None, None).unwrap();
    // Each rhumb line may bow 1 nm: at 34 degrees that is 200 nm and more.
    let found = route.waypoints().len();
    assert!((15..=40).contains(&found), "{found} waypoints");
    approx::assert_abs_diff_eq!(route.length_nm(), leg.length_nm(), epsilon = 1.0);
    let refusal = file
        .route("T", None, Some(LegKind::GreatCircle))
        .unwrap_err()
        .to_string();
    assert!(
        refusal.ends_with("'T' is a recorded track, whose legs are rhumb lines; leave out `leg`"),
        "{refusal}"
    );
}

#[test]
fn one_of_several_routes_is_chosen_by_name() {
    let points = "<rtept lat=\"1\" lon=\"2\"/><rtept lat=\"3\" lon=\"4\"/>";
    let text = gpx(&format!(
        "<rte><name>A</name>{points}</rte><rte>{points}</rte><rte><name>C</name>{points}</rte>\
         <rte><name>C</name>{points}</rte>"
    ));
    let file = read("two.gpx", &text);
    let refusal = |choice| {
        let message = file.route("R", choice, None).unwrap_err().to_string();
        message[message.find("two.gpx").unwrap()..].to_owned()
    };
    assert_eq!(
        refusal(None),
        "two.gpx: holds 4 routes; say which with file_route: A, route 2, C, C"
    );
    assert_eq!(
        refusal(Some("B")),
        "two.gpx: holds no route 'B'; it holds: A, route 2, C, C"
    );
    assert!(refusal(Some("C")).contains("more than one route 'C'"));
    assert!(file.route("R", Some("route 2"), None).is_ok());
}

#[test]
fn broken_gpx_is_told_its_line() {
    let good = gpx("<rte><rtept lat=\"1\" lon=\"2\"/>\n<rtept lat=\"3\" lon=\"4\"/></rte>");
    for (old, new, expected) in [
        (
            "</rte>",
            "</rt>",
            "a.gpx:4: not a sound GPX file: Unexpected closing tag",
        ),
        (
            "lat=\"3\"",
            "lat=\"91\"",
            "a.gpx:4: not a sound GPX file: invalid `latitude`",
        ),
        (
            "lat=\"3\"",
            "lat=\"NaN\"",
            "a.gpx:4: not a sound GPX file: invalid `latitude`",
        ),
        (
            "lon=\"4\"",
            "lon=\"181\"",
            "a.gpx:4: not a sound GPX file: invalid `Longitude`",
        ),
        (
            "lat=\"3\"",
            "lat=\"3,5\"",
            "a.gpx:4: not a sound GPX file: error while casting",
        ),
        (
            "lat=\"3\"",
            "",
            "a.gpx:4: not a sound GPX file: invalid element",
        ),
        (
            "</gpx>",
            "</gpx><gpx>",
            "a.gpx:6: not a sound GPX file: Unexpected end of stream",
        ),
        ("</gpx>", "", "a.gpx:6: not a sound GPX file: "),
        (
            "<rte>",
            "<rte><html>",
            "a.gpx:4: not a sound GPX file: Unexpected closing tag",
        ),
        (
            "<rte>",
            "<rte><kml></kml>",
            "a.gpx:3: not a sound GPX file: invalid child element",
        ),
    ] {
        let message = complaint("a.gpx", &good.replacen(old, new, 1));
        assert!(message.starts_with(expected), "{new}: {message}");
    }
    assert!(complaint("a.gpx", "").starts_with("a.gpx:1: not a sound GPX file: "));
    assert!(complaint("a.gpx", "{\"type\": \"Feature\"}").contains("not a sound GPX file"));
    let html = "<!DOCTYPE html><html><body><p>404</p></body></html>";
    assert!(complaint("a.gpx", html).contains("invalid child element `html`"));
}

#[test]
fn gpx_without_a_route_says_what_it_holds() {
    assert_eq!(complaint("a.gpx", &gpx("")), "a.gpx: holds no route");
    assert_eq!(
        complaint("a.gpx", &gpx("<rte></rte>")),
        "a.gpx: holds no route"
    );
    assert_eq!(
        complaint("a.gpx", &gpx("<wpt lat=\"1\" lon=\"2\"/>")),
        "a.gpx: holds no route, only single waypoints (wpt), which have no order"
    );
    let one = read("a.gpx", &gpx("<rte><rtept lat=\"1\" lon=\"2\"/></rte>"));
    let refusal = one.route("R", None, None).unwrap_err().to_string();
    assert_eq!(refusal, "route 'R' has 1 waypoint; allowed: 2 or more");
}

#[test]
fn entities_that_swell_are_refused() {
    let mut dtd = "<!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\">".to_owned();
    for pair in ["ab", "bc", "cd", "de", "ef", "fg", "gh", "hi"] {
        let (inner, outer) = pair.split_at(1);
        dtd += &format!("<!ENTITY {outer} \"{}\">", format!("&{inner};").repeat(10));
    }
    let text = gpx("<rte><name>&i;</name><rtept lat=\"1\" lon=\"2\"/></rte>").replacen(
        "<gpx",
        &format!("{dtd}]>\n<gpx"),
        1,
    );
    let message = complaint("bomb.gpx", &text);
    assert!(
        message.starts_with("bomb.gpx:4: not a sound GPX file: "),
        "{message}"
    );
    // An external entity is not fetched.
    let text = gpx("<rte><name>&x;</name></rte>").replacen(
        "<gpx",
        "<!DOCTYPE gpx [<!ENTITY x SYSTEM \"file:///etc/passwd\">]>\n<gpx",
        1,
    );
    let message = complaint("x.gpx", &text);
    assert!(
        message.contains("not a sound GPX file") && !message.contains("root:"),
        "{message}"
    );
}

#[test]
fn a_line_over_the_antimeridian_is_cut_as_rfc_7946_asks() {
    // The example of RFC 7946, section 3.1.9: from 45 N 170 E across 180 degrees to 170 W.
    let out = route(
        "R",
        LegKind::Rhumb,
        &[("A", 45.0, 170.0), ("B", 45.0, -170.0)],
    );
    let text = geojson_text(std::slice::from_ref(&out));
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    let line = &json["features"][0];
    assert_eq!(line["geometry"]["type"], "MultiLineString");
    let parts = line["geometry"]["coordinates"].as_array().unwrap();
    assert_eq!(parts.len(), 2);
    assert_eq!(parts[0][0], serde_json::json!([170.0, 45.0]));
    let end = parts[0].as_array().unwrap().last().unwrap();
    let (end, start) = (end.as_array().unwrap(), parts[1][0].as_array().unwrap());
    assert_eq!(
        (end[0].as_f64(), start[0].as_f64()),
        (Some(180.0), Some(-180.0))
    );
    assert_eq!(end[1], start[1]);
    assert_eq!(line["properties"]["name"], "R");
    assert_eq!(json["features"][2]["properties"]["name"], "B");

    // West and back again, and a waypoint on the antimeridian itself.
    let out = route(
        "R",
        LegKind::GreatCircle,
        &[
            ("A", 10.0, -178.0),
            ("B", 0.0, 178.0),
            ("C", -10.0, -178.0),
            ("D", -12.0, 180.0),
            ("E", -14.0, -179.0),
        ],
    );
    let text = geojson_text(std::slice::from_ref(&out));
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    let parts = json["features"][0]["geometry"]["coordinates"]
        .as_array()
        .unwrap();
    for part in parts.iter().map(|part| part.as_array().unwrap()) {
        assert!(part.len() > 1);
        for pair in part.windows(2) {
            let step_deg = pair[1][0].as_f64().unwrap() - pair[0][0].as_f64().unwrap();
            assert!(step_deg.abs() < 90.0, "{pair:?}");
        }
    }
    let back = read("r.geojson", &text).route("R", None, None).unwrap();
    let named = back
        .waypoints()
        .iter()
        .filter(|waypoint| waypoint.name.len() == 1);
    assert_eq!(named.map(|w| w.name.as_str()).collect::<String>(), "ABCDE");
    approx::assert_abs_diff_eq!(back.length_nm(), out.length_nm(), epsilon = 0.05);
}

#[test]
fn a_cut_line_is_joined_and_a_broken_one_is_not() {
    // RFC 7946, section 3.1.9, verbatim.
    let text = r#"{"type": "MultiLineString", "coordinates": [
        [[170.0, 45.0], [180.0, 45.0]], [[-180.0, 45.0], [-170.0, 45.0]]]}"#;
    let route = read("r.json", text).route("R", None, None).unwrap();
    assert_eq!(route.waypoints().len(), 2);
    let uncut = r#"{"type": "LineString", "coordinates": [[170.0, 45.0], [190.0, 45.0]]}"#;
    let same = read("r.json", uncut).route("R", None, None).unwrap();
    assert_eq!(same.length_nm(), route.length_nm());
    let apart = text.replacen("[-180.0, 45.0]", "[-180.0, 46.0]", 1);
    assert_eq!(
        complaint("r.json", &apart),
        "r.json: part 2 of the line does not begin where part 1 ends; join them"
    );
}

#[test]
fn geojson_of_the_wrong_kind_is_refused() {
    let polygon = r#"{"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 0]]]}"#;
    assert_eq!(
        complaint("p.geojson", polygon),
        "p.geojson: holds a Polygon; allowed: LineString or MultiLineString, and Points as marks"
    );
    let point = r#"{"type": "Feature", "properties": {"name": "A"}, "geometry": {"type": "Point", "coordinates": [0, 0]}}"#;
    assert_eq!(
        complaint("p.geojson", point),
        "p.geojson: holds no route, only Points, which have no order"
    );
    for (text, expected) in [
        (
            "{\n\"type\": \"LineString\",\n\"coordinates\": [[0, 0], [1, 1]\n",
            "p.geojson:",
        ),
        ("[1, 2]", "p.geojson:1: not a sound GeoJSON file: "),
        ("", "p.geojson:1: not a sound GeoJSON file: "),
        (
            r#"{"type": "LineString", "coordinates": [[0, 0], [1]]}"#,
            "p.geojson",
        ),
        (
            r#"{"type": "LineString", "coordinates": [[0, 0], [1, 1e999]]}"#,
            "p.geojson",
        ),
        (
            r#"{"type": "LineString", "coordinates": [[0, 0], [null, 1]]}"#,
            "p.geojson",
        ),
        (
            r#"{"type": "FeatureCollection", "features": []}"#,
            "p.geojson: holds no route",
        ),
        (
            r#"{"type": "LineString", "coordinates": []}"#,
            "p.geojson: holds no route",
        ),
    ] {
        let message = complaint("p.geojson", text);
        assert!(message.starts_with(expected), "{text}: {message}");
    }
    let swapped = r#"{"type": "LineString", "coordinates": [[0, 0], [-32, 115]]}"#;
    assert_eq!(
        complaint("p.geojson", swapped),
        "p.geojson: 'line 1', point 2: latitude is 115 degrees; allowed: -90 to 90 degrees"
    );
}

#[test]
fn a_csv_of_waypoints_is_read_by_its_heading() {
    let text = "# from the chart table\nlongitude_deg,latitude_deg,name\n115.6, -32.05, Fremantle\n\
                31.1,-29.9,\n";
    let route = read("w.csv", text).route("R", None, None).unwrap();
    assert_eq!(route.waypoints()[0].name, "Fremantle");
    assert_eq!(route.waypoints()[1].name, "End");
    for (old, new, expected) in [
        (
            "31.1",
            "east",
            "w.csv:4: longitude_deg: found 'east'; allowed: a number",
        ),
        (
            "31.1",
            "",
            "w.csv:4: longitude_deg: found ''; allowed: a number",
        ),
        (
            "31.1",
            "NaN",
            "w.csv:4: a point without a name: longitude is NaN degrees",
        ),
        (
            "-32.05",
            "-92",
            "w.csv:3: Fremantle: latitude is -92 degrees",
        ),
        (
            "latitude_deg",
            "lat",
            "w.csv:2: found the column 'lat'; allowed: route, name, ",
        ),
        (
            ",name",
            ",leg",
            "w.csv:3: leg: found 'Fremantle'; allowed: great-circle, rhumb",
        ),
        (
            ",name",
            ",limit_latitude_deg",
            "w.csv:3: limit_latitude_deg: found 'Fremantle'",
        ),
        (
            "31.1,-29.9,",
            "31.1",
            "w.csv:4: not a sound CSV file: a row of 1 cells under a heading of 3",
        ),
        (
            "Fremantle",
            "Free\u{1b}[2J",
            "w.csv:3: the name \"Free\\u{1b}[2J\" holds a control",
        ),
    ] {
        let message = complaint("w.csv", &text.replacen(old, new, 1));
        assert!(message.starts_with(expected), "{new}: {message}");
    }
    assert_eq!(
        complaint("w.csv", ""),
        "w.csv: the column latitude_deg is missing"
    );
    let no_limit = "latitude_deg,longitude_deg,leg\n1,2,\n3,4,composite\n";
    assert!(complaint("w.csv", no_limit).starts_with("w.csv:3: limit_latitude_deg: found ''"));
}

#[test]
fn files_that_are_no_route_files_are_refused() {
    assert!(complaint("route.kml", "").contains(".gpx, .geojson, .json, .csv"));
    assert!(complaint("route", "").contains(".gpx, .geojson, .json, .csv"));
    assert_eq!(
        read_bytes("a.gpx", &[0xff, 0xfe, 0x00]).unwrap_err(),
        "a.gpx: cannot be read: it is not UTF-8 text"
    );
    let error = RouteFile::read(std::path::Path::new("no such.gpx")).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("no such.gpx: cannot be read: ")
    );
    assert_eq!(
        read_bytes("big.csv", &vec![b'x'; MOST_BYTES as usize + 1]).unwrap_err(),
        "big.csv: longer than 20 MB, the most a route file may be"
    );
    let rows: String = (0..2001)
        .map(|n| format!("{},0\n", f64::from(n) / 100.0))
        .collect();
    let many = read("many.csv", &format!("latitude_deg,longitude_deg\n{rows}"));
    let refusal = many.route("R", None, None).unwrap_err().to_string();
    assert!(
        refusal.ends_with("'route 1' has 2001 waypoints; allowed: up to 2000"),
        "{refusal}"
    );
}
