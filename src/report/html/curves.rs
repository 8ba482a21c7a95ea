//! Lines over days, a panel a figure and a line a route: conditions along the route, and what
//! leaving on each day of the year brings.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::frame::{Frame, Panel, Scale, route_class, route_mark, spread_apart};
use super::labels::fitted;
use super::svg::{Anchor, Drawing, Path, Point};
use crate::climate::Month;
use crate::passage::{ExpectedPassage, ExpectedSegment, ExposureKind};
use crate::report::figures::{Facts, Figure, Value};
use crate::report::season::window_sentence;
use crate::report::shaped::capital;
use crate::report::wording::{percent, short};
use crate::study::{Comparison, RouteResult, Season};

/// Room above a panel for its name, and below it, in the drawing's units.
const HEAD: f64 = 24.0;
const GAP: f64 = 15.0;

/// One panel.
struct Curves {
    name: String,
    /// Whether its values are shares, shown in per cent.
    shares: bool,
    /// The values at its foot and at its top.
    range: [f64; 2],
    lines: Vec<Line>,
}

/// One route's line: its points by day and value, broken where there is no value.
struct Line {
    /// The route's place among the voyage's.
    route: usize,
    thin: bool,
    pieces: Vec<Vec<Point>>,
}

impl Line {
    /// The value on a day, between the points on either side of it; none where the line is broken.
    fn value_at(&self, day: f64) -> Option<f64> {
        let ends = self.pieces.iter().flat_map(|piece| piece.windows(2));
        let mut around = ends.filter(|ends| (ends[0][0]..=ends[1][0]).contains(&day));
        let ends = around.next()?;
        let share = (day - ends[0][0]) / (ends[1][0] - ends[0][0]).max(f64::MIN_POSITIVE);
        Some(ends[0][1] + share * (ends[1][1] - ends[0][1]))
    }
}

/// Panels one above the other.
#[derive(Clone, Copy)]
struct Stack {
    frame: Frame,
    days: Scale,
    left: f64,
    right: f64,
    height: f64,
    /// Room below the lowest panel.
    foot: f64,
}

impl Stack {
    fn new(frame: Frame, days: [f64; 2], beside: f64, height: f64, foot: f64) -> Self {
        let (left, right) = (42.0, frame.width() - beside);
        Self {
            frame,
            days: Scale::new(days, [left, right]),
            left,
            right,
            height,
            foot,
        }
    }

    /// Draws the panels, each after what `beside` puts next to its lines, and returns the lowest. Who
    /// rests on a panel reads the `names` of the routes with their values, after what is `told` of the
    /// day.
    fn draw(
        self,
        panels: &[Curves],
        names: &[&str],
        told: impl Fn(f64) -> String,
        beside: impl Fn(&mut Drawing, &Panel, &Curves),
    ) -> (Drawing, Panel) {
        let each = HEAD + self.height + GAP;
        let panel = |number: usize, range: [f64; 2]| {
            let top = number as f64 * each + HEAD;
            Panel {
                x: self.days,
                y: Scale::new(range, [top + self.height, top]),
                left: self.left,
                right: self.right,
                bottom: top + self.height,
            }
        };
        let whole = panels.len() as f64 * each + self.foot;
        let mut drawing = Drawing::new(self.frame.width(), whole);
        for (number, curves) in panels.iter().enumerate() {
            let panel = panel(number, curves.range);
            let place = [0.0, panel.bottom - self.height - 10.0];
            drawing.text("panel", place, Anchor::Start, &curves.name);
            let (times, unit) = if curves.shares {
                (100.0, " %")
            } else {
                (1.0, "")
            };
            panel.levels(&mut drawing, 4.0, times, unit);
            panel.foot(&mut drawing, &[]);
            beside(&mut drawing, &panel, curves);
            for line in &curves.lines {
                drawing.of_route(line.route, |drawing| self.line(drawing, &panel, line));
            }
            self.hovers(&mut drawing, &panel, curves, names, &told);
        }
        (drawing, panel(panels.len().saturating_sub(1), [0.0, 1.0]))
    }

    /// The values of every line, over steps of the panel's width.
    fn hovers(
        self,
        drawing: &mut Drawing,
        panel: &Panel,
        curves: &Curves,
        names: &[&str],
        told: &impl Fn(f64) -> String,
    ) {
        const STEPS: u32 = 40;
        let width = (self.right - self.left) / f64::from(STEPS);
        let value = |value: f64| {
            if curves.shares {
                percent(value)
            } else {
                format!("{value:.1}")
            }
        };
        for step in 0..STEPS {
            let left = self.left + width * f64::from(step);
            let day = self.days.value(left + width / 2.0);
            let values = curves.lines.iter().filter_map(|line| {
                let found = line.value_at(day)?;
                let which = if line.thin { " (thin line)" } else { "" };
                Some(format!("{}{which} {}", names[line.route], value(found)))
            });
            let values: Vec<String> = values.collect();
            if !values.is_empty() {
                let corner = [left, panel.bottom - self.height];
                let words = format!("{}: {}", told(day), values.join(", "));
                drawing.hover(&words, corner, width, self.height);
            }
        }
    }

    fn line(self, drawing: &mut Drawing, panel: &Panel, line: &Line) {
        let mut path = Path::default();
        let place = |[day, value]: &Point| panel.point(*day, *value);
        for piece in &line.pieces {
            path.add(&piece.iter().map(place).collect::<Vec<_>>(), false);
        }
        let weight = if line.thin { "thin" } else { "line" };
        drawing.path(&format!("{weight} {}", route_class(line.route)), &path);
        if line.thin {
            return;
        }
        // Marks every few days, each route's in other places, tell lines apart where they cross.
        let points: Vec<&Point> = line.pieces.iter().flatten().collect();
        let marks = self.frame.pick(6, 4);
        for number in 0..marks {
            let share = (number as f64 + 0.35 + 0.3 * (line.route % 2) as f64) / marks as f64;
            if let Some(at) = points.get((share * points.len() as f64) as usize) {
                route_mark(drawing, line.route, place(at), 3.6);
            }
        }
    }
}

/// The kinds of exposure shown along the route, each with the least share its axis reaches up to.
const KINDS: [(ExposureKind, f64); 3] = [
    (ExposureKind::Headwind, 0.2),
    (ExposureKind::LightAir, 0.1),
    (ExposureKind::Gale, 0.02),
];

/// Conditions along the route, in both sizes; empty where the boat stalls on every route.
pub(super) fn exposure(comparison: &Comparison) -> String {
    let routes = comparison.routes.iter().enumerate();
    let arriving: Vec<(usize, &RouteResult, &ExpectedPassage)> = routes
        .filter_map(|(index, route)| Some((index, route, route.expected.as_ref()?)))
        .collect();
    if arriving.is_empty() {
        return String::new();
    }
    let panels = KINDS.map(|(kind, least)| {
        let lines = arriving.iter().map(|(route, _, passage)| {
            let point = |segment: &ExpectedSegment| {
                let middle_hours = segment.start_hours + segment.hours / 2.0;
                [middle_hours / 24.0, segment.exposure[kind]]
            };
            Line {
                route: *route,
                thin: false,
                pieces: vec![passage.segments.iter().map(point).collect()],
            }
        });
        let lines: Vec<Line> = lines.collect();
        Curves {
            name: capital(kind.names().label),
            shares: true,
            range: [0.0, values(&lines).fold(least, f64::max)],
            lines,
        }
    });
    let said = arriving.iter().enumerate().map(|(place, (_, route, _))| {
        let worst = panels.iter().map(|panel| worst(panel, &panel.lines[place]));
        format!("{}: {}.", route.name, worst.collect::<Vec<_>>().join("; "))
    });
    let names: Vec<&str> = comparison
        .routes
        .iter()
        .map(|route| route.name.as_str())
        .collect();
    Frame::both(
        "exposure",
        "Headwind, light air and gale along the route",
        &said.collect::<Vec<_>>().join(" "),
        |frame| along(&panels, &arriving, &names, frame),
    )
}

/// Where a line is highest, in words.
fn worst(panel: &Curves, line: &Line) -> String {
    let points = line.pieces.iter().flatten();
    let [day, most] = points.fold(
        [0.0; 2],
        |most, at| if at[1] > most[1] { *at } else { most },
    );
    format!(
        "{} at most {} of the time, on day {day:.0}",
        panel.name,
        percent(most)
    )
}

fn along(
    panels: &[Curves],
    routes: &[(usize, &RouteResult, &ExpectedPassage)],
    all: &[&str],
    frame: Frame,
) -> Drawing {
    let passages = routes.iter().map(|(_, _, passage)| passage);
    let longest_days = passages.map(|passage| passage.days).fold(0.0, f64::max);
    let stack = Stack::new(
        frame,
        [0.0, longest_days],
        frame.pick(110.0, 14.0),
        frame.pick(96.0, 88.0),
        26.0,
    );
    let told = |day: f64| format!("day {day:.0}");
    let (mut drawing, lowest) = stack.draw(panels, all, told, |drawing, panel, curves| {
        // On a phone there is no room beside the lines: there the key above the picture must do.
        if frame == Frame::Wide {
            names(drawing, panel, curves, routes);
        }
    });
    let days = stack.days.ticks(frame.pick(8.0, 5.0)).into_iter();
    let days: Vec<(f64, String)> = days.map(|day| (day, short(day))).collect();
    lowest.foot(&mut drawing, &days);
    let place = [(stack.left + stack.right) / 2.0, lowest.bottom + 34.0];
    drawing.text("tick", place, Anchor::Middle, "days from departure");
    drawing
}

/// The routes' names at the ends of their lines.
fn names(
    drawing: &mut Drawing,
    panel: &Panel,
    curves: &Curves,
    routes: &[(usize, &RouteResult, &ExpectedPassage)],
) {
    let lasts = curves.lines.iter().enumerate();
    let mut ends: Vec<(f64, usize)> = lasts
        .filter_map(|(place, line)| Some((panel.y.at(line.pieces.last()?.last()?[1]), place)))
        .collect();
    spread_apart(&mut ends, 14.0, panel.bottom);
    let beyond = panel.right + 8.0;
    let start = beyond + 14.0;
    let names: Vec<Option<String>> = routes
        .iter()
        .map(|(_, route, _)| fitted(&route.name, Frame::Wide.width() - start))
        .collect();
    for (y, place) in ends {
        route_mark(drawing, routes[place].0, [beyond + 4.0, y], 4.0);
        // A name of which no more is left than of another says nothing the mark does not.
        let alike = names.iter().filter(|name| **name == names[place]).count();
        if let (Some(name), 1) = (&names[place], alike) {
            drawing.text("route-name", [start, y + 4.0], Anchor::Start, name);
        }
    }
}

/// The panels of a year: a short name, and the figures by their columns in CSV; the second is a
/// thin line.
const YEAR: [(&str, &[&str]); 5] = [
    ("Days: median; thin line: P90", &["days_p50", "days_p90"]),
    ("Share of time with headwind", &["headwind_share"]),
    ("Chance of a gale of 6 hours or more", &["gale_6h_chance"]),
    ("Air, coldest month met, °C", &["air_temperature_lowest_c"]),
    (
        "Chance of a tropical storm within 200 nm",
        &["storm_chance"],
    ),
];

/// What leaving on each day of the year brings, in both sizes.
pub(super) fn season(season: &Season) -> String {
    let panels: Vec<Curves> = YEAR
        .iter()
        .filter_map(|(name, columns)| {
            let figures: Vec<&Figure> = columns
                .iter()
                .filter_map(|name| Figure::named(name))
                .collect();
            year_panel(season, name, &figures)
        })
        .collect();
    let said: Vec<String> = season
        .routes
        .iter()
        .map(|route| window_sentence(route, season.most_storm_chance))
        .collect();
    let names: Vec<&str> = season
        .routes
        .iter()
        .map(|route| route.name.as_str())
        .collect();
    Frame::both(
        "season",
        "What leaving on each day of the year brings",
        &said.join(" "),
        |frame| year(&panels, &names, season.voyage.departure, frame),
    )
}

/// A panel of some figures through the year; none where no departure has any of them.
fn year_panel(season: &Season, name: &str, figures: &[&Figure]) -> Option<Curves> {
    let line = |route: usize, thin: bool, figure: &Figure| {
        let mut pieces = vec![Vec::new()];
        // The twelve months may begin in the middle of a year.
        let mut departures: Vec<_> = season.departures.iter().collect();
        departures.sort_by_key(|departure| departure.date.day_of_year());
        for departure in departures {
            match figure.value(&Facts::from(&departure.routes[route])) {
                Some(Value::Number(value)) => {
                    let last = pieces.len() - 1;
                    pieces[last].push([f64::from(departure.date.day_of_year()), value]);
                }
                // A day without a figure breaks the line.
                _ => pieces.push(Vec::new()),
            }
        }
        Line {
            route,
            thin,
            pieces,
        }
    };
    let routes = 0..season.routes.len();
    let lines: Vec<Line> = routes
        .flat_map(|route| {
            let figures = figures.iter().enumerate().rev();
            figures.map(move |(place, figure)| line(route, place > 0, figure))
        })
        .collect();
    let least = values(&lines).min_by(f64::total_cmp)?;
    let most = values(&lines).max_by(f64::total_cmp)?;
    let shares = figures.iter().all(|figure| figure.is_share());
    let room = |span: f64, at_least: f64| (0.08 * span).max(at_least);
    Some(Curves {
        name: name.to_owned(),
        shares,
        range: if shares {
            [0.0, most + room(most, 0.0001)]
        } else {
            let room = room(most - least, 0.01);
            [least - room, most + room]
        },
        lines,
    })
}

fn values(lines: &[Line]) -> impl Iterator<Item = f64> {
    let points = lines.iter().flat_map(|line| line.pieces.iter().flatten());
    points.map(|[_, value]| *value)
}

fn year(panels: &[Curves], names: &[&str], leaving: Date, frame: Frame) -> Drawing {
    let days = [1.0, f64::from(leaving.days_in_year())];
    let stack = Stack::new(frame, days, 14.0, frame.pick(84.0, 68.0), 22.0);
    let x = |day: Date| stack.days.at(f64::from(day.day_of_year()));
    let told = |day: f64| {
        let first = leaving.first_of_year();
        let date = first.saturating_add((day as i64 - 1).days());
        format!("leaving {}", date.strftime("%-d %b"))
    };
    let (mut drawing, lowest) = stack.draw(panels, names, told, |drawing, panel, _| {
        let top = panel.bottom - stack.height;
        drawing.line("leaving", [x(leaving), top], [x(leaving), panel.bottom]);
    });
    let bottom = lowest.bottom;
    for month in Month::ALL {
        let number = i8::try_from(month.number()).unwrap_or(1);
        let Ok(first) = Date::new(leaving.year(), number, 1) else {
            continue;
        };
        let (start, end) = (x(first), x(first.last_of_month()));
        drawing.line("axis", [start, bottom], [start, bottom + 5.0]);
        let name = &month.name()[..frame.pick(3, 1)];
        let middle = [(start + end) / 2.0, bottom + 17.0];
        drawing.text("tick", middle, Anchor::Middle, name);
    }
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_year_s_figures_are_in_the_one_table() {
        for column in YEAR.iter().flat_map(|(_, columns)| *columns) {
            assert!(
                Figure::named(column).is_some_and(|figure| figure.of_season),
                "{column}"
            );
        }
    }
}
