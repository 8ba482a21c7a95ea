//! From the text of a voyage file to a voyage whose every value has been checked.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use toml::de::DeTable;

use super::error::{Problem, VoyageError};
use super::generic;
use super::table::{Document, Table};
use crate::boat::{Boat, Engine, GenericBoat, Handling, Polar, ranges};
use crate::climate::{Climate, ClimateError, Region, SourceOptions};
use crate::geodesy::{LegKind, Position, Step};
use crate::route::{Route, Waypoint};
use crate::units::{OutOfRange, Range};

const TOP: &[&str] = &["voyage", "boat", "handling", "climate", "route"];
const VOYAGE: &[&str] = &["name", "departure", "step_nm"];
const BOAT: &[&str] = &["name", "polar", "generic", "factor", "engine"];
const ENGINE: &[&str] = &["motor_speed_kn", "litres_per_hour", "fuel_litres"];
const HANDLING: &[&str] = &["heave_to_kn", "motor_below_kn"];
const CLIMATE: &[&str] = &["file", "variables", "wind_height_m", "assumed_steadiness"];
const VARIABLES: &[&str] = &[
    "eastward_wind",
    "northward_wind",
    "wind_speed",
    "air_temperature",
];
const ROUTE: &[&str] = &["name", "waypoint"];
const WAYPOINT: &[&str] = &["name", "position", "leg", "limit_latitude"];

const DEPARTURE_YEAR: Range = Range::new("the year of departure", "", 1900.0, 2199.0);
const LIMIT_LATITUDE_DEG: Range = Range::new("limit_latitude", "degrees", -89.0, 89.0);

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
    /// The dimensions her polar was made from; none where the file names a polar.
    pub generic_boat: Option<GenericBoat>,
    /// Which winds to use.
    pub climate: ClimateChoice,
    /// The routes, in the file's order; never empty.
    pub routes: Vec<Route>,
    /// The greatest spacing at which legs are sampled.
    pub step: Step,
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
    Folder(&'a Path),
    /// In the program itself: name and text.
    Embedded(&'a [(&'a str, &'a str)]),
}

impl Voyage {
    /// Reads a voyage file, and the polar that it names.
    ///
    /// # Errors
    /// A file that cannot be read or is not TOML; any key unknown, missing or out of range, named
    /// with its line.
    pub fn read(path: &Path) -> Result<Self, VoyageError> {
        let text = fs::read_to_string(path).map_err(|source| VoyageError::Unreadable {
            file: path.to_owned(),
            source,
        })?;
        let folder = path.parent().unwrap_or(Path::new(""));
        decode(&path.display().to_string(), &text, &Shelf::Folder(folder))
    }

    /// The demonstration voyage that comes with the program: an invented boat, Fremantle to
    /// Durban in May.
    ///
    /// # Errors
    /// None in a released program: a test reads it.
    pub fn demo() -> Result<Self, VoyageError> {
        const POLAR: (&str, &str) = (
            "cutter-12m.csv",
            include_str!("../../../fixtures/demo/cutter-12m.csv"),
        );
        let text = include_str!("../../../fixtures/demo/fremantle-durban.toml");
        decode("fremantle-durban.toml", text, &Shelf::Embedded(&[POLAR]))
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
        match &self.climate.file {
            Some(file) => Climate::open(file, &self.climate.options, region),
            None => Climate::ship_winds(region),
        }
    }
}

fn decode(file: &str, text: &str, shelf: &Shelf<'_>) -> Result<Voyage, VoyageError> {
    let document = Document { file, text };
    let parsed = DeTable::parse(text).map_err(|error| {
        let start = error.span().map_or(0, |span| span.start.min(text.len()));
        let line = text.as_bytes()[..start]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        VoyageError::NotToml {
            file: file.to_owned(),
            line,
            message: error.message().to_owned(),
        }
    })?;
    let top = Table::open(document, "", 0, parsed.get_ref(), TOP)?;

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
        Some(entry) => Step::from_nm(entry.value).map_err(|error| entry.error(error.into()))?,
    };

    let boat_table = top.required("boat", top.table("boat", BOAT)?)?;
    let boat_name = boat_table.text("name")?.map(|entry| entry.value.to_owned());
    let (polar, generic_boat) = polar(&boat_table, shelf)?;
    let boat = boat(
        &polar,
        &boat_table,
        top.table("handling", HANDLING)?.as_ref(),
    )?;

    Ok(Voyage {
        name,
        departure: departure.value,
        boat,
        boat_name,
        generic_boat,
        climate: climate(&top, shelf)?,
        routes: routes(&top)?,
        step,
    })
}

/// The polar the table names, or the one made from the dimensions it gives.
fn polar(
    table: &Table<'_>,
    shelf: &Shelf<'_>,
) -> Result<(Polar, Option<GenericBoat>), VoyageError> {
    let keys = ["polar", "generic"];
    let entry = match (table.text("polar")?, generic::decode(table)?) {
        (Some(entry), None) => entry,
        (None, Some((polar, generic))) => return Ok((polar, Some(generic))),
        (Some(entry), Some(_)) => {
            let found = "both";
            return Err(entry.error(Problem::OneOfTwo { found, keys }));
        }
        (None, None) => {
            let found = "neither";
            return Err(table.error("", Problem::OneOfTwo { found, keys }));
        }
    };
    let polar = match shelf {
        Shelf::Folder(folder) => Polar::read(&folder.join(entry.value)),
        Shelf::Embedded(texts) => {
            let Some((name, text)) = texts.iter().find(|(name, _)| *name == entry.value) else {
                return Err(entry.error(Problem::Missing));
            };
            Polar::parse(text, name)
        }
    };
    Ok((polar.map_err(|error| entry.error(error.into()))?, None))
}

fn boat(
    polar: &Polar,
    table: &Table<'_>,
    handling: Option<&Table<'_>>,
) -> Result<Boat, VoyageError> {
    let factor = table
        .number("factor", &ranges::POLAR_FACTOR)?
        .map_or(1.0, |entry| entry.value);

    let engine = match table.table("engine", ENGINE)? {
        None => None,
        Some(engine) => {
            let number = |key, range| {
                Ok::<f64, VoyageError>(engine.required(key, engine.number(key, range)?)?.value)
            };
            let built = Engine::new(
                number("motor_speed_kn", &ranges::MOTOR_SPEED)?,
                number("litres_per_hour", &ranges::FUEL_RATE)?,
                number("fuel_litres", &ranges::FUEL)?,
            );
            Some(built.map_err(|error| engine.error("", error.into()))?)
        }
    };

    let rule = match handling {
        None => Handling::default(),
        Some(handling) => decode_handling(handling, engine.is_some())?,
    };
    Boat::new(polar, factor, engine, rule)
        .map_err(|error| handling.unwrap_or(table).error("", error.into()))
}

fn decode_handling(table: &Table<'_>, has_engine: bool) -> Result<Handling, VoyageError> {
    let heave_to = table.number("heave_to_kn", &ranges::HEAVE_TO)?;
    let motor_below = table.number("motor_below_kn", &ranges::MOTOR_BELOW)?;
    if let (Some(motor_below), false) = (&motor_below, has_engine) {
        let reason = "there is no [boat.engine] to motor with";
        return Err(motor_below.error(Problem::OutOfPlace { reason }));
    }
    Handling::new(
        heave_to.map_or(Handling::default().heave_to_kn(), |entry| entry.value),
        motor_below.map(|entry| entry.value),
    )
    .map_err(|error| table.error("", error.into()))
}

fn climate(top: &Table<'_>, shelf: &Shelf<'_>) -> Result<ClimateChoice, VoyageError> {
    let Some(table) = top.table("climate", CLIMATE)? else {
        return Ok(ClimateChoice::default());
    };
    let entry = table.required("file", table.text("file")?)?;
    let file = match shelf {
        Shelf::Folder(folder) => folder.join(entry.value),
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

fn routes(top: &Table<'_>) -> Result<Vec<Route>, VoyageError> {
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
        let waypoints = table
            .tables("waypoint", WAYPOINT)?
            .iter()
            .enumerate()
            .map(|(index, waypoint)| decode_waypoint(waypoint, index == 0))
            .collect::<Result<Vec<_>, _>>()?;
        let route = Route::new(name.value, waypoints);
        routes.push(route.map_err(|error| table.error("waypoint", error.into()))?);
    }
    Ok(routes)
}

fn decode_waypoint(table: &Table<'_>, first: bool) -> Result<Waypoint, VoyageError> {
    let name = table
        .required("name", table.text("name")?)?
        .value
        .to_owned();
    let entry = table.required("position", table.text("position")?)?;
    let position: Position = entry
        .value
        .parse()
        .map_err(|error| entry.error(Problem::Position(error)))?;

    let reached_by = decode_leg(table, first)?;
    Ok(Waypoint {
        name,
        position,
        reached_by,
    })
}

fn decode_leg(table: &Table<'_>, first: bool) -> Result<LegKind, VoyageError> {
    let leg = table.text("leg")?;
    let limit = table.number("limit_latitude", &LIMIT_LATITUDE_DEG)?;
    if let (true, Some(leg)) = (first, &leg) {
        let reason = "a route's first waypoint is not reached by any leg; write `leg` at the \
                      waypoint that the leg leads to";
        return Err(leg.error(Problem::OutOfPlace { reason }));
    }
    if let Some(leg) = &leg
        && leg.value == "composite"
    {
        let limit_latitude_deg = table.required("limit_latitude", limit)?.value;
        return Ok(LegKind::Composite { limit_latitude_deg });
    }
    if let Some(limit) = limit {
        let reason = "only a leg = \"composite\" has a limiting latitude";
        return Err(limit.error(Problem::OutOfPlace { reason }));
    }
    match leg {
        None => Ok(LegKind::GreatCircle),
        Some(leg) => match leg.value {
            "great-circle" => Ok(LegKind::GreatCircle),
            "rhumb" => Ok(LegKind::Rhumb),
            other => Err(leg.error(Problem::WrongKind {
                found: format!("\"{other}\""),
                wanted: "\"great-circle\", \"rhumb\" or \"composite\"",
            })),
        },
    }
}
