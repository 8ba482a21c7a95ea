//! Food for the days to provide for, from each person's energy to a list for the shop.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Known};
use super::crew::{CrewSettings, FoodNeed, Person};
use super::days::DaysPlan;
use super::energy::{
    RESTING_BASIS, activity_level, daily_kcal, pet_daily_kcal, pet_factor,
    resting_cross_check_kcal, resting_kcal,
};
use super::error::{StoresError, check};
use super::line::{Caution, Line, Subject};
use super::outcome::Percentile;
use super::provisions::{DENSITY_BASIS, ENERGY_DENSITY, FoodKind, Keeping, default_kinds};

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

/// How the crew eats.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodSettings {
    /// Whether a refrigerator runs all the way.
    pub refrigerator: bool,
    /// More food where the mean air temperature is below [`COLD_BELOW`], as a share.
    pub cold_share: f64,
    /// More food during gales and hard beats, as a share.
    pub heavy_weather_share: f64,
    /// Fresh and chilled food bought beyond what is eaten, as a share.
    pub spoilage_share: f64,
    /// The least days of no-cook food, gales or none.
    pub least_no_cook_days: f64,
    /// Energy in a kilogram of the pets' food, kcal.
    pub pet_food_kcal_per_kg: f64,
    /// The kinds of food; at least one dry and one no-cook.
    pub kinds: Vec<FoodKind>,
}

impl Default for FoodSettings {
    fn default() -> Self {
        Self {
            refrigerator: true,
            cold_share: COLD.value,
            heavy_weather_share: HEAVY_WEATHER.value,
            spoilage_share: SPOILAGE.value,
            least_no_cook_days: LEAST_NO_COOK.value,
            pet_food_kcal_per_kg: PET_FOOD.value,
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
        check("food.cold_share", &ALLOWANCE, self.cold_share)?;
        let heavy = self.heavy_weather_share;
        check("food.heavy_weather_share", &ALLOWANCE, heavy)?;
        check("food.spoilage_share", &ALLOWANCE, self.spoilage_share)?;
        let no_cook = self.least_no_cook_days;
        check("food.least_no_cook_days", &NO_COOK_DAYS, no_cook)?;
        let pet_food = self.pet_food_kcal_per_kg;
        check("food.pet_food_kcal_per_kg", &ENERGY_DENSITY, pet_food)?;
        for kind in &self.kinds {
            kind.validate()?;
        }
        let shares = self.shares(Keeping::Fresh) + self.shares(Keeping::Chilled);
        if shares > 1.0 {
            return Err(StoresError::Conflict {
                field: "food.kinds".to_owned(),
                found: format!("{shares:.3} of a day's energy from fresh and chilled food"),
                allowed: "shares that add up to 1 or less".to_owned(),
            });
        }
        for (keeping, word) in [(Keeping::Dry, "dry"), (Keeping::NoCook, "no-cook")] {
            if self.shares(keeping) <= 0.0 {
                return Err(StoresError::Missing {
                    field: "food.kinds".to_owned(),
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
    cold_share: f64,
    heavy_kcal: f64,
    no_cook_days: f64,
}

impl FoodPlan {
    pub(crate) fn of(
        food: &FoodSettings,
        crew: &CrewSettings,
        days: &DaysPlan,
        chosen: &Percentile,
        mean_air_temperature_c: Option<f64>,
    ) -> Self {
        let cold = mean_air_temperature_c.is_some_and(|celsius| celsius < COLD_BELOW.value);
        let cold_share = if cold { food.cold_share } else { 0.0 };
        let kcal_per_day = crew.people.iter().map(person_kcal).sum::<f64>() * (1.0 + cold_share);
        let rough_days = (chosen.gale_hours + chosen.hard_beat_hours) / 24.0;
        let energy = Energy {
            kcal_per_day,
            cold_share,
            heavy_kcal: kcal_per_day * food.heavy_weather_share * rough_days,
            no_cook_days: (chosen.gale_hours / 24.0).max(food.least_no_cook_days),
        };
        let provisions = provisions(food, crew, days.food_days, &energy);
        let people_kg = provisions.iter().map(|provision| provision.kg).sum();
        let pet_kg = crew
            .pets
            .iter()
            .map(|pet| pet_daily_kcal(pet) * days.food_days / food.pet_food_kcal_per_kg)
            // The sum of nothing would be minus zero.
            .fold(0.0, |sum, kg| sum + kg);
        let mut plan = Self {
            kcal_per_day,
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
        plan.lines = plan.list(food, crew, days, &energy);
        plan
    }

    fn list(
        &self,
        food: &FoodSettings,
        crew: &CrewSettings,
        days: &DaysPlan,
        energy: &Energy,
    ) -> Vec<Line> {
        let over = days.food_days;
        let mut lines: Vec<Line> = Vec::new();
        for person in &crew.people {
            list_person(person, &mut lines);
        }
        let kcal = |item: &str, amount: f64, rule: String, basis: Basis| {
            let amount = (amount, Unit::Kilocalorie);
            Line::new(Subject::Food, item, amount, rule, basis)
        };
        if energy.cold_share > 0.0 {
            lines.push(kcal(
                "all people a day, with the allowance for cold",
                self.kcal_per_day,
                format!(
                    "{} more below a mean of {} degrees C",
                    energy.cold_share, COLD_BELOW.value
                ),
                COLD.basis_of(energy.cold_share),
            ));
        }
        lines.push(kcal(
            "more for gales and hard beats",
            energy.heavy_kcal,
            format!(
                "{} more during those hours; a gale on the nose counts as both",
                food.heavy_weather_share
            ),
            HEAVY_WEATHER.basis_of(food.heavy_weather_share),
        ));
        lines.push(Line::new(
            Subject::Food,
            "food that needs no cooking, for",
            (energy.no_cook_days, Unit::Day),
            format!(
                "hours of gale at the chosen percentile, at least {} days; carried on top, since the gales may not come",
                food.least_no_cook_days
            ),
            LEAST_NO_COOK.basis_of(food.least_no_cook_days),
        ));
        lines.extend(self.provisions.iter().map(|provision| {
            let rule = match provision.keeping {
                Keeping::Fresh | Keeping::Chilled => {
                    "share of a day's energy while it keeps, more for what spoils"
                }
                Keeping::Dry => "its part of all that fresh and chilled food does not cover",
                Keeping::NoCook => "its part of the no-cook days",
            };
            let rule = format!("{rule}; keeps about {} days", provision.keeps_days);
            kilograms(&provision.name, provision.kg, rule, DENSITY_BASIS)
                .over_days(over)
                .at_rate(provision.grams_per_person_day, Unit::Gram, "person and day")
        }));
        for pet in &crew.pets {
            let rule = format!(
                "resting energy 70 x mass^0.75 kcal x {}, in food of {} kcal/kg",
                pet_factor(pet.animal).value,
                food.pet_food_kcal_per_kg
            );
            let per_day_kg = pet_daily_kcal(pet) / food.pet_food_kcal_per_kg;
            let basis = pet_factor(pet.animal).basis;
            lines.push(
                kilograms(
                    &format!("food for {}", pet.name),
                    per_day_kg * over,
                    rule,
                    basis,
                )
                .over_days(over)
                .at_rate(1000.0 * per_day_kg, Unit::Gram, "day"),
            );
        }
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

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        vec![Caution::new(
            Subject::Food,
            "Food figures are minimums, not targets. The energy is that of groups of healthy adults (FAO/WHO/UNU 2001, section 5.4.1): one person may need a tenth more, or beyond. How long food keeps depends on heat, damp and care: check it daily.",
        )]
    }
}

fn person_kcal(person: &Person) -> f64 {
    match person.need {
        FoodNeed::Body(body) => daily_kcal(&body),
        FoodNeed::Given(kcal_per_day) => kcal_per_day,
    }
}

fn list_person(person: &Person, lines: &mut Vec<Line>) {
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
    lines.push(Line::new(Subject::Food, item, amount, rule, basis));
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
                Keeping::Fresh | Keeping::Chilled => eaten_kcal(kind) * (1.0 + food.spoilage_share),
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
