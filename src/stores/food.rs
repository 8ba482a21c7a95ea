//! Food for the days to provide for, from each person's energy to a list for the shop.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure, Known};
use super::crew::{CrewSettings, FoodNeed, Person, Pet};
use super::days::DaysPlan;
use super::energy::{
    RESTING_BASIS, activity_level, daily_kcal, pet_daily_kcal, pet_factor,
    resting_cross_check_kcal, resting_kcal,
};
use super::error::{StoresError, check_given};
use super::line::{Caution, Line, Subject};
use super::outcome::Percentile;
use super::provisions::{ENERGY_DENSITY, FoodKind, Keeping, default_kinds};

/// More food, as a share.
pub const ALLOWANCE: Range = Range::new("allowance of food", "", 0.0, 1.0);
/// Days of food that needs no cooking.
pub const NO_COOK_DAYS: Range = Range::new("days of no-cook food", "days", 0.0, 60.0);

/// More to eat where the passage is cold.
pub const COLD: Known = Known::new("more food on a cold passage", 0.10, "", Basis::PRACTICE);
/// The mean air temperature below which [`COLD`] is added.
pub const COLD_BELOW: Known = Known::new(
    "mean air temperature called cold",
    10.0,
    "degrees C",
    Basis::PRACTICE,
);
/// More to eat while it blows.
pub const HEAVY_WEATHER: Known = Known::new(
    "more food in gales and hard beats",
    0.15,
    "",
    Basis::PRACTICE,
);
/// Fresh and chilled food bought beyond what is eaten, for what spoils.
pub const SPOILAGE: Known = Known::new("fresh food that spoils", 0.15, "", Basis::PRACTICE);
/// The least days of food that needs no cooking.
pub const LEAST_NO_COOK: Known =
    Known::new("least days of no-cook food", 2.0, "days", Basis::PRACTICE);
/// Energy in a kilogram of dry pet food.
pub const PET_FOOD: Known = Known::new("dry pet food", 3500.0, "kcal/kg", Basis::PRACTICE);

/// How the crew eats; `None` takes the default.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodSettings {
    /// Whether a refrigerator runs all the way.
    pub refrigerator: bool,
    /// More food where the mean air temperature is below 10 degrees C, as a share.
    pub cold_share: Option<f64>,
    /// More food during gales and hard beats, as a share.
    pub heavy_weather_share: Option<f64>,
    /// Fresh and chilled food bought beyond what is eaten, as a share.
    pub spoilage_share: Option<f64>,
    /// The least days of no-cook food, gales or none.
    pub least_no_cook_days: Option<f64>,
    /// Energy in a kilogram of the pets' food, kcal.
    pub pet_food_kcal_per_kg: Option<f64>,
    /// The kinds of food; at least one dry and one no-cook.
    pub kinds: Vec<FoodKind>,
}

impl Default for FoodSettings {
    fn default() -> Self {
        Self {
            refrigerator: true,
            cold_share: None,
            heavy_weather_share: None,
            spoilage_share: None,
            least_no_cook_days: None,
            pet_food_kcal_per_kg: None,
            kinds: default_kinds(),
        }
    }
}

impl FoodSettings {
    /// Checks every number and kind.
    ///
    /// # Errors
    /// A number out of range, fresh and chilled shares above one day's food, or no dry or no
    /// no-cook food.
    pub fn validate(&self) -> Result<(), StoresError> {
        check_given("food.cold_share", &ALLOWANCE, self.cold_share)?;
        let heavy = self.heavy_weather_share;
        check_given("food.heavy_weather_share", &ALLOWANCE, heavy)?;
        check_given("food.spoilage_share", &ALLOWANCE, self.spoilage_share)?;
        let no_cook = self.least_no_cook_days;
        check_given("food.least_no_cook_days", &NO_COOK_DAYS, no_cook)?;
        let pet_food = self.pet_food_kcal_per_kg;
        check_given("food.pet_food_kcal_per_kg", &ENERGY_DENSITY, pet_food)?;
        for kind in &self.kinds {
            kind.validate()?;
        }
        let shares = self.shares(Keeping::Fresh) + self.shares(Keeping::Chilled);
        if shares > 1.0 {
            return Err(StoresError::Conflict {
                field: "food.kind".to_owned(),
                found: format!("{shares:.3} of a day's energy from fresh and chilled food"),
                allowed: "shares that add up to 1 or less".to_owned(),
            });
        }
        for (keeping, word) in [(Keeping::Dry, "dry"), (Keeping::NoCook, "no-cook")] {
            if self.shares(keeping) <= 0.0 {
                return Err(StoresError::Missing {
                    field: "food.kind".to_owned(),
                    allowed: format!("at least one kind of {word} food with a share above 0"),
                });
            }
        }
        Ok(())
    }

    fn shares(&self, keeping: Keeping) -> f64 {
        self.kinds
            .iter()
            .filter(|kind| kind.keeping == keeping)
            .map(|kind| kind.share)
            .sum()
    }
}

/// A kind of food to buy.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Provision {
    /// What to ask for in a shop.
    pub name: String,
    /// How it is kept.
    pub keeping: Keeping,
    /// Mass, kg.
    pub kg: f64,
    /// Room when stowed, litres.
    pub stowed_litres: f64,
    /// Energy, kcal.
    pub kcal: f64,
    /// Grams for each person and day.
    pub grams_per_person_day: f64,
    /// Days it keeps: the list is in this order, to be used from the top.
    pub keeps_days: f64,
    /// Where its energy comes from; its line says so.
    #[serde(skip)]
    pub(crate) basis: Basis,
}

/// Food to load.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct FoodPlan {
    /// Energy of all people for one day, kcal, with the allowance for cold.
    pub kcal_per_day: f64,
    /// Days of food that needs no cooking.
    pub no_cook_days: f64,
    /// Food for people, kg.
    pub people_kg: f64,
    /// Food for pets, kg.
    pub pet_kg: f64,
    /// All food, kg.
    pub kg: f64,
    /// Room for the people's food, litres.
    pub stowed_litres: f64,
    /// What to buy, in the order to use it.
    pub provisions: Vec<Provision>,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

/// Energy to carry, worked out once.
struct Energy {
    kcal_per_day: f64,
    /// More to eat in the cold; none where it is not cold.
    cold: Option<Figure>,
    heavy_weather: Figure,
    heavy_kcal: f64,
    spoilage: Figure,
    least_no_cook: Figure,
    no_cook_days: f64,
    pet_food: Figure,
}

impl Energy {
    fn of(
        food: &FoodSettings,
        crew: &CrewSettings,
        chosen: &Percentile,
        mean_air_temperature_c: Option<f64>,
    ) -> Self {
        let is_cold = mean_air_temperature_c.is_some_and(|celsius| celsius < COLD_BELOW.value);
        let cold = is_cold.then(|| COLD.unless_given(food.cold_share));
        let cold_share = cold.map_or(0.0, |cold| cold.value);
        let kcal_per_day = crew.people.iter().map(person_kcal).sum::<f64>() * (1.0 + cold_share);
        let rough_days = (chosen.gale_hours + chosen.hard_beat_hours) / 24.0;
        let heavy_weather = HEAVY_WEATHER.unless_given(food.heavy_weather_share);
        let least_no_cook = LEAST_NO_COOK.unless_given(food.least_no_cook_days);
        Self {
            kcal_per_day,
            cold,
            heavy_weather,
            heavy_kcal: kcal_per_day * heavy_weather.value * rough_days,
            spoilage: SPOILAGE.unless_given(food.spoilage_share),
            least_no_cook,
            no_cook_days: (chosen.gale_hours / 24.0).max(least_no_cook.value),
            pet_food: PET_FOOD.unless_given(food.pet_food_kcal_per_kg),
        }
    }

    /// What cold, heavy weather and spoilage add, and the days without a stove.
    fn list(&self) -> Vec<Line> {
        let kcal = |item: &str, amount: f64, rule: String, basis: Basis| {
            let amount = (amount, Unit::Kilocalorie);
            Line::new(Subject::Food, item, amount, rule, basis)
        };
        let mut lines = Vec::new();
        if let Some(cold) = self.cold.filter(|cold| cold.value > 0.0) {
            let rule = format!(
                "{} more below a mean of {} degrees C",
                cold.value, COLD_BELOW.value
            );
            let item = "all people a day, with the allowance for cold";
            lines.push(kcal(item, self.kcal_per_day, rule, cold.basis));
        }
        let rule = format!(
            "{} more during those hours; a gale on the nose counts as both",
            self.heavy_weather.value
        );
        let item = "more for gales and hard beats";
        lines.push(kcal(item, self.heavy_kcal, rule, self.heavy_weather.basis));
        lines.push(Line::new(
            Subject::Food,
            "food that needs no cooking, for",
            (self.no_cook_days, Unit::Day),
            format!(
                "hours of gale at the chosen percentile, at least {} days; carried on top, since the gales may not come",
                self.least_no_cook.value
            ),
            self.least_no_cook.basis,
        ));
        lines.push(Line::new(
            Subject::Food,
            "more fresh and chilled food",
            (100.0 * self.spoilage.value, Unit::Percent),
            "bought beyond what is eaten, for what spoils",
            self.spoilage.basis,
        ));
        lines
    }
}

impl FoodPlan {
    pub(crate) fn of(
        food: &FoodSettings,
        crew: &CrewSettings,
        days: &DaysPlan,
        chosen: &Percentile,
        mean_air_temperature_c: Option<f64>,
    ) -> Self {
        let energy = Energy::of(food, crew, chosen, mean_air_temperature_c);
        let provisions = provisions(food, crew, days.food_days, &energy);
        let people_kg = provisions.iter().map(|provision| provision.kg).sum();
        let pet_kg = crew
            .pets
            .iter()
            .map(|pet| pet_daily_kcal(pet) * days.food_days / energy.pet_food.value)
            // The sum of nothing would be minus zero.
            .fold(0.0, |sum, kg| sum + kg);
        let mut plan = Self {
            kcal_per_day: energy.kcal_per_day,
            no_cook_days: energy.no_cook_days,
            people_kg,
            pet_kg,
            kg: people_kg + pet_kg,
            stowed_litres: provisions
                .iter()
                .map(|provision| provision.stowed_litres)
                .sum(),
            provisions,
            lines: Vec::new(),
        };
        plan.lines = plan.list(crew, days.food_days, &energy);
        plan
    }

    fn list(&self, crew: &CrewSettings, over: f64, energy: &Energy) -> Vec<Line> {
        let mut lines: Vec<Line> = crew.people.iter().map(list_person).collect();
        lines.extend(energy.list());
        lines.extend(self.list_provisions(over));
        lines.extend(crew.pets.iter().map(|pet| list_pet(pet, over, energy)));
        let all = "all food of the list";
        lines.push(kilograms("food to load", self.kg, all, Basis::ARITHMETIC).over_days(over));
        lines.push(Line::new(
            Subject::Food,
            "room for the people's food",
            (self.stowed_litres, Unit::Litre),
            "mass x litres a kilogram as stowed",
            Basis::PRACTICE,
        ));
        lines
    }

    fn list_provisions(&self, over_days: f64) -> Vec<Line> {
        let list = |provision: &Provision| {
            let rule = match provision.keeping {
                Keeping::Fresh | Keeping::Chilled => {
                    "share of a day's energy while it keeps, more for what spoils"
                }
                Keeping::Dry => "its part of all that fresh and chilled food does not cover",
                Keeping::NoCook => "its part of the no-cook days",
            };
            let rule = format!("{rule}; keeps about {} days", provision.keeps_days);
            kilograms(&provision.name, provision.kg, rule, provision.basis)
                .over_days(over_days)
                .at_rate(provision.grams_per_person_day, Unit::Gram, "person and day")
        };
        self.provisions.iter().map(list).collect()
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        vec![Caution::new(
            Subject::Food,
            "Food figures are minimums, not targets. The energy is that of groups of healthy adults (FAO/WHO/UNU 2001, section 5.4.1). One person may need a tenth more, or beyond (common practice, no source). How long food keeps depends on heat, damp and care: check it daily.",
        )]
    }
}

fn person_kcal(person: &Person) -> f64 {
    match person.need {
        FoodNeed::Body(body) => daily_kcal(&body),
        FoodNeed::Given(kcal_per_day) => kcal_per_day,
    }
}

fn list_person(person: &Person) -> Line {
    let (rule, basis) = match person.need {
        FoodNeed::Given(_) => ("given outright".to_owned(), Basis::GIVEN),
        FoodNeed::Body(body) => {
            let (level, level_basis) = activity_level(body.activity);
            let mut rule = format!(
                "resting energy {:.0} kcal x physical activity level {level} ({level_basis})",
                resting_kcal(&body)
            );
            if let Some(other) = resting_cross_check_kcal(&body) {
                rule.push_str(&format!(
                    "; resting energy after Mifflin and St Jeor, for comparison, {other:.0} kcal"
                ));
            }
            (rule, RESTING_BASIS)
        }
    };
    let amount = (person_kcal(person), Unit::Kilocalorie);
    let item = format!("{} a day", person.name);
    Line::new(Subject::Food, item, amount, rule, basis)
}

fn list_pet(pet: &Pet, over_days: f64, energy: &Energy) -> Line {
    let (factor, pet_food) = (pet_factor(pet.animal), energy.pet_food);
    let rule = format!(
        "resting energy 70 x mass^0.75 kcal x {}, in food of {} kcal/kg ({})",
        factor.value, pet_food.value, pet_food.basis
    );
    let per_day_kg = pet_daily_kcal(pet) / pet_food.value;
    let item = format!("food for {}", pet.name);
    kilograms(&item, per_day_kg * over_days, rule, factor.basis)
        .over_days(over_days)
        .at_rate(1000.0 * per_day_kg, Unit::Gram, "day")
}

/// What to buy, in the order to use it. Fresh and chilled kinds give their share of each day while
/// they keep; dry kinds share all the rest; no-cook kinds come on top.
fn provisions(
    food: &FoodSettings,
    crew: &CrewSettings,
    food_days: f64,
    energy: &Energy,
) -> Vec<Provision> {
    let eaten_kcal = |kind: &FoodKind| match kind.keeping {
        Keeping::Chilled if !food.refrigerator => 0.0,
        Keeping::Fresh | Keeping::Chilled => {
            energy.kcal_per_day * kind.share * kind.keeps_days.min(food_days)
        }
        Keeping::Dry | Keeping::NoCook => 0.0,
    };
    let perishable_kcal: f64 = food.kinds.iter().map(eaten_kcal).sum();
    let dry_kcal = energy.kcal_per_day * food_days + energy.heavy_kcal - perishable_kcal;
    let no_cook_kcal = energy.kcal_per_day * energy.no_cook_days;
    let mut provisions: Vec<Provision> = food
        .kinds
        .iter()
        .map(|kind| {
            let part = kind.share / food.shares(kind.keeping);
            let kcal = match kind.keeping {
                Keeping::Fresh | Keeping::Chilled => {
                    eaten_kcal(kind) * (1.0 + energy.spoilage.value)
                }
                Keeping::Dry => dry_kcal * part,
                Keeping::NoCook => no_cook_kcal * part,
            };
            let kg = kcal / kind.kcal_per_kg;
            Provision {
                name: kind.name.clone(),
                keeping: kind.keeping,
                kg,
                stowed_litres: kg * kind.litres_per_kg,
                kcal,
                grams_per_person_day: if food_days > 0.0 {
                    1000.0 * kg / (crew.count() * food_days)
                } else {
                    0.0
                },
                keeps_days: kind.keeps_days,
                basis: kind.basis,
            }
        })
        .filter(|provision| provision.kg > 0.0)
        .collect();
    provisions.sort_by(|a, b| a.keeps_days.total_cmp(&b.keeps_days));
    provisions
}

fn kilograms(item: &str, amount: f64, rule: impl Into<String>, basis: Basis) -> Line {
    Line::new(Subject::Food, item, (amount, Unit::Kilogram), rule, basis)
}
