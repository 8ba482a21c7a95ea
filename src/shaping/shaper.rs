//! From a task to a shaped course: the grids made ready, the search, the limits on shares.

use super::ShapingError;
use super::clock::SeasonClock;
use super::grid::Grid;
use super::ground::distance_nm_between;
use super::hardship::Prices;
use super::limits::Limits;
use super::pace::PaceTable;
use super::scene::Scene;
use super::shore::nearest_sea;
use super::task::Task;
use super::timed::Net;
use super::waters::Waters;
use super::way::WayMaker;
use crate::climate::{Month, SeasonDay};
use crate::geodesy::{LegKind, Position};
use crate::passage::Exposure;
use crate::route::{Route, RouteError, Waypoint};

/// Lattice spacings of the winds in a step of the coarse grid; half as many in the finer.
const SPACINGS: i32 = 4;
/// Ends nearer to each other than this are one place, in nautical miles.
const LEAST_PASSAGE_NM: f64 = 1.0;

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

/// A task made ready: winds and currents on their lattice, the boat's table, the grids.
pub struct Shaper<'a> {
    pub(super) task: Task<'a>,
    pub(super) waters: Waters,
    pub(super) way: WayMaker,
    pub(super) clock: SeasonClock,
    pub(super) best_kn: f64,
    pub(super) coarse: Net,
    pub(super) fine: Net,
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
        let range = waters.range().ok_or(no_wind)?;
        let table = PaceTable::new(task.boat, &range);
        let best_kn = table.greatest_kn(waters.known());
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
                stop: None,
            });
        Route::new(name, waypoints.collect())
    }
}
