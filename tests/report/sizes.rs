//! Nothing is out of place at any size of screen, light or dark.

use crate::browser::{Browser, browser_or_skip};
use crate::page::{Made, keep, made, nothing_out_of_place, open};

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
        for width in [320, 360, 768, 1280] {
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
        }
    }
}
