//! Courses from one start to many ends, on many days and in many boats, in one box of sea: what their
//! searches have in common is done once.
//!
//! The winds on their lattice and the grids serve all of them, the table of a boat all of hers, and one
//! search of the coarse grid all ends of a boat and day: with label setting it goes on to every node in
//! place of stopping at one. Each day has its own, because an arc takes what the season makes it take when
//! the boat is there. The finer grid is searched about each coarse answer, and its corners moved, for each
//! course by itself.

use std::sync::Arc;

use jiff::civil::Date;
use rayon::prelude::*;

use super::ShapingError;
use super::clock::SeasonClock;
use super::ground::{Ground, SeasonLimits};
use super::hardship::Prices;
use super::limits::Limits;
use super::scene::{KnownGround, Scene};
use super::search::{Label, Labels};
use super::shaper::{Aboard, Sea, Shaped, Shaper};
use super::shore::Shore;
use super::task::Task;
use super::timed::{Net, Timed};
use super::waters::Winds;
use crate::boat::Boat;
use crate::climate::{Region, SeasonDay};
use crate::geodesy::{Position, Step};

/// Where courses are to fan out from.
pub struct FanTask<'a> {
    /// The winds.
    pub winds: &'a dyn Winds,
    /// The land.
    pub shore: &'a dyn Shore,
    /// The start of all courses.
    pub from: Position,
    /// The box of sea searched, in which all ends lie.
    pub region: Region,
    /// How far apart a leg is sampled, at most.
    pub sampling: Step,
    /// The step of the coarse grid in degrees; the finer one has half of it.
    pub grid_deg: f64,
}

/// A start made ready for courses to many ends.
pub struct Fan<'a> {
    task: FanTask<'a>,
    sea: Sea,
}

impl<'a> Fan<'a> {
    /// Makes a start ready.
    pub fn new(task: FanTask<'a>) -> Self {
        Self {
            sea: Sea::new(task.winds, &task.region, task.grid_deg, task.sampling),
            task,
        }
    }

    /// The fastest course without limits to each end, on each day: what [`Shaper::fastest`] finds in the
    /// same box of sea, or, where a wait would pay, may miss by as much as it does.
    ///
    /// A course that cannot be shaped is an error of its own and does not keep the others from it.
    pub fn courses(
        &self,
        boat: &Boat,
        departures: &[Date],
        ends: &[Position],
    ) -> Vec<Vec<Result<Shaped, ShapingError>>> {
        let aboard = self.sea.aboard(boat);
        let labels = aboard
            .as_ref()
            .map_or(Vec::new(), |aboard| self.labels(aboard, departures));
        let to_end = |to: &Position| match &aboard {
            Some(aboard) => self.to_end(boat, aboard, departures, &labels, *to),
            None => departures
                .iter()
                .map(|day| Err(self.task_to(boat, *day, *to).no_wind_at_start()))
                .collect(),
        };
        ends.par_iter().map(to_end).collect()
    }

    /// The coarse search of each day, to every node.
    fn labels(&self, aboard: &Aboard, departures: &[Date]) -> Vec<Labels> {
        let FanTask { from, sampling, .. } = self.task;
        let grid = &self.sea.coarse;
        let net = Net::of_start(grid.clone(), grid.ends(from, from, sampling), from);
        let known = net.nothing_known();
        let limits = Limits::default();
        let ground = Ground {
            shore: self.task.shore,
            limits: &limits,
            ends: [from, from],
        };
        let of_day = |day: &Date| {
            let timed = Timed {
                net: &net,
                known: &known,
                waters: &self.sea.waters,
                way: &aboard.way,
                clock: &SeasonClock::new(SeasonDay::from_date(*day)),
                ground: &ground,
                season: SeasonLimits::new(&limits, 0),
                prices: Prices::default(),
                among: None,
                best_kn: aboard.best_kn,
            };
            Labels::of_all(&timed, net.start(), Label::default())
        };
        departures.par_iter().map(of_day).collect()
    }

    /// The courses to one end, a day each.
    fn to_end(
        &self,
        boat: &Boat,
        aboard: &Aboard,
        departures: &[Date],
        labels: &[Labels],
        to: Position,
    ) -> Vec<Result<Shaped, ShapingError>> {
        let FanTask { from, sampling, .. } = self.task;
        let nets = [&self.sea.coarse, &self.sea.fine].map(|grid| {
            let ends = grid.ends(from, to, sampling);
            Arc::new(Net::new(grid.clone(), ends, to))
        });
        let limits = Limits::default();
        let mut known = None;
        let days = departures.iter().zip(labels);
        days.map(|(day, labels)| {
            let task = self.task_to(boat, *day, to);
            task.check()?;
            let shaper = Shaper::made(task, &self.sea, aboard, nets.clone());
            let known = known.get_or_insert_with(|| Arc::new(KnownGround::nothing(&shaper)));
            let scene = Scene::searched(&shaper, &limits, known.clone(), labels);
            let found = scene.solve(Prices::default());
            found.ok_or_else(|| shaper.why_closed(&limits))
        })
        .collect()
    }

    fn task_to<'b>(&'b self, boat: &'b Boat, departure: Date, to: Position) -> Task<'b> {
        Task {
            winds: self.task.winds,
            shore: self.task.shore,
            boat,
            departure,
            from: self.task.from,
            to,
            drawn: Vec::new(),
            sampling: self.task.sampling,
            region: self.task.region,
            grid_deg: self.task.grid_deg,
        }
    }
}
