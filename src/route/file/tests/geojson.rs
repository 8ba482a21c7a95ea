//! GeoJSON, cut at the antimeridian and not.

use super::*;

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
            r#"{"type": "FeatureCollection", "features": [
            {"type": "Feature", "properties": null, "geometry":
            {"type": "LineString", "coordinates": [[0, 0], [1, 1]]}},
            {"type": "Feature", "properties": {"name": "B"}, "geometry": null}]}"#,
            "p.geojson: feature 2 has no geometry; give it a line, or take it out",
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
