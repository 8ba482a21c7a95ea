//! The map: the routes over coast and wind, with the days out along them.

use super::barb::barb;
use super::coast::{Window, land_path};
use super::frame::{Frame, route_class};
use super::labels::Taken;
use super::projection::Projection;
use super::svg::{Drawing, Path, Point};
use crate::climate::{Climate, Month};
use crate::geodesy::Position;
use crate::passage::Walk;
use crate::report::Study;
use crate::report::wording::grouped;
use crate::route::{Land, Route};
use crate::units::{KN_PER_MS, wrap_180_deg};

/// Points along a route are drawn no farther apart than this, in nautical miles.
const SPACING_NM: f64 = 30.0;
/// Barbs whose middle is nearer to a route than this would hide its strokes.
const CLEAR_OF_ROUTES: f64 = 13.0;

/// What the map shows, laid out in one size.
pub(super) struct Map<'a> {
    pub(super) study: &'a Study<'a>,
    pub(super) winds: &'a Climate,
    pub(super) month: Month,
    pub(super) frame: Frame,
    pub(super) projection: Projection,
    pub(super) window: Window,
    /// Each route's points on the drawing.
    pub(super) lines: Vec<Vec<Point>>,
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

    pub(super) fn at(&self, latitude_deg: f64, longitude_deg: f64) -> Point {
        self.window
            .on_drawing(self.projection.point(latitude_deg, longitude_deg))
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

    pub(super) fn place(&self, position: Position) -> Point {
        self.at(position.latitude_deg(), position.longitude_deg())
    }

    /// The distance from a point to the nearest of some routes.
    pub(super) fn clearance(&self, [x, y]: Point, among: impl Fn(usize) -> bool) -> f64 {
        let lines = self.lines.iter().enumerate();
        lines
            .filter(|(index, _)| among(*index))
            .flat_map(|(_, line)| line)
            .map(|at| (at[0] - x).hypot(at[1] - y))
            .fold(f64::INFINITY, f64::min)
    }
}

fn of(projection: &Projection, position: Position) -> Point {
    projection.point(position.latitude_deg(), position.longitude_deg())
}

/// Degrees with a letter, or bare where there is no side to name.
pub(super) fn degrees(value: f64, [positive, negative]: [&str; 2]) -> String {
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
    let place = Position::new(latitude_deg, longitude_deg).ok()?;
    let local = climate.month_at(place, month)?;
    Some(MeanWind {
        from_deg: local.wind.direction().deg(),
        speed_kn: local.wind.vector_mean_speed_ms() * KN_PER_MS,
    })
}
