//! Nothing is out of place at any size of screen, light or dark.

use crate::browser::{Browser, browser_or_skip};
use crate::page::{Made, QUESTIONS, keep, made, nothing_out_of_place, open, texts};

#[test]
fn nothing_is_out_of_place_on_a_phone_a_tablet_or_a_screen() {
    let Some(program) = browser_or_skip("the page's sizes") else {
        return;
    };
    let made = made(&["compare"], None);
    let mut browser = Browser::start(program);
    in_place_at_every_size(&mut browser, &made, "compare");
}

/// Complains of what is out of place, and keeps pictures under a name.
pub fn in_place_at_every_size(browser: &mut Browser, made: &Made, name: &str) {
    for scheme in ["light", "dark"] {
        browser.show_as("screen", scheme);
        for width in [320, 390, 768, 1280] {
            let page = open(browser, made, width);
            let what = format!("{name}, {scheme}, {width} px");
            let size = if width < 560 {
                "map-narrow"
            } else {
                "map-wide"
            };
            assert_eq!(page["pictures"][0]["id"], size, "{what}");
            keep(
                &format!("{name}-{scheme}-{width}.png"),
                &browser.screenshot(),
            );
            nothing_out_of_place(&page, &what);
            browser.evaluate(
                "document.querySelectorAll('details').forEach((part) => { part.open = true; })",
            );
            let unfolded = browser.evaluate(QUESTIONS);
            nothing_out_of_place(&unfolded, &format!("{what}, unfolded"));
            assert_eq!(texts(&unfolded["broken"]), Vec::<&str>::new(), "{what}");
        }
    }
}

#[test]
fn the_answer_the_map_and_the_spread_are_on_the_first_screen() {
    let Some(program) = browser_or_skip("the page's first screen") else {
        return;
    };
    let made = made(&["compare"], None);
    let mut browser = Browser::start(program);
    browser.show_as("screen", "light");
    for (width, height, size) in [(1280, 800.0, "wide"), (390, 844.0, "narrow")] {
        open(&mut browser, &made, width);
        for part in [
            ".answer",
            &format!("#map-{size}"),
            &format!("#spread-{size}"),
        ] {
            let bottom = browser.evaluate(&format!(
                "document.querySelector('{part}').getBoundingClientRect().bottom"
            ));
            let bottom = bottom.as_f64().unwrap();
            assert!(
                bottom > 0.0 && bottom <= height,
                "{part} at {width} px ends at {bottom}"
            );
        }
    }
}

#[test]
fn a_route_can_be_shown_alone_without_a_script() {
    let Some(program) = browser_or_skip("a route alone") else {
        return;
    };
    let made = made(&["compare"], None);
    let mut browser = Browser::start(program);
    open(&mut browser, &made, 1280);
    let mut shown = |click: &str| {
        browser.evaluate(&format!("document.querySelector('{click}').click()"));
        let shown = browser.evaluate(
            "['#map-wide path.route', '#spread-wide path.line', '#exposure-wide path.line'].map(\
             (lines) => [...document.querySelectorAll(lines)].filter((line) => \
             line.getClientRects().length > 0).map((line) => line.classList[1]).join(' '))",
        );
        shown.as_array().unwrap().clone()
    };
    let all = shown("#only-all");
    assert_eq!(all[0], "r0 r1");
    for part in shown("#only-1") {
        let part = part.as_str().unwrap();
        assert!(part.contains("r1") && !part.contains("r0"), "{part}");
    }
    assert_eq!(shown("#only-all"), all);
}
