//! Passages from one port to many, on many days and in many boats: a part of an atlas.

use jiff::civil::Date;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

use super::sea_ends::{CLIMATE_ROOM_DEG, SeaEnds};
use super::{Entry, StudyError};
use crate::climate::{Climate, Region};
use crate::geodesy::{LegKind, Position, Step};
use crate::passage::{EnsembleOptions, EnsembleRunner, Exposure, PassageError, walk_expected};
use crate::route::{Land, LandCheck, Route, Waypoint};
use crate::shaping::{Fan, FanTask, Shaped, ShapingError, Shore, nearest_sea, search_region};
use crate::units::{wrap_180_deg, wrap_360_deg};
use crate::voyage::{ClimateChoice, CurrentChoice};

/// Searches share one box of sea up to this span of each, in degrees of longitude; one that looks farther
/// round the world has a box of its own.
const MOST_SHARED_DEG: f64 = 200.0;

/// A port, or any place that passages begin or end at.
#[derive(Debug, Clone, PartialEq)]
pub struct AtlasPlace {
    /// What it is called.
    pub name: String,
    /// Where it is.
    pub position: Position,
}

/// By which way a passage is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
pub enum AtlasWay {
    /// By a route drawn for the two ports.
    #[serde(rename = "drawn")]
    Drawn,
    /// By the great circle between them.
    #[serde(rename = "great circle")]
    GreatCircle,
    /// By the fastest course in expectation, without limits.
    #[serde(rename = "shaped")]
    Shaped,
}

impl AtlasWay {
    /// All ways.
    pub const ALL: [Self; 3] = [Self::Drawn, Self::GreatCircle, Self::Shaped];

    /// What it is called, as its routes are.
    pub fn name(self) -> &'static str {
        match self {
            Self::Drawn => "drawn",
            Self::GreatCircle => "great circle",
            Self::Shaped => "shaped",
        }
    }
}

/// What is asked of an atlas from one port.
#[derive(Debug, Clone)]
pub struct AtlasAsk {
    /// Where all passages begin.
    pub origin: AtlasPlace,
    /// Where they end.
    pub destinations: Vec<AtlasPlace>,
    /// The days of departure.
    pub departures: Vec<Date>,
    /// The boats.
    pub boats: Vec<Entry>,
    /// The ways.
    pub ways: Vec<AtlasWay>,
    /// Routes drawn, each with the number of its destination.
    pub drawn: Vec<(usize, Route)>,
    /// The step of the coarse grid of a search, degrees.
    pub grid_deg: f64,
}

/// A passage of an atlas. Either `figures` or `problem` is there.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AtlasPassage {
    /// Where it begins.
    pub origin: String,
    /// Where it ends.
    pub destination: String,
    /// The day of departure; it begins at 00:00 UTC.
    #[schemars(with = "String", extend("format" = "date"))]
    pub departure: Date,
    /// The boat.
    pub boat: String,
    /// The way.
    pub way: AtlasWay,
    /// Its figures.
    pub figures: Option<AtlasFigures>,
    /// What keeps it from being computed.
    pub problem: Option<String>,
}

/// The figures of a passage.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AtlasFigures {
    /// Length over the ground, nautical miles.
    pub distance_nm: f64,
    /// Days under way on the mean wind; none where the boat stalls.
    pub expected_days: Option<f64>,
    /// Days that 10 % of the passages stay below; none where fewer arrive in 400 days.
    pub days_p10: Option<f64>,
    /// The median of the days; none as for P10.
    pub days_p50: Option<f64>,
    /// Days that 90 % of the passages stay below; none as for P10.
    pub days_p90: Option<f64>,
    /// Chance that the passage is not over after 400 days at sea, 0 to 1.
    pub no_arrival: f64,
    /// What the ensemble meets, as shares of the time.
    pub exposure: Exposure,
    /// How much of the way lies on land, away from its ends, nautical miles: if any, it is none to sail.
    pub over_land_nm: f64,
}

/// The passages asked for, by destination, departure, boat and way in the order asked. A destination that
/// is the origin is left out.
///
/// A passage that cannot be computed has a problem in place of figures, and the others theirs.
///
/// Shaped courses to destinations on one side of the origin are searched for in one box of sea, about all
/// of them: a course can so depend a little on the other destinations asked for.
///
/// # Errors
/// Winds that cannot be read.
pub fn atlas(
    ask: &AtlasAsk,
    winds: &ClimateChoice,
    options: &EnsembleOptions,
) -> Result<Vec<AtlasPassage>, StudyError> {
    let ends = ask.destinations.iter().enumerate();
    let ends: Vec<End> = ends
        .filter(|(_, place)| place.position != ask.origin.position)
        .map(|(number, place)| End::new(ask, number, place))
        .collect();
    let regions = ends.iter().map(|end| end.region);
    let Some(region) = regions.reduce(|a, b| around(a, b, ask.origin.position)) else {
        return Ok(Vec::new());
    };
    let region = region.widened(CLIMATE_ROOM_DEG);
    let mut climate = winds.open(&region)?;
    if !climate.currents().are_used() {
        climate = climate.with_currents(CurrentChoice::default().open(&region)?);
    }
    let sailed: Vec<Vec<AtlasPassage>> = ask
        .boats
        .iter()
        .map(|boat| of_boat(ask, boat, &ends, &climate, options))
        .collect::<Vec<_>>();
    // By destination and departure first: each boat has them in that order, so many ways a time.
    let ways = ask.ways.len();
    let count = sailed.first().map_or(0, Vec::len) / ways.max(1);
    let mut sailed: Vec<_> = sailed.into_iter().map(Vec::into_iter).collect();
    let mut passages = Vec::new();
    for _ in 0..count {
        for boat in &mut sailed {
            passages.extend(boat.by_ref().take(ways));
        }
    }
    Ok(passages)
}

/// An end of passages from the origin.
struct End<'a> {
    place: &'a AtlasPlace,
    sea: Result<SeaEnds, String>,
    region: Region,
    /// The ways that are the same on every day, each with its route or why there is none.
    drawn: Vec<(AtlasWay, Result<Known, String>)>,
}

/// A route with what does not depend on day and boat.
struct Known {
    route: Route,
    over_land_nm: f64,
}

impl<'a> End<'a> {
    fn new(ask: &AtlasAsk, number: usize, place: &'a AtlasPlace) -> Self {
        let ends = [&ask.origin, place].map(|end| (end.name.clone(), end.position));
        let sea = at_sea(&ends);
        let drawn = ask.drawn.iter().find(|(of, _)| *of == number);
        let drawn = drawn.map(|(_, route)| route.clone());
        let [from, to] = sea
            .as_ref()
            .map_or(ends.clone().map(|end| end.1), |sea| sea.sea);
        let routes: &[Route] = drawn.as_slice();
        let region = search_region(from, to, routes);
        let mut of_ways = Vec::new();
        for way in &ask.ways {
            let route = match way {
                AtlasWay::Shaped => continue,
                AtlasWay::GreatCircle => great_circle(&ends),
                AtlasWay::Drawn => drawn
                    .clone()
                    .ok_or_else(|| "no route is drawn for these ports".to_owned()),
            };
            let route = match &sea {
                Ok(_) => route.map(Known::new),
                Err(problem) => Err(problem.clone()),
            };
            of_ways.push((*way, route));
        }
        Self {
            place,
            sea,
            region,
            drawn: of_ways,
        }
    }
}

impl Known {
    fn new(route: Route) -> Self {
        let land = LandCheck::of(&route, Land::natural_earth());
        Self {
            over_land_nm: land
                .crossings
                .iter()
                .fold(0.0, |sum, crossing| sum + crossing.over_nm),
            route,
        }
    }
}

fn great_circle(ends: &[(String, Position); 2]) -> Result<Route, String> {
    let waypoints = ends.iter().map(|(name, position)| Waypoint {
        name: name.clone(),
        position: *position,
        reached_by: LegKind::GreatCircle,
        stop: None,
    });
    Route::new(AtlasWay::GreatCircle.name(), waypoints.collect()).map_err(|error| error.to_string())
}

/// The ends at sea; an error for one on land that is no harbour's distance from the sea.
fn at_sea(ends: &[(String, Position); 2]) -> Result<SeaEnds, String> {
    let land = Land::natural_earth();
    let sea = SeaEnds::of(ends);
    for (index, end) in ["start", "end"].into_iter().enumerate() {
        let place = sea.sea[index];
        if land.is_land(place) {
            let nearest = nearest_sea(land, place);
            let error = ShapingError::EndOnLand {
                end,
                place,
                nearest,
            };
            return Err(error.to_string());
        }
    }
    Ok(sea)
}

/// All passages of a boat, by destination, departure and way.
fn of_boat(
    ask: &AtlasAsk,
    boat: &Entry,
    ends: &[End<'_>],
    climate: &Climate,
    options: &EnsembleOptions,
) -> Vec<AtlasPassage> {
    let shaped = ask.ways.contains(&AtlasWay::Shaped);
    let courses = shaped.then(|| courses(ask, boat, ends, climate));
    let known = ends.iter().flat_map(|end| &end.drawn);
    let known = known.filter_map(|(_, known)| Some(known.as_ref().ok()?.route.clone()));
    // Her table is made here, once.
    let table = EnsembleRunner::new(&boat.boat, &known.collect::<Vec<_>>(), climate, *options);
    let to_end = |(number, end): (usize, &End<'_>)| {
        let runners: Vec<Option<EnsembleRunner>> = (end.drawn.iter())
            .map(|(_, known)| {
                let route = std::slice::from_ref(&known.as_ref().ok()?.route);
                Some(table.with_climate(route, climate))
            })
            .collect();
        let mut passages = Vec::new();
        for (day, departure) in ask.departures.iter().enumerate() {
            for way in &ask.ways {
                let found = match way {
                    AtlasWay::Shaped => {
                        let course = courses.as_ref().map(|of_ends| &of_ends[number][day]);
                        course.map_or(Err(String::new()), |course| {
                            let known = along(ask, end, course)?;
                            let route = std::slice::from_ref(&known.route);
                            let runner = table.with_climate(route, climate);
                            figures(&runner, &known, boat, climate, *departure)
                        })
                    }
                    way => {
                        let at = end.drawn.iter().position(|(of, _)| of == way);
                        at.map_or(Err(String::new()), |at| {
                            let known = end.drawn[at].1.as_ref().map_err(String::clone)?;
                            match &runners[at] {
                                Some(runner) => figures(runner, known, boat, climate, *departure),
                                None => Err(String::new()),
                            }
                        })
                    }
                };
                let (figures, problem) = match found {
                    Ok(figures) => (Some(figures), None),
                    Err(problem) => (None, Some(problem)),
                };
                passages.push(AtlasPassage {
                    origin: ask.origin.name.clone(),
                    destination: end.place.name.clone(),
                    departure: *departure,
                    boat: boat.name.clone(),
                    way: *way,
                    figures,
                    problem,
                });
            }
        }
        passages
    };
    let passages: Vec<Vec<AtlasPassage>> = ends.par_iter().enumerate().map(to_end).collect();
    passages.into_iter().flatten().collect()
}

/// The route of a course shaped, from port to port.
fn along(ask: &AtlasAsk, end: &End<'_>, course: &Result<Shaped, String>) -> Result<Known, String> {
    let course = course.as_ref().map_err(String::clone)?.clone();
    let sea = end.sea.as_ref().map_err(String::clone)?;
    let names = [&ask.origin.name, &end.place.name].map(String::as_str);
    let route = sea.with_own(course).route(AtlasWay::Shaped.name(), names);
    route.map(Known::new).map_err(|error| error.to_string())
}

fn figures(
    runner: &EnsembleRunner,
    known: &Known,
    boat: &Entry,
    climate: &Climate,
    departure: Date,
) -> Result<AtlasFigures, String> {
    let said = |error: PassageError| error.to_string();
    let ensemble = runner.run(0, departure).map_err(said)?;
    let walk = walk_expected(
        &boat.boat,
        &known.route,
        climate,
        departure,
        Step::default(),
    );
    Ok(AtlasFigures {
        distance_nm: known.route.length_nm(),
        expected_days: walk.map_err(said)?.arrives().map(|passage| passage.days),
        days_p10: ensemble.days.p10,
        days_p50: ensemble.days.p50,
        days_p90: ensemble.days.p90,
        no_arrival: ensemble.chance.no_arrival,
        exposure: ensemble.exposure,
        over_land_nm: known.over_land_nm,
    })
}

/// The courses shaped for a boat, by end and departure.
fn courses(
    ask: &AtlasAsk,
    boat: &Entry,
    ends: &[End<'_>],
    climate: &Climate,
) -> Vec<Vec<Result<Shaped, String>>> {
    let mut courses: Vec<Vec<Result<Shaped, String>>> = ends
        .iter()
        .map(|end| match &end.sea {
            Ok(_) => Vec::new(),
            Err(problem) => vec![Err(problem.clone()); ask.departures.len()],
        })
        .collect();
    for (region, numbers) in boxes(ask.origin.position, ends) {
        let at_sea = |number: &usize| Some(ends[*number].sea.as_ref().ok()?.sea);
        let sea: Vec<[Position; 2]> = numbers.iter().filter_map(at_sea).collect();
        let Some([from, _]) = sea.first().copied() else {
            continue;
        };
        let fan = Fan::new(FanTask {
            winds: climate,
            shore: Land::natural_earth(),
            from,
            region,
            sampling: Step::default(),
            grid_deg: ask.grid_deg,
        });
        let to: Vec<Position> = sea.iter().map(|[_, to]| *to).collect();
        let found = fan.courses(&boat.boat, &ask.departures, &to);
        for (number, found) in numbers.into_iter().zip(found) {
            let said = |course: Result<_, ShapingError>| course.map_err(|error| error.to_string());
            courses[number] = found.into_iter().map(said).collect();
        }
    }
    courses
}

/// The boxes of sea to search, each with the numbers of its ends: those to the west of the origin, those to
/// the east, and one by itself for each end whose own box goes too far round the world to be shared.
fn boxes(origin: Position, ends: &[End<'_>]) -> Vec<(Region, Vec<usize>)> {
    let mut boxes: Vec<(Region, Vec<usize>)> = Vec::new();
    let mut shared: [Option<usize>; 2] = [None, None];
    for (number, end) in ends.iter().enumerate().filter(|(_, end)| end.sea.is_ok()) {
        if end.region.east_span_deg > MOST_SHARED_DEG {
            boxes.push((end.region, vec![number]));
            continue;
        }
        let side = usize::from(west_of(&end.region, origin) < 0.5 * end.region.east_span_deg);
        match shared[side] {
            Some(at) => {
                boxes[at].0 = around(boxes[at].0, end.region, origin);
                boxes[at].1.push(number);
            }
            None => {
                shared[side] = Some(boxes.len());
                boxes.push((end.region, vec![number]));
            }
        }
    }
    boxes
}

/// How far a box goes west of a place in it, in degrees.
fn west_of(region: &Region, place: Position) -> f64 {
    wrap_360_deg(place.longitude_deg() - region.west_deg)
}

/// The box around two that have a place in common.
fn around(a: Region, b: Region, common: Position) -> Region {
    let west_deg = west_of(&a, common).max(west_of(&b, common));
    let east_of = |region: &Region| region.east_span_deg - west_of(region, common);
    let east_deg = east_of(&a).max(east_of(&b));
    if west_deg + east_deg >= 360.0 {
        return Region {
            south_deg: a.south_deg.min(b.south_deg),
            north_deg: a.north_deg.max(b.north_deg),
            ..Region::world()
        };
    }
    Region {
        south_deg: a.south_deg.min(b.south_deg),
        north_deg: a.north_deg.max(b.north_deg),
        west_deg: wrap_180_deg(common.longitude_deg() - west_deg),
        east_span_deg: west_deg + east_deg,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(name: &str, latitude_deg: f64, longitude_deg: f64) -> AtlasPlace {
        AtlasPlace {
            name: name.to_owned(),
            position: Position::new(latitude_deg, longitude_deg).unwrap(),
        }
    }

    #[test]
    fn ends_on_one_side_share_a_box_that_holds_each_of_theirs() {
        let voyage = crate::Voyage::demo().unwrap();
        let ask = AtlasAsk {
            origin: place("Off Fremantle", -32.05, 115.5),
            destinations: vec![
                place("Off Durban", -29.9, 31.3),
                place("Off Hobart", -43.3, 147.6),
                place("Off Mauritius", -20.0, 57.3),
                place("Inland", -25.0, 130.0),
            ],
            departures: vec![voyage.departure],
            boats: Vec::new(),
            ways: vec![AtlasWay::Shaped],
            drawn: Vec::new(),
            grid_deg: 1.0,
        };
        let places = ask.destinations.iter().enumerate();
        let ends: Vec<End<'_>> = places
            .map(|(number, place)| End::new(&ask, number, place))
            .collect();
        let boxes = boxes(ask.origin.position, &ends);
        let numbers: Vec<&[usize]> = boxes.iter().map(|(_, numbers)| &numbers[..]).collect();
        assert_eq!(numbers, [&[0, 2][..], &[1]]);
        for (region, numbers) in &boxes {
            for number in numbers {
                let own = ends[*number].region;
                let east_deg = own.west_deg + own.east_span_deg;
                for (south, west) in [(own.south_deg, own.west_deg), (own.north_deg, east_deg)] {
                    // A hair inside, for what rounding does to an edge.
                    let inside = west + 1e-9 * if west == east_deg { -1.0 } else { 1.0 };
                    assert!(region.contains(south, inside), "{region:?} {own:?}");
                }
            }
        }
        let problem = ends[3].sea.as_ref().err().unwrap();
        assert!(
            problem.contains("the end of the passage, 25°00.0'S"),
            "{problem}"
        );
    }
}
