//! From a task to a shaped course: the coarse grid, the finer one about its answer, the corners.

use jiff::civil::Date;

use super::ShapingError;
use super::clock::SeasonClock;
use super::error::Closing;
use super::grid::Grid;
use super::ground::{Ground, SeasonLimits, distance_nm_between};
use super::hardship::{Hardship, Prices};
use super::limits::{Limit, Limits};
use super::pace::PaceTable;
use super::search::{Label, least_cost};
use super::shore::{Shore, nearest_sea};
use super::smoothing::{Judge, Way};
use super::timed::{Known, Net, Timed};
use super::waters::{Waters, Winds};
use super::way::WayMaker;
use crate::boat::Boat;
use crate::climate::{Month, Region, SeasonDay};
use crate::geodesy::{Earth, GreatCircle, LegKind, Position, Step};
use crate::passage::Exposure;
use crate::route::{Route, RouteError, Waypoint};
use crate::units::Range;

/// Lattice spacings of the winds in a step of the coarse grid; half as many in the finer.
const SPACINGS: i32 = 4;
/// The finer grid is searched within this many coarse steps of the coarse answer.
const CORRIDOR_STEPS: f64 = 3.0;
/// How often the limits of the season are tightened for the search, where what it finds breaks
/// them between the places it looks at.
const MOST_NOTCHES: u32 = 6;
/// The dearest price a limit on a share of the passage is sought by, in hours an hour.
const DEAREST: f64 = 64.0;
/// How often the price is halved down on; each time costs a search.
const PRICE_HALVINGS: usize = 6;
/// How often the limits on shares are taken in turn.
const PRICE_ROUNDS: usize = 3;
/// Ends nearer to each other than this are one place, in nautical miles.
const LEAST_PASSAGE_NM: f64 = 1.0;
/// Room about the ends and the routes drawn, as a share of the passage's length and in degrees.
const ROOM_SHARE: f64 = 0.2;
const ROOM_DEG: (f64, f64) = (6.0, 15.0);
/// No search goes nearer to a pole than this, in degrees.
const POLEWARD_DEG: f64 = 78.0;

/// What is to be shaped.
pub struct Task<'a> {
    /// The winds.
    pub winds: &'a dyn Winds,
    /// The land.
    pub shore: &'a dyn Shore,
    /// The boat.
    pub boat: &'a Boat,
    /// The day of departure; the clock starts at 00:00 UTC.
    pub departure: Date,
    /// The start.
    pub from: Position,
    /// The end.
    pub to: Position,
    /// Other ways between the two, as corners joined by great circles: the course shaped is never
    /// slower than those that keep to the limits.
    pub drawn: Vec<Vec<Position>>,
    /// How far apart a leg is sampled, at most.
    pub sampling: Step,
    /// The box of sea searched.
    pub region: Region,
    /// The step of the coarse grid in degrees; the finer one has half of it.
    pub grid_deg: f64,
}

impl Task<'_> {
    /// The steps a grid may have.
    pub const GRID_DEG: Range = Range::new("grid step", "degrees", 0.25, 5.0);
}

/// A course shaped.
#[derive(Debug, Clone, PartialEq)]
pub struct Shaped {
    /// Its corners from start to end, joined by great circles.
    pub corners: Vec<Position>,
    /// Days under way in expectation.
    pub days: f64,
    /// What is met, as shares of the time.
    pub exposure: Exposure,
    /// The prices it was found at.
    pub prices: Prices,
    /// Whether arriving later anywhere on it could mean arriving sooner at its end, so that a wait
    /// the search does not look for would pay.
    pub waiting_pays: bool,
}

/// A task made ready: the winds on their lattice, the boat's table, the grids.
pub struct Shaper<'a> {
    task: Task<'a>,
    waters: Waters,
    way: WayMaker,
    clock: SeasonClock,
    best_kn: f64,
    coarse: Net,
    fine: Net,
}

/// A task under limits, with what has been found out about the ground.
pub(super) struct Scene<'a> {
    shaper: &'a Shaper<'a>,
    limits: &'a Limits,
    coarse: Known,
    fine: Known,
}

/// The box of sea to search between two ends: about the great circle between them and about the
/// routes drawn, with room on every side.
pub fn search_region(from: Position, to: Position, drawn: &[Route]) -> Region {
    const EVERY_NM: f64 = 60.0;
    let degrees = |place: Position| (place.latitude_deg(), place.longitude_deg());
    let mut points = vec![degrees(from), degrees(to)];
    let mut length_nm = 0.0;
    if let Ok(circle) = GreatCircle::between(Earth::WGS84, from, to) {
        length_nm = circle.length_nm();
        let steps = (length_nm / EVERY_NM) as u32;
        let along = (1..=steps).filter_map(|step| circle.at_nm(f64::from(step) * EVERY_NM));
        points.extend(along.map(|point| degrees(point.position)));
    }
    let legs = drawn.iter().flat_map(Route::legs);
    let segments = legs.flat_map(|leg| leg.track.segments(Step::default()));
    points.extend(segments.map(|segment| degrees(segment.midpoint.position)));
    let room_deg = (ROOM_SHARE * length_nm / 60.0).clamp(ROOM_DEG.0, ROOM_DEG.1);
    let mut region = Region::covering(points, room_deg).unwrap_or(Region::world());
    region.south_deg = region.south_deg.max(-POLEWARD_DEG);
    region.north_deg = region.north_deg.min(POLEWARD_DEG);
    region
}

/// A route's corners, joined by great circles: its waypoints, and on other lines than great circles
/// as many places between as it takes to keep close to them.
pub fn corners_of(route: &Route) -> Vec<Position> {
    const EVERY_NM: f64 = 120.0;
    let mut corners = Vec::new();
    for leg in route.legs() {
        corners.push(leg.track.from());
        if leg.track.kind() != LegKind::GreatCircle {
            let count = (leg.track.length_nm() / EVERY_NM).ceil() as u32;
            let between = (1..count).filter_map(|index| {
                let along_nm = leg.track.length_nm() * f64::from(index) / f64::from(count);
                Some(leg.track.at_nm(along_nm)?.position)
            });
            corners.extend(between);
        }
    }
    corners.extend(route.waypoints().last().map(|waypoint| waypoint.position));
    corners
}

impl<'a> Shaper<'a> {
    /// Makes a task ready.
    ///
    /// # Errors
    /// Ends that are one place, on land or without wind.
    pub fn new(task: Task<'a>) -> Result<Self, ShapingError> {
        if distance_nm_between(task.from, task.to) < LEAST_PASSAGE_NM {
            return Err(ShapingError::NoPassage { place: task.from });
        }
        let clock = SeasonClock::new(SeasonDay::from_date(task.departure));
        for (end, place) in [("start", task.from), ("end", task.to)] {
            if task.shore.is_land(place) {
                return Err(ShapingError::EndOnLand {
                    end,
                    place,
                    nearest: nearest_sea(task.shore, place),
                });
            }
            let known = |month: &Month| task.winds.at(place, month.middle()).is_some();
            if !Month::ALL.iter().any(known) {
                return Err(ShapingError::EndWithoutWind { end, place });
            }
        }
        let spacing_deg = task.grid_deg / f64::from(SPACINGS);
        let waters = Waters::new(task.winds, &task.region, spacing_deg);
        let no_wind = ShapingError::EndWithoutWind {
            end: "start",
            place: task.from,
        };
        let range = waters.wind_range().ok_or(no_wind)?;
        let table = PaceTable::new(task.boat, &range);
        let best_kn = table.greatest_kn(waters.winds_known());
        let net = |step_deg: f64, spacings: i32| {
            let grid = Grid::new(&task.region, step_deg, spacings, task.sampling);
            let ends = grid.ends(task.from, task.to, task.sampling);
            Net::new(grid, ends, task.to)
        };
        Ok(Self {
            way: WayMaker::new(task.boat, table),
            clock,
            best_kn,
            coarse: net(task.grid_deg, SPACINGS),
            fine: net(task.grid_deg / 2.0, SPACINGS / 2),
            waters,
            task,
        })
    }

    /// The fastest course in expectation under `limits`.
    ///
    /// A limit on a share of the whole passage is kept by a price on that hardship: the course is
    /// the fastest at the least price found that keeps it. One between two prices may be faster
    /// still and keep it too.
    ///
    /// # Errors
    /// Limits that cross, that an end breaks itself or that leave no route, with the limit that
    /// closes the way.
    pub fn fastest(&self, limits: &Limits) -> Result<Shaped, ShapingError> {
        self.check_ends(limits)?;
        let scene = Scene::new(self, limits);
        let Some(free) = scene.solve(Prices::default()) else {
            return Err(self.why_closed(limits));
        };
        scene.keep_shares(free)
    }

    pub(super) fn scene<'b>(&'b self, limits: &'b Limits) -> Scene<'b> {
        Scene::new(self, limits)
    }

    /// Refuses limits that cross or that an end breaks.
    pub(super) fn check_ends(&self, limits: &Limits) -> Result<(), ShapingError> {
        limits.check()?;
        let scene = Scene::new(self, limits);
        let breaks = |end, place, limit| {
            Err(ShapingError::EndBreaksLimit {
                end,
                place,
                limit: limits.describe(limit),
            })
        };
        for (end, place) in [("start", self.task.from), ("end", self.task.to)] {
            let latitude_deg = place.latitude_deg();
            if limits
                .southernmost_deg
                .is_some_and(|limit| latitude_deg < limit)
            {
                return breaks(end, place, Limit::Southernmost);
            }
            if limits
                .northernmost_deg
                .is_some_and(|limit| latitude_deg > limit)
            {
                return breaks(end, place, Limit::Northernmost);
            }
            if limits.keep_out.holds(place) {
                return breaks(end, place, Limit::KeepOut);
            }
        }
        let set = limits.in_force();
        for limit in [Limit::Gale, Limit::Air, Limit::Cyclones] {
            if !set.contains(&limit) {
                continue;
            }
            let start = self.task.from;
            let open_without = |limits: &Limits| {
                let ground = scene.ground();
                let season = SeasonLimits::between_places(limits);
                scene
                    .judge(&ground, season, Prices::default())
                    .in_season(start, 0.0)
            };
            let known_air = || {
                let local = self.task.winds.at(start, self.clock.day(0.0));
                local.is_some_and(|local| local.air_temperature_c.is_some())
            };
            if limit == Limit::Air && !known_air() {
                let limit = limits.describe(limit);
                return Err(ShapingError::NoAirTemperature { limit });
            }
            let mut alone = Limits::default();
            match limit {
                Limit::Gale => alone.most_gale = limits.most_gale,
                Limit::Air => alone.coldest_air_c = limits.coldest_air_c,
                _ => alone.avoid_cyclones = true,
            }
            if !open_without(&alone) {
                return breaks("start", start, limit);
            }
        }
        Ok(())
    }

    /// Which limits close the way, and how far each would have to give.
    fn why_closed(&self, limits: &Limits) -> ShapingError {
        let opens = |limits: &Limits| Scene::new(self, limits).solve(Prices::default()).is_some();
        let places = limits
            .in_force()
            .into_iter()
            .filter(|limit| !matches!(limit, Limit::Headwind | Limit::HardBeat));
        let places: Vec<Limit> = places.collect();
        if places.is_empty() || !opens(&Limits::default()) {
            return ShapingError::NoWay {
                from: self.task.from,
                to: self.task.to,
            };
        }
        let closing = places
            .into_iter()
            .filter(|limit| opens(&limits.without(*limit)))
            .map(|limit| Closing {
                limit,
                set: limits.describe(limit),
                feasible: nearest_feasible(limits, limit, &opens),
            })
            .collect();
        ShapingError::Closed { closing }
    }
}

/// The number of a limit nearest to the one set that leaves a route, by halving, in words.
fn nearest_feasible(
    limits: &Limits,
    limit: Limit,
    opens: &impl Fn(&Limits) -> bool,
) -> Option<String> {
    let (loosest, step) = limit.loosest()?;
    let (mut shut, mut open) = (limits.value(limit)?, loosest);
    while (open - shut).abs() > step {
        let middle = 0.5 * (open + shut);
        if opens(&limits.with_value(limit, middle)) {
            open = middle;
        } else {
            shut = middle;
        }
    }
    // To a whole step on the open side.
    let told = if open < shut {
        (open / step).floor() * step
    } else {
        (open / step).ceil() * step
    };
    Some(limit.describe(told))
}

impl<'a> Scene<'a> {
    fn new(shaper: &'a Shaper<'a>, limits: &'a Limits) -> Self {
        Self {
            shaper,
            limits,
            coarse: shaper.coarse.nothing_known(),
            fine: shaper.fine.nothing_known(),
        }
    }

    pub(super) fn ground(&self) -> Ground<'a> {
        Ground {
            shore: self.shaper.task.shore,
            limits: self.limits,
            ends: [self.shaper.task.from, self.shaper.task.to],
        }
    }

    fn judge<'b>(
        &'b self,
        ground: &'b Ground<'b>,
        season: SeasonLimits,
        prices: Prices,
    ) -> Judge<'b> {
        Judge {
            winds: self.shaper.task.winds,
            way: &self.shaper.way,
            clock: &self.shaper.clock,
            ground,
            season,
            prices,
            sampling: self.shaper.task.sampling,
        }
    }

    /// The cheapest course at some prices; none where the limits leave none.
    pub(super) fn solve(&self, prices: Prices) -> Option<Shaped> {
        let task = &self.shaper.task;
        let ground = self.ground();
        let judge = self.judge(&ground, SeasonLimits::between_places(self.limits), prices);
        let notches = if self.limits.on_the_season() {
            MOST_NOTCHES
        } else {
            1
        };
        let mut found = None;
        for notch in 0..notches {
            let season = SeasonLimits::new(self.limits, notch);
            let corners = self.search(&ground, season, prices)?;
            found = judge.judge(corners).map(|way| judge.smooth(way));
            if found.is_some() {
                break;
            }
        }
        let mut best = found?;
        let straight = vec![task.from, task.to];
        for corners in task.drawn.iter().chain([&straight]) {
            let drawn = judge.judge(corners.clone());
            if let Some(way) = drawn
                && way.arrival().cost_hours < best.arrival().cost_hours
            {
                let way = judge.smooth(way);
                if way.arrival().cost_hours < best.arrival().cost_hours {
                    best = way;
                }
            }
        }
        Some(self.shaped(&judge, &best))
    }

    fn shaped(&self, judge: &Judge<'_>, way: &Way) -> Shaped {
        Shaped {
            corners: way.corners().to_vec(),
            days: way.arrival().hours / 24.0,
            exposure: judge.exposure(way),
            prices: judge.prices,
            waiting_pays: judge.waiting_pays(way),
        }
    }

    /// The corners of the cheapest way along the grids.
    fn search(
        &self,
        ground: &Ground<'_>,
        season: SeasonLimits,
        prices: Prices,
    ) -> Option<Vec<Position>> {
        let (coarse, fine) = (&self.shaper.coarse, &self.shaper.fine);
        let rough = self.timed(coarse, &self.coarse, ground, season, prices);
        let among = least_cost(&rough, coarse.start(), coarse.end(), Label::default())
            .map(|path| self.corridor(&coarse.corners(&path.nodes, self.ends())));
        // Where the coarse grid has no way, the finer one may, through a strait.
        let narrow = Timed {
            among: among.as_deref(),
            ..self.timed(fine, &self.fine, ground, season, prices)
        };
        let path = least_cost(&narrow, fine.start(), fine.end(), Label::default())?;
        Some(fine.corners(&path.nodes, self.ends()))
    }

    /// The coarse grid without limits of the season tightened.
    pub(super) fn coarse_grid<'b>(&'b self, ground: &'b Ground<'b>, prices: Prices) -> Timed<'b> {
        let season = SeasonLimits::new(self.limits, 0);
        self.timed(&self.shaper.coarse, &self.coarse, ground, season, prices)
    }

    fn timed<'b>(
        &'b self,
        net: &'b Net,
        known: &'b Known,
        ground: &'b Ground<'b>,
        season: SeasonLimits,
        prices: Prices,
    ) -> Timed<'b> {
        Timed {
            net,
            known,
            waters: &self.shaper.waters,
            way: &self.shaper.way,
            clock: &self.shaper.clock,
            ground,
            season,
            prices,
            among: None,
            best_kn: self.shaper.best_kn,
        }
    }

    pub(super) fn ends(&self) -> [Position; 2] {
        [self.shaper.task.from, self.shaper.task.to]
    }

    /// The nodes of the finer grid about a way.
    fn corridor(&self, corners: &[Position]) -> Vec<bool> {
        let grid = &self.shaper.fine.grid;
        let reach_deg = CORRIDOR_STEPS * self.shaper.task.grid_deg;
        let mut among = vec![false; grid.nodes()];
        for pair in corners.windows(2) {
            let Ok(circle) = GreatCircle::between(Earth::WGS84, pair[0], pair[1]) else {
                continue;
            };
            let count = (circle.length_nm() / (60.0 * self.shaper.task.grid_deg)).ceil();
            for index in 0..=count as u32 {
                let along = f64::from(index) / count * circle.length_nm();
                if let Some(point) = circle.at_nm(along) {
                    for node in grid.around(point.position, reach_deg) {
                        among[node] = true;
                    }
                }
            }
        }
        among
    }

    /// A course that keeps the limits on shares of the passage, from the fastest without them.
    fn keep_shares(&self, free: Shaped) -> Result<Shaped, ShapingError> {
        let shares = self.limits.on_the_passage();
        let over = |shaped: &Shaped| {
            shares.iter().find(|(hardship, _, most)| {
                most.is_some_and(|most| hardship.share(&shaped.exposure) > most)
            })
        };
        let mut best = free;
        for _ in 0..PRICE_ROUNDS {
            for (hardship, limit, most) in shares {
                let Some(most) = most else { continue };
                if hardship.share(&best.exposure) > most {
                    best = self.keep_share(&best, hardship, most).map_err(|least| {
                        ShapingError::Closed {
                            closing: vec![Closing {
                                limit,
                                set: limit.describe(most),
                                feasible: least
                                    .map(|least| limit.describe((least * 1000.0).ceil() / 1000.0)),
                            }],
                        }
                    })?;
                }
            }
            if over(&best).is_none() {
                return Ok(best);
            }
        }
        // Each can be kept, but not both.
        let closing = shares.iter().filter_map(|(_, limit, most)| {
            Some(Closing {
                limit: *limit,
                set: limit.describe((*most)?),
                feasible: None,
            })
        });
        Err(ShapingError::Closed {
            closing: closing.collect(),
        })
    }

    /// The course at the least price that keeps one share at `most`, other prices as they were; the
    /// least share found where none does.
    fn keep_share(
        &self,
        from: &Shaped,
        hardship: Hardship,
        most: f64,
    ) -> Result<Shaped, Option<f64>> {
        let at = |price: f64| self.solve(from.prices.with(hardship, price));
        let mut least: Option<f64> = None;
        let (mut low, mut high) = (from.prices.of(hardship), from.prices.of(hardship).max(0.5));
        let mut kept = loop {
            high *= 2.0;
            if high > DEAREST {
                return Err(least);
            }
            let Some(shaped) = at(high) else {
                return Err(least);
            };
            let share = hardship.share(&shaped.exposure);
            least = Some(least.map_or(share, |least| least.min(share)));
            if share <= most {
                break shaped;
            }
            low = high;
        };
        for _ in 0..PRICE_HALVINGS {
            let middle = 0.5 * (low + high);
            match at(middle) {
                Some(shaped) if hardship.share(&shaped.exposure) <= most => {
                    if shaped.days < kept.days {
                        kept = shaped;
                    }
                    high = middle;
                }
                _ => low = middle,
            }
        }
        Ok(kept)
    }
}

impl Shaped {
    /// The course as a route, its corners between the ends numbered.
    ///
    /// # Errors
    /// None for a course that was shaped: its corners are apart.
    pub fn route(&self, name: &str, ends: [&str; 2]) -> Result<Route, RouteError> {
        let last = self.corners.len() - 1;
        let waypoints = self
            .corners
            .iter()
            .enumerate()
            .map(|(index, position)| Waypoint {
                name: match index {
                    0 => ends[0].to_owned(),
                    index if index == last => ends[1].to_owned(),
                    index => format!("{name} {index}"),
                },
                position: *position,
                reached_by: LegKind::GreatCircle,
            });
        Route::new(name, waypoints.collect())
    }
}
