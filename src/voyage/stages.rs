//! The stages of a year with several passages: ways to choose from, and the harbours between them.

use super::error::{Complaint, Problem};
use super::locate::KeyPath;
use super::model::{Voyage, few_enough};
use crate::geodesy::{Earth, GreatCircle, Position};
use crate::route::{Route, Stop, Waypoint};

/// The most stages a voyage may have (our choice).
const MOST_STAGES: usize = 24;

/// How far apart the end of one stage and the start of the next may be, and those of the ways of one
/// stage, nautical miles (our choice): a move along the coast that needs no passage of its own.
pub(super) const MOST_APART_NM: f64 = 25.0;

/// A passage of a year with several, and the stay after it.
#[derive(Debug, Clone)]
pub struct PlannedStage {
    /// Its name; no two stages of a voyage have the same.
    pub name: String,
    /// The ways to choose from, in the order given; never empty, each with a name of its own.
    pub ways: Vec<Route>,
    /// The stop at its end, with the day by which she means to be there. After the last stage there is
    /// nothing but that day.
    pub stop: Stop,
}

impl PlannedStage {
    /// Where it begins: the first waypoint of its first way.
    pub fn start(&self) -> &Waypoint {
        &self.ways[0].waypoints()[0]
    }

    /// Where it ends: the last waypoint of its first way.
    pub fn end(&self) -> &Waypoint {
        end(&self.ways[0])
    }

    /// The same stage, each way with the day by which she means to be at its end.
    fn with_deadline(mut self) -> Self {
        if let Some(day) = self.stop.arrive_by {
            let ways = self.ways.into_iter();
            self.ways = ways.map(|way| way.arriving_by(day)).collect();
        }
        self
    }
}

impl Voyage {
    /// Whether it has stages to choose ways for, rather than routes to compare.
    pub fn has_stages(&self) -> bool {
        !self.stages.is_empty()
    }

    /// A stage as a voyage of its own: its ways are the routes. She leaves on the voyage's day, or on the
    /// first on which she may leave the stop before. None where no stage has that name.
    pub fn stage(&self, name: &str) -> Option<Self> {
        let number = self.stages.iter().position(|stage| stage.name == name)?;
        let (stage, mut alone) = (&self.stages[number], self.clone());
        alone.name = format!("{}: {name}", self.name);
        alone.routes = stage.ways.clone();
        alone.stages = Vec::new();
        alone.arrive_by = stage.stop.arrive_by;
        if let Some(before) = number.checked_sub(1) {
            alone.leave_after = self.stages[before].stop.leave_after;
            if let Some(day) = alone.leave_after.filter(|day| *day > self.departure) {
                alone.departure = day;
                alone.departure_time = None;
            }
        }
        Some(alone)
    }

    /// Takes the stages, and all their ways as routes.
    pub(super) fn take_stages(&mut self, stages: Vec<PlannedStage>) {
        let stages = stages.into_iter().map(PlannedStage::with_deadline);
        self.stages = stages.collect();
        let ways = self.stages.iter().flat_map(|stage| &stage.ways);
        self.routes = ways.cloned().collect();
    }
}

/// Whether the stages have names of their own, few enough ways, and join.
pub(super) fn check_stages(stages: &[PlannedStage]) -> Result<(), Complaint> {
    let at = KeyPath::of("stage");
    if stages.len() > MOST_STAGES {
        let problem = Problem::TooMany {
            found: stages.len(),
            allowed: MOST_STAGES,
        };
        return Err(Complaint::new(at, problem));
    }
    few_enough(stages.iter().map(|stage| stage.ways.len()).sum())?;
    for (index, stage) in stages.iter().enumerate() {
        let at = at.item(index);
        if stages[..index].iter().any(|other| other.name == stage.name) {
            let problem = Problem::NameTwice(stage.name.clone());
            return Err(Complaint::new(at.key("name"), problem));
        }
        if stage.ways.is_empty() {
            return Err(Complaint::new(at.key("route"), Problem::Missing));
        }
        let before = index.checked_sub(1).map(|before| &stages[before]);
        for (number, way) in stage.ways.iter().enumerate() {
            let at = at.key("route").item(number);
            let others = &stage.ways[..number];
            if others.iter().any(|other| other.name() == way.name()) {
                let problem = Problem::NameTwice(way.name().to_owned());
                return Err(Complaint::new(at.key("name"), problem));
            }
            let (first, last) = (&way.waypoints()[0], end(way));
            let waypoint = |index: usize| at.key("waypoint").item(index);
            let last_index = way.waypoints().len() - 1;
            if let Some(before) = before {
                joined(
                    waypoint(0),
                    first,
                    "the end of the stage before",
                    before.end(),
                )?;
            }
            joined(
                waypoint(0),
                first,
                "the start of the stage's first way",
                stage.start(),
            )?;
            joined(
                waypoint(last_index),
                last,
                "the end of the stage's first way",
                stage.end(),
            )?;
        }
    }
    Ok(())
}

fn end(way: &Route) -> &Waypoint {
    // A route has two waypoints or more.
    &way.waypoints()[way.waypoints().len() - 1]
}

fn joined(
    at: KeyPath,
    here: &Waypoint,
    what: &'static str,
    there: &Waypoint,
) -> Result<(), Complaint> {
    let apart_nm = apart_nm(here.position, there.position);
    if apart_nm <= MOST_APART_NM {
        return Ok(());
    }
    let problem = Problem::Apart {
        here: here.name.as_str().into(),
        found_nm: apart_nm,
        what,
        there: there.name.as_str().into(),
        allowed_nm: MOST_APART_NM,
    };
    Err(Complaint::new(at, problem))
}

/// How far apart two places are, nautical miles.
fn apart_nm(a: Position, b: Position) -> f64 {
    // There is no line to the same place.
    GreatCircle::between(Earth::WGS84, a, b).map_or(0.0, |line| line.length_nm())
}
