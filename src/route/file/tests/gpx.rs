//! GPX routes, and recorded tracks.

use super::*;

fn gpx(inside: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"test\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\">\n{inside}\n</gpx>\n"
    )
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
    let points: String = (0..=6000)
        .map(|n| {
            let place = leg
                .at_nm(leg.length_nm() * f64::from(n) / 6000.0)
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
fn a_track_with_a_gap_is_not_joined() {
    let track = |second: &str| {
        gpx(&format!(
            "<trk><name>T</name><trkseg><trkpt lat=\"27\" lon=\"-16\"/>\
             <trkpt lat=\"26\" lon=\"-18\"/></trkseg><trkseg></trkseg><trkseg>{second}\
             <trkpt lat=\"13\" lon=\"-59\"/></trkseg></trk>"
        ))
    };
    let message = complaint("t.gpx", &track("<trkpt lat=\"14\" lon=\"-57\"/>"));
    let start = "t.gpx: track 'T': segment 3 begins 23";
    assert!(message.starts_with(start), "{message}");
    let end =
        " nm from where segment 1 ends; allowed: up to 1 nm; join them, or make a track of each";
    assert!(message.ends_with(end), "{message}");
    // A minute of latitude is 0.996 nm here (WGS84), and at the same place there is no gap.
    for near in ["26.0166", "26"] {
        let point = format!("<trkpt lat=\"{near}\" lon=\"-18\"/>");
        let route = read("t.gpx", &track(&point)).route("T", None, None);
        assert_eq!(route.unwrap().waypoints().len(), 3);
    }
    let point = "<trkpt lat=\"26.0170\" lon=\"-18\"/>";
    assert!(complaint("t.gpx", &track(point)).contains("segment 3 begins 1.02 nm"));
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
    assert!(complaint("a.gpx", html).contains("it has a document type (DOCTYPE)"));
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
    assert_eq!(refusal, "route 'R' has 1 waypoint; allowed: 2 to 2000");
}

#[test]
fn nesting_beyond_reason_is_refused_with_its_line() {
    let route = "<rte><rtept lat=\"1\" lon=\"2\"/><rtept lat=\"3\" lon=\"4\"/></rte>";
    let nested = |inner: usize| {
        let (open, close) = ("<x>\n".repeat(inner), "</x>".repeat(inner));
        gpx(&format!("<extensions>{open}{close}</extensions>{route}"))
    };
    // With gpx and extensions, 100 deep.
    read("deep.gpx", &nested(98));
    for inner in [99, 20_000] {
        assert_eq!(
            complaint("deep.gpx", &nested(inner)),
            "deep.gpx:101: not a sound GPX file: elements within elements more than 100 deep"
        );
    }
}

/// With one, a file could declare entities that swell in memory or that fetch other files.
#[test]
fn a_document_type_is_refused_whatever_it_declares() {
    let flat = format!("<!ENTITY a \"{}\">", "a".repeat(1000));
    for declared in [
        "",
        " [<!ENTITY x SYSTEM \"file:///etc/passwd\">]",
        &format!(" [{flat}]"),
    ] {
        let routes = format!("<rte><name>{}</name></rte>", "&a;&x;".repeat(10_000));
        let doctype = format!("<!DOCTYPE gpx{declared}>\n<gpx");
        let message = complaint("a.gpx", &gpx(&routes).replacen("<gpx", &doctype, 1));
        assert!(
            message.contains("not a sound GPX file: it has a document type (DOCTYPE)"),
            "{message}"
        );
    }
}
