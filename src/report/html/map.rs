//! The map: the routes over coast and wind, with the days out along them.

use std::ops::Range;

use super::barb::barb;
use super::coast::{Window, land_path};
use super::frame::{Frame, mark, route_class};
use super::labels::{FIGURE_SIZE, NAME_SIZE, Taken, fitted, width};
use super::projection::Projection;
use super::svg::{Anchor, Drawing, Path, Point};
use crate::climate::{Climate, Month};
use crate::geodesy::Position;
use crate::passage::{ExpectedPassage, Walk};
use crate::report::Study;
use crate::report::wording::grouped;
use crate::route::{Land, Route};
use crate::units::{KN_PER_MS, wrap_180_deg};

/// Points along a route are drawn no farther apart than this, in nautical miles.
const SPACING_NM: f64 = 30.0;
/// The least distance between the strokes of two days, in the drawing's units.
const LEAST_DAY: f64 = 5.0;
/// Barbs whose middle is nearer to a route than this would hide its strokes.
const CLEAR_OF_ROUTES: f64 = 13.0;
/// Meridians end short of the poles, where they would all meet.
const MERIDIANS_TO_DEG: i32 = 85;
/// How far a true direction is followed on the map for a label's place, in the drawing's units.
const LABEL_AWAY: f64 = 15.0;

/// What the map shows, laid out in one size.
struct Map<'a> {
    study: &'a Study<'a>,
    winds: &'a Climate,
    month: Month,
    frame: Frame,
    projection: Projection,
    window: Window,
    /// Each route's points on the drawing.
    lines: Vec<Vec<Point>>,
}

/// The map in both sizes.
pub(super) fn map(study: &Study<'_>, winds: &Climate, month: Month) -> String {
    let names: Vec<&str> = study.voyage.routes.iter().map(Route::name).collect();
    let title = format!("Map of the routes: {}", names.join(", "));
    let said: Vec<String> = study.voyage.routes.iter().map(describe).collect();
    let description = format!(
        "{} Strokes across each route are days out on the mean wind; the vector mean wind of \
         {month} is drawn as wind barbs. The leg tables give the same in figures.",
        said.join(" ")
    );
    let points: Vec<Vec<Position>> = study.voyage.routes.iter().map(points).collect();
    let projection = Projection::centred_on(points.iter().flatten().copied())
        .or_else(|| Projection::centred_on(points.iter().flatten().copied().take(1)));
    let Some(projection) = projection else {
        return String::new();
    };
    Frame::both("map", &title, &description, |frame| {
        Map::new(study, winds, month, frame, projection, &points).draw()
    })
}

/// Where a route goes, in words.
fn describe(route: &Route) -> String {
    let names: Vec<&str> = route
        .waypoints()
        .iter()
        .map(|waypoint| waypoint.name.as_str())
        .collect();
    let latitudes = || {
        points(route)
            .into_iter()
            .map(|at| at.latitude_deg().round())
    };
    let south = latitudes().fold(f64::INFINITY, f64::min);
    let north = latitudes().fold(f64::NEG_INFINITY, f64::max);
    format!(
        "{}: {}, {} nm, between {} and {}.",
        route.name(),
        names.join(", "),
        grouped(route.length_nm()),
        degrees(north, ["N", "S"]),
        degrees(south, ["N", "S"])
    )
}

/// Points along a route, its waypoints among them.
fn points(route: &Route) -> Vec<Position> {
    let mut points = Vec::new();
    for leg in route.legs() {
        let length_nm = leg.track.length_nm();
        let parts = (length_nm / SPACING_NM).ceil().max(1.0) as u32;
        points.push(leg.track.from());
        points.extend((1..parts).filter_map(|part| {
            let run_nm = length_nm * f64::from(part) / f64::from(parts);
            Some(leg.track.at_nm(run_nm)?.position)
        }));
    }
    points.extend(route.legs().last().map(|leg| leg.track.to()));
    points
}

impl<'a> Map<'a> {
    fn new(
        study: &'a Study<'a>,
        winds: &'a Climate,
        month: Month,
        frame: Frame,
        projection: Projection,
        points: &[Vec<Position>],
    ) -> Self {
        let projected: Vec<Vec<Point>> = points
            .iter()
            .map(|line| line.iter().map(|at| of(&projection, *at)).collect())
            .collect();
        let (mut least, mut most) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for at in projected.iter().flatten() {
            for axis in [0, 1] {
                least[axis] = least[axis].min(at[axis]);
                most[axis] = most[axis].max(at[axis]);
            }
        }
        // Room around the routes, and a window neither flat nor tall.
        let (left, top) = (frame.pick(38.0, 36.0), 4.0);
        let width = frame.width() - left - 2.0;
        let (wide, high) = (
            (most[0] - least[0]).max(0.01) * frame.pick(1.16, 1.2),
            (most[1] - least[1]).max(0.01) * frame.pick(1.3, 1.3),
        );
        let height = (width * high / wide).clamp(
            width * frame.pick(0.52, 0.85),
            width * frame.pick(0.85, 1.3),
        );
        let scale = (width / wide).min(height / high);
        let centre = [
            left + width / 2.0 - scale * (least[0] + most[0]) / 2.0,
            top + height / 2.0 - scale * (least[1] + most[1]) / 2.0,
        ];
        let window = Window {
            left,
            top,
            width,
            height,
            centre,
            scale,
        };
        let lines = projected
            .into_iter()
            .map(|line| line.into_iter().map(|at| window.on_drawing(at)).collect())
            .collect();
        Self {
            study,
            winds,
            month,
            frame,
            projection,
            window,
            lines,
        }
    }

    fn draw(&self) -> Drawing {
        let window = &self.window;
        let height = window.top + window.height + 20.0;
        let mut drawing = Drawing::new(self.frame.width(), height);
        let corner = [window.left, window.top];
        drawing.rectangle("sea", corner, window.width, window.height);
        let labels = self.graticule_labels();
        drawing.window(corner, window.width, window.height, |drawing| {
            drawing.path("land", &land_path(&self.projection, window));
            drawing.path("graticule", &self.graticule());
            self.winds(drawing);
            self.routes(drawing);
        });
        drawing.rectangle("frame", corner, window.width, window.height);
        for (at, anchor, text) in labels {
            drawing.text("tick", at, anchor, &text);
        }
        drawing
    }

    fn at(&self, latitude_deg: f64, longitude_deg: f64) -> Point {
        self.window
            .on_drawing(self.projection.point(latitude_deg, longitude_deg))
    }

    /// Degrees between the lines of the graticule.
    fn graticule_deg(&self) -> f64 {
        let across_deg = (self.window.width / self.window.scale).to_degrees();
        let wanted = across_deg / self.frame.pick(8.0, 5.0);
        [1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0]
            .into_iter()
            .find(|step| *step >= wanted)
            .unwrap_or(30.0)
    }

    /// The parallels and meridians, each as points on the drawing with its degrees.
    fn graticule_lines(&self) -> (Vec<(f64, Vec<Point>)>, Vec<(f64, Vec<Point>)>) {
        let step = self.graticule_deg();
        let count = (90.0 / step).ceil() as i32 - 1;
        let degrees = |n: i32| f64::from(n) * step;
        let parallels = (-count..=count)
            .map(|n| {
                // Begun opposite the centre, where a line is seldom in sight.
                let east = |part: i32| self.projection.centre_longitude_deg() + f64::from(part);
                let line = (-180..=180).map(|part| self.at(degrees(n), east(part)));
                (degrees(n), line.collect())
            })
            .collect();
        let meridians = (0..(360.0 / step) as i32)
            .map(|n| {
                let line = (-MERIDIANS_TO_DEG..=MERIDIANS_TO_DEG)
                    .map(|latitude_deg| self.at(f64::from(latitude_deg), degrees(n)));
                (degrees(n), line.collect())
            })
            .collect();
        (parallels, meridians)
    }

    fn graticule(&self) -> Path {
        let (parallels, meridians) = self.graticule_lines();
        let mut path = Path::default();
        for (_, line) in parallels.iter().chain(&meridians) {
            for piece in in_sight(&self.window, line) {
                path.add(piece, false);
            }
        }
        path
    }

    /// Figures where parallels meet the left edge and meridians the foot.
    fn graticule_labels(&self) -> Vec<(Point, Anchor, String)> {
        let window = &self.window;
        let bottom = window.top + window.height;
        let (parallels, meridians) = self.graticule_lines();
        let mut labels = Vec::new();
        // Toward a pole the lines crowd together.
        let mut taken = Taken::default();
        for (latitude_deg, line) in parallels {
            let in_sight = window.top + 6.0..bottom - 2.0;
            if let Some(y) = crossing(&line, 0, window.left, in_sight) {
                let text = degrees(latitude_deg, ["N", "S"]);
                if taken.take([window.left / 2.0, y], &text, FIGURE_SIZE) {
                    labels.push(([window.left - 5.0, y + 4.0], Anchor::End, text));
                }
            }
        }
        for (longitude_deg, line) in meridians {
            let longitude_deg = wrap_180_deg(longitude_deg);
            let in_sight = window.left + 10.0..window.left + window.width - 12.0;
            if let Some(x) = crossing(&line, 1, bottom, in_sight) {
                let text = degrees(longitude_deg, ["E", "W"]);
                // A letter's room between one and the next.
                if taken.take([x, bottom + 11.0], &format!("{text}m"), FIGURE_SIZE) {
                    labels.push(([x, bottom + 15.0], Anchor::Middle, text));
                }
            }
        }
        labels
    }

    /// The month's vector mean wind, on a lattice of the drawing.
    fn winds(&self, drawing: &mut Drawing) {
        let window = &self.window;
        let apart = self.frame.pick(44.0, 38.0);
        let staff = self.frame.pick(21.0, 18.0);
        let (columns, rows) = (
            (window.width / apart).round(),
            (window.height / apart).round(),
        );
        let (mut lines, mut pennants) = (Path::default(), Path::default());
        for row in 0..rows as u32 {
            for column in 0..columns as u32 {
                let station = [
                    window.left + (f64::from(column) + 0.5) * window.width / columns,
                    window.top + (f64::from(row) + 0.5) * window.height / rows,
                ];
                let Some((latitude_deg, longitude_deg)) =
                    self.projection.place(window.on_map(station))
                else {
                    continue;
                };
                let Some(wind) = wind_at(self.winds, latitude_deg, longitude_deg, self.month)
                else {
                    continue;
                };
                let here = Position::new(latitude_deg, wrap_180_deg(longitude_deg));
                if here.is_ok_and(|here| Land::natural_earth().covers(here)) {
                    continue;
                }
                let from = self
                    .projection
                    .towards(latitude_deg, longitude_deg, wind.from_deg);
                let middle = [0, 1].map(|i| station[i] + 0.5 * staff * from[i]);
                if self.clearance(middle, |_| true) < CLEAR_OF_ROUTES {
                    continue;
                }
                let drawn = barb(station, from, wind.speed_kn, latitude_deg < 0.0, staff);
                if drawn.calm {
                    drawing.circle("barb", station, 3.0);
                }
                lines.join(&drawn.lines);
                pennants.join(&drawn.pennants);
            }
        }
        drawing.path("barb", &lines);
        drawing.path("pennant", &pennants);
    }

    fn routes(&self, drawing: &mut Drawing) {
        let routes = &self.study.voyage.routes;
        for line in &self.lines {
            drawing.path("halo", &Path::open(line));
        }
        for (index, line) in self.lines.iter().enumerate() {
            let class = format!("route {}", route_class(index));
            drawing.path(&class, &Path::open(line));
        }
        for (index, route) in routes.iter().enumerate() {
            for waypoint in route.waypoints() {
                let at = self.place(waypoint.position);
                drawing.circle(&format!("stop r{}", index % 4), at, 2.6);
            }
        }
        // The words that matter most find their places first.
        let mut taken = Taken::default();
        self.ends(drawing, &mut taken);
        for (index, walk) in self.study.walks.iter().enumerate() {
            if let Walk::Stalls(stall) = walk {
                self.stall(drawing, &mut taken, index, self.place(stall.position));
            }
        }
        for (index, route) in routes.iter().enumerate() {
            self.name(drawing, &mut taken, index, route.name());
        }
        for (index, (route, walk)) in routes.iter().zip(self.study.walks).enumerate() {
            if let Walk::Arrives(passage) = walk {
                self.days(drawing, &mut taken, index, route, passage);
            }
        }
    }

    /// Where a walk ends short of the route's end.
    fn stall(&self, drawing: &mut Drawing, taken: &mut Taken, index: usize, [x, y]: Point) {
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

    fn place(&self, position: Position) -> Point {
        self.at(position.latitude_deg(), position.longitude_deg())
    }

    /// A stroke across the route for each day out, a longer one with its number every few days.
    fn days(
        &self,
        drawing: &mut Drawing,
        taken: &mut Taken,
        index: usize,
        route: &Route,
        passage: &ExpectedPassage,
    ) {
        let whole_days = passage.days().floor() as u32;
        let length: f64 = self.lines[index]
            .windows(2)
            .map(|ends| (ends[1][0] - ends[0][0]).hypot(ends[1][1] - ends[0][1]))
            .sum();
        let a_day = length / passage.days();
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
            let long = day % numbered == 0;
            let reach = if long { 7.0 } else { 3.5 };
            let end = |side: f64| [at[0] + side * across[0], at[1] + side * across[1]];
            drawing.line(&class, end(-reach), end(reach));
            if long {
                // On the side away from the other routes, or else on the other.
                let number = day.to_string();
                let side = self.outer_side(index, at, across);
                let free = [side, -side]
                    .map(|side| end(side * LABEL_AWAY))
                    .into_iter()
                    .find(|place| taken.take(*place, &number, FIGURE_SIZE));
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

    /// The distance from a point to the nearest of some routes.
    fn clearance(&self, [x, y]: Point, among: impl Fn(usize) -> bool) -> f64 {
        let lines = self.lines.iter().enumerate();
        lines
            .filter(|(index, _)| among(*index))
            .flat_map(|(_, line)| line)
            .map(|at| (at[0] - x).hypot(at[1] - y))
            .fold(f64::INFINITY, f64::min)
    }

    /// The route's name beside the part of it that is farthest from the others.
    fn name(&self, drawing: &mut Drawing, taken: &mut Taken, index: usize, name: &str) {
        let line = &self.lines[index];
        let middle = line.len() / 4..(3 * line.len() / 4).max(line.len() / 4 + 1);
        let apart = |at: &Point| self.clearance(*at, |other| other != index).min(1e6);
        let Some(best) = middle
            .filter(|place| self.window.holds(line[*place]))
            .max_by(|a, b| {
                let towards_middle =
                    |place: &usize| -(*place as f64 - line.len() as f64 / 2.0).abs();
                (apart(&line[*a]) + 0.05 * towards_middle(a))
                    .total_cmp(&(apart(&line[*b]) + 0.05 * towards_middle(b)))
            })
        else {
            return;
        };
        let at = line[best];
        let next = line[(best + 1).min(line.len() - 1)];
        let back = line[best.saturating_sub(1)];
        let (dx, dy) = (next[0] - back[0], next[1] - back[1]);
        let length = dx.hypot(dy).max(1e-9);
        let across = [-dy / length, dx / length];
        if let Some(name) = fitted(name, self.window.width / 2.5) {
            // Opposite the days' numbers if it may be, and far enough off to clear a slant.
            let side = -self.outer_side(index, at, across);
            let clear = across[0].abs() * width(&name, NAME_SIZE) / 2.0 + NAME_SIZE + 4.0;
            let places = [side, -side].map(|side| [0, 1].map(|i| at[i] + side * clear * across[i]));
            if let Some([x, y]) = self.free_place(taken, &name, places) {
                drawing.text("route-name", [x, y + 4.0], Anchor::Middle, &name);
            }
        }
        drawing.path(&format!("mark m{}", index % 4), &mark(index, at, 5.0));
    }

    /// The names of the places where routes begin and end, each once.
    fn ends(&self, drawing: &mut Drawing, taken: &mut Taken) {
        const SAME_PLACE: f64 = 12.0;
        let mut named: Vec<Point> = Vec::new();
        for route in &self.study.voyage.routes {
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

fn of(projection: &Projection, position: Position) -> Point {
    projection.point(position.latitude_deg(), position.longitude_deg())
}

/// The pieces of a line that are in the window or next to it.
fn in_sight<'a>(window: &Window, line: &'a [Point]) -> Vec<&'a [Point]> {
    let seen = |index: usize| {
        let from = index.saturating_sub(1);
        line[from..(index + 2).min(line.len())]
            .iter()
            .any(|at| window.holds(*at))
    };
    let mut pieces = Vec::new();
    let mut start = None;
    for index in 0..line.len() {
        match (seen(index), start) {
            (true, None) => start = Some(index),
            (false, Some(from)) => {
                pieces.push(&line[from..index]);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        pieces.push(&line[from..]);
    }
    pieces
}

/// Where a line first crosses an edge within a stretch of it: the other coordinate there.
fn crossing(line: &[Point], axis: usize, edge: f64, stretch: Range<f64>) -> Option<f64> {
    line.windows(2).find_map(|ends| {
        let (from, to) = (ends[0], ends[1]);
        let crosses = (from[axis] > edge) != (to[axis] > edge);
        let share = (edge - from[axis]) / (to[axis] - from[axis]);
        let across = from[1 - axis] + share * (to[1 - axis] - from[1 - axis]);
        (crosses && stretch.contains(&across)).then_some(across)
    })
}

/// Degrees with a letter, or bare where there is no side to name.
fn degrees(value: f64, [positive, negative]: [&str; 2]) -> String {
    let letter = match value {
        0.0 | -180.0 => "",
        v if v < 0.0 => negative,
        _ => positive,
    };
    format!("{:.0}°{letter}", value.abs())
}

/// A vector mean wind.
struct MeanWind {
    from_deg: f64,
    speed_kn: f64,
}

fn wind_at(
    climate: &Climate,
    latitude_deg: f64,
    longitude_deg: f64,
    month: Month,
) -> Option<MeanWind> {
    let local = climate.month_at(latitude_deg, longitude_deg, month)?;
    Some(MeanWind {
        from_deg: local.wind.direction().deg(),
        speed_kn: local.wind.vector_mean_speed_ms() * KN_PER_MS,
    })
}
