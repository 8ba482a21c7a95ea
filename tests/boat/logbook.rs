//! Reading a crew's log: what is taken, and what each refusal says.

use offing::boat::Logbook;

const HEADER: &str = "time,boat_speed_kn,true_wind_speed_kn,true_wind_angle_deg";
const ALLOWED: &str = "columns of a log: time, boat_speed_kn, latitude, longitude, true_wind_speed_kn, true_wind_angle_deg, true_wind_from_deg, heading_deg, under_power, remarks";

fn message(text: &str) -> String {
    Logbook::parse(text, "log.csv").unwrap_err().to_string()
}

#[test]
fn columns_come_in_any_order_and_empty_cells_were_not_logged() {
    let text = "\u{feff}# April\r\n\
                remarks,true_wind_angle_deg,true_wind_speed_kn,time,boat_speed_kn\r\n\
                \"rain, swell\",-120,14, 2025-04-01T06:00:00Z ,5.5\r\n\
                ,,,2025-04-01T07:30:00Z,\r\n";
    let log = Logbook::parse(text, "log.csv").unwrap();
    let [first, second] = log.entries() else {
        panic!("two entries");
    };
    assert_eq!(first.time.to_string(), "2025-04-01T06:00:00Z");
    assert_eq!(first.boat_speed_kn, Some(5.5));
    assert_eq!(first.true_wind_speed_kn, Some(14.0));
    assert_eq!(first.true_wind_angle_deg, Some(120.0));
    assert!(!first.under_power && first.position.is_none());
    assert_eq!(second.boat_speed_kn, None);
    assert_eq!(second.true_wind_speed_kn, None);
    assert_eq!(second.true_wind_angle_deg, None);
}

#[test]
fn missing_unknown_and_doubled_columns_are_named() {
    let row = "2025-04-01T06:00:00Z,5,14,90";
    assert_eq!(
        message(&format!(
            "time,boat_speed_kn,true_wind_angle_deg\n{}",
            &row[..25]
        )),
        format!("log.csv, line 1: the column `true_wind_speed_kn` is missing; {ALLOWED}")
    );
    assert_eq!(
        message(&format!(
            "{}\n{row}",
            HEADER.replace("boat_speed_kn", "boat_speed_ms")
        )),
        format!("log.csv, line 1: the column `boat_speed_ms` is not known; {ALLOWED}")
    );
    assert_eq!(
        message(&format!(
            "{}\n{row}",
            HEADER.replace("true_wind_speed_kn", "boat_speed_kn")
        )),
        format!("log.csv, line 1: the column `boat_speed_kn` is there twice; {ALLOWED}")
    );
    assert_eq!(
        message(&format!(
            "{}\n{row}",
            HEADER.replace("boat_speed_kn", "latitude")
        )),
        format!("log.csv, line 1: the column `longitude` is missing; {ALLOWED}")
    );
    assert_eq!(
        message(&format!(
            "{}\n{row}",
            HEADER.replace("boat_speed_kn", "remarks")
        )),
        format!("log.csv, line 1: the column `boat_speed_kn` is missing; {ALLOWED}")
    );
}

#[test]
fn bad_cells_are_named_by_line_and_column() {
    let header = format!("{HEADER},latitude,longitude,under_power");
    let time = "a time in UTC such as 2025-04-01T06:00:00Z";
    let cases = [
        (
            "yesterday,5,14,90,,,no",
            format!("time: found `yesterday`; allowed: {time}"),
        ),
        (
            "2025-04-01T06:00:00,5,14,90,,,no",
            format!("time: found `2025-04-01T06:00:00`; allowed: {time}"),
        ),
        (",5,14,90,,,no", format!("time: found ``; allowed: {time}")),
        (
            "2025-04-01T06:00:00Z,5 kn,14,90,,,no",
            "boat_speed_kn: found `5 kn`; allowed: a number from 0 to 40 kn".to_owned(),
        ),
        (
            "2025-04-01T06:00:00Z,5,-14,90,,,no",
            "true_wind_speed_kn: found `-14`; allowed: a number from 0 to 100 kn".to_owned(),
        ),
        (
            "2025-04-01T06:00:00Z,5,14,270,,,no",
            "true_wind_angle_deg: found `270`; allowed: a number from -180 to 180 deg".to_owned(),
        ),
        (
            "2025-04-01T06:00:00Z,5,14,90,91,0,no",
            "latitude: found `91`; allowed: a number from -90 to 90 degrees".to_owned(),
        ),
        (
            "2025-04-01T06:00:00Z,5,14,90,-30,,no",
            "longitude: found ``; allowed: a number from -360 to 360 degrees".to_owned(),
        ),
        (
            "2025-04-01T06:00:00Z,5,14,90,,,",
            "under_power: found ``; allowed: yes or no".to_owned(),
        ),
    ];
    for (row, expected) in cases {
        let text = format!("# a log\n{header}\n{row}\n");
        assert_eq!(message(&text), format!("log.csv, line 3, {expected}"));
    }
}

#[test]
fn times_must_go_forward() {
    let log = |second: &str| {
        format!("{HEADER}\n2025-04-01T06:00:00Z,5,14,90\n# watch change\n{second},5,14,90\n")
    };
    assert_eq!(
        message(&log("2025-04-01T06:00:00Z")),
        "log.csv, line 4, time: found 2025-04-01T06:00:00Z; allowed: after 2025-04-01T06:00:00Z of line 2"
    );
    assert_eq!(
        message(&log("2025-04-01T05:59:59Z")),
        "log.csv, line 4, time: found 2025-04-01T05:59:59Z; allowed: after 2025-04-01T06:00:00Z of line 2"
    );
}

#[test]
fn file_that_is_not_there_is_named() {
    let error = Logbook::read(std::path::Path::new("no/such/log.csv")).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("cannot read no/such/log.csv: "),
        "{error}"
    );
}

#[test]
fn heading_and_wind_direction_give_the_angle_that_was_not_logged() {
    let text = "time,boat_speed_kn,heading_deg,true_wind_speed_kn,true_wind_from_deg\n\
                2025-04-01T06:00:00Z,5.5,350,14,40\n\
                2025-04-01T07:00:00Z,5.5,,14,40\n";
    let log = Logbook::parse(text, "log.csv").unwrap();
    let entries = log.entries();
    assert_eq!(entries[0].true_wind_angle_deg, Some(50.0));
    assert_eq!(entries[0].true_wind_from_deg, Some(40.0));
    assert_eq!(entries[1].true_wind_angle_deg, None);
    assert!(message(&text.replace("350", "400")).contains("line 2, heading_deg: found `400`"));
}
