//! Fresh water: what is drunk and used, what is made, and what the tanks must hold when the
//! watermaker fails.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure};
use super::crew::CrewSettings;
use super::days::DaysPlan;
use super::error::{StoresError, check};
use super::line::{Caution, Item, Line, Per};
use super::outcome::PassageOutcome;
use super::watermaker::{Failure, Watermaker, WatermakerPlan};

/// Water used by one person in a day.
pub const PERSON_WATER: Range = Range::new("water", "L per person and day", 0.0, 200.0);
/// What tanks or bottles hold.
pub const TANK: Range = Range::new("water", "L", 0.0, 20_000.0);
/// Emergency water apart from the tanks.
pub const EMERGENCY: Range = Range::new("emergency water", "L per person", 0.0, 100.0);

/// The origin of the least and most that people on shore are provided with after a disaster.
pub const SPHERE: Basis = Basis::second_hand("Sphere handbook 2011, basic water needs");

/// Drinking and cooking, litres for each person and day; washing is left to the sea.
pub const DRINKING_AND_COOKING: Figure = Figure::new(4.0, Basis::PRACTICE);
/// Once the watermaker has failed, litres for each person and day: the upper end of [`SHORE_DRINKING`].
pub const RATION: Figure = Figure::new(SHORE_DRINKING[1], SPHERE);
/// Least water to live on, drink and food together, litres for each person and day: the lower end of
/// [`SHORE_DRINKING`].
pub const SURVIVAL: Figure = Figure::new(SHORE_DRINKING[0], SPHERE);
/// Drinking on shore, with the water in food, litres for each person and day, by the Sphere Handbook.
pub const SHORE_DRINKING: [f64; 2] = [2.5, 3.0];
/// Cooking on shore, litres for each person and day, by the Sphere Handbook.
pub const SHORE_COOKING: [f64; 2] = [3.0, 6.0];
/// Washing on shore, litres for each person and day, by the Sphere Handbook.
pub const SHORE_WASHING: [f64; 2] = [2.0, 6.0];
/// All uses on shore, litres for each person and day, by the Sphere Handbook.
pub const SHORE_TOTAL: [f64; 2] = [7.5, 15.0];
/// More to drink in the heat, litres for each person and day.
pub const HEAT: Figure = Figure::new(1.0, Basis::PRACTICE);
/// The mean air temperature above which [`HEAT`] is added, degrees Celsius.
pub const HOT_ABOVE_C: Figure = Figure::new(25.0, Basis::PRACTICE);
/// Emergency water in containers apart from the tanks, litres for each person: a lifeboat's ration.
pub const EMERGENCY_WATER: Figure =
    Figure::new(3.0, Basis::from_memory("LSA Code 4.4.8.9, lifeboat water"));
/// Water a pet drinks, litres for each kilogram and day: the upper end of 50 to 60 ml.
pub const PET_WATER: Figure = Figure::new(
    0.060,
    Basis::from_memory("veterinary practice, 50 to 60 ml/kg"),
);

/// What water is used for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// Drinking and cooking together.
    DrinkingAndCooking,
    /// Drinking.
    Drinking,
    /// Cooking.
    Cooking,
    /// Washing.
    Washing,
    /// A use of the crew's own, by name.
    Other(String),
}

impl Purpose {
    /// What a crew calls it.
    pub fn name(&self) -> &str {
        match self {
            Self::DrinkingAndCooking => "drinking and cooking",
            Self::Drinking => "drinking",
            Self::Cooking => "cooking",
            Self::Washing => "washing",
            Self::Other(name) => name,
        }
    }
}

impl From<String> for Purpose {
    fn from(name: String) -> Self {
        [
            Self::DrinkingAndCooking,
            Self::Drinking,
            Self::Cooking,
            Self::Washing,
        ]
        .into_iter()
        .find(|purpose| purpose.name() == name)
        .unwrap_or(Self::Other(name))
    }
}

/// One use of fresh water.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterUse {
    /// What it is for.
    pub purpose: Purpose,
    /// Litres for each person and day.
    pub litres_per_person_day: f64,
    /// Where the litres come from.
    pub basis: Basis,
}

/// How water is used, made and kept; `None` takes the default unless a field says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterSettings {
    /// The uses, at least one.
    pub uses: Vec<WaterUse>,
    /// More to drink for each person and day where the passage is hot, litres.
    pub heat_litres_per_person_day: Option<f64>,
    /// What the tanks hold, litres; `None` where it is not known.
    pub tank_litres: Option<f64>,
    /// What bottles and cans hold, litres.
    pub bottled_litres: f64,
    /// The watermaker, if any.
    pub watermaker: Option<Watermaker>,
    /// What each person is held to a day once the watermaker has failed, litres.
    pub ration_litres_per_person_day: Option<f64>,
    /// Water apart from the tanks, for leaving the boat, litres for each person.
    pub emergency_litres_per_person: Option<f64>,
}

impl WaterSettings {
    /// Tanks of `tank_litres`, if that is known, no watermaker, and [`DRINKING_AND_COOKING`].
    pub fn new(tank_litres: Option<f64>) -> Self {
        let usual = WaterUse {
            purpose: Purpose::DrinkingAndCooking,
            litres_per_person_day: DRINKING_AND_COOKING.value,
            basis: DRINKING_AND_COOKING.basis,
        };
        Self {
            uses: vec![usual],
            heat_litres_per_person_day: None,
            tank_litres,
            bottled_litres: 0.0,
            watermaker: None,
            ration_litres_per_person_day: None,
            emergency_litres_per_person: None,
        }
    }

    /// Checks every number.
    ///
    /// # Errors
    /// No use at all, a watermaker beside tanks of unknown size, or a number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        let missing = |of, needed| Err(StoresError::Missing { of, needed });
        if self.uses.is_empty() {
            return missing("uses of water", "at least one, such as drinking");
        }
        for water_use in &self.uses {
            let litres = water_use.litres_per_person_day;
            check(water_use.purpose.name(), &PERSON_WATER, litres)?;
        }
        let heat = self.heat_litres_per_person_day;
        check("more in the heat", &PERSON_WATER, heat)?;
        check("ration", &PERSON_WATER, self.ration_litres_per_person_day)?;
        check("tanks", &TANK, self.tank_litres)?;
        check("bottles", &TANK, self.bottled_litres)?;
        check("crew", &EMERGENCY, self.emergency_litres_per_person)?;
        let Some(maker) = &self.watermaker else {
            return Ok(());
        };
        // What is left when it fails is what the tanks hold.
        if self.tank_litres.is_none() {
            return missing("size of the water tanks", "it, with a watermaker");
        }
        maker.validate()
    }
}

/// Fresh water to load.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct WaterPlan {
    /// Litres used a day by all aboard.
    pub use_litres_per_day: f64,
    /// Litres a day at the ration, pets included.
    pub ration_litres_per_day: f64,
    /// The least to leave with in tanks and bottles, litres.
    pub tank_minimum_litres: f64,
    /// Emergency water apart from the tanks, litres.
    pub emergency_litres: f64,
    /// Litres to load: the tank minimum and the emergency water.
    pub to_load_litres: f64,
    /// What tanks and bottles hold, litres; none where it is not known.
    pub stock_litres: Option<f64>,
    /// What they lack of the tank minimum, litres; 0 where it fits, none where it is not known.
    pub shortfall_litres: Option<f64>,
    /// Litres for each person and day, all uses.
    pub use_litres_per_person_day: f64,
    /// Litres of it for drinking, or for drinking and cooking together; all uses where none is set
    /// apart for that.
    pub drinking_litres_per_person_day: f64,
    /// The watermaker; none without one, or where it is not known what the tanks hold.
    pub watermaker: Option<WatermakerPlan>,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

/// Water used in a day, worked out once.
struct Daily {
    people: f64,
    /// More for each person where it is hot; none where it is not.
    heat: Option<Figure>,
    pets_litres: f64,
    ration: Figure,
    emergency: Figure,
}

impl WaterPlan {
    pub(crate) fn of(
        water: &WaterSettings,
        crew: &CrewSettings,
        days: &DaysPlan,
        outcome: &PassageOutcome,
    ) -> Self {
        let air_c = outcome.mean_air_temperature_c;
        let hot = air_c.is_some_and(|celsius| celsius > HOT_ABOVE_C.value);
        let pets = crew.pets.iter();
        let daily = Daily {
            people: crew.count(),
            heat: hot.then(|| HEAT.unless_given(water.heat_litres_per_person_day)),
            pets_litres: pets.map(|pet| pet.mass_kg * PET_WATER.value).sum(),
            ration: RATION.unless_given(water.ration_litres_per_person_day),
            emergency: EMERGENCY_WATER.unless_given(water.emergency_litres_per_person),
        };
        let heat = daily.heat.map_or(0.0, |heat| heat.value);
        let each = |water_use: &WaterUse| water_use.litres_per_person_day;
        let uses: f64 = water.uses.iter().map(each).sum();
        let is_drinking = |water_use: &&WaterUse| {
            use Purpose::{Drinking, DrinkingAndCooking};
            matches!(water_use.purpose, Drinking | DrinkingAndCooking)
        };
        let drinking = water.uses.iter().find(is_drinking).map_or(uses, each);
        let use_per_day = daily.people * (uses + heat) + daily.pets_litres;
        let ration_per_day = daily.people * (daily.ration.value + heat) + daily.pets_litres;
        let stock_litres = water.tank_litres.map(|tank| tank + water.bottled_litres);
        let failure = water
            .watermaker
            .map(|maker| Failure::of(&maker, use_per_day, ration_per_day, days.water_days));
        let tank_minimum_litres = match &failure {
            Some(failure) => failure.tank_minimum(),
            None => use_per_day * days.water_days,
        };
        let emergency_litres = daily.people * daily.emergency.value;
        // Those that do not arrive outlast any water.
        let slower_than = |water_days: f64| {
            outcome.share_of_members(|member| {
                let sea_days = member.days.unwrap_or(f64::INFINITY);
                sea_days + member.harbour_days + days.water_wait_days > water_days
            })
        };
        let mut plan = Self {
            use_litres_per_day: use_per_day,
            ration_litres_per_day: ration_per_day,
            tank_minimum_litres,
            emergency_litres,
            to_load_litres: tank_minimum_litres + emergency_litres,
            stock_litres,
            shortfall_litres: stock_litres.map(|stock| (tank_minimum_litres - stock).max(0.0)),
            watermaker: failure.zip(stock_litres).map(|(failure, stock)| {
                let full_days = failure.days_from(stock);
                failure.plan(stock, slower_than(days.water_days), slower_than(full_days))
            }),
            lines: Vec::new(),
            drinking_litres_per_person_day: drinking + heat,
            use_litres_per_person_day: uses + heat,
        };
        plan.lines = plan.list(water, days, &daily);
        plan
    }

    fn list(&self, water: &WaterSettings, days: &DaysPlan, daily: &Daily) -> Vec<Line> {
        let over = days.water_days;
        let mut lines = daily.use_lines(&water.uses, over);
        let in_tanks = |basis, per_day, per| {
            litres(Item::WaterInTanks, self.tank_minimum_litres, basis)
                .over_days(over)
                .at_rate(per_day, Unit::Litre, per)
        };
        match &self.watermaker {
            None => lines.push(in_tanks(
                Basis::ARITHMETIC,
                self.use_litres_per_day,
                Per::Day,
            )),
            Some(maker) => {
                let basis = daily.ration.basis;
                let ration = self.ration_litres_per_day;
                let [made, others @ ..] = maker.lines(days, Figure::new(ration, basis));
                lines.extend([made, in_tanks(basis, ration, Per::DayAtRation)]);
                lines.extend(others);
            }
        }
        let emergency = daily.emergency;
        let apart = litres(Item::EmergencyWater, self.emergency_litres, emergency.basis);
        lines.push(apart.at_rate(emergency.value, Unit::Litre, Per::Person));
        let to_load = Item::WaterToLoad;
        lines.push(litres(to_load, self.to_load_litres, Basis::ARITHMETIC));
        lines
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::WaterIsMinimum];
        if let Some(short_litres) = self.shortfall_litres.filter(|short| *short > 0.0) {
            cautions.push(Caution::WaterShort { short_litres });
        }
        let litres_per_person_day = self.drinking_litres_per_person_day;
        if litres_per_person_day < SURVIVAL.value {
            cautions.push(Caution::LittleToDrink {
                litres_per_person_day,
            });
        }
        let litres_per_person_day = self.use_litres_per_person_day;
        if litres_per_person_day < SHORE_TOTAL[0] {
            cautions.push(Caution::LittleWater {
                litres_per_person_day,
            });
        }
        cautions.extend(self.watermaker.iter().flat_map(WatermakerPlan::cautions));
        if self.stock_litres.is_none() {
            cautions.push(Caution::WaterTanksUnknown);
        }
        cautions
    }
}

impl Daily {
    /// What is used over the days, reserve included: by each use, in the heat and by the pets.
    fn use_lines(&self, uses: &[WaterUse], over_days: f64) -> Vec<Line> {
        let used = |item, per_person_day: f64, basis| {
            litres(item, self.people * per_person_day * over_days, basis)
                .over_days(over_days)
                .at_rate(per_person_day, Unit::Litre, Per::PersonAndDay)
        };
        let by_use = |water_use: &WaterUse| {
            let (amount, basis) = (water_use.litres_per_person_day, water_use.basis);
            match &water_use.purpose {
                Purpose::DrinkingAndCooking => used(Item::DrinkingAndCookingWater, amount, basis),
                Purpose::Drinking => used(Item::DrinkingWater, amount, basis),
                Purpose::Cooking => used(Item::CookingWater, amount, basis),
                Purpose::Washing => used(Item::WashingWater, amount, basis),
                Purpose::Other(name) => used(Item::OtherWater, amount, basis).named(name),
            }
        };
        let heat = self.heat.filter(|heat| heat.value > 0.0);
        let pets = (self.pets_litres > 0.0).then(|| {
            let amount = self.pets_litres * over_days;
            litres(Item::PetWater, amount, PET_WATER.basis)
                .over_days(over_days)
                .at_rate(self.pets_litres, Unit::Litre, Per::Day)
        });
        uses.iter()
            .map(by_use)
            .chain(heat.map(|heat| used(Item::HeatWater, heat.value, heat.basis)))
            .chain(pets)
            .collect()
    }
}

fn litres(item: Item, amount: f64, basis: Basis) -> Line {
    Line::new(item, amount, Unit::Litre, basis)
}
