//! The calendar of a year's plans: months along, a row a stage, the storm season of its waters shaded, each
//! passage a bar from departure to median arrival and a thin line on to P90.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::frame::{Frame, Scale};
use super::svg::{Anchor, Drawing};
use crate::climate::Month;
use crate::report::wording::date;
use crate::route::hours_to;
use crate::study::{Plan, PlanStage, PlannedWay, StageChoice, YearPlan};

/// The height of one plan's lane in a row, and of its bar.
const LANE: f64 = 18.0;
const BAR: f64 = 9.0;
/// The height of the months' names, and of a stage's name above its lanes.
const HEAD: f64 = 22.0;
const NAME: f64 = 19.0;

/// A plan as a lane of each row: its letter, and the class of its colour.
struct Lane<'a> {
    letter: &'static str,
    class: &'static str,
    said: &'static str,
    plan: &'a Plan,
}

/// The plans that differ.
fn lanes(year: &YearPlan) -> Vec<Lane<'_>> {
    let [Some(by_time), Some(by_hardship)] = [&year.by_time, &year.by_hardship] else {
        return Vec::new();
    };
    let mut lanes = vec![Lane {
        letter: "T",
        class: "m0",
        said: "by time",
        plan: by_time,
    }];
    if by_time.stages != by_hardship.stages {
        lanes.push(Lane {
            letter: "H",
            class: "m1",
            said: "by hardship",
            plan: by_hardship,
        });
    }
    lanes
}

/// The picture in both sizes; empty where there is no plan.
pub(super) fn calendar(year: &YearPlan) -> String {
    let lanes = lanes(year);
    if lanes.is_empty() {
        return String::new();
    }
    let said = lanes.iter().flat_map(|lane| {
        let stages = lane.plan.stages.iter();
        stages.map(|stage| format!("{}, {}.", lane.said, told(stage)))
    });
    let description = said.collect::<Vec<_>>().join(" ");
    Frame::both("calendar", "Calendar of the plans", &description, |frame| {
        draw(year, &lanes, frame)
    })
}

/// A stage of a plan for the ear.
fn told(stage: &PlanStage) -> String {
    let day = |day: Option<Date>| day.map_or("unknown".to_owned(), date);
    format!(
        "{}, {}: leave {}, arrive {}, 90 % by {}",
        stage.stage,
        stage.way,
        date(stage.sailed.departure),
        day(stage.sailed.arrival_p50),
        day(stage.sailed.arrival_p90)
    )
}

fn draw(year: &YearPlan, lanes: &[Lane<'_>], frame: Frame) -> Drawing {
    let (first, last) = months_shown(year, lanes);
    let left = 18.0;
    let x = Scale::new([0.0, days(first, last)], [left, frame.width() - 2.0]);
    let at = |day: Date| x.at(days(first, day));
    let row = NAME + LANE * lanes.len() as f64 + 6.0;
    let bottom = HEAD + row * year.stages.len() as f64;
    let mut drawing = Drawing::new(frame.width(), bottom + 4.0);
    let mut month = first;
    while month < last {
        let next = month.saturating_add(1.months());
        drawing.line("grid", [at(month), HEAD - 4.0], [at(month), bottom]);
        let name = month.strftime("%b").to_string();
        let name = frame.pick(name.as_str(), &name[..1]);
        let words = if month.month() == 1 {
            format!(
                "{name} {}",
                frame.pick(month.strftime("%Y").to_string(), String::new())
            )
        } else {
            name.to_owned()
        };
        let middle = [(at(month) + at(next)) / 2.0, HEAD - 8.0];
        drawing.text("tick", middle, Anchor::Middle, words.trim());
        month = next;
    }
    for (number, stage) in year.stages.iter().enumerate() {
        let top = HEAD + row * number as f64;
        drawing.line("axis", [left, top], [x.at(days(first, last)), top]);
        for (place, lane) in lanes.iter().enumerate() {
            let Some(planned) = lane.plan.stages.get(number) else {
                continue;
            };
            let top = top + NAME + LANE * place as f64;
            if let Some(way) = stage.ways.iter().find(|way| way.name == planned.way) {
                shade(&mut drawing, way, first, last, &at, top);
            }
            drawing.text("figure", [0.0, top + 13.0], Anchor::Start, lane.letter);
            drawing.titled(&told(planned), |drawing| {
                bar(drawing, lane, planned, &at, top + (LANE - BAR) / 2.0);
            });
        }
        let place = [left + 2.0, top + 14.0];
        let ways = format!("{}: {}", stage.name, ways(stage, lanes, number));
        // On a phone there is room for the stage alone.
        let name = frame.pick(ways.as_str(), stage.name.as_str());
        drawing.text("label", place, Anchor::Start, name);
        if let Some(by) = stage.arrive_by.map(|by| by.saturating_add(1.days()))
            && by > first
            && by <= last
        {
            let ends = [at(by), top + NAME - 3.0];
            drawing.line("leaving", ends, [at(by), top + row - 3.0]);
        }
    }
    drawing
}

/// The ways that the plans take on a stage.
fn ways(stage: &StageChoice, lanes: &[Lane<'_>], number: usize) -> String {
    let taken = lanes
        .iter()
        .filter_map(|lane| Some((lane, lane.plan.stages.get(number)?)));
    let taken: Vec<_> = taken.collect();
    let first = taken.first().map_or("", |(_, stage)| stage.way.as_str());
    if stage.ways.len() == 1 || taken.iter().all(|(_, stage)| stage.way == first) {
        return first.to_owned();
    }
    let each = taken
        .iter()
        .map(|(lane, stage)| format!("{} {}", lane.letter, stage.way));
    each.collect::<Vec<_>>().join(", ")
}

/// The storm season of a way's waters, month by month.
fn shade(
    drawing: &mut Drawing,
    way: &PlannedWay,
    first: Date,
    last: Date,
    at: &impl Fn(Date) -> f64,
    top: f64,
) {
    let is_storm = |day: Date| {
        let month = Month::from_number(day.month().unsigned_abs());
        month.is_some_and(|month| way.storm_months.contains(&month))
    };
    let mut month = first;
    while month < last {
        let mut end = month.saturating_add(1.months());
        if is_storm(month) {
            while end < last && is_storm(end) {
                end = end.saturating_add(1.months());
            }
            let width = at(end) - at(month);
            drawing.rectangle("shade s2", [at(month), top], width, LANE);
            drawing.text(
                "tick",
                [at(month) + 4.0, top + 13.0],
                Anchor::Start,
                "storms",
            );
        }
        month = end;
    }
}

fn bar(
    drawing: &mut Drawing,
    lane: &Lane<'_>,
    stage: &PlanStage,
    at: &impl Fn(Date) -> f64,
    top: f64,
) {
    let sailed = &stage.sailed;
    let from = at(sailed.departure);
    let Some(to) = sailed.arrival_p50.map(at) else {
        return;
    };
    drawing.rectangle(lane.class, [from, top], (to - from).max(2.0), BAR);
    if let Some(late) = sailed.arrival_p90.map(at) {
        let middle = top + BAR / 2.0;
        drawing.line("course", [to, middle], [late, middle]);
        drawing.line("course", [late, top], [late, top + BAR]);
    }
}

/// Twelve months from the first departure tried, and on to the end of the last month sailed in.
fn months_shown(year: &YearPlan, lanes: &[Lane<'_>]) -> (Date, Date) {
    let stages = lanes.iter().flat_map(|lane| &lane.plan.stages);
    let ends = stages.filter_map(|stage| stage.sailed.arrival_p90.or(stage.sailed.arrival_p50));
    let first = year.first.first_of_month();
    let last = ends.max().unwrap_or(first).last_of_month();
    let twelve = first.saturating_add(1.year());
    (first, twelve.max(last.saturating_add(1.days())))
}

fn days(from: Date, to: Date) -> f64 {
    hours_to(from, to) / 24.0
}
