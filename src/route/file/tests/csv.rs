//! The CSV of waypoints.

use super::*;

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
            stop: None,
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
fn the_kind_asked_for_fills_blank_cells_only() {
    let text =
        "latitude_deg,longitude_deg,leg\n-40,10,\n-40,20,rhumb\n-40,30,\n-40,40,great-circle\n";
    let without = "latitude_deg,longitude_deg\n-40,10\n-40,20\n";
    let kinds = |text, kind| -> Vec<LegKind> {
        let route = read("k.csv", text).route("R", None, kind).unwrap();
        let legs = route.legs().iter();
        legs.map(|leg| leg.track.kind()).collect()
    };
    use LegKind::{GreatCircle, Rhumb};
    assert_eq!(kinds(text, None), [Rhumb, Rhumb, GreatCircle]);
    assert_eq!(
        kinds(text, Some(GreatCircle)),
        [Rhumb, GreatCircle, GreatCircle]
    );
    assert_eq!(kinds(text, Some(Rhumb)), [Rhumb, Rhumb, GreatCircle]);
    assert_eq!(kinds(without, None), [Rhumb]);
    assert_eq!(kinds(without, Some(GreatCircle)), [GreatCircle]);
}

#[test]
fn a_formula_is_disarmed_and_armed_again() {
    for name in ["=1", "+1", "-1", "@1"] {
        assert_eq!(spreadsheet_text(name), format!("'{name}"));
    }
    assert_eq!(spreadsheet_text("'tis"), "'tis");
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
            "w.csv:3: the name 'Free\\x1b[2J' holds a character that controls a terminal",
        ),
        (
            "Fremantle",
            "Free\u{202e}mantle",
            "w.csv:3: the name 'Free\\u{202e}mantle' holds a character that controls",
        ),
        (
            "Fremantle",
            &*"F".repeat(201),
            &*format!(
                "w.csv:3: the name '{}...' has 201 characters; allowed: up to 200",
                "F".repeat(120)
            ),
        ),
    ] {
        let message = complaint("w.csv", &text.replacen(old, new, 1));
        assert!(message.starts_with(expected), "{new}: {message}");
    }
    assert_eq!(
        complaint("w.csv", ""),
        "w.csv: the column latitude_deg is missing"
    );
    let first = "route,latitude_deg,longitude_deg,leg\nA,1,2,\nA,3,4,rhumb\nB,5,6,rhumb\nB,7,8,\n";
    assert_eq!(
        complaint("w.csv", first),
        "w.csv:4: leg: found 'rhumb'; allowed: nothing in a route's first row, which is not reached \
         by any leg; write it in the row that the leg leads to"
    );
    let no_limit = "latitude_deg,longitude_deg,leg\n1,2,\n3,4,composite\n";
    assert!(complaint("w.csv", no_limit).starts_with("w.csv:3: limit_latitude_deg: found ''"));
}
