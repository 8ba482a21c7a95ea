//! The season: what leaving on each day of the year brings.

use jiff::civil::Date;

use super::frame::{Frame, Panel, Scale, mark, route_class};
use super::svg::{Anchor, Drawing, Path, Point};
use crate::climate::Month;
use crate::passage::{Departure, SeasonPassage, best_window};
use crate::report::Study;
use crate::report::wording::date;

/// One panel: its name, the figure it shows, the unit after it, and what it is multiplied by.
struct Kind {
    name: &'static str,
    figure: fn(&SeasonPassage) -> Option<f64>,
    /// A second figure drawn as a thin line, if any.
    bad_case: Option<fn(&SeasonPassage) -> Option<f64>>,
    unit: &'static str,
    times: f64,
    /// Whether the axis begins at nought.
    from_nought: bool,
}

const KINDS: [Kind; 5] = [
    Kind {
        name: "Days: median; thin: one in ten is slower",
        figure: |passage| passage.ensemble.days_at(0.5),
        bad_case: Some(|passage| passage.ensemble.days_at(0.9)),
        unit: "",
        times: 1.0,
        from_nought: false,
    },
    Kind {
        name: "Share of time with headwind",
        figure: |passage| Some(passage.exposure.headwind),
        bad_case: None,
        unit: " %",
        times: 100.0,
        from_nought: true,
    },
    Kind {
        name: "Chance of a gale of 6 hours or more",
        figure: |passage| Some(passage.ensemble.chance.gale_6h),
        bad_case: None,
        unit: " %",
        times: 100.0,
        from_nought: true,
    },
    Kind {
        name: "Air, lowest monthly mean on the way, °C",
        figure: |passage| passage.air_temperature_c.map(|air| air.lowest),
        bad_case: None,
        unit: "",
        times: 1.0,
        from_nought: false,
    },
    Kind {
        name: "Share of time in cyclone season waters",
        figure: |passage| passage.ensemble.cyclone_share(),
        bad_case: None,
        unit: " %",
        times: 100.0,
        from_nought: true,
    },
];

/// The picture in both sizes.
pub(super) fn season(study: &Study<'_>, departures: &[Departure]) -> String {
    let routes = study.voyage.routes.iter().enumerate();
    let said: Vec<String> = routes
        .map(|(index, route)| match best_window(departures, index) {
            Some(window) => format!(
                "{}: nine passages in ten take less than {:.1} days in the best thirty days to \
                     leave, from {} to {}, and less than {:.1} in the worst.",
                route.name(),
                window.days_p90,
                date(window.days[0]),
                date(window.days[1]),
                window.worst_days_p90
            ),
            None => format!(
                "{}: in every thirty days one passage in ten does not arrive.",
                route.name()
            ),
        })
        .collect();
    Frame::both(
        "season",
        "What leaving on each day of the year brings",
        &said.join(" "),
        |frame| draw(departures, study.voyage.departure, frame),
    )
}

fn draw(departures: &[Departure], leaving: Date, frame: Frame) -> Drawing {
    let (left, right) = (42.0, frame.width() - 14.0);
    let (head, height, gap) = (24.0, frame.pick(84.0, 80.0), 14.0);
    let last_day = f64::from(leaving.days_in_year());
    let x = Scale::new([1.0, last_day], [left, right]);
    let shown: Vec<&Kind> = KINDS
        .iter()
        .filter(|kind| figures(departures, kind.figure).next().is_some())
        .collect();
    let whole = shown.len() as f64 * (head + height + gap) + 22.0;
    let mut drawing = Drawing::new(frame.width(), whole);
    let bottom = whole - 22.0 - gap;
    let departure_x = x.at(f64::from(leaving.day_of_year()));
    let mut top = 0.0;
    for kind in &shown {
        let all = figures(departures, kind.figure).chain(
            kind.bad_case
                .into_iter()
                .flat_map(|figure| figures(departures, figure)),
        );
        let (least, most) = all.fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (f64::min(least, value), f64::max(most, value)),
        );
        let least = if kind.from_nought { 0.0 } else { least };
        let room = ((most - least) * 0.08).max(0.01 / kind.times);
        let foot = top + head + height;
        let floor = if kind.from_nought { 0.0 } else { least - room };
        let panel = Panel {
            x,
            y: Scale::new(
                [floor * kind.times, (most + room) * kind.times],
                [foot, top + head],
            ),
            left,
            right,
            bottom: foot,
        };
        drawing.text("panel", [0.0, top + 14.0], Anchor::Start, kind.name);
        panel.levels(&mut drawing, 4.0, 1.0, kind.unit);
        panel.foot(&mut drawing, &[]);
        drawing.line("leaving", [departure_x, top + head], [departure_x, foot]);
        for route in 0..departures.first().map_or(0, |first| first.routes.len()) {
            lines(&mut drawing, &panel, departures, kind, route, frame);
        }
        top = foot + gap;
    }
    months(&mut drawing, x, bottom, leaving, frame);
    drawing
}

/// Every figure of a kind there is.
fn figures(
    departures: &[Departure],
    figure: fn(&SeasonPassage) -> Option<f64>,
) -> impl Iterator<Item = f64> {
    departures
        .iter()
        .flat_map(|departure| &departure.routes)
        .filter_map(figure)
}

fn lines(
    drawing: &mut Drawing,
    panel: &Panel,
    departures: &[Departure],
    kind: &Kind,
    route: usize,
    frame: Frame,
) {
    let pieces = |figure: fn(&SeasonPassage) -> Option<f64>| -> Vec<Vec<Point>> {
        let mut pieces = vec![Vec::new()];
        for departure in departures {
            match figure(&departure.routes[route]) {
                Some(value) => {
                    let day = f64::from(departure.date.day_of_year());
                    let last = pieces.len() - 1;
                    pieces[last].push(panel.point(day, kind.times * value));
                }
                // A day without a figure breaks the line.
                None => pieces.push(Vec::new()),
            }
        }
        pieces
    };
    let mut path = |class: &str, pieces: &[Vec<Point>]| {
        let mut path = Path::default();
        for piece in pieces {
            path.add(piece, false);
        }
        drawing.path(class, &path);
    };
    if let Some(figure) = kind.bad_case {
        path(&format!("thin {}", route_class(route)), &pieces(figure));
    }
    let main = pieces(kind.figure);
    path(&format!("line {}", route_class(route)), &main);
    let points: Vec<Point> = main.into_iter().flatten().collect();
    let marks = frame.pick(6, 4);
    for number in 0..marks {
        // Each route's marks stand in other places, so that they do not hide one another.
        let share = (number as f64 + 0.35 + 0.3 * (route % 2) as f64) / marks as f64;
        if let Some(at) = points.get((share * points.len() as f64) as usize) {
            drawing.path(&format!("mark m{}", route % 4), &mark(route, *at, 3.6));
        }
    }
}

/// The months below the lowest panel, and the voyage's own day.
fn months(drawing: &mut Drawing, x: Scale, bottom: f64, leaving: Date, frame: Frame) {
    for month in Month::ALL {
        let number = i8::try_from(month.number()).unwrap_or(1);
        let Ok(first) = Date::new(leaving.year(), number, 1) else {
            continue;
        };
        let start = x.at(f64::from(first.day_of_year()));
        drawing.line("axis", [start, bottom], [start, bottom + 5.0]);
        let middle = x.at(f64::from(first.day_of_year()) + 14.5);
        let letters = frame.pick(3, 1);
        let name = &month.name()[..letters];
        drawing.text("tick", [middle, bottom + 17.0], Anchor::Middle, name);
    }
}
