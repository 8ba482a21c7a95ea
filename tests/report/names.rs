//! Names are shown as they are written, and routes are drawn in one piece wherever they go.

use crate::browser::{Browser, browser_or_skip};
use crate::page::{keep, made, nothing_out_of_place, open, texts};

/// Names that would be markup, attributes, entities or template code if they were not escaped.
const HOSTILE: &str = r#"
[voyage]
name = "<script>alert(1)</script> & \"Sons\""
departure = 2027-05-01

[boat]
name = "<img src=x onerror=alert(2)>"
polar = "polar.csv"

[[route]]
name = "A\" onload=\"alert(3)"

[[route.waypoint]]
name = "{{ 7 * 7 }} </title></svg><script>alert(4)</script>"
position = "32 03.0 S, 115 40.0 E"

[[route.waypoint]]
name = "&lt;b&gt;'--><!--"
position = "29 52.0 S, 31 06.0 E"

[[route]]
name = "{% if x %}<i>"

[[route.waypoint]]
name = "Fremantle"
position = "32 03.0 S, 115 40.0 E"

[[route.waypoint]]
name = "Mauritius </text>"
position = "20 30.0 S, 57 30.0 E"
"#;

#[test]
fn names_are_shown_as_they_are_written() {
    let Some(program) = browser_or_skip("names on the page") else {
        return;
    };
    let made = made(&["compare"], Some(HOSTILE));
    let mut browser = Browser::start(program);
    let page = open(&mut browser, &made, 360);
    assert!(
        browser.complaints().is_empty(),
        "{:?}",
        browser.complaints()
    );
    assert_eq!(
        (&page["scripts"], &page["handlers"]),
        (&0.into(), &0.into())
    );
    let said = page["said"].as_str().unwrap();
    for name in [
        "<script>alert(1)</script> & \"Sons\", leaving",
        "<img src=x onerror=alert(2)>",
        "A\" onload=\"alert(3)",
        "{{ 7 * 7 }} </title></svg><script>alert(4)</script>",
        "&lt;b&gt;'--><!--",
        "{% if x %}<i>",
        "Mauritius </text>",
    ] {
        assert!(said.contains(name), "{name} is not shown as written");
    }
    // Without a crew there is nothing to load.
    assert!(!said.contains("Stores to load"));
    nothing_out_of_place(&page, "hostile names");
}

const OVER_THE_ANTIMERIDIAN: &str = r#"
[voyage]
name = "Out into the Pacific"
departure = 2027-06-10

[boat]
polar = "polar.csv"

[[route]]
name = "A long name for a route that goes by the Austral islands"

[[route.waypoint]]
name = "Opua"
position = "35 10.0 S, 174 20.0 E"

[[route.waypoint]]
name = "Forty south"
position = "40 00.0 S, 175 00.0 W"
leg = "rhumb"

[[route.waypoint]]
name = "Papeete"
position = "17 20.0 S, 149 40.0 W"

[[route]]
name = "Straight"

[[route.waypoint]]
name = "Opua"
position = "35 10.0 S, 174 20.0 E"

[[route.waypoint]]
name = "Papeete"
position = "17 20.0 S, 149 40.0 W"
"#;

#[test]
fn a_route_over_the_antimeridian_is_drawn_in_one_piece() {
    /// Points of a route are 30 nm apart at most, which is a few units of the drawing.
    const LONGEST_STEP: f64 = 12.0;
    let Some(program) = browser_or_skip("routes over the antimeridian") else {
        return;
    };
    let made = made(&["compare"], Some(OVER_THE_ANTIMERIDIAN));
    let mut browser = Browser::start(program);
    let page = open(&mut browser, &made, 1280);
    keep("antimeridian.png", &browser.screenshot());
    for line in texts(&page["pictures"][0]["lines"]) {
        let points: Vec<[f64; 2]> = line[1..]
            .split('L')
            .map(|point| {
                let (x, y) = point.split_once(' ').unwrap();
                [x.parse().unwrap(), y.parse().unwrap()]
            })
            .collect();
        assert!(points.len() > 20);
        for ends in points.windows(2) {
            let step = (ends[1][0] - ends[0][0]).hypot(ends[1][1] - ends[0][1]);
            assert!(step < LONGEST_STEP, "a step of {step} units");
        }
        assert!(
            points[0][0] < points[points.len() - 1][0],
            "eastward is to the right"
        );
    }
    nothing_out_of_place(&page, "antimeridian");
}
