//! Voyage files with stages, good and bad.

use super::tests::{SOUND, complaint_about, read};

const STAGED: &str = r#"[voyage]
name = "Year"
departure = 2027-05-01
arrive_by = 2027-12-01

[boat]
polar = "polar.csv"

[[stage]]
name = "Out"
stay = "10 days"
leave_after = 2027-07-01
resupply = ["water"]
[[stage.route]]
name = "Direct"
[[stage.route.waypoint]]
name = "A"
position = "20 S, 90 E"
[[stage.route.waypoint]]
name = "B"
position = "20 S, 85 E"

[[stage]]
name = "On"
[[stage.route]]
name = "Direct"
[[stage.route.waypoint]]
name = "B, the other side"
position = "20 20 S, 85 E"
[[stage.route.waypoint]]
name = "C"
position = "20 S, 80 E"
[[stage.route]]
name = "South about"
[[stage.route.waypoint]]
name = "B"
position = "20 S, 85 E"
[[stage.route.waypoint]]
name = "D"
position = "24 S, 82 E"
[[stage.route.waypoint]]
name = "C"
position = "20 S, 80 E"
"#;

#[test]
fn stages_are_read_and_one_is_a_voyage_of_its_own() {
    let voyage = read(STAGED).unwrap();
    assert_eq!((voyage.stages.len(), voyage.routes.len()), (2, 3));
    let first = &voyage.stages[0];
    assert_eq!(first.stop.least_hours(), 240.0);
    assert_eq!(
        (first.start().name.as_str(), first.end().name.as_str()),
        ("A", "B")
    );
    let alone = voyage.stage("On").unwrap();
    assert_eq!((alone.name.as_str(), alone.routes.len()), ("Year: On", 2));
    assert!(!alone.has_stages());
    // She may not leave the stop before earlier; the voyage's deadline is that of its last stage.
    assert_eq!(alone.departure, jiff::civil::date(2027, 7, 1));
    let by = alone.routes[1].deadlines()[0].by;
    assert_eq!(by, jiff::civil::date(2027, 12, 1));
    assert_eq!(voyage.stage("Out").unwrap().departure, voyage.departure);
    assert!(voyage.routes[0].deadlines().is_empty() && voyage.stage("Off").is_none());
}

#[test]
fn stages_that_do_not_join_are_told_with_their_line() {
    let said = |old, new| complaint_about(STAGED, old, new);
    assert_eq!(
        said("20 20 S, 85 E", "20 30 S, 85 E"),
        "voyage.toml:27: stage[2].route[1].waypoint[1]: B, the other side lies 30 nm from the end of \
         the stage before (B); allowed: 25 nm or less"
    );
    let last = "name = \"C\"\nposition = \"20 S, 80 E\"\n[[stage.route]]";
    let apart = "name = \"C\"\nposition = \"21 S, 80 E\"\n[[stage.route]]";
    let message = said(last, apart);
    assert!(
        message.contains(
            "stage[2].route[2].waypoint[3]: C lies 60 nm from the end of the stage's first way (C)"
        ),
        "{message}"
    );
    let message = said("name = \"On\"", "name = \"On\"\nstay = \"1 day\"");
    assert!(
        message.contains("stage[2].stay: no stage follows the last"),
        "{message}"
    );
    let message = said("name = \"On\"", "name = \"Out\"");
    assert!(
        message.contains("stage[2].name: the name 'Out' is used twice"),
        "{message}"
    );
    let message = said("name = \"South about\"", "name = \"Direct\"");
    assert!(
        message.contains("stage[2].route[2].name: the name 'Direct'"),
        "{message}"
    );
    let message = said(
        "[[stage]]\nname = \"On\"",
        "[[stage]]\nname = \"On\"\narrive_by = 2027-04-01",
    );
    assert!(
        message.contains("stage[2].arrive_by: found 2027-04-01"),
        "{message}"
    );
    let routes = SOUND.split("[[route]]").nth(1).unwrap();
    let both = format!("{STAGED}\n[[route]]{routes}");
    let message = read(&both).unwrap_err().to_string();
    assert!(
        message.contains("found both of `route` and `stage`"),
        "{message}"
    );
    let neither = SOUND.split("[[route]]").next().unwrap();
    let message = read(neither).unwrap_err().to_string();
    assert!(message.contains("route: missing"), "{message}");
}
