//! The voyage in each real year: every route's median by year on a line from P10 to P90, and the years
//! in figures.

use serde::Serialize;

use super::frame::{Frame, Panel, Scale, route_mark};
use super::svg::{Anchor, Drawing};
use super::tables::Table;
use crate::report::wording::{heads, percent};
use crate::report::years::{AVERAGE, MARK, about, answer};
use crate::study::{DaysOfYear, RealYears, YearsOfRoute};

/// What the page shows of the real years.
#[derive(Serialize)]
pub(super) struct YearsParts {
    /// What they make of each route.
    said: Vec<String>,
    picture: minijinja::Value,
    table: Table,
    /// How they came about.
    note: String,
}

impl YearsParts {
    pub(super) fn of(years: &RealYears) -> Self {
        Self {
            said: years.routes.iter().filter_map(answer).collect(),
            picture: minijinja::Value::from_safe_string(picture(years)),
            table: table(years),
            note: about(years),
        }
    }
}

/// The days that a passage's line runs over: to P90, or to the median where P90 is not reached.
fn ends(passages: &DaysOfYear) -> Option<[f64; 2]> {
    let median = passages.p50?;
    Some([
        passages.p10.unwrap_or(median),
        passages.p90.unwrap_or(median),
    ])
}

/// The picture in both sizes; empty where in no year a route arrives.
fn picture(years: &RealYears) -> String {
    let all = || years.routes.iter().flat_map(|route| &route.years);
    let days = all().filter_map(|year| ends(&year.passages));
    let (least, most) = days.fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(least, most), [from, to]| (least.min(from), most.max(to)),
    );
    let (Some(first), Some(last)) = (years.years.first(), years.years.last()) else {
        return String::new();
    };
    if least.is_infinite() {
        return String::new();
    }
    let room = (0.05 * (most - least)).max(0.1);
    let said: Vec<String> = years.routes.iter().filter_map(answer).collect();
    Frame::both(
        "years",
        "The days under way in each real year",
        &said.join(" "),
        |frame| draw(years, [*first, *last], [least - room, most + room], frame),
    )
}

fn draw(years: &RealYears, [first, last]: [i64; 2], range_days: [f64; 2], frame: Frame) -> Drawing {
    let (left, right) = (42.0, frame.width() - 14.0);
    let (top, bottom) = (24.0, frame.pick(224.0, 184.0));
    let panel = Panel {
        x: Scale::new([first as f64 - 0.6, last as f64 + 0.6], [left, right]),
        y: Scale::new(range_days, [bottom, top]),
        left,
        right,
        bottom,
    };
    let mut drawing = Drawing::new(frame.width(), bottom + 26.0);
    let name = "Days: median, P10 to P90";
    drawing.text("panel", [0.0, top - 10.0], Anchor::Start, name);
    panel.levels(&mut drawing, 5.0, 1.0, "");
    let marks = panel.x.ticks(frame.pick(12.0, 6.0)).into_iter();
    let marks = marks.filter(|year| year.fract() == 0.0);
    let marks: Vec<(f64, String)> = marks.map(|year| (year, format!("{year:.0}"))).collect();
    panel.foot(&mut drawing, &marks);
    // The routes of a year stand side by side, within the middle half of its room.
    let apart = 0.5 / years.routes.len() as f64;
    for (place, route) in years.routes.iter().enumerate() {
        let beside = apart * (place as f64 + 0.5) - 0.25;
        drawing.of_route(place, |drawing| {
            if let Some(days) = route.average.p50 {
                let y = panel.y.at(days);
                let class = format!("average r{}", place % 4);
                drawing.line(&class, [left, y], [right, y]);
            }
            for year in &route.years {
                let Some([from, to]) = ends(&year.passages) else {
                    continue;
                };
                let x = year.year as f64 + beside;
                let told = told(route, year.year, &year.passages);
                drawing.titled(&told, |drawing| {
                    let class = format!("thin r{}", place % 4);
                    drawing.line(&class, panel.point(x, from), panel.point(x, to));
                    if let Some(median) = year.passages.p50 {
                        route_mark(drawing, place, panel.point(x, median), frame.pick(4.4, 3.4));
                    }
                    if route.bad_years.contains(&year.year) {
                        let [x, y] = panel.point(x, to);
                        drawing.text("figure strong", [x, y - 3.0], Anchor::Middle, MARK);
                    }
                });
            }
        });
    }
    drawing
}

fn told(route: &YearsOfRoute, year: i64, passages: &DaysOfYear) -> String {
    let [quick, median, slow] = figures(passages);
    format!(
        "{} in {year}: P10 {quick}, median {median}, P90 {slow} days",
        route.name
    )
}

/// P10, the median and P90 in words.
fn figures(passages: &DaysOfYear) -> [String; 3] {
    [passages.p10, passages.p50, passages.p90].map(|days| match days {
        Some(days) => format!("{days:.1}"),
        None => "none".to_owned(),
    })
}

/// The years in figures, a body a route.
fn table(years: &RealYears) -> Table {
    let row = |name: String, route: &YearsOfRoute, passages: &DaysOfYear, bad: bool| {
        let [quick, median, slow] = figures(passages);
        let median = if bad {
            format!("{median} {MARK}")
        } else {
            median
        };
        vec![
            name,
            route.name.clone(),
            quick,
            median,
            slow,
            percent(passages.headwind),
            percent(passages.gale),
        ]
    };
    let bodies = years.routes.iter().map(|route| {
        let of_years = route.years.iter().map(|year| {
            let bad = route.bad_years.contains(&year.year);
            row(year.year.to_string(), route, &year.passages, bad)
        });
        std::iter::once(row(AVERAGE.to_owned(), route, &route.average, false))
            .chain(of_years)
            .collect()
    });
    let heading = heads(&["Year", "Route", "P10", "Median", "P90", "Headwind", "Gale"]);
    Table::new(
        "The years, in days and shares of time".to_owned(),
        heading,
        2,
        bodies.collect(),
    )
}
