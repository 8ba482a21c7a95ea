//! What the answer hangs on: a bar for each assumption moved, from the days as compared to the days
//! it makes of them, the longest first.

use super::frame::{Frame, Panel, Scale};
use super::svg::{Anchor, Drawing};
use crate::report::swings::{Swung, signed};
use crate::report::wording::short;
use crate::study::{Comparison, SwungDifference};

/// Room at either end of the bars for a figure.
const FIGURE: f64 = 44.0;
/// A bar's height; one of no length is this wide too, so that it is seen.
const BAR: f64 = 12.0;
const LEAST_WIDTH: f64 = 1.5;

/// The picture in both sizes; empty where there are no swings.
pub(super) fn swings(comparison: &Comparison) -> String {
    let Some(swung) = Swung::of(comparison) else {
        return String::new();
    };
    let said = swung.swings.iter().map(|(label, by)| {
        let [median, p90] = [by.p50, by.p90].map(days_said);
        format!("{label}: {median} at the median, {p90} at P90.")
    });
    let said: Vec<String> = said.collect();
    let base = signed(Some(swung.base_days));
    let description = format!("As compared: {base} days at the median. {}", said.join(" "));
    Frame::both("swings", &swung.title(), &description, |frame| {
        draw(&swung, frame)
    })
}

/// Days for the ear.
fn days_said(days: Option<f64>) -> String {
    match days {
        Some(_) => format!("{} days", signed(days)),
        None => "a route does not arrive".to_owned(),
    }
}

fn draw(swung: &Swung<'_>, frame: Frame) -> Drawing {
    let wide = frame == Frame::Wide;
    // On a phone a name stands above its bar, where there is room beside it.
    let (left, head, row) = frame.pick((250.0, 24.0, 22.0), (0.0, 24.0, 29.0));
    let right = frame.width();
    let bottom = head + row * swung.swings.len() as f64 + 4.0;
    let [least, most] = swung.range_days;
    // Two routes that are level all through still have a scale.
    let most = most.max(least + 0.1);
    let x = Scale::new([least, most], [left + FIGURE, right - FIGURE]);
    let panel = Panel {
        x,
        y: Scale::new([0.0, 1.0], [bottom, head]),
        left: x.at(least),
        right: x.at(most),
        bottom,
    };
    let mut drawing = Drawing::new(frame.width(), bottom + 40.0);
    let ticks = x.ticks(frame.pick(8.0, 5.0));
    for value in &ticks {
        let class = if *value == 0.0 { "axis" } else { "grid" };
        drawing.line(class, [x.at(*value), head], [x.at(*value), bottom]);
    }
    let base = x.at(swung.base_days);
    drawing.line("leaving", [base, head - 4.0], [base, bottom]);
    for (place, (label, by)) in swung.swings.iter().enumerate() {
        let top = head + row * place as f64;
        let (name_y, bar_top) = if wide {
            (top + 15.0, top + 5.0)
        } else {
            (top + 11.0, top + 15.0)
        };
        let name = if wide {
            [left - 8.0, name_y]
        } else {
            [0.0, name_y]
        };
        let anchor = frame.pick(Anchor::End, Anchor::Start);
        drawing.text("label", name, anchor, label);
        let told = format!("{label}: {}", days_said(by.p50));
        drawing.titled(&told, |drawing| {
            bar(drawing, swung.base_days, *by, &x, bar_top)
        });
    }
    let words = format!("as compared {}", signed(Some(swung.base_days)));
    let (at, anchor) = if base > (panel.left + panel.right) / 2.0 {
        (base + FIGURE, Anchor::End)
    } else {
        (base - FIGURE, Anchor::Start)
    };
    drawing.text("figure", [at, head - 9.0], anchor, &words);
    let marks = ticks.into_iter().map(|value| (value, short(value)));
    panel.foot(&mut drawing, &marks.collect::<Vec<_>>());
    let middle = [(panel.left + panel.right) / 2.0, bottom + 34.0];
    let words = frame.pick(
        "days ahead at the median; at 0 the two are level",
        "days ahead; 0: level",
    );
    drawing.text("tick", middle, Anchor::Middle, words);
    drawing
}

/// One swing's bar with its figure beyond its end; words in its place where a route does not arrive.
fn bar(drawing: &mut Drawing, base_days: f64, by: SwungDifference, x: &Scale, top: f64) {
    let from = x.at(base_days);
    let middle = top + BAR / 2.0 + 4.0;
    let Some(days) = by.p50 else {
        let place = [from, middle];
        drawing.text("figure", place, Anchor::Middle, "does not arrive");
        return;
    };
    let to = x.at(days);
    let length = (to - from).abs().max(LEAST_WIDTH);
    let start = if to < from { from - length } else { from };
    drawing.rectangle("bar", [start, top], length, BAR);
    let (place, anchor) = if to < from {
        (start - 5.0, Anchor::End)
    } else {
        (start + length + 5.0, Anchor::Start)
    };
    drawing.text("figure", [place, middle], anchor, &signed(Some(days)));
}
