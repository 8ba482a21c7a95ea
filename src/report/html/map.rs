//! The map: the routes over coast and wind, with the days out along them.

use super::barb::barb;
use super::frame::route_class;
use super::labels::Taken;
use super::sheet::{Sheet, extent, points};
use super::svg::{Drawing, Path};
use crate::climate::{Climate, Month};
use crate::geodesy::Position;
use crate::route::{Land, Route};
use crate::study::Comparison;
use crate::units::{KN_PER_MS, wrap_180_deg};

/// Barbs whose middle is nearer to a route than this would hide its strokes.
const CLEAR_OF_ROUTES: f64 = 13.0;

/// What is drawn on the map's sheet.
struct Map<'a> {
    comparison: &'a Comparison,
    winds: &'a Climate,
    month: Month,
    sheet: &'a Sheet,
}

/// The map in both sizes.
pub(super) fn map(comparison: &Comparison, winds: &Climate, month: Month) -> String {
    let routes = || comparison.routes.iter().map(|result| &result.route);
    let names: Vec<&str> = routes().map(Route::name).collect();
    let title = format!("Map of the routes: {}", names.join(", "));
    let said: Vec<String> = routes().map(describe).collect();
    let description = format!(
        "{} Ticks across each route are days from departure on the mean wind; the vector mean \
         wind of {month} is drawn as wind barbs. The leg tables give the same in figures.",
        said.join(" ")
    );
    let points: Vec<Vec<Position>> = routes().map(points).collect();
    Sheet::both("map", &title, &description, &points, |sheet, drawing| {
        let map = Map {
            comparison,
            winds,
            month,
            sheet,
        };
        map.winds(drawing);
        map.routes(drawing);
    })
}

/// Where a route goes, in words.
fn describe(route: &Route) -> String {
    let names: Vec<&str> = route
        .waypoints()
        .iter()
        .map(|waypoint| waypoint.name.as_str())
        .collect();
    format!("{}: {}, {}.", route.name(), names.join(", "), extent(route))
}

impl Map<'_> {
    /// The month's vector mean wind, on a lattice of the drawing.
    fn winds(&self, drawing: &mut Drawing) {
        let sheet = self.sheet;
        let window = &sheet.window;
        let apart = sheet.frame.pick(44.0, 38.0);
        let staff = sheet.frame.pick(21.0, 18.0);
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
                    sheet.projection.place(window.on_map(station))
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
                let from = sheet
                    .projection
                    .towards(latitude_deg, longitude_deg, wind.from_deg);
                let middle = [0, 1].map(|i| station[i] + 0.5 * staff * from[i]);
                if sheet.clearance(middle, |_| true) < CLEAR_OF_ROUTES {
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
        let sheet = self.sheet;
        let routes = &self.comparison.routes;
        for line in &sheet.lines {
            drawing.path("halo", &Path::open(line));
        }
        for (index, line) in sheet.lines.iter().enumerate() {
            let class = format!("route {}", route_class(index));
            drawing.path(&class, &Path::open(line));
        }
        for (index, route) in routes.iter().enumerate() {
            for waypoint in route.route.waypoints() {
                let at = sheet.place(waypoint.position);
                drawing.circle(&format!("stop r{}", index % 4), at, 2.6);
            }
        }
        // The words that matter most find their places first.
        let mut taken = Taken::default();
        let lines = routes.iter().map(|result| &result.route);
        sheet.ends(drawing, &mut taken, lines);
        for (index, route) in routes.iter().enumerate() {
            if let Some(stall) = &route.stalled {
                sheet.stall(drawing, &mut taken, index, sheet.place(stall.position));
            }
        }
        for (index, route) in routes.iter().enumerate() {
            sheet.name(drawing, &mut taken, index, &route.name);
        }
        for (index, route) in routes.iter().enumerate() {
            if let Some(passage) = &route.expected {
                sheet.days(drawing, &mut taken, index, &route.route, passage);
            }
        }
    }
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
