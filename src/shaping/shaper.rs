//! From a task to a shaped course: the grids made ready, the search, the limits on shares.

use std::sync::Arc;

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
use super::waters::{Waters, Winds};
use super::way::WayMaker;
use crate::boat::Boat;
use crate::climate::{Month, Region, SeasonDay};
use crate::geodesy::{LegKind, Position, Step};
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
    pub(super) waters: Arc<Waters>,
    pub(super) way: Arc<WayMaker>,
    pub(super) clock: SeasonClock,
    pub(super) best_kn: f64,
    pub(super) coarse: Arc<Net>,
    pub(super) fine: Arc<Net>,
}

/// What searches in one box of sea have in common: its winds and currents on their lattice, and the grids.
pub(super) struct Sea {
    pub(super) waters: Arc<Waters>,
    pub(super) coarse: Arc<Grid>,
    pub(super) fine: Arc<Grid>,
}

/// What a boat makes of the winds and currents of a box of sea.
#[derive(Clone)]
pub(super) struct Aboard {
    pub(super) way: Arc<WayMaker>,
    pub(super) best_kn: f64,
}

impl Sea {
    pub(super) fn new(winds: &dyn Winds, region: &Region, grid_deg: f64, sampling: Step) -> Self {
        let grid = |step_deg: f64, spacings: i32| {
            Arc::new(Grid::new(region, step_deg, spacings, sampling))
        };
        Self {
            waters: Arc::new(Waters::new(winds, region, grid_deg / f64::from(SPACINGS))),
            coarse: grid(grid_deg, SPACINGS),
            fine: grid(grid_deg / 2.0, SPACINGS / 2),
        }
    }

    /// What a boat makes of it; none where no wind is known.
    pub(super) fn aboard(&self, boat: &Boat) -> Option<Aboard> {
        let table = PaceTable::new(boat, &self.waters.range()?);
        Some(Aboard {
            best_kn: table.greatest_kn(self.waters.known()),
            way: Arc::new(WayMaker::new(boat, table)),
        })
    }
}

impl<'a> Shaper<'a> {
    /// Makes a task ready.
    ///
    /// # Errors
    /// Ends that are one place, on land or without wind.
    pub fn new(task: Task<'a>) -> Result<Self, ShapingError> {
        task.check()?;
        let sea = Sea::new(task.winds, &task.region, task.grid_deg, task.sampling);
        let aboard = sea.aboard(task.boat).ok_or(task.no_wind_at_start())?;
        let net = |grid: &Arc<Grid>| {
            let ends = grid.ends(task.from, task.to, task.sampling);
            Arc::new(Net::new(grid.clone(), ends, task.to))
        };
        let nets = [net(&sea.coarse), net(&sea.fine)];
        Ok(Self::made(task, &sea, &aboard, nets))
    }

    /// A checked task with everything made.
    pub(super) fn made(
        task: Task<'a>,
        sea: &Sea,
        aboard: &Aboard,
        [coarse, fine]: [Arc<Net>; 2],
    ) -> Self {
        Self {
            way: aboard.way.clone(),
            clock: SeasonClock::new(SeasonDay::from_date(task.departure)),
            best_kn: aboard.best_kn,
            waters: sea.waters.clone(),
            coarse,
            fine,
            task,
        }
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

impl Task<'_> {
    /// Whether its ends are two places at sea with wind.
    pub(super) fn check(&self) -> Result<(), ShapingError> {
        if distance_nm_between(self.from, self.to) < LEAST_PASSAGE_NM {
            return Err(ShapingError::NoPassage { place: self.from });
        }
        for (end, place) in [("start", self.from), ("end", self.to)] {
            if self.shore.is_land(place) {
                return Err(ShapingError::EndOnLand {
                    end,
                    place,
                    nearest: nearest_sea(self.shore, place),
                });
            }
            let known = |month: &Month| self.winds.at(place, month.middle()).is_some();
            if !Month::ALL.iter().any(known) {
                return Err(ShapingError::EndWithoutWind { end, place });
            }
        }
        Ok(())
    }

    pub(super) fn no_wind_at_start(&self) -> ShapingError {
        ShapingError::EndWithoutWind {
            end: "start",
            place: self.from,
        }
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
