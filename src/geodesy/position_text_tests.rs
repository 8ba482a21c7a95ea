use super::*;

fn read(text: &str) -> (f64, f64) {
    let position: Position = text.parse().unwrap_or_else(|error| panic!("{error}"));
    (position.latitude_deg(), position.longitude_deg())
}

fn fault(text: &str) -> PositionFault {
    match text.parse::<Position>() {
        Err(GeodesyError::PositionText { found, fault }) => {
            assert_eq!(found, text.trim());
            fault
        }
        other => panic!("{text}: expected a fault in the text, found {other:?}"),
    }
}

#[test]
fn decimal_degrees_are_read_with_signs_or_letters() {
    assert_eq!(read("-32.0533, 115.7333"), (-32.0533, 115.7333));
    assert_eq!(read("-32.0533 115.7333"), (-32.0533, 115.7333));
    assert_eq!(read("\u{2212}32.0533,+115.7333"), (-32.0533, 115.7333));
    assert_eq!(read("32.05S 115.73E"), (-32.05, 115.73));
    assert_eq!(read("32.05s, 115.73w"), (-32.05, -115.73));
    assert_eq!(read("N32.5° W 5.25°"), (32.5, -5.25));
    assert_eq!(read("10, 350"), (10.0, -10.0));
}

#[test]
fn degrees_and_minutes_are_read_in_every_usual_form() {
    let expected = (-(32.0 + 3.2 / 60.0), 115.0 + 44.0 / 60.0);
    for text in [
        "32 03.2 S, 115 44.0 E",
        "32 03.2 S 115 44.0 E",
        "32°03.2'S 115°44.0'E",
        "32°03.2′S 115°44.0′E",
        "32º 03.2’ S , 115° 44' E",
        "S 32 03.2 E 115 44.0",
        "S32°03.2' E115°44.0'",
        "S 32 03.2, 115 44 E",
        "  32 3.2 s   115 44e ",
    ] {
        assert_eq!(read(text), expected, "{text}");
    }
}

#[test]
fn text_that_is_not_a_position_is_refused_with_its_fault() {
    for text in [
        "",
        "32.05",
        "1,2,3",
        "32 03 115 44",
        "32 S 115 44",
        "32,05S 115,73E",
    ] {
        assert_eq!(fault(text), PositionFault::NotTwoParts, "{text}");
    }
    assert!(matches!(
        fault("115 44 E, 32 03.2 S"),
        PositionFault::Letter {
            axis: "latitude",
            found: 'E',
            ..
        }
    ));
    assert!(matches!(
        fault("-32.05S 115.73E"),
        PositionFault::SignAndLetter { axis: "latitude" }
    ));
    assert!(matches!(
        fault("32.05S E-115.73"),
        PositionFault::SignAndLetter { axis: "longitude" }
    ));
    assert!(matches!(
        fault("32 03.2, 115 44.0"),
        PositionFault::LetterMissing {
            axis: "latitude",
            ..
        }
    ));
    assert!(matches!(
        fault("32.5 03 S 115 44.0 E"),
        PositionFault::BrokenDegrees { found: 32.5, .. }
    ));
    for text in ["nan, 1", "1e1, 2", "inf 2", "--3, 4", "3°4'5''S 6E"] {
        assert!(
            matches!(
                fault(text),
                PositionFault::Number { .. } | PositionFault::NotTwoParts
            ),
            "{text}"
        );
    }
    for text in ["32 03 12 S 115 44 10 E", "32 03.2°S 115E", "32'S 115E"] {
        assert!(
            matches!(fault(text), PositionFault::Number { .. }),
            "{text}"
        );
    }
    assert!(matches!(fault("°3S 4E"), PositionFault::Shape { .. }));
}

#[test]
fn a_fault_is_told_with_what_was_found_what_is_allowed_and_an_example() {
    let message = |text: &str| text.parse::<Position>().unwrap_err().to_string();
    assert_eq!(
        message("32 63.2 S 115 44.0 E"),
        "cannot read the position \"32 63.2 S 115 44.0 E\": the latitude has 63.2 minutes; \
         allowed: 0 up to, but not including, 60; write it like 32°03.2'S 115°44.0'E, \
         32.0533S 115.7333E or -32.0533, 115.7333"
    );
    assert!(message("95.0, 10").contains("latitude is 95 degrees; allowed: -90 to 90 degrees"));
    assert!(message("10N 200E").contains("longitude is 200 degrees; allowed: 0 to 180 degrees"));
    assert!(message("90 00.1 N 10 E").contains("allowed: 0 to 90 degrees"));
}

#[test]
fn minutes_never_show_as_sixty() {
    let shown = |lat, lon| Position::new(lat, lon).unwrap().to_string();
    assert_eq!(shown(-31.999_999, 115.999_2), "32°00.0'S 116°00.0'E");
    assert_eq!(shown(5.0, -5.5), "05°00.0'N 005°30.0'W");
    assert_eq!(shown(-0.0001, -0.0001), "00°00.0'N 000°00.0'E");
    assert_eq!(shown(90.0, 179.9999), "90°00.0'N 180°00.0'E");
    assert_eq!(shown(-90.0, 180.0), "90°00.0'S 180°00.0'W");
}
