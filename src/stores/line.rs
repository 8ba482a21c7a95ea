//! One line of the loading list, with how it came about; and what to know before acting on the list.

use schemars::JsonSchema;
use serde::Serialize;

use super::basis::{Basis, Figure};
use super::days::Supply;
use crate::units::Unit;

/// What a line or a caution is about, in the order of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Subject {
    /// Days to provide for.
    Days,
    /// Diesel.
    Fuel,
    /// Fresh water.
    Water,
    /// Electric power.
    Power,
    /// Food for people and pets.
    Food,
    /// Spares and service.
    Service,
    /// Watches and sleep.
    Watches,
}

/// What a line is of, and how it is worked out from the line's days, rate, reserve and rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Item {
    /// The days that a percentile of the simulated passages take no longer than.
    DaysAtSea,
    /// Days after arrival before stores can be bought.
    DaysUntilResupply,
    /// Days in harbour on the food aboard.
    HarbourDaysOfFood,
    /// Days at sea x (1 + reserve) + days in harbour on what is aboard + days until resupply, for food.
    DaysOfFood,
    /// Days in harbour on the water aboard.
    HarbourDaysOfWater,
    /// As for food.
    DaysOfWater,
    /// Diesel burnt in an hour under power.
    BurnPerHour,
    /// Diesel for motoring: hours under power, at their own percentile, x litres an hour.
    Motoring,
    /// Diesel for charging: days x hours a day x litres an hour.
    Charging,
    /// Diesel to load: a percentile of each simulated passage's own total, arrival included.
    DieselToLoad,
    /// The part of the diesel kept for the arrival.
    ArrivalReserve,
    /// Diesel that tanks and cans give.
    TanksAndCans,
    /// Tanks and cans of which the need is two thirds: one third out, one back, one spare.
    TanksByThirds,
    /// The chance that the engine is wanted after its fuel is spent.
    RunningDry,
    /// The chance that motoring, charging and the arrival exceed tanks and cans.
    ReserveBroken,
    /// Water for drinking and cooking together: people x days x litres.
    DrinkingAndCookingWater,
    /// Water for drinking: people x days x litres.
    DrinkingWater,
    /// Water for cooking: people x days x litres.
    CookingWater,
    /// Water for washing: people x days x litres.
    WashingWater,
    /// Water for a use of the crew's own, by name: people x days x litres.
    OtherWater,
    /// More to drink in the heat: people x days x litres.
    HeatWater,
    /// Water for the pets: their mass x days x litres.
    PetWater,
    /// Water made on the way.
    WaterMade,
    /// Water to leave with in tanks and bottles, at least: all uses over the days; with a watermaker
    /// enough for the rest of the passage at the ration, on whichever day it fails.
    WaterInTanks,
    /// Passages too slow for the least water, should the watermaker fail on the worst day.
    TooSlowForLeastWater,
    /// How long full tanks last at the ration after a failure on the worst day.
    WaterAfterFailure,
    /// Passages too slow for full tanks, should the watermaker fail on the worst day.
    TooSlowForFullTanks,
    /// Emergency water apart from the tanks, in containers that can be taken off the boat.
    EmergencyWater,
    /// Water to load: tanks and bottles, and the emergency water.
    WaterToLoad,
    /// What one thing aboard uses in a day, by name: mean power x hours.
    ElectricLoad,
    /// What the watermaker uses in a day: its power x its hours.
    WatermakerLoad,
    /// What everything aboard uses in a day.
    PowerUsed,
    /// Made by the sun in a day: the sun above the air x clearness x rating x its share in use.
    SolarPower,
    /// Made by the wind in a day: rating x the cube of the wind at the blades over the rated wind.
    WindPower,
    /// Left to the engine in a day: the mean of each day's lack.
    LeftToEngine,
    /// Hours of charging in a day: the lack over the alternator's power and the charging efficiency.
    ChargingHours,
    /// Hours of charging on the worst day.
    WorstChargingHours,
    /// Hours the usable part of the battery carries the mean use, with nothing coming in.
    BatteryHours,
    /// A person's food energy in a day, by name.
    PersonEnergy,
    /// The food energy of all people in a day, with the allowance for cold.
    ColdEnergy,
    /// More food energy for gales and for beating in 20 kn or more.
    HeavyWeatherEnergy,
    /// Days of food that needs no cooking: the hours of gale, on top of the rest.
    NoCookDays,
    /// How much more fresh and chilled food is bought than eaten, for what spoils.
    Spoilage,
    /// Food for a pet, by name: 70 x mass^0.75 kcal x a factor, over the days.
    PetFood,
    /// All food.
    FoodToLoad,
    /// The room that the people's food takes.
    FoodRoom,
    /// A part or fluid to carry, by name: (changes due + changes in hand) x what a change takes.
    Spare,
    /// Hours from sunset to sunrise, mean over the track.
    DarkHours,
    /// The longest night on the track.
    LongestNight,
    /// Dark hours of the passage: mean dark hours x days.
    DarkHoursOfPassage,
    /// Hours of 34 kn or more.
    GaleHours,
    /// Hours of beating in 20 kn or more.
    HardBeatHours,
    /// Hours on watch for each in a day: 24 over the watch keepers.
    OnWatch,
    /// Turns on watch in a day.
    TurnsOnWatch,
    /// Sleep for each in a day of fair weather: a share of what watch and chores leave.
    FairSleep,
    /// Sleep for each on a day of gale throughout.
    GaleSleep,
    /// Sleep for each in a day over the passage: fair sleep less what gales and beating take.
    MeanSleep,
}

/// The numbers that a line's item is worked out from, beside its days, rate and reserve.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Rule {
    /// Power as the cube of speed, and what that burns.
    PropellerLaw {
        /// Power at `speed_kn`, kW.
        power_kw: f64,
        /// The speed that power gives, knots.
        speed_kn: f64,
        /// Cruising speed under power, knots.
        cruising_kn: f64,
        /// Specific consumption, g/kWh.
        consumption_g_per_kwh: Figure,
        /// Diesel's density, kg/L.
        density_kg_per_litre: Figure,
    },
    /// So many hours under power.
    UnderPower {
        /// Hours.
        hours: f64,
    },
    /// So many hours a day.
    EachDay {
        /// Hours a day.
        hours: f64,
    },
    /// A share of something: of a tank, a battery, the wind, sleep, food.
    Part {
        /// The share, 0 to 1, and where it comes from.
        share: Figure,
    },
    /// A passage of more days than those.
    LongerThan {
        /// Days to provide for.
        days: f64,
    },
    /// A watermaker that fails on its worst day, after a departure with full tanks.
    WorstDay {
        /// The day of the passage; 0 is the day of departure.
        day: f64,
        /// Days still to go on that day.
        days_to_go: f64,
    },
    /// The sun's way to the battery.
    Sunlight {
        /// The share of the sun's energy that comes through the air, 0 to 1.
        clearness: Figure,
        /// The share of the panels' rating in use, 0 to 1.
        in_use_share: Figure,
    },
    /// Resting energy x physical activity level.
    RestingEnergy {
        /// Resting energy, kcal/day.
        resting_kcal: f64,
        /// Physical activity level.
        activity_level: Figure,
        /// Resting energy after Mifflin and St Jeor, for comparison, kcal/day; none without a height.
        cross_check_kcal: Option<f64>,
    },
    /// More below a mean air temperature.
    Colder {
        /// The share more.
        share: f64,
        /// The mean air temperature, degrees Celsius.
        below_c: f64,
    },
    /// No fewer than that many days.
    NoFewer {
        /// Days.
        days: f64,
    },
    /// A pet's day over its resting energy, in food of so much energy.
    PetEnergy {
        /// The day's energy over the resting energy.
        factor: f64,
        /// Energy in the food, kcal/kg.
        kcal_per_kg: Figure,
    },
    /// Changes of a part or fluid.
    Changes {
        /// Changes due on the way.
        due: f64,
        /// Changes carried beyond those.
        in_hand: Figure,
        /// What one change takes, in the line's unit.
        per_change: Figure,
    },
}

/// What a rate is per.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Per {
    /// Each person, each day.
    PersonAndDay,
    /// Each person.
    Person,
    /// Each day.
    Day,
    /// Each day at the ration.
    DayAtRation,
    /// Each hour under power.
    HourUnderPower,
    /// Each hour of charging.
    HourOfCharging,
    /// Each hour the thing runs.
    HourRunning,
    /// Each hour of the standard sun, 1 kW/m2.
    HourOfStandardSun,
    /// Each hour of the rated wind.
    HourOfRatedWind,
    /// Each change, counted by the engine's hours or by the water made.
    Change,
    /// Each day of chores.
    DayOfChores,
}

/// An amount per something.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Rate {
    /// The amount, in `unit`.
    pub value: f64,
    /// The amount's unit.
    pub unit: Unit,
    /// What it is per.
    pub per: Per,
}

/// A quantity to load or to know, and how it came about.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Line {
    /// What it is.
    pub item: Item,
    /// Which of that kind: a person, a pet, a load, a part, a use of water; none where there is one.
    pub name: Option<String>,
    /// The percentile of the simulated passages it is at; none where that does not tell lines apart.
    pub percent: Option<f64>,
    /// How much, in `unit`; always metric.
    pub quantity: f64,
    /// The quantity's unit.
    pub unit: Unit,
    /// The days it is for; none where days do not enter.
    pub days: Option<f64>,
    /// The rate it is worked out at; none where none enters.
    pub rate: Option<Rate>,
    /// The reserve in it, as a share of what is expected to be used; none where there is none.
    pub reserve_share: Option<f64>,
    /// The other numbers that enter; none where none do.
    pub rule: Option<Rule>,
    /// Where the rule or its rate comes from.
    pub basis: Basis,
}

impl Line {
    pub(crate) fn new(item: Item, quantity: f64, unit: Unit, basis: Basis) -> Self {
        Self {
            item,
            name: None,
            percent: None,
            quantity,
            unit,
            days: None,
            rate: None,
            reserve_share: None,
            rule: None,
            basis,
        }
    }

    /// A share, shown in per cent.
    pub(crate) fn share(item: Item, share: f64, basis: Basis) -> Self {
        Self::new(item, 100.0 * share, Unit::Percent, basis)
    }

    pub(crate) fn named(mut self, name: &str) -> Self {
        self.name = Some(name.to_owned());
        self
    }

    pub(crate) fn at_percent(mut self, percent: f64) -> Self {
        self.percent = Some(percent);
        self
    }

    pub(crate) fn over_days(mut self, days: f64) -> Self {
        self.days = Some(days);
        self
    }

    pub(crate) fn at_rate(mut self, value: f64, unit: Unit, per: Per) -> Self {
        self.rate = Some(Rate { value, unit, per });
        self
    }

    pub(crate) fn with_reserve(mut self, share: f64) -> Self {
        self.reserve_share = Some(share);
        self
    }

    pub(crate) fn by(mut self, rule: Rule) -> Self {
        self.rule = Some(rule);
        self
    }
}

/// Something the skipper must see before acting on the list.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Caution {
    /// Water figures are minimums, not targets. Always there.
    WaterIsMinimum,
    /// Tanks and bottles hold less than the water to leave with.
    WaterShort {
        /// What they lack, litres.
        short_litres: f64,
    },
    /// Less is set aside for drinking than a person needs to live on for long.
    LittleToDrink {
        /// Litres for each person and day.
        litres_per_person_day: f64,
    },
    /// All uses together are below the least for people on shore.
    LittleWater {
        /// Litres for each person and day.
        litres_per_person_day: f64,
    },
    /// After a failure of the watermaker on the worst day, water at the ration ends too soon.
    WaterEndsEarly {
        /// Days it lacks.
        short_days: f64,
    },
    /// Passages slower than those provided for run out if the watermaker fails on the worst day.
    SlowPassagesRunOut {
        /// Their share with no more than the least water aboard, 0 to 1.
        share: f64,
        /// Their share with tanks and bottles full, 0 to 1.
        share_with_full_tanks: f64,
    },
    /// The watermaker cannot keep up with the use.
    WatermakerTooSmall {
        /// Hours it would have to run each day.
        hours_per_day: f64,
    },
    /// It is not known what the water tanks hold.
    WaterTanksUnknown,
    /// Spares and medicine are minimums, not targets. Always there.
    SparesAreMinimum,
    /// Food figures are minimums, not targets, and those of groups of adults. Always there.
    FoodIsMinimum,
    /// Tanks and cans hold less diesel than is needed.
    DieselShort {
        /// The percentile of the need.
        percent: f64,
        /// What they lack, litres.
        short_litres: f64,
    },
    /// The diesel rests on passages that ran dry: it is the least needed, not enough.
    DieselAtLeast {
        /// The percentile of the need.
        percent: f64,
    },
    /// Sun and wind do not cover the use, and there is no alternator.
    PowerShort {
        /// What is lacking on the worst day, Wh.
        worst_lacking_wh: f64,
    },
    /// The alternator cannot cover the worst day.
    AlternatorTooSmall {
        /// Hours it would take.
        worst_charging_hours: f64,
    },
    /// The battery alone does not last the longest night.
    BatteryTooSmall {
        /// Hours it lasts.
        battery_hours: f64,
    },
    /// One person cannot keep a lookout at all times.
    LookoutAlone,
    /// Each person sleeps little over the passage.
    LittleSleep {
        /// Hours a day.
        mean_sleep_hours: f64,
    },
    /// Electricity is not known: charging is not in the diesel.
    PowerUnknown,
    /// The air temperature is not known: nothing is added to water for heat, nor to food for cold.
    AirTemperatureUnknown,
    /// Something cannot be bought at the destination.
    NotSoldThere {
        /// What.
        supply: Supply,
    },
    /// Stores cost more at the destination.
    DearerThere {
        /// Prices there over prices here.
        price_ratio: f64,
    },
}

impl Caution {
    /// What it is about.
    pub fn subject(&self) -> Subject {
        match self {
            Self::DearerThere { .. } => Subject::Days,
            Self::DieselShort { .. } | Self::DieselAtLeast { .. } => Subject::Fuel,
            Self::WaterIsMinimum
            | Self::WaterShort { .. }
            | Self::LittleToDrink { .. }
            | Self::LittleWater { .. }
            | Self::WaterEndsEarly { .. }
            | Self::SlowPassagesRunOut { .. }
            | Self::WatermakerTooSmall { .. }
            | Self::WaterTanksUnknown
            | Self::AirTemperatureUnknown => Subject::Water,
            Self::PowerShort { .. }
            | Self::AlternatorTooSmall { .. }
            | Self::BatteryTooSmall { .. }
            | Self::PowerUnknown => Subject::Power,
            Self::FoodIsMinimum => Subject::Food,
            Self::SparesAreMinimum => Subject::Service,
            Self::LookoutAlone | Self::LittleSleep { .. } => Subject::Watches,
            Self::NotSoldThere { supply } => supply.subject(),
        }
    }
}
