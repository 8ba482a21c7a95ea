//! The spread of days: every route's passages over one another, with P10, median and P90.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::frame::{Frame, Panel, Scale, route_class, route_mark};
use super::labels::fitted;
use super::svg::{Anchor, Drawing, Path, Point};
use crate::passage::Ensemble;
use crate::report::wording::{percent, short};
use crate::study::Comparison;

/// The share of passages left out of the picture at either end.
const TAIL: f64 = 0.005;
/// About how many steps a route's outline has.
const STEPS: f64 = 28.0;
/// Widths of a step that read well, in days.
const WIDTHS_DAYS: [f64; 9] = [0.125, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];

/// The picture's width: on a screen it stands beside the map.
fn across(frame: Frame) -> f64 {
    frame.pick(480.0, Frame::Narrow.width())
}

/// A route whose passages can be shown.
struct Spread<'a> {
    /// Its place among the voyage's routes.
    index: usize,
    name: &'a str,
    ensemble: &'a Ensemble,
    /// P10, median and P90; none where that share does not arrive.
    days: [Option<f64>; 3],
}

/// The picture in both sizes; empty where no route has an end to show.
pub(super) fn spread(comparison: &Comparison) -> String {
    let routes = comparison.routes.iter().enumerate();
    let spreads: Vec<Spread<'_>> = routes
        .map(|(index, route)| Spread {
            index,
            name: &route.name,
            ensemble: &route.ensemble,
            days: {
                let days = &route.ensemble.days;
                [days.p10, days.p50, days.p90]
            },
        })
        .filter(|spread| spread.days[0].is_some())
        .collect();
    let shown = spreads
        .iter()
        .flat_map(|spread| arrived(spread.ensemble).iter().copied());
    let (first, last) = shown.fold((f64::INFINITY, 0.0), |(first, last), days| {
        (f64::min(first, days), f64::max(last, days))
    });
    if spreads.is_empty() {
        return String::new();
    }
    let said: Vec<String> = spreads.iter().map(describe).collect();
    let title = "Spread of the days under way";
    // With days in harbour between them, days at sea have no dates.
    let has_stops = spreads
        .iter()
        .any(|spread| !spread.ensemble.stages.is_empty());
    let departure = (!has_stops).then_some(comparison.voyage.departure);
    Frame::both("spread", title, &said.join(" "), |frame| {
        draw(&spreads, departure, [first, last], frame)
    })
}

fn describe(spread: &Spread<'_>) -> String {
    let [quick, median, slow] = spread.days.map(|days| match days {
        Some(days) => format!("{days:.1} days"),
        None => "not reached".to_owned(),
    });
    format!("{}: P10 {quick}, median {median}, P90 {slow}.", spread.name)
}

/// The days of the passages that arrive, the farthest out at either end left out.
fn arrived(ensemble: &Ensemble) -> &[f64] {
    let days = ensemble.sorted_days();
    let arrived = &days[..days.partition_point(|days| days.is_finite())];
    let tail = (TAIL * arrived.len() as f64) as usize;
    &arrived[tail..arrived.len() - tail]
}

fn draw(
    spreads: &[Spread<'_>],
    departure: Option<Date>,
    [first, last]: [f64; 2],
    frame: Frame,
) -> Drawing {
    let step = WIDTHS_DAYS
        .into_iter()
        .find(|width| *width >= (last - first) / STEPS)
        .unwrap_or(100.0);
    let from = (first / step).floor() * step - step;
    let to = (last / step).ceil() * step + step;
    let bins = ((to - from) / step).round() as usize;
    let (left, right) = (8.0, across(frame) - 8.0);
    let (top, curve) = (6.0, frame.pick(96.0, 54.0));
    let row = 32.0;
    let bottom = top + curve;
    let rows_end = bottom + 12.0 + row * spreads.len() as f64;
    let x = Scale::new([from, to], [left, right]);
    let shares: Vec<Vec<f64>> = spreads
        .iter()
        .map(|spread| shares(spread.ensemble, from, step, bins))
        .collect();
    let highest = shares.iter().flatten().copied().fold(0.0, f64::max);
    let panel = Panel {
        x,
        y: Scale::new([0.0, highest], [bottom, top]),
        left,
        right,
        bottom: rows_end,
    };
    let mut drawing = Drawing::new(across(frame), rows_end + 38.0);
    for value in x.ticks(frame.pick(8.0, 5.0)) {
        drawing.line("grid", [x.at(value), top], [x.at(value), rows_end]);
    }
    for (spread, shares) in spreads.iter().zip(&shares) {
        let outline = outline(&panel, from, step, shares);
        let class = format!("fill f{}", spread.index % 4);
        drawing.of_route(spread.index, |drawing| {
            drawing.path(&class, &Path::closed(&outline));
        });
    }
    for (spread, shares) in spreads.iter().zip(&shares) {
        let outline = outline(&panel, from, step, shares);
        let class = format!("line {}", route_class(spread.index));
        drawing.of_route(spread.index, |drawing| {
            drawing.path(&class, &Path::open(&outline[1..outline.len() - 1]));
        });
    }
    for bin in 0..bins {
        let days = from + step * bin as f64;
        let told = spreads
            .iter()
            .zip(&shares)
            .map(|(spread, shares)| format!("{} {}", spread.name, percent(shares[bin])));
        let told = format!(
            "{} to {} days: {}",
            short(days),
            short(days + step),
            told.collect::<Vec<_>>().join(", ")
        );
        drawing.hover(
            &told,
            [x.at(days), top],
            x.at(days + step) - x.at(days),
            curve,
        );
    }
    drawing.line("axis", [left, bottom], [right, bottom]);
    for (place, spread) in spreads.iter().enumerate() {
        let y = bottom + 28.0 + row * place as f64;
        drawing.of_route(spread.index, |drawing| {
            drawing.titled(&describe(spread), |drawing| {
                quantiles(drawing, spread, &panel, y);
            });
        });
    }
    foot(&mut drawing, &panel, departure, frame);
    drawing
}

/// The share of all passages that falls into each step.
fn shares(ensemble: &Ensemble, from: f64, step: f64, bins: usize) -> Vec<f64> {
    let days = ensemble.sorted_days();
    let before = |edge: usize| days.partition_point(|days| *days < from + step * edge as f64);
    (0..bins)
        .map(|bin| (before(bin + 1) - before(bin)) as f64 / days.len() as f64)
        .collect()
}

/// Steps up and down, from the foot to the foot, where there are passages at all.
fn outline(panel: &Panel, from: f64, step: f64, shares: &[f64]) -> Vec<Point> {
    let first = shares.iter().position(|share| *share > 0.0).unwrap_or(0);
    let end = shares
        .iter()
        .rposition(|share| *share > 0.0)
        .map_or(0, |last| last + 1);
    let mut outline = vec![panel.point(from + step * first as f64, 0.0)];
    outline.push(outline[0]);
    for (bin, share) in shares.iter().enumerate().take(end).skip(first) {
        let edge = from + step * bin as f64;
        outline.push(panel.point(edge, *share));
        outline.push(panel.point(edge + step, *share));
    }
    let foot = panel.point(from + step * end as f64, 0.0);
    outline.extend([foot, foot]);
    outline
}

/// A route's own line: from P10 to P90, its mark at the median.
fn quantiles(drawing: &mut Drawing, spread: &Spread<'_>, panel: &Panel, y: f64) {
    let colour = spread.index % 4;
    let at = |days: f64| panel.x.at(days);
    let [quick, median, slow] = spread.days;
    let Some(quick) = quick else { return };
    // Where P90 is not reached, the line runs off the picture.
    let end = slow.map_or(panel.right, at);
    let class = format!("line r{colour}");
    drawing.line(&class, [at(quick), y], [end, y]);
    drawing.line(&class, [at(quick), y - 5.0], [at(quick), y + 5.0]);
    let figure = |drawing: &mut Drawing, x: f64, anchor, days: f64| {
        drawing.text("figure", [x, y + 4.0], anchor, &format!("{days:.1}"));
    };
    figure(drawing, at(quick) - 6.0, Anchor::End, quick);
    if let Some(slow) = slow {
        drawing.line(&class, [end, y - 5.0], [end, y + 5.0]);
        figure(drawing, end + 6.0, Anchor::Start, slow);
    }
    if let Some(median) = median {
        let place = [at(median), y];
        route_mark(drawing, spread.index, place, 5.5);
        let above = [place[0], y - 10.0];
        drawing.text(
            "figure strong",
            above,
            Anchor::Middle,
            &format!("{median:.1}"),
        );
    }
    // The name stands where there is more room, clear of the figures.
    let (room_left, room_right) = (at(quick) - panel.left, panel.right - end);
    let beside = 40.0;
    let Some(name) = fitted(spread.name, room_left.max(room_right) - beside) else {
        return;
    };
    if room_right > room_left {
        let place = [end + beside, y + 4.0];
        drawing.text("route-name", place, Anchor::Start, &name);
    } else {
        let place = [at(quick) - beside, y + 4.0];
        drawing.text("route-name", place, Anchor::End, &name);
    }
}

/// Days at sea, and below them the dates where there are any.
fn foot(drawing: &mut Drawing, panel: &Panel, departure: Option<Date>, frame: Frame) {
    let (left, right, y) = (panel.left, panel.right, panel.bottom);
    drawing.line("axis", [left, y], [right, y]);
    for value in panel.x.ticks(frame.pick(8.0, 5.0)) {
        let x = panel.x.at(value);
        if !(left + 18.0..=right - 18.0).contains(&x) {
            continue;
        }
        drawing.line("axis", [x, y], [x, y + 5.0]);
        let days = format!("{} d", short(value));
        drawing.text("tick", [x, y + 18.0], Anchor::Middle, &days);
        let days = (value.floor() as i64).days();
        if let Some(date) = departure.and_then(|left| left.checked_add(days).ok()) {
            let date = date.strftime("%-d %b").to_string();
            drawing.text("tick", [x, y + 33.0], Anchor::Middle, &date);
        }
    }
}
