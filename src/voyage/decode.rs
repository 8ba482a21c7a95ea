//! From the text of a voyage file to a voyage whose every value has been checked.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::engine::{ENGINE, EngineRoom, decode_engine};
use super::generic;
use super::stores_tables::{read_output, read_settings, read_settings_if_any};
use crate::boat::{Boat, GenericBoat, Handling, Polar, ranges};
use crate::climate::{Climate, ClimateError, Region, SourceOptions};
use crate::geodesy::{CompositeLine, LegKind, LegKindFault, Position, Step};
use crate::passage::{PassageError, Walk, walk_expected};
use crate::route::{Route, RouteFile, Waypoint};
use crate::stores::{CONFIDENCE, StoresSettings};
use crate::units::{OutOfRange, OutputUnits, Range};
use crate::voyage_file::{Entry, Problem, Table, VoyageError, VoyageText};

const VOYAGE: &[&str] = &["name", "departure", "step_nm"];
const BOAT: &[&str] = &["name", "polar", "generic", "factor", "engine"];
const HANDLING: &[&str] = &["heave_to_kn", "motor_below_kn"];
const CLIMATE: &[&str] = &["file", "variables", "wind_height_m", "assumed_steadiness"];
const VARIABLES: &[&str] = &[
    "eastward_wind",
    "northward_wind",
    "wind_speed",
    "air_temperature",
];
const ROUTE: &[&str] = &["name", "waypoint", "file", "file_route", "leg"];
const WAYPOINT: &[&str] = &["name", "position", "leg", "limit_latitude"];

const DEPARTURE_YEAR: Range = Range::new("the year of departure", "", 1900.0, 2199.0);

/// Room around the routes for which climate is kept, so that both nodes beside a track are there.
const CLIMATE_MARGIN_DEG: f64 = 5.0;

/// A voyage in mind: a date, a boat, and the routes to compare.
#[derive(Debug, Clone)]
pub struct Voyage {
    /// What the voyage is called.
    pub name: String,
    /// The day of departure; the clock starts at 00:00 UTC.
    pub departure: Date,
    /// The boat, and how she is handled.
    pub boat: Boat,
    /// What the boat is called, if the file says.
    pub boat_name: Option<String>,
    /// Her engine's burn and her diesel, if she has an engine.
    pub engine_room: Option<EngineRoom>,
    /// The dimensions her polar was made from; none where the file names a polar.
    pub generic_boat: Option<GenericBoat>,
    /// Which winds to use.
    pub climate: ClimateChoice,
    /// The routes, in the file's order; never empty.
    pub routes: Vec<Route>,
    /// The greatest spacing at which legs are sampled.
    pub step: Step,
    /// The share of passages to provide for, if not as the file says, in per cent.
    confidence_percent: Option<f64>,
    /// The units that amounts to load are shown in.
    pub output: OutputUnits,
    /// The file's text, for what else it holds.
    pub text: VoyageText,
    /// The files it was read from: itself, and those that it names. None for the demonstration.
    pub files: Vec<PathBuf>,
}

/// Which winds a voyage uses.
#[derive(Debug, Clone, Default)]
pub struct ClimateChoice {
    /// A NetCDF file of the crew's own; none for the winds that come with the program.
    pub file: Option<PathBuf>,
    /// How that file is to be read.
    pub options: SourceOptions,
}

/// Where the files that a voyage names are found.
enum Shelf<'a> {
    /// Beside the voyage file.
    Folder(Folder<'a>),
    /// In the program itself: name and text.
    Embedded(&'a [(&'a str, &'a str)]),
}

/// A voyage file's folder, and which of its files were asked for.
struct Folder<'a> {
    place: &'a Path,
    asked_for: RefCell<Vec<PathBuf>>,
}

impl Folder<'_> {
    fn file(&self, name: &str) -> PathBuf {
        let file = self.place.join(name);
        self.asked_for.borrow_mut().push(file.clone());
        file
    }
}

impl Voyage {
    /// Reads a voyage file, and the polar that it names.
    ///
    /// # Errors
    /// A file that cannot be read or is not TOML; any key unknown, missing or out of range, named
    /// with its line.
    pub fn read(path: &Path) -> Result<Self, VoyageError> {
        let shelf = Shelf::Folder(Folder {
            place: path.parent().unwrap_or(Path::new("")),
            asked_for: RefCell::new(vec![path.to_owned()]),
        });
        decode(&VoyageText::read(path)?, &shelf)
    }

    /// The demonstration voyage that comes with the program: an invented boat, Fremantle to
    /// Durban in May.
    ///
    /// # Errors
    /// None in a released program: a test reads it.
    pub fn demo() -> Result<Self, VoyageError> {
        const POLAR: (&str, &str) = (
            "cutter-12m.csv",
            include_str!("../../fixtures/demo/cutter-12m.csv"),
        );
        let text = include_str!("../../fixtures/demo/fremantle-durban.toml");
        let text = VoyageText::new("fremantle-durban.toml", text);
        decode(&text, &Shelf::Embedded(&[POLAR]))
    }

    /// Leaves on another day.
    ///
    /// # Errors
    /// A year out of range.
    pub fn leave_on(&mut self, departure: Date) -> Result<(), OutOfRange> {
        DEPARTURE_YEAR.check(f64::from(departure.year()))?;
        self.departure = departure;
        Ok(())
    }

    /// Walks one route by the mean progress of the voyage's boat, from the voyage's departure.
    ///
    /// # Errors
    /// A gap in the climate.
    pub fn walk(&self, route: &Route, climate: &Climate) -> Result<Walk, PassageError> {
        walk_expected(&self.boat, route, climate, self.departure, self.step)
    }

    /// What the voyage says of its stores; none where it says nothing of them.
    ///
    /// # Errors
    /// Tables of stores without a `[crew]`; any key unknown, missing or out of range.
    pub fn stores(&self) -> Result<Option<StoresSettings>, VoyageError> {
        read_settings_if_any(self)
    }

    /// What the voyage says of its stores.
    ///
    /// # Errors
    /// As [`Self::stores`], and where there is no `[crew]`.
    pub fn stores_of_crew(&self) -> Result<StoresSettings, VoyageError> {
        let mut settings = read_settings(self)?;
        if self.confidence_percent.is_some() {
            settings.reserve.confidence_percent = self.confidence_percent;
        }
        Ok(settings)
    }

    /// Provides for another share of the passages than the voyage says, in per cent.
    ///
    /// # Errors
    /// A share out of range.
    pub fn provide_for(&mut self, percent: f64) -> Result<(), OutOfRange> {
        self.confidence_percent = Some(CONFIDENCE.check(percent)?);
        Ok(())
    }

    /// Opens the winds this voyage uses, for the waters its routes cross.
    ///
    /// # Errors
    /// What [`Climate::open`] finds wrong with the file.
    pub fn open_climate(&self) -> Result<Climate, ClimateError> {
        let legs = self.routes.iter().flat_map(|route| route.legs());
        let track = legs
            .flat_map(|leg| leg.track.segments(self.step))
            .map(|segment| {
                let place = segment.midpoint.position;
                (place.latitude_deg(), place.longitude_deg())
            });
        self.open_climate_of(
            &Region::covering(track, CLIMATE_MARGIN_DEG).unwrap_or(Region::world()),
        )
    }

    /// Opens the winds this voyage uses, for a region.
    ///
    /// # Errors
    /// What [`Climate::open`] finds wrong with the file.
    pub fn open_climate_of(&self, region: &Region) -> Result<Climate, ClimateError> {
        self.climate.open(region)
    }
}

impl ClimateChoice {
    /// Opens the winds chosen, for a region.
    ///
    /// # Errors
    /// What [`Climate::open`] finds wrong with the file.
    pub fn open(&self, region: &Region) -> Result<Climate, ClimateError> {
        match &self.file {
            Some(file) => Climate::open(file, &self.options, region),
            None => Climate::ship_winds(region),
        }
    }
}

fn decode(text: &VoyageText, shelf: &Shelf<'_>) -> Result<Voyage, VoyageError> {
    text.decode(|top| decode_tables(text, top, shelf))
}

fn decode_tables(
    text: &VoyageText,
    top: &Table<'_>,
    shelf: &Shelf<'_>,
) -> Result<Voyage, VoyageError> {
    let voyage = top.required("voyage", top.table("voyage", VOYAGE)?)?;
    let name = voyage
        .required("name", voyage.text("name")?)?
        .value
        .to_owned();
    let departure = voyage.required("departure", voyage.date("departure")?)?;
    DEPARTURE_YEAR
        .check(f64::from(departure.value.year()))
        .map_err(|breach| departure.error(breach.into()))?;
    let step = match voyage.number("step_nm", &Step::RANGE)? {
        None => Step::default(),
        Some(entry) => Step::from_nm(entry.value).map_err(|error| entry.refuse(error))?,
    };

    let boat_table = top.required("boat", top.table("boat", BOAT)?)?;
    let boat_name = boat_table.text("name")?.map(|entry| entry.value.to_owned());
    let (polar, generic_boat) = polar(&boat_table, shelf)?;
    let (boat, engine_room) = boat(
        &polar,
        &boat_table,
        top.table("handling", HANDLING)?.as_ref(),
    )?;

    Ok(Voyage {
        name,
        departure: departure.value,
        boat,
        boat_name,
        engine_room,
        generic_boat,
        climate: climate(top, shelf)?,
        routes: routes(top, shelf)?,
        step,
        confidence_percent: None,
        output: read_output(top)?,
        text: text.clone(),
        files: match shelf {
            Shelf::Folder(folder) => folder.asked_for.take(),
            Shelf::Embedded(_) => Vec::new(),
        },
    })
}

/// The polar the table names, or the one made from the dimensions it gives.
fn polar(
    table: &Table<'_>,
    shelf: &Shelf<'_>,
) -> Result<(Polar, Option<GenericBoat>), VoyageError> {
    enum From<'t> {
        File(Entry<'t, &'t str>),
        Dimensions(Polar, GenericBoat),
    }
    let file = table.text("polar")?.map(From::File);
    let made = generic::decode(table)?.map(|(polar, boat)| From::Dimensions(polar, boat));
    let entry = match table.one_of_two(["polar", "generic"], file, made)? {
        From::File(entry) => entry,
        From::Dimensions(polar, boat) => return Ok((polar, Some(boat))),
    };
    let polar = match shelf {
        Shelf::Folder(folder) => Polar::read(&folder.file(entry.value)),
        Shelf::Embedded(texts) => {
            let Some((name, text)) = texts.iter().find(|(name, _)| *name == entry.value) else {
                return Err(entry.error(Problem::Missing));
            };
            Polar::parse(text, name)
        }
    };
    Ok((polar.map_err(|error| entry.refuse(error))?, None))
}

fn boat(
    polar: &Polar,
    table: &Table<'_>,
    handling: Option<&Table<'_>>,
) -> Result<(Boat, Option<EngineRoom>), VoyageError> {
    let factor = table
        .number("factor", &ranges::POLAR_FACTOR)?
        .map_or(1.0, |entry| entry.value);

    let (engine, room) = match table.table("engine", ENGINE)? {
        None => (None, None),
        Some(engine) => {
            let (engine, room) = decode_engine(&engine)?;
            (Some(engine), Some(room))
        }
    };

    let rule = match handling {
        None => Handling::default(),
        Some(handling) => decode_handling(handling, engine.is_some())?,
    };
    let boat = Boat::new(polar, factor, engine, rule)
        .map_err(|error| handling.unwrap_or(table).refuse("", error))?;
    Ok((boat, room))
}

fn decode_handling(table: &Table<'_>, has_engine: bool) -> Result<Handling, VoyageError> {
    let heave_to = table.number("heave_to_kn", &ranges::HEAVE_TO)?;
    let motor_below = table.number("motor_below_kn", &ranges::MOTOR_BELOW)?;
    if let (Some(motor_below), false) = (&motor_below, has_engine) {
        let reason = "there is no [boat.engine] to motor with: take this key out too";
        return Err(motor_below.error(Problem::OutOfPlace { reason }));
    }
    Handling::new(
        heave_to.map_or(Handling::default().heave_to_kn(), |entry| entry.value),
        motor_below.map(|entry| entry.value),
    )
    .map_err(|error| table.refuse("", error))
}

fn climate(top: &Table<'_>, shelf: &Shelf<'_>) -> Result<ClimateChoice, VoyageError> {
    let Some(table) = top.table("climate", CLIMATE)? else {
        return Ok(ClimateChoice::default());
    };
    let entry = table.required("file", table.text("file")?)?;
    let file = match shelf {
        Shelf::Folder(folder) => folder.file(entry.value),
        Shelf::Embedded(_) => PathBuf::from(entry.value),
    };
    let mut options = SourceOptions {
        wind_height_m: table
            .number("wind_height_m", &SourceOptions::WIND_HEIGHT)?
            .map(|entry| entry.value),
        assumed_steadiness: table
            .number("assumed_steadiness", &SourceOptions::STEADINESS)?
            .map(|entry| entry.value),
        ..SourceOptions::default()
    };
    if let Some(variables) = table.table("variables", VARIABLES)? {
        let name = |key| {
            Ok::<Option<String>, VoyageError>(
                variables.text(key)?.map(|entry| entry.value.to_owned()),
            )
        };
        options.eastward_wind = name("eastward_wind")?;
        options.northward_wind = name("northward_wind")?;
        options.wind_speed = name("wind_speed")?;
        options.air_temperature = name("air_temperature")?;
    }
    Ok(ClimateChoice {
        file: Some(file),
        options,
    })
}

fn routes(top: &Table<'_>, shelf: &Shelf<'_>) -> Result<Vec<Route>, VoyageError> {
    let tables = top.tables("route", ROUTE)?;
    if tables.is_empty() {
        return Err(top.error("route", Problem::Missing));
    }
    let mut routes: Vec<Route> = Vec::with_capacity(tables.len());
    for table in &tables {
        let name = table.required("name", table.text("name")?)?;
        if routes.iter().any(|route| route.name() == name.value) {
            return Err(name.error(Problem::NameTwice {
                found: name.value.to_owned(),
            }));
        }
        routes.push(decode_route(table, name.value, shelf)?);
    }
    Ok(routes)
}

fn decode_route(table: &Table<'_>, name: &str, shelf: &Shelf<'_>) -> Result<Route, VoyageError> {
    let waypoints = table.tables("waypoint", WAYPOINT)?;
    let (choice, leg) = (table.text("file_route")?, table.text("leg")?);
    let Some(file) = table.text("file")? else {
        if let Some(entry) = choice.or(leg) {
            let reason = "only a route with a `file` has this; write `leg` at the waypoints";
            return Err(entry.error(Problem::OutOfPlace { reason }));
        }
        let waypoints = waypoints
            .iter()
            .enumerate()
            .map(|(index, waypoint)| decode_waypoint(waypoint, index == 0))
            .collect::<Result<_, _>>()?;
        return Route::new(name, waypoints).map_err(|error| table.refuse("waypoint", error));
    };
    if !waypoints.is_empty() {
        let reason = "a route has a `file` or waypoints of its own, not both";
        return Err(file.error(Problem::OutOfPlace { reason }));
    }
    let kind = match &leg {
        None => None,
        Some(leg) => Some(
            LegKind::parse(leg.value, None)
                .map_err(|_| unknown_leg(leg, "\"great-circle\" or \"rhumb\""))?,
        ),
    };
    let path = match shelf {
        Shelf::Folder(folder) => folder.file(file.value),
        Shelf::Embedded(_) => PathBuf::from(file.value),
    };
    RouteFile::read(&path)
        .and_then(|read| read.route(name, choice.map(|choice| choice.value), kind))
        .map_err(|error| file.refuse(error))
}

fn decode_waypoint(table: &Table<'_>, first: bool) -> Result<Waypoint, VoyageError> {
    let name = table
        .required("name", table.text("name")?)?
        .value
        .to_owned();
    let entry = table.required("position", table.text("position")?)?;
    let position: Position = entry.value.parse().map_err(|error| entry.refuse(error))?;

    let reached_by = decode_leg(table, first)?;
    Ok(Waypoint {
        name,
        position,
        reached_by,
    })
}

fn decode_leg(table: &Table<'_>, first: bool) -> Result<LegKind, VoyageError> {
    let leg = table.text("leg")?;
    let limit = table.number("limit_latitude", &CompositeLine::LIMIT_LATITUDE)?;
    if let (true, Some(leg)) = (first, &leg) {
        let reason = "a route's first waypoint is not reached by any leg; write `leg` at the \
                      waypoint that the leg leads to";
        return Err(leg.error(Problem::OutOfPlace { reason }));
    }
    let name = leg
        .as_ref()
        .map_or(LegKind::GreatCircle.name(), |leg| leg.value);
    let fault = match LegKind::parse(name, limit.as_ref().map(|limit| limit.value)) {
        Ok(kind) => return Ok(kind),
        Err(fault) => fault,
    };
    Err(match (fault, leg, limit) {
        (LegKindFault::LimitOutOfPlace, _, Some(limit)) => limit.error(Problem::OutOfPlace {
            reason: "only a leg = \"composite\" has a limiting latitude",
        }),
        (LegKindFault::Unknown, Some(leg), _) => {
            unknown_leg(&leg, "\"great-circle\", \"rhumb\" or \"composite\"")
        }
        _ => table.error("limit_latitude", Problem::Missing),
    })
}

fn unknown_leg(leg: &Entry<'_, &str>, wanted: &'static str) -> VoyageError {
    leg.error(Problem::WrongKind {
        found: format!("\"{}\"", leg.value),
        wanted,
    })
}
