//! From settings to a voyage: what goes together, and the files that are named.

use std::path::{Path, PathBuf};

use super::error::{Complaint, Problem};
use super::load_stores::load_stores;
use super::locate::KeyPath;
use super::model::{ClimateChoice, CurrentChoice, Voyage, few_enough};
use super::settings::{
    BoatTable, ClimateTable, CurrentTable, CurrentUse, CurrentVariablesTable, EngineTable, FileLeg,
    GenericTable, HandlingTable, Leg, RouteTable, Settings, WaypointTable,
};
use super::stages::PlannedStage;
use super::values::{FilePath, Line};
use crate::boat::{
    AtSea, Boat, Burn, Engine, ForecastSkill, FuelSupply, GenericBoat, Handling, PointFactors,
    Polar, PolarFrom, PowerCurve, WaitForWeather,
};
use crate::climate::{CurrentOptions, SourceOptions};
use crate::geodesy::{GeodesyError, LegKind, Position, Step};
use crate::route::{Port, Route, RouteError, RouteFile, Stay, Stop, Waypoint, find_port};
use crate::stores::EngineSettings;

/// Where the files that a voyage names are found, and which were asked for.
pub(super) struct Shelf<'a> {
    folder: &'a Path,
    /// Name and text of files in the program itself.
    embedded: &'a [(&'a str, &'a str)],
    files: Vec<PathBuf>,
}

impl<'a> Shelf<'a> {
    /// Files beside the voyage file, itself the first.
    pub fn beside(voyage: &'a Path) -> Self {
        Self {
            folder: voyage.parent().unwrap_or(Path::new("")),
            embedded: &[],
            files: vec![voyage.to_owned()],
        }
    }

    /// Files in the program itself.
    pub fn embedded(embedded: &'a [(&'a str, &'a str)]) -> Self {
        Self {
            folder: Path::new(""),
            embedded,
            files: Vec::new(),
        }
    }

    fn file(&mut self, name: &FilePath) -> PathBuf {
        let file = self.folder.join(name.as_str());
        self.files.push(file.clone());
        file
    }
}

/// The voyage of these settings.
pub(super) fn load(settings: &Settings, mut shelf: Shelf<'_>) -> Result<Voyage, Complaint> {
    let table = &settings.voyage;
    let engine = settings.boat.engine.as_ref().map(load_engine).transpose()?;
    let (polar, generic_boat) = load_polar(&settings.boat, &mut shelf)?;
    let boat = load_boat(settings, &polar, engine.map(|(engine, _)| engine))?;
    let climate = settings.climate.as_ref();
    let climate = climate.map(|table| load_climate(table, &mut shelf));
    let current = settings.current.as_ref();
    let current = current.map(|table| load_current(table, &mut shelf));
    let current = current.transpose()?;
    let (name, departure) = (table.name.as_str().to_owned(), table.departure.date);
    let mut voyage = if settings.stage.is_empty() {
        let routes = load_routes(&KeyPath::of("route"), &settings.route, &mut shelf)?;
        Voyage::checked(name, departure, boat, routes)?
    } else {
        Voyage::checked_stages(name, departure, boat, load_stages(settings, &mut shelf)?)?
    };
    voyage.departure_time = table.departure.time;
    voyage.leave_after = table.leave_after.map(|day| day.0);
    if let Some(day) = table.arrive_by {
        voyage.be_there_by(day.0);
    }
    voyage.departure_allowed()?;
    voyage.dates_allowed()?;
    if let Some(step_nm) = table.step_nm {
        let at = KeyPath::of("voyage").key("step_nm");
        voyage.step =
            Step::from_nm(step_nm.into()).map_err(|error| Complaint::refused(at, error))?;
    }
    voyage.boat_name = settings.boat.name.clone().map(String::from);
    voyage.generic_boat = generic_boat;
    voyage.climate = climate.unwrap_or_default();
    voyage.current = current.unwrap_or_default();
    voyage.stores = load_stores(settings, engine.map(|(_, engine)| engine), &voyage.routes)?;
    if let Some(output) = &settings.output {
        voyage.units = output.units.unwrap_or_default();
        voyage.temperature = output.temperature.unwrap_or_default();
    }
    voyage.ports = ports(settings);
    voyage.files = shelf.files;
    Ok(voyage)
}

/// The value of one of two keys in the table `at`, of which just one must be there.
pub(super) fn one_of_two<T>(
    at: &KeyPath,
    keys: [&'static str; 2],
    first: Option<T>,
    second: Option<T>,
) -> Result<T, Complaint> {
    let found = "neither";
    one_of_two_at_most(at, keys, first, second)?
        .ok_or_else(|| Complaint::new(at.clone(), Problem::OneOfTwo { found, keys }))
}

/// The value of one of two keys in the table `at`, of which just one may be there.
pub(super) fn one_of_two_at_most<T>(
    at: &KeyPath,
    keys: [&'static str; 2],
    first: Option<T>,
    second: Option<T>,
) -> Result<Option<T>, Complaint> {
    if first.is_some() && second.is_some() {
        let found = "both";
        let problem = Problem::OneOfTwo { found, keys };
        return Err(Complaint::new(at.key(keys[1]), problem));
    }
    Ok(first.or(second))
}

/// The polar that the table names, or the one made from the dimensions it gives.
fn load_polar(
    table: &BoatTable,
    shelf: &mut Shelf<'_>,
) -> Result<(Polar, Option<GenericBoat>), Complaint> {
    enum From<'t> {
        File(&'t FilePath),
        Dimensions(&'t GenericTable),
    }
    let at = KeyPath::of("boat");
    let file = table.polar.as_ref().map(From::File);
    let generic = table.generic.as_ref().map(From::Dimensions);
    match one_of_two(&at, ["polar", "generic"], file, generic)? {
        From::File(name) => {
            let embedded = shelf
                .embedded
                .iter()
                .find(|(file, _)| *file == name.as_str());
            let polar = match embedded {
                Some((name, text)) => Polar::parse(text, name),
                None => Polar::read(&shelf.file(name)),
            };
            let polar = polar.map_err(|error| Complaint::refused(at.key("polar"), error))?;
            Ok((polar, None))
        }
        From::Dimensions(table) => {
            let dimensions = GenericBoat {
                waterline_length_m: table.waterline_length_m.into(),
                displacement_kg: table.displacement_kg.into(),
                sail_area_m2: table.sail_area_m2.into(),
                rig: table.rig,
                keel: table.keel,
            };
            let polar = dimensions.polar();
            let polar = polar.map_err(|error| Complaint::refused(at.key("generic"), error))?;
            Ok((polar, Some(dimensions)))
        }
    }
}

fn load_boat(
    settings: &Settings,
    polar: &Polar,
    engine: Option<Engine>,
) -> Result<Boat, Complaint> {
    let table = &settings.boat;
    let from = table.polar_from.unwrap_or_default();
    if table.generic.is_some() && from == PolarFrom::Sea {
        let reason = "a polar made from dimensions is of smooth water: take this key out";
        let at = KeyPath::of("boat").key("polar_from");
        return Err(Complaint::new(at, Problem::OutOfPlace(reason)));
    }
    let (handling, at) = match &settings.handling {
        None => (Handling::default(), "boat"),
        Some(table) => (load_handling(table, engine.is_some())?, "handling"),
    };
    let refused = |error| Complaint::refused(KeyPath::of(at), error);
    let at_sea = load_at_sea(settings.handling.as_ref(), from);
    let handling = handling.with_at_sea(at_sea).map_err(refused)?;
    let factor = table.factor.map_or(1.0, f64::from);
    let mut boat = Boat::new(polar, factor, engine, handling).map_err(refused)?;
    if let Some(table) = &table.factors {
        let factors = PointFactors {
            beating: table.beating.map_or(1.0, f64::from),
            reaching: table.reaching.map_or(1.0, f64::from),
            running: table.running.map_or(1.0, f64::from),
        };
        boat = boat.with_point_factors(factors).map_err(refused)?;
    }
    match table.factor_uncertainty {
        None => Ok(boat),
        Some(uncertainty) => boat
            .with_factor_uncertainty(uncertainty.into())
            .map_err(refused),
    }
}

/// What the sea and the crew take off her speeds: as for such a polar, and as the crew says.
fn load_at_sea(table: Option<&HandlingTable>, from: PolarFrom) -> AtSea {
    let usual = from.at_sea();
    let Some(table) = table else {
        return usual;
    };
    AtSea {
        sea_brake: table.sea_brake.map_or(usual.sea_brake, f64::from),
        slat_below_kn: table.slat_below_kn.map(f64::from).or(usual.slat_below_kn),
        beat_until_kn: table.beat_until_kn.map(f64::from).or(usual.beat_until_kn),
    }
}

fn load_handling(table: &HandlingTable, has_engine: bool) -> Result<Handling, Complaint> {
    let at = KeyPath::of("handling");
    if table.motor_below_kn.is_some() && !has_engine {
        let reason = "there is no [boat.engine] to motor with: take this key out too";
        let problem = Problem::OutOfPlace(reason);
        return Err(Complaint::new(at.key("motor_below_kn"), problem));
    }
    let heave_to_kn = table.heave_to_kn.map(f64::from);
    let heave_to_kn = heave_to_kn.unwrap_or(Handling::default().heave_to_kn());
    let handling = Handling::new(heave_to_kn, table.motor_below_kn.map(f64::from))
        .map_err(|error| Complaint::refused(at, error))?;
    Ok(handling.with_waiting(load_waiting(table)?))
}

/// How she waits in harbour for weather; none where she leaves on the day.
fn load_waiting(table: &HandlingTable) -> Result<Option<WaitForWeather>, Complaint> {
    let at = KeyPath::of("handling");
    let Some(wait_up_to) = table.wait_up_to else {
        let of_waiting = [
            ("forecast", table.forecast.is_some()),
            (
                "wait_for_headwind_below_kn",
                table.wait_for_headwind_below_kn.is_some(),
            ),
            (
                "wait_for_progress_share",
                table.wait_for_progress_share.is_some(),
            ),
            ("forecast_skill", table.forecast_skill.is_some()),
            (
                "forecast_skill_by_day",
                table.forecast_skill_by_day.is_some(),
            ),
        ];
        let reason =
            "she leaves on the day without `wait_up_to`, such as \"5 days\": give that too";
        return match of_waiting.into_iter().find(|(_, is_there)| *is_there) {
            None => Ok(None),
            Some((key, _)) => Err(Complaint::new(at.key(key), Problem::OutOfPlace(reason))),
        };
    };
    let refused = |error| Complaint::refused(at.clone(), error);
    let forecast_hours = table.forecast.map(f64::from);
    let forecast_hours = forecast_hours.unwrap_or(WaitForWeather::FORECAST_DAYS * 24.0);
    let mut waiting = WaitForWeather::new(wait_up_to.into(), forecast_hours).map_err(refused)?;
    if let Some(headwind_kn) = table.wait_for_headwind_below_kn {
        waiting = waiting
            .for_headwind_below(headwind_kn.into())
            .map_err(refused)?;
    }
    if let Some(share) = table.wait_for_progress_share {
        waiting = waiting.for_progress_share(share.into()).map_err(refused)?;
    }
    let by_word = table.forecast_skill.map(ForecastSkill::of);
    let by_day = match &table.forecast_skill_by_day {
        None => None,
        Some(correlations) => {
            let at = at.key("forecast_skill_by_day");
            if (correlations.len() as f64) < waiting.forecast_days().ceil() {
                let problem = Problem::Value(format!(
                    "found {}; allowed: one for each day of the forecast, {} or more",
                    correlations.len(),
                    waiting.forecast_days().ceil()
                ));
                return Err(Complaint::new(at, problem));
            }
            let correlations: Vec<f64> = correlations.iter().copied().map(f64::from).collect();
            let skill = ForecastSkill::by_day(&correlations);
            Some(skill.map_err(|error| Complaint::refused(at, error))?)
        }
    };
    let keys = ["forecast_skill", "forecast_skill_by_day"];
    let skill = one_of_two_at_most(&at, keys, by_word, by_day)?;
    Ok(Some(match skill {
        None => waiting,
        Some(skill) => waiting.with_skill(skill),
    }))
}

/// The engine of the passage, which burns what tanks and cans give it, and that of the loading list.
fn load_engine(table: &EngineTable) -> Result<(Engine, EngineSettings), Complaint> {
    let at = KeyPath::of("boat").key("engine");
    let burn = load_burn(&at, table)?;
    let (in_litres, with_unit) = (table.fuel_litres.map(f64::from), table.fuel.map(f64::from));
    let supply = FuelSupply {
        tank_litres: one_of_two(&at, ["fuel_litres", "fuel"], in_litres, with_unit)?,
        usable_share: table.usable_share.map(f64::from),
        can_litres: table.cans.map_or(0.0, f64::from),
    };
    let speed_kn = table.motor_speed_kn.into();
    let engine = Engine::new(speed_kn, burn.litres_per_hour(), supply.usable_litres())
        .map_err(|error| Complaint::refused(at, error))?;
    let settings = EngineSettings {
        burn,
        charging_litres_per_hour: None,
        supply,
        arrival_hours: None,
    };
    Ok((engine, settings))
}

fn load_burn(at: &KeyPath, table: &EngineTable) -> Result<Burn, Complaint> {
    if let Some(litres) = table.litres_per_hour {
        let of_power = [
            ("power_kw", table.power_kw.is_some()),
            ("power_speed_kn", table.power_speed_kn.is_some()),
            (
                "specific_consumption_g_per_kwh",
                table.specific_consumption_g_per_kwh.is_some(),
            ),
            ("density_kg_per_litre", table.density_kg_per_litre.is_some()),
        ];
        return match of_power.into_iter().find(|(_, is_there)| *is_there) {
            None => Ok(Burn::LitresPerHour(litres.into())),
            Some((key, _)) => Err(Complaint::new(
                at.key(key),
                Problem::OutOfPlace(
                    "litres_per_hour already says what an hour under power burns; keep one of the \
                     two",
                ),
            )),
        };
    }
    let missing = |key| move || Complaint::new(at.key(key), Problem::Missing);
    let power = table.power_kw.ok_or_else(missing("litres_per_hour"))?;
    let speed = table.power_speed_kn.ok_or_else(missing("power_speed_kn"))?;
    let (speed_kn, cruising_kn) = (f64::from(speed), f64::from(table.motor_speed_kn));
    if speed_kn < cruising_kn {
        let reason = "below motor_speed_kn; give the power at that speed or a higher one, since \
                      the propeller law understates the power above it";
        let problem = Problem::OutOfPlace(reason);
        return Err(Complaint::new(at.key("power_speed_kn"), problem));
    }
    Ok(Burn::FromPower(PowerCurve {
        power_kw: power.into(),
        speed_kn,
        cruising_kn,
        specific_consumption_g_per_kwh: table.specific_consumption_g_per_kwh.map(f64::from),
        density_kg_per_litre: table.density_kg_per_litre.map(f64::from),
    }))
}

fn load_climate(table: &ClimateTable, shelf: &mut Shelf<'_>) -> ClimateChoice {
    let variables = table.variables.as_ref();
    let name = |key: fn(&super::settings::VariablesTable) -> &Option<Line>| {
        variables
            .and_then(|table| key(table).clone())
            .map(String::from)
    };
    ClimateChoice {
        file: Some(shelf.file(&table.file)),
        held: None,
        options: SourceOptions {
            eastward_wind: name(|table| &table.eastward_wind),
            northward_wind: name(|table| &table.northward_wind),
            wind_speed: name(|table| &table.wind_speed),
            air_temperature: name(|table| &table.air_temperature),
            wind_height_m: table.wind_height_m.map(f64::from),
            assumed_steadiness: table.assumed_steadiness.map(f64::from),
            guard: None,
        },
    }
}

fn load_current(table: &CurrentTable, shelf: &mut Shelf<'_>) -> Result<CurrentChoice, Complaint> {
    let at = KeyPath::of("current");
    let reason = "only a `file` has this";
    let out_of_place = |key| Complaint::new(at.key(key), Problem::OutOfPlace(reason));
    enum From<'t> {
        Ready(CurrentUse),
        File(&'t FilePath),
    }
    let (ready, file) = (
        table.use_.map(From::Ready),
        table.file.as_ref().map(From::File),
    );
    let ready = match one_of_two(&at, ["use", "file"], ready, file)? {
        From::Ready(ready) => ready,
        From::File(file) => {
            let variables = table.variables.as_ref();
            let name = |key: fn(&CurrentVariablesTable) -> &Option<Line>| {
                variables
                    .and_then(|table| key(table).clone())
                    .map(String::from)
            };
            return Ok(CurrentChoice::File {
                file: shelf.file(file),
                options: CurrentOptions {
                    eastward: name(|table| &table.eastward_sea_water_velocity),
                    northward: name(|table| &table.northward_sea_water_velocity),
                    period: table.period,
                    guard: None,
                },
            });
        }
    };
    if table.period.is_some() {
        return Err(out_of_place("period"));
    }
    if table.variables.is_some() {
        return Err(out_of_place("variables"));
    }
    Ok(match ready {
        CurrentUse::Drifters => CurrentChoice::Drifters,
        CurrentUse::None => CurrentChoice::None,
    })
}

fn load_routes(
    at: &KeyPath,
    tables: &[RouteTable],
    shelf: &mut Shelf<'_>,
) -> Result<Vec<Route>, Complaint> {
    // Before their files are read.
    few_enough(tables.len())?;
    let tables = tables.iter().enumerate();
    tables
        .map(|(index, table)| load_route(&at.item(index), table, shelf))
        .collect()
}

fn load_stages(settings: &Settings, shelf: &mut Shelf<'_>) -> Result<Vec<PlannedStage>, Complaint> {
    let at = KeyPath::of("stage");
    if !settings.route.is_empty() {
        let (found, keys) = ("both", ["route", "stage"]);
        return Err(Complaint::new(at, Problem::OneOfTwo { found, keys }));
    }
    let last = settings.stage.len() - 1;
    let tables = settings.stage.iter().enumerate();
    tables
        .map(|(index, table)| {
            let at = at.item(index);
            let given = [
                ("stay", table.stay.is_some()),
                ("resupply", !table.resupply.is_empty()),
                ("leave_after", table.leave_after.is_some()),
            ];
            let given = given.into_iter().find(|(_, is_there)| *is_there);
            if let (true, Some((key, _))) = (index == last, given) {
                let reason = "no stage follows the last: only `arrive_by` has a meaning at its end";
                return Err(Complaint::new(at.key(key), Problem::OutOfPlace(reason)));
            }
            Ok(PlannedStage {
                name: table.name.as_str().to_owned(),
                ways: load_routes(&at.key("route"), &table.route, shelf)?,
                stop: Stop {
                    stay: Stay::Hours(table.stay.map_or(0.0, f64::from)),
                    resupply: table.resupply.clone(),
                    leave_after: table.leave_after.map(|day| day.0),
                    arrive_by: table.arrive_by.map(|day| day.0),
                },
            })
        })
        .collect()
}

fn load_route(at: &KeyPath, table: &RouteTable, shelf: &mut Shelf<'_>) -> Result<Route, Complaint> {
    let out_of_place = |key, reason| Complaint::new(at.key(key), Problem::OutOfPlace(reason));
    let name = table.name.as_str();
    let Some(file) = &table.file else {
        let reason = "only a route with a `file` has this; write `leg` at the waypoints";
        if table.file_route.is_some() {
            return Err(out_of_place("file_route", reason));
        }
        if table.leg.is_some() {
            return Err(out_of_place("leg", reason));
        }
        let waypoints = table.waypoint.iter().enumerate();
        let waypoints = waypoints
            .map(|(index, table)| load_waypoint(&at.key("waypoint").item(index), table, index == 0))
            .collect::<Result<Vec<Waypoint>, _>>()?;
        let places: Vec<Position> = waypoints.iter().map(|point| point.position).collect();
        return Route::new(name, waypoints)
            .map_err(|error| refused_route(&at.key("waypoint"), error, &places));
    };
    if !table.waypoint.is_empty() {
        let reason = "a route has a `file` or waypoints of its own, not both";
        return Err(out_of_place("file", reason));
    }
    let kind = table.leg.map(|leg| match leg {
        FileLeg::GreatCircle => LegKind::GreatCircle,
        FileLeg::Rhumb => LegKind::Rhumb,
    });
    let choice = table.file_route.as_ref().map(Line::as_str);
    RouteFile::read(&shelf.file(file))
        .and_then(|read| read.route(name, choice, kind))
        .map_err(|error| Complaint::refused(at.key("file"), error))
}

/// A route that its waypoints do not make; where an end of a composite leg lies beyond the limit, with
/// a limit that holds both.
fn refused_route(at: &KeyPath, error: RouteError, places: &[Position]) -> Complaint {
    if let RouteError::Leg { number, source, .. } = &error
        && matches!(**source, GeodesyError::EndBeyondLimit { .. })
    {
        let ends = [number - 1, *number].map(|index| places[index].latitude_deg().abs());
        // To a tenth of a degree, which is 6 nm.
        let least_deg = (ends[0].max(ends[1]) * 10.0).ceil() / 10.0;
        let hint = format!(
            "the limit holds for both ends; write `limit_latitude = {least_deg}` or more there, or \
             `leg = \"great-circle\"` without a limit"
        );
        let at = at.item(*number).key("limit_latitude");
        return Complaint::refused(at, error).with_hint(hint);
    }
    if let RouteError::Stop { number, key, .. } = &error {
        let at = at.item(number - 1).key(key);
        return Complaint::refused(at, error);
    }
    Complaint::refused(at.clone(), error)
}

fn load_waypoint(at: &KeyPath, table: &WaypointTable, first: bool) -> Result<Waypoint, Complaint> {
    let complain = |key, problem| Err(Complaint::new(at.key(key), problem));
    if first && table.leg.is_some() {
        let reason = "a route's first waypoint is not reached by any leg; write `leg` at the \
                      waypoint that the leg leads to";
        return complain("leg", Problem::OutOfPlace(reason));
    }
    let limit = table.limit_latitude.map(f64::from);
    let reached_by = match (table.leg.unwrap_or(Leg::GreatCircle), limit) {
        (Leg::GreatCircle, None) => LegKind::GreatCircle,
        (Leg::Rhumb, None) => LegKind::Rhumb,
        (Leg::Composite, Some(limit_latitude_deg)) => LegKind::Composite { limit_latitude_deg },
        (Leg::Composite, None) => return complain("limit_latitude", Problem::Missing),
        (Leg::GreatCircle | Leg::Rhumb, Some(_)) => {
            let reason = "only a leg = \"composite\" has a limiting latitude";
            return complain("limit_latitude", Problem::OutOfPlace(reason));
        }
    };
    Ok(Waypoint {
        name: table.name.as_str().to_owned(),
        position: load_position(at, table)?,
        reached_by,
        stop: load_stop(at, table)?,
    })
}

/// What is done at a waypoint; none where it is only passed.
fn load_stop(at: &KeyPath, table: &WaypointTable) -> Result<Option<Stop>, Complaint> {
    let hours = table.stay.map(|hours| Stay::Hours(hours.into()));
    let until = table.stay_until.map(|day| Stay::Until(day.0));
    let stay = one_of_two_at_most(at, ["stay", "stay_until"], hours, until)?;
    let stop = Stop {
        stay: stay.unwrap_or_default(),
        resupply: table.resupply.clone(),
        leave_after: table.leave_after.map(|day| day.0),
        arrive_by: table.arrive_by.map(|day| day.0),
    };
    Ok((stop != Stop::default()).then_some(stop))
}

fn load_position(at: &KeyPath, table: &WaypointTable) -> Result<Position, Complaint> {
    enum From<'t> {
        Chart(Position),
        Port(&'t Line),
    }
    let chart = table.position.map(|place| From::Chart(place.0));
    let port = table.place.as_ref().map(From::Port);
    match one_of_two(at, ["position", "place"], chart, port)? {
        From::Chart(position) => Ok(position),
        From::Port(name) => match find_port(name.as_str()) {
            Ok(port) => Ok(port.position),
            Err(error) => {
                let hint = error.hint();
                Err(Complaint::refused(at.key("place"), error).with_hint(hint))
            }
        },
    }
}

/// The ports that waypoints name, each once.
fn ports(settings: &Settings) -> Vec<Port> {
    let ways = settings.stage.iter().flat_map(|stage| &stage.route);
    let routes = settings.route.iter().chain(ways);
    let waypoints = routes.flat_map(|route| &route.waypoint);
    let names = waypoints.filter_map(|table| table.place.as_ref());
    let mut ports: Vec<Port> = Vec::new();
    for port in names.filter_map(|name| find_port(name.as_str()).ok()) {
        if !ports.contains(&port) {
            ports.push(port);
        }
    }
    ports
}
