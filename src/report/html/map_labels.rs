//! The words and figures along the map's routes, each where there is room for it.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::frame::route_mark;
use super::labels::{FIGURE_SIZE, NAME_SIZE, Taken, fitted, width};
use super::sheet::{Sheet, degrees};
use super::svg::{Anchor, Drawing, Point};
use crate::passage::ExpectedPassage;
use crate::route::{Route, Stop};

/// The least distance between the strokes of two days, in the drawing's units.
const LEAST_DAY: f64 = 6.0;
/// How far from a route its days' numbers stand, in the drawing's units.
const LABEL_AWAY: f64 = 15.0;

/// How far the stroke of a day keeps from those of other routes, and its number from other routes, in
/// the drawing's units.
const DAYS_APART: f64 = 7.0;
const NUMBER_CLEAR: f64 = 11.0;

/// A route and the passage along it whose days are marked.
pub(super) struct Way<'a> {
    pub index: usize,
    pub route: &'a Route,
    pub passage: &'a ExpectedPassage,
    pub departure: Date,
}

impl Sheet {
    /// Where a walk ends short of the route's end.
    pub(super) fn stall(
        &self,
        drawing: &mut Drawing,
        taken: &mut Taken,
        index: usize,
        [x, y]: Point,
    ) {
        let class = format!("stall r{}", index % 4);
        drawing.line(&class, [x - 6.0, y - 6.0], [x + 6.0, y + 6.0]);
        drawing.line(&class, [x - 6.0, y + 6.0], [x + 6.0, y - 6.0]);
        let text = "stalls here";
        if let Some([x, y]) = self.free_place(taken, text, around([x, y], text)) {
            drawing.text("label", [x, y + 4.0], Anchor::Middle, text);
        }
    }

    /// The first of some places that is free and off the routes, or else the first that is free;
    /// each is moved into the window first.
    fn free_place(
        &self,
        taken: &mut Taken,
        text: &str,
        places: impl IntoIterator<Item = Point>,
    ) -> Option<Point> {
        let places: Vec<Point> = places
            .into_iter()
            .map(|place| self.kept_in_sight(place, text))
            .collect();
        let half = [width(text, NAME_SIZE) / 2.0 + 2.0, NAME_SIZE];
        let on_a_route = |place: &&Point| {
            let mut points = self.lines.iter().flatten();
            points.any(|at| (0..2).all(|axis| (at[axis] - place[axis]).abs() < half[axis]))
        };
        let (crossed, clear): (Vec<&Point>, Vec<&Point>) = places.iter().partition(on_a_route);
        clear
            .into_iter()
            .chain(crossed)
            .copied()
            .find(|place| taken.take(*place, text, NAME_SIZE))
    }

    /// A place for a text as near to `at` as the window's sides let it be.
    fn kept_in_sight(&self, at: Point, text: &str) -> Point {
        let half = width(text, NAME_SIZE) / 2.0 + 3.0;
        let window = &self.window;
        let (left, right) = (window.left + half, window.left + window.width - half);
        let (top, bottom) = (window.top + 10.0, window.top + window.height - 10.0);
        [at[0].min(right).max(left), at[1].clamp(top, bottom)]
    }

    /// A stroke across the route for each day out, a longer one with its number every few days; none
    /// where another route's stroke or a word stands; `ticks` are the strokes' places.
    pub(super) fn days(
        &self,
        drawing: &mut Drawing,
        taken: &mut Taken,
        ticks: &mut Vec<Point>,
        way: &Way<'_>,
    ) {
        let Way {
            index,
            route,
            passage,
            departure,
        } = *way;
        let of_others = ticks.len();
        let whole_days = passage.whole_days().floor() as u32;
        let length: f64 = self.lines[index]
            .windows(2)
            .map(|ends| (ends[1][0] - ends[0][0]).hypot(ends[1][1] - ends[0][1]))
            .sum();
        let a_day = length / passage.days;
        let numbered = [5, 10, 20, 50, 100]
            .into_iter()
            .find(|days| f64::from(*days) * a_day >= 34.0)
            .unwrap_or(200);
        let every = if a_day >= LEAST_DAY { 1 } else { numbered };
        let class = format!("day r{}", index % 4);
        for day in (every..=whole_days).step_by(every as usize) {
            let Some(run_nm) = passage.run_nm_after(f64::from(day) * 24.0) else {
                continue;
            };
            let Some((_, point)) = route.at_nm(run_nm) else {
                continue;
            };
            let at = self.place(point.position);
            let (latitude_deg, longitude_deg) = (
                point.position.latitude_deg(),
                point.position.longitude_deg(),
            );
            let along = self
                .projection
                .towards(latitude_deg, longitude_deg, point.course.deg());
            let across = [-along[1], along[0]];
            let near = |other: &Point| (other[0] - at[0]).hypot(other[1] - at[1]) < DAYS_APART;
            // Nor across a name.
            if ticks[..of_others].iter().any(near) || !taken.is_free(at, [3.0, 3.0]) {
                continue;
            }
            ticks.push(at);
            let long = day % numbered == 0;
            let reach = if long { 7.0 } else { 3.5 };
            let end = |side: f64| [at[0] + side * across[0], at[1] + side * across[1]];
            let date = departure.saturating_add(i64::from(day).days());
            let told = format!(
                "{}: day {day}, {}, {} {}",
                route.name(),
                date.strftime("%-d %b"),
                degrees(latitude_deg.round(), ["N", "S"]),
                degrees(longitude_deg.round(), ["E", "W"])
            );
            drawing.titled(&told, |drawing| {
                drawing.line(&class, end(-reach), end(reach));
                drawing.circle("hover", at, 6.0);
            });
            if long {
                // On the side away from the other routes, or else on the other.
                let number = day.to_string();
                let side = self.outer_side(index, at, across);
                let free = [side, -side]
                    .map(|side| end(side * LABEL_AWAY))
                    .into_iter()
                    .find(|place| {
                        self.clearance(*place, |other| other != index) > NUMBER_CLEAR
                            && taken.take(*place, &number, FIGURE_SIZE)
                    });
                if let Some([x, y]) = free {
                    drawing.text("day-number", [x, y + 4.0], Anchor::Middle, &number);
                }
            }
        }
    }

    /// Which side of a route is farther from the other routes: 1 or -1, times `across`.
    fn outer_side(&self, index: usize, at: Point, across: Point) -> f64 {
        let distance = |side: f64| {
            let beside = [at[0] + side * across[0], at[1] + side * across[1]];
            self.clearance(beside, |other| other != index)
        };
        const STEP_ASIDE: f64 = 20.0;
        if distance(STEP_ASIDE) >= distance(-STEP_ASIDE) {
            1.0
        } else {
            -1.0
        }
    }

    /// The route's mark and its name beside the part of it that is farthest from the others. A name
    /// that would stand nearer to another route everywhere is left to the key.
    pub(super) fn name(&self, drawing: &mut Drawing, taken: &mut Taken, index: usize, name: &str) {
        let line = &self.lines[index];
        let middle = line.len() / 4..(3 * line.len() / 4).max(line.len() / 4 + 1);
        let merit = |place: &usize| {
            let apart = self.clearance(line[*place], |other| other != index);
            let aside = (*place as f64 - line.len() as f64 / 2.0).abs();
            apart.min(1e6) - 0.05 * aside
        };
        let mut places: Vec<usize> = middle
            .filter(|place| self.window.holds(line[*place]))
            .collect();
        places.sort_by(|a, b| merit(b).total_cmp(&merit(a)));
        let Some(best) = places.first().copied() else {
            return;
        };
        let named = fitted(name, self.window.width / 2.5).and_then(|name| {
            let beside = places.iter().find_map(|place| {
                let at = self.beside(taken, index, *place, &name)?;
                Some((*place, at))
            });
            beside.map(|(place, at)| (place, at, name))
        });
        let marked = named.as_ref().map_or(best, |(place, ..)| *place);
        if let Some((_, [x, y], name)) = named {
            drawing.text("route-name", [x, y + 4.0], Anchor::Middle, &name);
        }
        route_mark(drawing, index, line[marked], 5.0);
    }

    /// A free place for a route's name beside one of its points, nearer to it than to any other
    /// route.
    fn beside(&self, taken: &mut Taken, index: usize, place: usize, name: &str) -> Option<Point> {
        let line = &self.lines[index];
        let at = line[place];
        let next = line[(place + 1).min(line.len() - 1)];
        let back = line[place.saturating_sub(1)];
        let (dx, dy) = (next[0] - back[0], next[1] - back[1]);
        let length = dx.hypot(dy).max(1e-9);
        let across = [-dy / length, dx / length];
        // Opposite the days' numbers if it may be, and far enough off to clear a slant.
        let side = -self.outer_side(index, at, across);
        let clear = across[0].abs() * width(name, NAME_SIZE) / 2.0 + NAME_SIZE + 4.0;
        let places = [side, -side]
            .map(|side| [0, 1].map(|i| at[i] + side * clear * across[i]))
            .into_iter()
            .filter(|place| {
                let own = self.clearance(*place, |other| other == index);
                self.clearance(*place, |other| other != index) > own
            });
        self.free_place(taken, name, places)
    }

    /// The names of the stops, each place once and where there is room.
    pub(super) fn stops<'r>(
        &self,
        drawing: &mut Drawing,
        taken: &mut Taken,
        routes: impl IntoIterator<Item = &'r Route>,
    ) {
        let mut named: Vec<&str> = Vec::new();
        for waypoint in routes.into_iter().flat_map(Route::waypoints) {
            let stop = waypoint.stop.as_ref();
            let is_stop = stop.is_some_and(Stop::breaks_the_passage);
            if !is_stop || named.contains(&waypoint.name.as_str()) {
                continue;
            }
            named.push(&waypoint.name);
            let at = self.place(waypoint.position);
            let Some(name) = fitted(&waypoint.name, self.window.width / 3.0) else {
                continue;
            };
            if let Some([x, y]) = self.free_place(taken, &name, around(at, &name)) {
                drawing.text("place", [x, y + 4.0], Anchor::Middle, &name);
            }
        }
    }

    /// The names of the places where routes begin and end, each once.
    pub(super) fn ends<'r>(
        &self,
        drawing: &mut Drawing,
        taken: &mut Taken,
        routes: impl IntoIterator<Item = &'r Route>,
    ) {
        const SAME_PLACE: f64 = 12.0;
        let mut named: Vec<Point> = Vec::new();
        for route in routes {
            let waypoints = route.waypoints();
            for waypoint in [&waypoints[0], &waypoints[waypoints.len() - 1]] {
                let at = self.place(waypoint.position);
                let near = |other: &Point| (other[0] - at[0]).hypot(other[1] - at[1]) < SAME_PLACE;
                if named.iter().any(near) {
                    continue;
                }
                named.push(at);
                drawing.circle("end", at, 4.0);
                let Some(name) = fitted(&waypoint.name, self.window.width / 3.0) else {
                    continue;
                };
                if let Some([x, y]) = self.free_place(taken, &name, around(at, &name)) {
                    drawing.text("place", [x, y + 4.0], Anchor::Middle, &name);
                }
            }
        }
    }
}

/// Places for a text below, above and beside a point.
fn around([x, y]: Point, text: &str) -> [Point; 6] {
    let beside = width(text, NAME_SIZE) / 2.0 + 9.0;
    [
        [x, y + 18.0],
        [x, y - 18.0],
        [x + beside, y],
        [x - beside, y],
        [x + beside, y + 14.0],
        [x - beside, y - 14.0],
    ]
}
