//! The map: the routes over coast and wind, with the days out along them.

use super::frame::route_class;
use super::labels::Taken;
use super::map_labels::Way;
use super::sea_winds::SeaWinds;
use super::sheet::{Sheet, extent, points};
use super::svg::{Drawing, Path};
use crate::climate::{Climate, Month};
use crate::geodesy::Position;
use crate::route::{Route, Stop};
use crate::study::Comparison;

/// What is drawn on the map's sheet.
struct Map<'a> {
    comparison: &'a Comparison,
    sheet: &'a Sheet,
}

/// The map in both sizes.
pub(super) fn map(comparison: &Comparison, winds: &Climate, month: Month) -> String {
    let routes = || comparison.routes.iter().map(|result| &result.route);
    let names: Vec<&str> = routes().map(Route::name).collect();
    let title = format!("Map of the routes: {}", names.join(", "));
    let said: Vec<String> = routes().map(describe).collect();
    let description = format!(
        "{} Ticks across each route are days from departure on the mean wind; shades \
         show the mean wind speed of {month}, wind barbs its mean direction. The leg tables give the same in figures.",
        said.join(" ")
    );
    let points: Vec<Vec<Position>> = routes().map(points).collect();
    let winds = SeaWinds {
        climate: winds,
        month,
    };
    let ground = |sheet: &Sheet, drawing: &mut Drawing| winds.ground(sheet, drawing);
    Sheet::both(
        "map",
        &title,
        &description,
        &points,
        ground,
        |sheet, drawing, taken| {
            // The routes' words find their places first, and lie above the marks.
            let mut routes = drawing.blank();
            Map { comparison, sheet }.routes(&mut routes, taken);
            winds.marks(sheet, drawing, taken);
            drawing.append(&routes);
        },
    )
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
    fn routes(&self, drawing: &mut Drawing, taken: &mut Taken) {
        let sheet = self.sheet;
        let routes = &self.comparison.routes;
        for (index, line) in sheet.lines.iter().enumerate() {
            drawing.of_route(index, |drawing| drawing.path("halo", &Path::open(line)));
        }
        for (index, (route, line)) in routes.iter().zip(&sheet.lines).enumerate() {
            drawing.of_route(index, |drawing| {
                let class = format!("route {}", route_class(index));
                drawing.path(&class, &Path::open(line));
                for waypoint in route.route.waypoints() {
                    let at = sheet.place(waypoint.position);
                    let class = format!("stop r{}", index % 4);
                    let stop = waypoint.stop.as_ref();
                    let is_stop = stop.is_some_and(Stop::breaks_the_passage);
                    drawing.titled(&format!("{}: {}", route.name, waypoint.name), |drawing| {
                        if is_stop {
                            drawing.rectangle(&class, [at[0] - 5.0, at[1] - 5.0], 10.0, 10.0);
                        } else {
                            drawing.circle(&class, at, 2.6);
                        }
                    });
                }
            });
        }
        // The words that matter most find their places first.
        let lines = routes.iter().map(|result| &result.route);
        sheet.ends(drawing, taken, lines.clone());
        sheet.stops(drawing, taken, lines);
        for (index, route) in routes.iter().enumerate() {
            if let Some(stall) = &route.stalled {
                let at = sheet.place(stall.position);
                drawing.of_route(index, |drawing| sheet.stall(drawing, taken, index, at));
            }
        }
        for (index, route) in routes.iter().enumerate() {
            drawing.of_route(index, |drawing| {
                sheet.name(drawing, taken, index, &route.name);
            });
        }
        let mut ticks = Vec::new();
        for (index, route) in routes.iter().enumerate() {
            if let Some(passage) = &route.expected {
                let way = Way {
                    index,
                    route: &route.route,
                    passage,
                    departure: self.comparison.voyage.departure,
                };
                drawing.of_route(index, |drawing| {
                    sheet.days(drawing, taken, &mut ticks, &way);
                });
            }
        }
    }
}
