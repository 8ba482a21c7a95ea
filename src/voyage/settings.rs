//! The voyage's settings as they are written, for a TOML file or any other format of serde: plain
//! tables, each key explained in its schema. The tables of the stores are in
//! [`settings_stores`](super::settings_stores).

use schemars::JsonSchema;
use serde::Deserialize;

use super::settings_prices::PricesTable;
use super::settings_stores::{
    Crew, Food, Output, Power, Reserve, Resupply, Service, Watches, Water,
};
use super::values::{Day, FilePath, Line, Place, PlainDay, amounts};
use crate::boat::{ForecastWord, Keel, PolarFrom, Rig, ranges};
use crate::climate::{CurrentPeriod, SourceOptions};
use crate::geodesy::{CompositeLine, Step};
use crate::route::{Goods, Stay as RouteStay};
use crate::units::Kind;

amounts! {
    SamplingStep: Number(Step::RANGE);
    PolarFactor: Number(ranges::POLAR_FACTOR);
    FactorUncertainty: Number(ranges::FACTOR_UNCERTAINTY);
    BeatUntil: Number(ranges::BEAT_UNTIL);
    SlatBelow: Number(ranges::SLAT_BELOW);
    SeaBrake: Number(ranges::SEA_BRAKE);
    WaterlineLength: Number(ranges::WATERLINE_LENGTH);
    Displacement: Number(ranges::DISPLACEMENT);
    SailArea: Number(ranges::SAIL_AREA);
    MotorSpeed: Number(ranges::MOTOR_SPEED);
    FuelRate: Number(ranges::FUEL_RATE);
    ShaftPower: Number(ranges::SHAFT_POWER);
    SpecificConsumption: Number(ranges::SPECIFIC_CONSUMPTION);
    Density: Number(ranges::DENSITY);
    FuelLitres: Number(ranges::FUEL);
    FuelVolume: Quantity(Kind::Volume, ranges::FUEL);
    UsableShare: Number(ranges::USABLE_SHARE);
    HeaveTo: Number(ranges::HEAVE_TO);
    MotorBelow: Number(ranges::MOTOR_BELOW);
    WindHeight: Number(SourceOptions::WIND_HEIGHT);
    Steadiness: Number(SourceOptions::STEADINESS);
    LimitLatitude: Number(CompositeLine::LIMIT_LATITUDE);
    WaitHours: Quantity(Kind::Time, ranges::WAIT_UP_TO);
    ForecastHours: Quantity(Kind::Time, ranges::FORECAST);
    HeadwindBelow: Number(ranges::HEADWIND_BELOW);
    ProgressShare: Number(ranges::PROGRESS_SHARE);
    Skill: Number(ranges::FORECAST_SKILL);
    StayHours: Quantity(Kind::Time, RouteStay::HOURS);
}

/// A voyage in mind: a date, a boat, the routes to compare and, for the loading list, the crew. A
/// key whose name says its unit takes a number; one without takes a quantity in quotes, such as
/// "420 L" or "110 US gal".
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Settings {
    /// What the voyage is called and when it begins.
    pub voyage: VoyageTable,
    /// The boat: a polar, or the dimensions to make one from, and her engine.
    pub boat: BoatTable,
    /// How the crew handles the boat.
    pub handling: Option<HandlingTable>,
    /// A climatology to use instead of the winds that come with the program.
    pub climate: Option<ClimateTable>,
    /// Which surface currents to reckon with; those that come with the program if not given.
    pub current: Option<CurrentTable>,
    /// The routes to compare, at least one; these or stages.
    #[serde(default)]
    pub route: Vec<RouteTable>,
    /// The passages of a year with several, in the order they are sailed; these or routes.
    #[serde(default)]
    pub stage: Vec<StageTable>,
    /// Who is aboard: `people = 2` with the keys of one person for so many alike, or a
    /// `[[crew.person]]` for each. The other tables of the loading list need this one.
    pub crew: Option<Crew>,
    /// How sure to be, and how much to add.
    pub reserve: Option<Reserve>,
    /// What waits at the destination.
    pub resupply: Option<Resupply>,
    /// Fresh water: tanks, uses and the watermaker.
    pub water: Option<Water>,
    /// What uses electricity, what makes it and what keeps it.
    pub power: Option<Power>,
    /// Food: allowances, and kinds of food.
    pub food: Option<Food>,
    /// Parts and fluids changed by the engine's hours or by the water made.
    pub service: Option<Service>,
    /// How the crew keeps watch.
    pub watches: Option<Watches>,
    /// What things cost, in any one money.
    pub prices: Option<PricesTable>,
    /// How the loading list is shown.
    pub output: Option<Output>,
}

/// `[voyage]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct VoyageTable {
    /// What the voyage is called, for the headings.
    pub name: Line,
    /// The day of departure, 1900 to 2199, or the hour with its zone, such as
    /// 2027-05-01T09:00:00+08:00; passages begin at 00:00 UTC of the day in UTC.
    pub departure: Day,
    /// The last day on which she is not late at the end of any route, UTC.
    pub arrive_by: Option<PlainDay>,
    /// The first day on which she can leave; a season tries none before it.
    pub leave_after: Option<PlainDay>,
    /// The greatest length of a step along a leg, nautical miles; 60 if not given.
    pub step_nm: Option<SamplingStep>,
}

/// `[boat]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BoatTable {
    /// What the boat is called.
    pub name: Option<Line>,
    /// The CSV file with her speeds, beside the voyage file; this or `generic`.
    pub polar: Option<FilePath>,
    /// Her dimensions, to make a polar from; this or `polar`.
    pub generic: Option<GenericTable>,
    /// A factor on all speeds of the polar, for a loaded boat, a small crew or a foul bottom; 1 if
    /// not given.
    pub factor: Option<PolarFactor>,
    /// Factors by point of sailing, on top of that one.
    pub factors: Option<FactorsTable>,
    /// How sure the factor is: the standard deviation of her speed from passage to passage, as a
    /// share of it; 0.11 if not given.
    pub factor_uncertainty: Option<FactorUncertainty>,
    /// Where her speeds are from: in "smooth water" the sea still takes its share off them, at "sea"
    /// it has; smooth water if not given.
    pub polar_from: Option<PolarFrom>,
    /// Her engine, if she has one.
    pub engine: Option<EngineTable>,
}

/// `[boat.factors]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FactorsTable {
    /// With the wind less than 60 degrees off the bow; 1 if not given.
    pub beating: Option<PolarFactor>,
    /// From 60 to 110 degrees; 1 if not given.
    pub reaching: Option<PolarFactor>,
    /// More than 110 degrees; 1 if not given.
    pub running: Option<PolarFactor>,
}

/// `[boat.generic]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct GenericTable {
    /// Length of the waterline, metres.
    pub waterline_length_m: WaterlineLength,
    /// Displacement as she sails, with crew and stores, kilograms.
    pub displacement_kg: Displacement,
    /// Area of mainsail (and mizzen) and working headsails, square metres.
    pub sail_area_m2: SailArea,
    /// Her rig.
    pub rig: Rig,
    /// Her keel.
    pub keel: Keel,
}

/// `[boat.engine]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct EngineTable {
    /// Speed under power in a calm, knots.
    pub motor_speed_kn: MotorSpeed,
    /// Diesel burnt at that speed, litres an hour; this or `power_kw`.
    pub litres_per_hour: Option<FuelRate>,
    /// The engine's power at `power_speed_kn`, kilowatts; this or `litres_per_hour`.
    pub power_kw: Option<ShaftPower>,
    /// The speed that `power_kw` gives her, knots; not below `motor_speed_kn`.
    pub power_speed_kn: Option<MotorSpeed>,
    /// Diesel for a kilowatt-hour at the shaft, grams; 250 if not given.
    pub specific_consumption_g_per_kwh: Option<SpecificConsumption>,
    /// Diesel's density, kilograms per litre; 0.84 if not given.
    pub density_kg_per_litre: Option<Density>,
    /// What the fuel tanks hold, litres; this or `fuel`.
    pub fuel_litres: Option<FuelLitres>,
    /// What the fuel tanks hold, with its unit; this or `fuel_litres`.
    pub fuel: Option<FuelVolume>,
    /// The share of the tanks that the pump can reach; 0.9 if not given.
    pub usable_share: Option<UsableShare>,
    /// What cans on deck hold, all of it usable; none if not given.
    pub cans: Option<FuelVolume>,
}

/// `[handling]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct HandlingTable {
    /// True wind speed at and above which she heaves to, knots; 45 if not given.
    pub heave_to_kn: Option<HeaveTo>,
    /// Speed made good under sail below which the engine is started, knots; never if not given.
    pub motor_below_kn: Option<MotorBelow>,
    /// True wind speed from which she makes nothing good to windward, knots; 38 if not given, and no
    /// such limit for a polar from sea.
    pub beat_until_kn: Option<BeatUntil>,
    /// Apparent wind below which the sails slat and she does not sail, knots; 4 if not given, and 0
    /// for a polar from sea.
    pub slat_below_kn: Option<SlatBelow>,
    /// What the sea takes off her speed to windward, as a multiple of the usual; 1 if not given, and
    /// 0 for a polar from sea.
    pub sea_brake: Option<SeaBrake>,
    /// The longest she waits for weather, before she leaves and after each stay, up to 30 days; she leaves
    /// on the day if not given. The crew looks at the forecast every 24 hours.
    #[schemars(extend("examples" = ["5 days"]))]
    pub wait_up_to: Option<WaitHours>,
    /// How far ahead the crew looks, 1 to 10 days; 3 days if not given.
    #[schemars(extend("examples" = ["3 days"]))]
    pub forecast: Option<ForecastHours>,
    /// She leaves with no headwind of this speed or more in the forecast, knots; 20 if not given.
    pub wait_for_headwind_below_kn: Option<HeadwindBelow>,
    /// She leaves with at least this share of the mean progress in the forecast; 0.7 if not given.
    pub wait_for_progress_share: Option<ProgressShare>,
    /// How well the forecast knows the wind; usual if not given. This or `forecast_skill_by_day`.
    pub forecast_skill: Option<ForecastWord>,
    /// The same as correlations of the forecast wind with the true one, for each day of the forecast; this
    /// or `forecast_skill`.
    #[schemars(extend("examples" = [[0.95, 0.9, 0.8]]))]
    pub forecast_skill_by_day: Option<Vec<Skill>>,
}

/// `[climate]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ClimateTable {
    /// A NetCDF file with twelve monthly fields, beside the voyage file.
    pub file: FilePath,
    /// Names of its variables, where they are not found by themselves.
    pub variables: Option<VariablesTable>,
    /// The height of its winds, metres; stands above what the file says.
    pub wind_height_m: Option<WindHeight>,
    /// Mean wind vector over mean wind speed, where the file has no mean speed; 0.6 if not given.
    pub assumed_steadiness: Option<Steadiness>,
}

/// `[climate.variables]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct VariablesTable {
    /// The variable with the mean wind toward the east.
    pub eastward_wind: Option<Line>,
    /// The variable with the mean wind toward the north.
    pub northward_wind: Option<Line>,
    /// The variable with the mean scalar wind speed.
    pub wind_speed: Option<Line>,
    /// The variable with the mean air temperature.
    pub air_temperature: Option<Line>,
}

/// `[current]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CurrentTable {
    /// The currents that come with the program, or none; this or `file`. Where nothing is said, those
    /// of the climate's own file if it has them, else the drifters'.
    #[serde(rename = "use")]
    pub use_: Option<CurrentUse>,
    /// A NetCDF file with one annual or twelve monthly fields, beside the voyage file; this or `use`.
    pub file: Option<FilePath>,
    /// What the file holds, to have it refused where it holds anything else; either if not given.
    pub period: Option<CurrentPeriod>,
    /// Names of its variables, where they are not found by themselves.
    pub variables: Option<CurrentVariablesTable>,
}

/// Currents that need no file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum CurrentUse {
    /// Annual means from drifting buoys, which come with the program.
    Drifters,
    /// No currents.
    None,
}

/// `[current.variables]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CurrentVariablesTable {
    /// The variable with the mean current toward the east.
    pub eastward_sea_water_velocity: Option<Line>,
    /// The variable with the mean current toward the north.
    pub northward_sea_water_velocity: Option<Line>,
}

/// `[[stage]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StageTable {
    /// What the stage is called; no two stages have the same name.
    pub name: Line,
    /// The ways to choose from, at least one; each ends where the others do, within 25 nm, and begins
    /// where the stage before ends.
    pub route: Vec<RouteTable>,
    /// How long she stays at its end at least, up to 365 days; the last stage has none.
    #[schemars(extend("examples" = ["14 days"]))]
    pub stay: Option<StayHours>,
    /// What is to be had at its end.
    #[serde(default)]
    pub resupply: Vec<Goods>,
    /// The last day on which she is not late at its end, UTC.
    pub arrive_by: Option<PlainDay>,
    /// She leaves its end no earlier than 00:00 UTC of this day.
    pub leave_after: Option<PlainDay>,
}

/// `[[route]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RouteTable {
    /// What the route is called; no two routes have the same name.
    pub name: Line,
    /// Its waypoints in the order they are passed, two or more; these or `file`.
    #[serde(default)]
    pub waypoint: Vec<WaypointTable>,
    /// A GPX, GeoJSON or CSV file beside the voyage file; this or waypoints.
    pub file: Option<FilePath>,
    /// Which route of the file, where it holds several.
    pub file_route: Option<Line>,
    /// The line its legs follow where the file does not say; rhumb lines if not given. A recorded
    /// track takes none.
    pub leg: Option<FileLeg>,
}

/// `[[route.waypoint]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WaypointTable {
    /// What the place is called.
    pub name: Line,
    /// Latitude and longitude: degrees and minutes with N or S and E or W, or signed degrees; this or
    /// `place`.
    pub position: Option<Place>,
    /// The name of a port and its country, such as "Fremantle, Australia", for a position a mile or more
    /// off it; this or `position`.
    #[schemars(extend("examples" = ["Fremantle, Australia"]))]
    pub place: Option<Line>,
    /// The line from the waypoint before; a great circle if not given. A route's first waypoint has
    /// none.
    pub leg: Option<Leg>,
    /// The latitude that a composite leg keeps to the equator's side of, degrees.
    pub limit_latitude: Option<LimitLatitude>,
    /// How long she stays in harbour, up to 365 days; this or `stay_until`.
    #[schemars(extend("examples" = ["6 days"]))]
    pub stay: Option<StayHours>,
    /// She stays until 00:00 UTC of this day, or leaves at once where she arrives later; this or `stay`.
    pub stay_until: Option<PlainDay>,
    /// What is to be had there. With diesel she leaves with full tanks.
    #[serde(default)]
    pub resupply: Vec<Goods>,
    /// The last day on which she is not late there, UTC.
    pub arrive_by: Option<PlainDay>,
    /// She leaves no earlier than 00:00 UTC of this day.
    pub leave_after: Option<PlainDay>,
}

/// The line a leg follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Leg {
    /// The shortest line.
    GreatCircle,
    /// The line of constant course.
    Rhumb,
    /// A great circle that goes no nearer the pole than `limit_latitude`.
    Composite,
}

/// The line that the legs of a route file follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum FileLeg {
    /// The shortest line.
    GreatCircle,
    /// The line of constant course.
    Rhumb,
}
