//! The page is read by eye, by keyboard and by ear.

use crate::browser::{Browser, browser_or_skip};
use crate::page::{Made, made, open, texts};

#[test]
fn everyone_can_read_it() {
    let Some(program) = browser_or_skip("the page's access") else {
        return;
    };
    let made = made(&["compare"], None);
    let mut browser = Browser::start(program);
    can_be_read(&mut browser, &made);
}

/// Complains unless headings, pictures, tables and the order of the keys make sense to everyone.
pub fn can_be_read(browser: &mut Browser, made: &Made) {
    let page = open(browser, made, 1280);
    assert_eq!(page["lang"], "en");
    let headings = texts(&page["headings"]);
    assert_eq!(
        headings
            .iter()
            .filter(|heading| heading.starts_with("H1"))
            .count(),
        1
    );
    for picture in page["pictures"].as_array().unwrap() {
        assert_eq!(picture["role"], "img");
        for name in texts(&picture["name"]) {
            assert!(name.len() > 20, "{}: '{name}' says little", picture["id"]);
        }
    }
    for table in page["tables"].as_array().unwrap() {
        assert_eq!(table["scoped"], true, "{}", table["caption"]);
    }

    // By keyboard: first past the links, and then down the page in the order it is read.
    browser.press("Tab", 9);
    assert_eq!(browser.evaluate("document.activeElement.className"), "skip");
    assert_eq!(
        browser.evaluate("document.activeElement.getBoundingClientRect().left > 0"),
        true,
        "the link is in sight when it has the focus"
    );
    let mut last = -1.0;
    for _ in 0..20 {
        browser.press("Tab", 9);
        let place =
            browser.evaluate("[...document.querySelectorAll('*')].indexOf(document.activeElement)");
        let place = place.as_f64().unwrap();
        if browser.evaluate("document.activeElement === document.body") == true {
            break;
        }
        assert!(place > last, "the focus goes back");
        last = place;
    }
    assert!(last > 0.0);
}
