//! On paper the pages are whole.

use base64::prelude::{BASE64_STANDARD, Engine as _};

use crate::browser::{Browser, browser_or_skip};
use crate::page::{Made, keep, made, nothing_out_of_place, open, texts};

/// A4 in PostScript points, and how far Chromium rounds it.
const A4_POINTS: [f64; 2] = [595.3, 841.9];
const PAPER_TOLERANCE_POINTS: f64 = 1.0;
/// What the page's margins leave of A4, in CSS pixels of 1/96 inch.
const SHEET_PX: [u32; 2] = [702, 1024];

#[test]
fn on_paper_the_pages_are_whole() {
    let Some(program) = browser_or_skip("the page on paper") else {
        return;
    };
    let made = made(&["compare"], None);
    let mut browser = Browser::start(program);
    prints_whole_pages(&mut browser, &made, "compare", 5);
}

/// Complains unless the page prints on whole sheets of A4, `most` of them or fewer, with all that is
/// folded on a screen, and keeps them under a name.
pub fn prints_whole_pages(browser: &mut Browser, made: &Made, name: &str, most: usize) {
    // As on paper, also where the screen is dark.
    browser.show_as("print", "dark");
    let page = open(browser, made, SHEET_PX[0]);
    nothing_out_of_place(&page, &format!("{name} on paper"));
    assert!(
        page["tallest"].as_f64().unwrap() <= f64::from(SHEET_PX[1]),
        "something must be cut in two: {} px tall",
        page["tallest"]
    );
    let folded = browser.evaluate(
        "[...document.querySelectorAll('details > :not(summary)')].filter((part) => \
         !part.checkVisibility() || part.getBoundingClientRect().height === 0)\
         .map((part) => part.textContent)",
    );
    assert_eq!(texts(&folded), Vec::<&str>::new(), "not on the paper");
    let wide = browser.evaluate(
        "[...document.querySelectorAll('.scroll > table')].filter((table) => \
         table.scrollWidth > table.parentElement.clientWidth + 1).map((table) => table.caption.textContent)",
    );
    assert_eq!(
        texts(&wide),
        Vec::<&str>::new(),
        "tables that run off the paper"
    );
    browser.show_as("", "dark");
    let printed = browser.print();
    keep(&format!("{name}-paper.pdf"), &printed);
    let pdf = BASE64_STANDARD.decode(printed).unwrap();
    let document = lopdf::Document::load_mem(&pdf).unwrap();
    let sheets = document.get_pages();
    assert!((3..=most).contains(&sheets.len()), "{} pages", sheets.len());
    for (number, id) in sheets {
        let sheet = document.get_dictionary(id).unwrap();
        let size = sheet.get(b"MediaBox").unwrap().as_array().unwrap();
        for axis in [0, 1] {
            let points = f64::from(size[axis + 2].as_float().unwrap());
            assert!(
                (points - A4_POINTS[axis]).abs() <= PAPER_TOLERANCE_POINTS,
                "page {number}: {points} points"
            );
        }
        let marks = document.get_page_content(id);
        assert!(marks.len() > 200, "page {number} is empty");
    }
}
