//! A voyage: a date, a boat, the routes to compare, and what else is known.

use std::path::PathBuf;
use std::sync::Arc;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::departure::DepartureTime;
use super::error::{Complaint, Problem, VoyageError};
use super::load_stores::no_crew;
use super::locate::KeyPath;
use super::stages::{PlannedStage, check_stages};
use crate::boat::{Boat, GenericBoat};
use crate::climate::{
    Climate, ClimateError, ClimateFault, ClimatePart, CurrentOptions, Currents, Guard, HeldWinds,
    Region, SourceOptions, Years,
};
use crate::geodesy::{Position, Step};
use crate::passage::{PassageError, Walk, walk_expected};
use crate::route::{Port, Route, Stay};
use crate::stores::{CONFIDENCE, StoresSettings};
use crate::units::{OutOfRange, OutputUnits, Range, TemperatureScale};

/// The most routes a voyage may have (our choice): each has a column and a line of every report.
const MOST_ROUTES: usize = 100;
const DEPARTURE_YEAR: Range = Range::new("the year of departure", "", 1900.0, 2199.0);

/// How long after the departure a day at a waypoint may be, days (our choice): a year's sailing with
/// years in harbour.
const MOST_DAYS_AHEAD: i32 = 1000;

/// Room around the routes for which climate is kept, so that both nodes beside a track are there.
const CLIMATE_MARGIN_DEG: f64 = 5.0;

/// Whether a voyage may have so many routes.
pub(super) fn few_enough(routes: usize) -> Result<(), Complaint> {
    if routes <= MOST_ROUTES {
        return Ok(());
    }
    let problem = Problem::TooMany {
        found: routes,
        allowed: MOST_ROUTES,
    };
    Err(Complaint::new(KeyPath::of("route"), problem))
}

/// A voyage in mind: a date, a boat, and the routes to compare.
///
/// It is read from a file by [`Voyage::read`], or made in memory by [`Voyage::new`], as the crate's
/// first page shows.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Voyage {
    /// What the voyage is called.
    pub name: String,
    /// The day of departure; the clock starts at 00:00 UTC.
    pub departure: Date,
    /// The hour of departure with its zone, whose day in UTC that is; none where only a day is given.
    pub departure_time: Option<DepartureTime>,
    /// The first day on which she can leave; none where any will do.
    pub leave_after: Option<Date>,
    /// The last day on which she is not late; none where that is not said. The routes keep it too:
    /// [`Voyage::be_there_by`].
    pub arrive_by: Option<Date>,
    /// The boat, and how she is handled.
    pub boat: Boat,
    /// What the boat is called; none where that is not said.
    pub boat_name: Option<String>,
    /// The dimensions her polar was made from; none where it was given.
    pub generic_boat: Option<GenericBoat>,
    /// Which winds to use.
    pub climate: ClimateChoice,
    /// Which currents to reckon with.
    pub current: CurrentChoice,
    /// The routes, in the order given; never empty. Of a voyage with stages, the ways of all of them.
    pub routes: Vec<Route>,
    /// The stages of a year with several passages, in the order they are sailed; empty for a voyage whose
    /// routes are to be compared.
    pub stages: Vec<PlannedStage>,
    /// The ports that its waypoints are given by, each once; none where all have positions.
    pub ports: Vec<Port>,
    /// The greatest spacing at which legs are sampled.
    pub step: Step,
    /// What the loading list is made from; none where nothing is said of a crew.
    pub stores: Option<StoresSettings>,
    /// The units that amounts to load are shown in.
    pub units: OutputUnits,
    /// The scale that temperatures are shown on.
    pub temperature: TemperatureScale,
    /// The files it was read from: itself, and those that it names; none for a voyage made in memory.
    pub files: Vec<PathBuf>,
}

/// Which winds a voyage uses.
#[derive(Debug, Clone, Default)]
pub struct ClimateChoice {
    /// A NetCDF file of the crew's own; none for the winds that come with the program.
    pub file: Option<PathBuf>,
    /// Winds that another program holds in memory, in place of a file.
    pub held: Option<Arc<dyn HeldWinds>>,
    /// How that file is to be read.
    pub options: SourceOptions,
}

/// Which currents a voyage reckons with.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum CurrentChoice {
    /// Those of the climate's own file where it has them, else the drifters'.
    #[default]
    OfTheClimate,
    /// The annual means from drifters that come with the program.
    Drifters,
    /// None.
    None,
    /// Those of a NetCDF file of the crew's own.
    File {
        /// The file.
        file: PathBuf,
        /// How it is to be read.
        options: CurrentOptions,
    },
}

impl Voyage {
    /// A voyage of a boat without a name, by the winds and currents that come with the program, with nothing said
    /// of its stores; the fields take what else is known.
    ///
    /// # Errors
    /// No route, two routes of one name, or a year of departure outside 1900 to 2199.
    pub fn new(
        name: impl Into<String>,
        departure: Date,
        boat: Boat,
        routes: Vec<Route>,
    ) -> Result<Self, VoyageError> {
        Ok(Self::checked(name.into(), departure, boat, routes)?)
    }

    /// A voyage of several passages, as [`Voyage::new`].
    ///
    /// # Errors
    /// No stage or no way on one, too many of them, two of one name, or ends that lie more than 25 nm
    /// apart where they should join; a year of departure outside 1900 to 2199.
    pub fn of_stages(
        name: impl Into<String>,
        departure: Date,
        boat: Boat,
        stages: Vec<PlannedStage>,
    ) -> Result<Self, VoyageError> {
        Ok(Self::checked_stages(name.into(), departure, boat, stages)?)
    }

    pub(super) fn checked_stages(
        name: String,
        departure: Date,
        boat: Boat,
        stages: Vec<PlannedStage>,
    ) -> Result<Self, Complaint> {
        check_departure_year(departure)?;
        if stages.is_empty() {
            return Err(Complaint::new(KeyPath::of("stage"), Problem::Missing));
        }
        check_stages(&stages)?;
        let mut voyage = Self::bare(name, departure, boat);
        voyage.take_stages(stages);
        Ok(voyage)
    }

    pub(super) fn checked(
        name: String,
        departure: Date,
        boat: Boat,
        routes: Vec<Route>,
    ) -> Result<Self, Complaint> {
        check_departure_year(departure)?;
        let at = KeyPath::of("route");
        if routes.is_empty() {
            return Err(Complaint::new(at, Problem::Missing));
        }
        few_enough(routes.len())?;
        for (index, route) in routes.iter().enumerate() {
            if routes[..index]
                .iter()
                .any(|other| other.name() == route.name())
            {
                let problem = Problem::NameTwice(route.name().to_owned());
                return Err(Complaint::new(at.item(index).key("name"), problem));
            }
        }
        Ok(Self {
            routes,
            ..Self::bare(name, departure, boat)
        })
    }

    /// A voyage without routes yet.
    fn bare(name: String, departure: Date, boat: Boat) -> Self {
        Self {
            name,
            departure,
            departure_time: None,
            leave_after: None,
            arrive_by: None,
            boat,
            boat_name: None,
            generic_boat: None,
            climate: ClimateChoice::default(),
            current: CurrentChoice::default(),
            routes: Vec::new(),
            stages: Vec::new(),
            ports: Vec::new(),
            step: Step::default(),
            stores: None,
            units: OutputUnits::default(),
            temperature: TemperatureScale::default(),
            files: Vec::new(),
        }
    }

    /// Leaves on another day, at no hour in particular.
    ///
    /// # Errors
    /// A year out of range.
    pub fn leave_on(&mut self, departure: Date) -> Result<(), OutOfRange> {
        check_year(departure)?;
        self.departure = departure;
        self.departure_time = None;
        Ok(())
    }

    /// Means to be at the end of every route, or of the last stage, by the end of a day, UTC.
    pub fn be_there_by(&mut self, day: Date) {
        self.arrive_by = Some(day);
        if let Some(last) = self.stages.last_mut() {
            let own = last.stop.arrive_by;
            last.stop.arrive_by = Some(own.map_or(day, |own| own.min(day)));
            let stages = std::mem::take(&mut self.stages);
            self.take_stages(stages);
            return;
        }
        let routes = std::mem::take(&mut self.routes).into_iter();
        self.routes = routes.map(|route| route.arriving_by(day)).collect();
    }

    /// Whether she may leave on the day of departure, and means to be nowhere before it.
    ///
    /// # Errors
    /// A departure before [`Self::leave_after`], or a day at a waypoint or for the voyage that is before
    /// the departure or more than 1,000 days after it.
    pub fn check_departure(&self) -> Result<(), VoyageError> {
        self.departure_allowed()?;
        self.check_dates()
    }

    /// Whether the days at waypoints and for the voyage can be kept by one who leaves on the day of
    /// departure or later.
    ///
    /// # Errors
    /// A day that is before the departure or more than 1,000 days after it.
    pub fn check_dates(&self) -> Result<(), VoyageError> {
        Ok(self.dates_allowed()?)
    }

    pub(super) fn departure_allowed(&self) -> Result<(), Complaint> {
        match self.leave_after {
            Some(from) if self.departure < from => {
                let problem = Problem::Date {
                    found: self.departure,
                    from,
                    to: None,
                    why: "the `leave_after` of `[voyage]`",
                };
                Err(Complaint::new(
                    KeyPath::of("voyage").key("departure"),
                    problem,
                ))
            }
            _ => Ok(()),
        }
    }

    pub(super) fn dates_allowed(&self) -> Result<(), Complaint> {
        let from = self.departure;
        let to = from.saturating_add(MOST_DAYS_AHEAD.days());
        let check = |at: &KeyPath, key, day: Option<Date>| match day {
            Some(found) if found < from || found > to => {
                let problem = Problem::Date {
                    found,
                    from,
                    to: Some(to),
                    why: "the departure and 1,000 days after it",
                };
                Err(Complaint::new(at.key(key), problem))
            }
            _ => Ok(()),
        };
        check(&KeyPath::of("voyage"), "arrive_by", self.arrive_by)?;
        for (index, stage) in self.stages.iter().enumerate() {
            let at = KeyPath::of("stage").item(index);
            check(&at, "arrive_by", stage.stop.arrive_by)?;
            check(&at, "leave_after", stage.stop.leave_after)?;
        }
        for (at, route) in self.routes_at() {
            let at = at.key("waypoint");
            for (index, waypoint) in route.waypoints().iter().enumerate() {
                let (at, Some(stop)) = (at.item(index), &waypoint.stop) else {
                    continue;
                };
                if let Stay::Until(day) = stop.stay {
                    check(&at, "stay_until", Some(day))?;
                }
                check(&at, "leave_after", stop.leave_after)?;
                check(&at, "arrive_by", stop.arrive_by)?;
            }
        }
        Ok(())
    }

    /// Every route, and the key it stands at.
    fn routes_at(&self) -> Vec<(KeyPath, &Route)> {
        fn numbered(at: KeyPath, routes: &[Route]) -> impl Iterator<Item = (KeyPath, &Route)> {
            let routes = routes.iter().enumerate();
            routes.map(move |(index, route)| (at.item(index), route))
        }
        if !self.has_stages() {
            return numbered(KeyPath::of("route"), &self.routes).collect();
        }
        let stages = self.stages.iter().enumerate();
        stages
            .flat_map(|(index, stage)| {
                numbered(KeyPath::of("stage").item(index).key("route"), &stage.ways)
            })
            .collect()
    }

    /// Has the crew's own files of winds and currents read under guard from now on.
    pub fn guard_files(&mut self, guard: &Guard) {
        self.climate.options.guard = Some(guard.clone());
        if let CurrentChoice::File { options, .. } = &mut self.current {
            options.guard = Some(guard.clone());
        }
    }

    /// What the loading list is made from.
    ///
    /// # Errors
    /// Nothing said of a crew.
    pub fn stores_of_crew(&self) -> Result<&StoresSettings, VoyageError> {
        self.stores.as_ref().ok_or_else(|| {
            let place = self
                .files
                .first()
                .map(|file| (file.display().to_string(), 1));
            VoyageError::Entries(vec![no_crew().placed(place)])
        })
    }

    /// Provides for another share of the passages than the voyage says, in per cent.
    ///
    /// # Errors
    /// A share out of range.
    pub fn provide_for(&mut self, percent: f64) -> Result<(), OutOfRange> {
        let percent = CONFIDENCE.check(percent)?;
        if let Some(stores) = &mut self.stores {
            stores.reserve.confidence_percent = Some(percent);
        }
        Ok(())
    }

    /// Walks one route by the mean progress of the voyage's boat, from the voyage's departure.
    ///
    /// # Errors
    /// A gap in the climate.
    pub fn walk(&self, route: &Route, climate: &Climate) -> Result<Walk, PassageError> {
        walk_expected(&self.boat, route, climate, self.departure, self.step)
    }

    /// The middles of the segments of all routes.
    fn places(&self) -> impl Iterator<Item = Position> {
        let legs = self.routes.iter().flat_map(|route| route.legs());
        legs.flat_map(|leg| leg.track.segments(self.step))
            .map(|segment| segment.midpoint.position)
    }

    /// Opens the winds and currents this voyage uses, for the waters its routes cross.
    ///
    /// # Errors
    /// What [`Climate::open`] and [`Currents::open`] find wrong with the files.
    pub fn open_climate(&self) -> Result<Climate, ClimateError> {
        self.open_climate_of(&self.waters())
    }

    /// The waters its routes cross, with room around.
    fn waters(&self) -> Region {
        let track = self
            .places()
            .map(|place| (place.latitude_deg(), place.longitude_deg()));
        Region::covering(track, CLIMATE_MARGIN_DEG).unwrap_or(Region::world())
    }

    /// Opens the real years of the winds this voyage uses, for the waters its routes cross.
    ///
    /// # Errors
    /// What [`Years::open`] finds wrong with the file.
    pub fn open_years(&self) -> Result<Years, ClimateError> {
        self.climate
            .open_years(&self.waters().widened(CLIMATE_MARGIN_DEG))
    }

    /// Opens the winds and currents this voyage uses, for a region.
    ///
    /// # Errors
    /// What [`Climate::open`] and [`Currents::open`] find wrong with the files; a file of currents
    /// that has none anywhere along the routes.
    pub fn open_climate_of(&self, region: &Region) -> Result<Climate, ClimateError> {
        let of_file = self.current.open(region)?;
        if let CurrentChoice::File { file, .. } = &self.current
            && !self.routes.is_empty()
            && of_file.unknown_at_all(self.places())
        {
            return Err(ClimateError {
                of: ClimatePart::Currents,
                file: file.display().to_string(),
                fault: Box::new(ClimateFault::NoCurrent),
            });
        }
        let climate = self.climate.open(region)?;
        let keeps = self.current == CurrentChoice::OfTheClimate && climate.currents().are_used();
        Ok(if keeps {
            climate
        } else {
            climate.with_currents(of_file)
        })
    }
}

fn check_departure_year(departure: Date) -> Result<(), Complaint> {
    match check_year(departure) {
        Ok(_) => Ok(()),
        Err(breach) => {
            let at = KeyPath::of("voyage").key("departure");
            Err(Complaint::refused(at, breach))
        }
    }
}

fn check_year(departure: Date) -> Result<f64, OutOfRange> {
    DEPARTURE_YEAR.check(f64::from(departure.year()))
}

impl ClimateChoice {
    /// Whether the winds are the crew's own and not those that come with the program.
    pub fn is_own(&self) -> bool {
        self.file.is_some() || self.held.is_some()
    }

    /// Opens the winds chosen, for a region.
    ///
    /// # Errors
    /// What [`Climate::open`] finds wrong with the file.
    pub fn open(&self, region: &Region) -> Result<Climate, ClimateError> {
        match (&self.held, &self.file) {
            (Some(held), _) => held.open(&self.options, region),
            (None, Some(file)) => Climate::open(file, &self.options, region),
            (None, None) => Climate::ship_winds(region),
        }
    }

    /// Opens the real years of the winds chosen, for a region.
    ///
    /// # Errors
    /// What [`Years::open`] finds wrong with the file.
    pub fn open_years(&self, region: &Region) -> Result<Years, ClimateError> {
        match (&self.held, &self.file) {
            (Some(_), _) => Err(ClimateError {
                of: ClimatePart::Winds,
                file: "held in memory".to_owned(),
                fault: Box::new(ClimateFault::NoYears),
            }),
            (None, Some(file)) => Years::open(file, &self.options, region),
            (None, None) => Years::navy(region),
        }
    }
}

impl CurrentChoice {
    /// Opens the currents chosen, for a region; those that stand in for the climate's own where it has none.
    ///
    /// # Errors
    /// What [`Currents::open`] finds wrong with the file.
    pub fn open(&self, region: &Region) -> Result<Currents, ClimateError> {
        match self {
            Self::OfTheClimate | Self::Drifters => Currents::drifters(region),
            Self::None => Ok(Currents::None),
            Self::File { file, options } => Currents::open(file, options, region),
        }
    }
}
