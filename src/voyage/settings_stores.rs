//! The settings of the loading list. Only `[crew]` must be there; what is left out has the default
//! of its subject's module in `stores`.
//!
//! In a list (uses of water, electric loads, kinds of food, service items) an entry with the name of
//! a default stands in its place, any other is added, and `only_listed = true` leaves the defaults
//! out.

use schemars::JsonSchema;
use serde::Deserialize;

use super::settings::FuelRate;
use super::values::{BatterySize, Line, amounts};
use crate::stores::crew::{
    ACTIVITY_LEVEL, AGE, BODY_MASS, CREW_COUNT, FOOD_ENERGY, HEIGHT, PET_MASS,
};
use crate::stores::days::{CONFIDENCE, PRICE_RATIO, RESERVE_SHARE, RESUPPLY_DAYS};
use crate::stores::food::{ALLOWANCE, NO_COOK_DAYS};
use crate::stores::outcome::{PASSAGE_HOURS, WIND};
use crate::stores::power_sources::{BatteryKind, ELECTRIC_POWER, PART, RATED_WIND, SOURCE_POWER};
use crate::stores::provisions::{BULK, ENERGY_DENSITY, KEEPING_DAYS, KIND_SHARE};
use crate::stores::service::{ENGINE_INTERVAL, IN_HAND, PER_CHANGE, SINCE, WATER_INTERVAL};
use crate::stores::watches::{ASLEEP, CHORES, LOST};
use crate::stores::water::{EMERGENCY, PERSON_WATER, TANK};
use crate::stores::watermaker::{HOURS_A_DAY, MADE_PER_HOUR, WATERMAKER_POWER};
use crate::stores::{Animal, Keeping, Sex, Supply};
use crate::units::{Kind, OutputUnits, Range, TemperatureScale};

pub(super) const CM_PER_M: f64 = 100.0;
/// [`HEIGHT`] in metres.
const HEIGHT_M: Range = Range::new(
    HEIGHT.what,
    "m",
    HEIGHT.min / CM_PER_M,
    HEIGHT.max / CM_PER_M,
);
const VOLTS: Range = Range::new("the battery's voltage", "V", 6.0, 1000.0);

amounts! {
    CrewCount: WholeNumber(CREW_COUNT);
    Age: Number(AGE);
    BodyMass: Quantity(Kind::Mass, BODY_MASS);
    Height: Quantity(Kind::Length, HEIGHT_M);
    ActivityLevel: Number(ACTIVITY_LEVEL);
    FoodEnergy: Number(FOOD_ENERGY);
    PetMass: Quantity(Kind::Mass, PET_MASS);
    Confidence: Number(CONFIDENCE);
    ReserveShare: Number(RESERVE_SHARE);
    ArrivalHours: Number(PASSAGE_HOURS);
    ResupplyDays: Number(RESUPPLY_DAYS);
    PriceRatio: Number(PRICE_RATIO);
    Tank: Quantity(Kind::Volume, TANK);
    PersonWater: Quantity(Kind::Volume, PERSON_WATER);
    EmergencyWater: Quantity(Kind::Volume, EMERGENCY);
    MadePerHour: Quantity(Kind::Volume, MADE_PER_HOUR);
    WatermakerPower: Quantity(Kind::Power, WATERMAKER_POWER);
    HoursADay: Number(HOURS_A_DAY);
    ElectricPower: Quantity(Kind::Power, ELECTRIC_POWER);
    SourcePower: Quantity(Kind::Power, SOURCE_POWER);
    Volts: Number(VOLTS);
    Part: Number(PART);
    RatedWind: Number(RATED_WIND);
    Wind: Number(WIND);
    Allowance: Number(ALLOWANCE);
    NoCookDays: Number(NO_COOK_DAYS);
    EnergyDensity: Number(ENERGY_DENSITY);
    KindShare: Number(KIND_SHARE);
    Bulk: Number(BULK);
    KeepingDays: Number(KEEPING_DAYS);
    EngineInterval: Number(ENGINE_INTERVAL);
    WaterInterval: Number(WATER_INTERVAL);
    Since: Number(SINCE);
    Pieces: Number(PER_CHANGE);
    Fluid: Quantity(Kind::Volume, PER_CHANGE);
    InHand: Number(IN_HAND);
    Chores: Number(CHORES);
    Asleep: Number(ASLEEP);
    Lost: Number(LOST);
}

/// `[crew]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Crew {
    /// How many people are aboard, all with the needs that this table says; this or a
    /// `[[crew.person]]` for each.
    pub people: Option<CrewCount>,
    /// The people one by one.
    #[serde(default)]
    pub person: Vec<PersonTable>,
    /// The pets aboard.
    #[serde(default)]
    pub pet: Vec<PetTable>,
    /// Their sex.
    pub sex: Option<Sex>,
    /// Their age, years; the formulas of food energy are for adults.
    pub age_years: Option<Age>,
    /// Body mass of each.
    pub mass: Option<BodyMass>,
    /// Height of each; for a cross-check only.
    pub height: Option<Height>,
    /// How hard they work through the day; moderate if not given.
    pub activity: Option<ActivityKind>,
    /// The day's energy over the resting energy; in place of `activity`.
    pub activity_level: Option<ActivityLevel>,
    /// Food energy of each, kilocalories a day; in place of the body.
    pub kcal_per_day: Option<FoodEnergy>,
}

/// `[[crew.person]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PersonTable {
    /// What the list calls this person.
    pub name: Option<Line>,
    /// Whether this person takes a turn on watch alone; true if not given.
    pub keeps_watch: Option<bool>,
    /// The person's sex.
    pub sex: Option<Sex>,
    /// Age, years; the formulas of food energy are for adults.
    pub age_years: Option<Age>,
    /// Body mass.
    pub mass: Option<BodyMass>,
    /// Height; for a cross-check only.
    pub height: Option<Height>,
    /// How hard this person works through the day; moderate if not given.
    pub activity: Option<ActivityKind>,
    /// The day's energy over the resting energy; in place of `activity`.
    pub activity_level: Option<ActivityLevel>,
    /// Food energy, kilocalories a day, for a child or a special diet; in place of the body.
    pub kcal_per_day: Option<FoodEnergy>,
}

/// How hard a person works through the day.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum ActivityKind {
    /// Mostly sitting or lying.
    Sedentary,
    /// Handling sail, steering now and then, keeping balance all day.
    Moderate,
    /// Steering by hand and working on deck for much of the day.
    Vigorous,
}

/// `[[crew.pet]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PetTable {
    /// What the list calls it.
    pub name: Line,
    /// Dog or cat.
    pub animal: Animal,
    /// Its mass.
    pub mass: PetMass,
}

/// `[reserve]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Reserve {
    /// The share of all passages to provide for, per cent; 90 if not given.
    pub confidence_percent: Option<Confidence>,
    /// More food than the days need, as a share of the days; 0.5 if not given.
    pub food_share: Option<ReserveShare>,
    /// More water than the days need, as a share of the days; if not given 0.5, or 0 with a
    /// watermaker.
    pub water_share: Option<ReserveShare>,
    /// Hours under power kept for the arrival; 12 if not given.
    pub arrival_engine_hours: Option<ArrivalHours>,
}

/// `[resupply]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Resupply {
    /// Days from arrival until stores can be bought; 0 if not given.
    pub days: Option<ResupplyDays>,
    /// Prices there over prices at home.
    pub price_ratio: Option<PriceRatio>,
    /// What can be bought there.
    pub sold_there: Option<Vec<Supply>>,
}

/// `[water]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Water {
    /// What the tanks hold; needed with a watermaker.
    pub tank: Option<Tank>,
    /// What bottles and cans apart from the tanks hold; none if not given.
    pub bottled: Option<Tank>,
    /// For each person and day, drinking and cooking; 4 L if not given.
    pub per_person_day: Option<PersonWater>,
    /// Uses of water beside drinking and cooking, such as washing.
    #[serde(default, rename = "use")]
    pub uses: Vec<WaterUseTable>,
    /// Only the uses listed here, without drinking and cooking together.
    pub only_listed: Option<bool>,
    /// More for each person and day where the air is above 25 degrees C; 1 L if not given.
    pub heat_per_person_day: Option<PersonWater>,
    /// For each person and day once the watermaker has failed; 3 L if not given.
    pub ration_per_person_day: Option<PersonWater>,
    /// For each person, apart from the tanks, for leaving the boat; 3 L if not given.
    pub emergency_per_person: Option<EmergencyWater>,
    /// The watermaker, if there is one.
    pub watermaker: Option<WatermakerTable>,
}

/// `[[water.use]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WaterUseTable {
    /// What it is for.
    pub name: Line,
    /// How much for each person and day.
    pub per_person_day: PersonWater,
}

/// `[water.watermaker]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WatermakerTable {
    /// Water made in an hour.
    pub per_hour: MadePerHour,
    /// Electric power while it runs.
    pub power: WatermakerPower,
    /// Hours it runs a day; as long as it takes if not given.
    pub hours_per_day: Option<HoursADay>,
}

/// `[power]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Power {
    /// Electric loads that stand in place of the usual ones of their names, or beside them.
    #[serde(default)]
    pub load: Vec<LoadTable>,
    /// Only the loads listed here, without the usual ones.
    pub only_listed: Option<bool>,
    /// The house battery.
    pub battery: Option<BatteryTable>,
    /// Solar panels, lying level.
    pub solar: Option<SolarTable>,
    /// A wind generator.
    pub wind: Option<WindTable>,
    /// The engine's alternator.
    pub alternator: Option<AlternatorTable>,
}

/// `[[power.load]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LoadTable {
    /// What it is.
    pub name: Line,
    /// Mean power while it runs.
    pub power: ElectricPower,
    /// When it runs; this or `hours_per_day`.
    pub when: Option<When>,
    /// Hours it runs a day; this or `when`.
    pub hours_per_day: Option<HoursADay>,
}

/// When an electric load runs.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum When {
    /// At all hours.
    Always,
    /// From sunset to sunrise.
    Dark,
}

/// `[power.battery]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BatteryTable {
    /// What it is made of.
    pub kind: BatteryKind,
    /// What it holds when full, as energy, or as a charge with `volts`.
    pub size: BatterySize,
    /// Its voltage; needed where the size is a charge.
    pub volts: Option<Volts>,
    /// The share that may be used; if not given 0.5 of lead, 0.8 of lithium.
    pub usable_share: Option<Part>,
}

/// `[power.solar]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SolarTable {
    /// Rating of all panels.
    pub peak: SourcePower,
    /// The share of the sun's energy above the air that reaches the deck; 0.5 if not given.
    pub clearness: Option<Part>,
    /// The share of the rating left by shade, angle, heat and wiring; 0.6 if not given.
    pub in_use_share: Option<Part>,
}

/// `[power.wind]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WindTable {
    /// Power in the rated wind.
    pub rated: SourcePower,
    /// The wind of the rating, metres per second.
    pub rated_wind_ms: RatedWind,
    /// The wind below which nothing comes, metres per second.
    pub starts_at_ms: Wind,
    /// The share of the true wind speed that reaches the blades; 0.7 if not given.
    pub wind_share: Option<Part>,
}

/// `[power.alternator]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AlternatorTable {
    /// Power into the battery over a whole charge.
    pub net: SourcePower,
    /// The share of charge that comes out again; 0.85 if not given.
    pub charge_efficiency: Option<Part>,
    /// Diesel burnt while charging at rest, litres an hour; 1.5 if not given.
    pub litres_per_hour: Option<FuelRate>,
}

/// `[food]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Food {
    /// Whether a refrigerator runs all the way; true if not given.
    pub refrigerator: Option<bool>,
    /// More food on a passage below 10 degrees C, as a share; 0.1 if not given.
    pub cold_share: Option<Allowance>,
    /// More food in gales and while beating in 20 kn or more, as a share; 0.15 if not given.
    pub heavy_weather_share: Option<Allowance>,
    /// More fresh and chilled food, for what spoils, as a share; 0.15 if not given.
    pub spoilage_share: Option<Allowance>,
    /// The least days of food that needs no cooking; 2 if not given.
    pub least_no_cook_days: Option<NoCookDays>,
    /// Energy in the pets' food, kilocalories per kilogram; 3500 if not given.
    pub pet_food_kcal_per_kg: Option<EnergyDensity>,
    /// Kinds of food that stand in place of the usual ones of their names, or beside them.
    #[serde(default)]
    pub kind: Vec<FoodKindTable>,
    /// Only the kinds listed here, without the usual ones.
    pub only_listed: Option<bool>,
}

/// `[[food.kind]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FoodKindTable {
    /// What to ask for in a shop.
    pub name: Line,
    /// How it is kept.
    pub keeping: Keeping,
    /// Of fresh and chilled food the share of a day's energy while it keeps; of dry and no-cook
    /// food its part of all of that keeping.
    pub share: KindShare,
    /// Energy, kilocalories per kilogram as bought.
    pub kcal_per_kg: EnergyDensity,
    /// Room when stowed, litres per kilogram.
    pub litres_per_kg: Bulk,
    /// Days it keeps aboard.
    pub keeps_days: KeepingDays,
}

/// `[service]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Service {
    /// Parts and fluids that stand in place of the usual ones of their names, or beside them.
    #[serde(default)]
    pub item: Vec<ServiceItemTable>,
    /// Only the items listed here, without the usual ones.
    pub only_listed: Option<bool>,
}

/// `[[service.item]]`
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ServiceItemTable {
    /// What it is.
    pub name: Line,
    /// Engine hours between changes; this or `every_water_litres`.
    pub every_engine_hours: Option<EngineInterval>,
    /// Engine hours since the last change; 0 if not given.
    pub engine_hours_since: Option<Since>,
    /// Litres of water made between changes; this or `every_engine_hours`.
    pub every_water_litres: Option<WaterInterval>,
    /// Litres of water made since the last change; 0 if not given.
    pub water_litres_since: Option<Since>,
    /// Pieces that one change takes; this or `fluid`.
    pub pieces: Option<Pieces>,
    /// Fluid that one change takes; this or `pieces`.
    pub fluid: Option<Fluid>,
    /// Changes to carry beyond those due; 1 if not given.
    pub in_hand: Option<InHand>,
}

/// `[watches]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Watches {
    /// Hours a day each person cooks, repairs and does chores off watch; 3 if not given.
    pub chores_hours: Option<Chores>,
    /// The share of free time that is slept; 0.85 if not given.
    pub asleep_share: Option<Asleep>,
    /// The share of sleep lost in a gale; 0.5 if not given.
    pub gale_lost_share: Option<Lost>,
    /// The share of sleep lost while beating in 20 kn or more; 0.25 if not given.
    pub hard_beat_lost_share: Option<Lost>,
}

/// `[output]`
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Output {
    /// Units of what is printed, CSV of the stores included; metric if not given.
    pub units: Option<OutputUnits>,
    /// The scale of the air's temperature in the comparison; Celsius if not given.
    pub temperature: Option<TemperatureScale>,
}
