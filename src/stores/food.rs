//! Food for the days to provide for, from each person's energy to a list for the shop.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure};
use super::crew::{
    CrewSettings, FoodNeed, Person, Pet, RESTING_BASIS, activity_level, pet_daily_kcal, pet_factor,
    resting_cross_check_kcal, resting_kcal,
};
use super::error::{StoresError, check};
use super::line::{Item, Line, Per, Rule};
use super::outcome::Percentile;
use super::provisions::{ENERGY_DENSITY, FoodKind, Keeping, default_kinds};

/// More food, as a share.
pub const ALLOWANCE: Range = Range::new("allowance of food", "", 0.0, 1.0);
/// Days of food that needs no cooking.
pub const NO_COOK_DAYS: Range = Range::new("days of no-cook food", "days", 0.0, 60.0);

/// More to eat where the passage is cold, as a share.
pub const COLD: Figure = Figure::new(0.10, Basis::PRACTICE);
/// The mean air temperature below which [`COLD`] is added, degrees Celsius.
pub const COLD_BELOW_C: Figure = Figure::new(10.0, Basis::PRACTICE);
/// More to eat in gales and when beating in 20 kn or more, as a share.
pub const HEAVY_WEATHER: Figure = Figure::new(0.15, Basis::PRACTICE);
/// Fresh and chilled food bought beyond what is eaten, for what spoils, as a share.
pub const SPOILAGE: Figure = Figure::new(0.15, Basis::PRACTICE);
/// The least days of food that needs no cooking.
pub const LEAST_NO_COOK: Figure = Figure::new(2.0, Basis::PRACTICE);
/// Energy in dry pet food, kcal/kg.
pub const PET_FOOD: Figure = Figure::new(3500.0, Basis::PRACTICE);

/// How the crew eats; `None` takes the default.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodSettings {
    /// Whether a refrigerator runs all the way.
    pub refrigerator: bool,
    /// More food where the mean air temperature is below 10 degrees C, as a share.
    pub cold_share: Option<f64>,
    /// More food in gales and when beating in 20 kn or more, as a share.
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
        check("more in the cold", &ALLOWANCE, self.cold_share)?;
        check(
            "more in heavy weather",
            &ALLOWANCE,
            self.heavy_weather_share,
        )?;
        check("more for what spoils", &ALLOWANCE, self.spoilage_share)?;
        check("at least", &NO_COOK_DAYS, self.least_no_cook_days)?;
        check("pets", &ENERGY_DENSITY, self.pet_food_kcal_per_kg)?;
        for kind in &self.kinds {
            kind.validate()?;
        }
        let shares = self.shares(Keeping::Fresh) + self.shares(Keeping::Chilled);
        if shares > 1.0 {
            return Err(StoresError::Conflict {
                of: "fresh and chilled food".to_owned(),
                found: format!("shares of a day's energy that add up to {shares:.3}"),
                allowed: "at most 1",
            });
        }
        for (keeping, of) in [
            (Keeping::Dry, "dry food"),
            (Keeping::NoCook, "no-cook food"),
        ] {
            if self.shares(keeping) <= 0.0 {
                let needed = "at least one kind with a share above 0";
                return Err(StoresError::Missing { of, needed });
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
    pub mass_kg: f64,
    /// Room when stowed, litres.
    pub stowed_litres: f64,
    /// Energy, kcal.
    pub kcal: f64,
    /// Grams for each person and day.
    pub grams_per_person_day: f64,
    /// Days it keeps: the list is in this order, to be used from the top.
    pub keeps_days: f64,
    /// Where its energy comes from.
    pub basis: Basis,
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
    pub to_load_kg: f64,
    /// Room for the people's food, litres.
    pub stowed_litres: f64,
    /// What to buy, in the order to use it.
    pub provisions: Vec<Provision>,
    /// The days it is for.
    #[serde(skip)]
    pub(crate) for_days: f64,
    /// Fresh food to buy, kg: with the rest, and at each place after it that has fresh food.
    #[serde(skip)]
    pub(crate) fresh_kg: Vec<f64>,
    /// The lines of the list, without the provisions.
    pub lines: Vec<Line>,
}

impl FoodPlan {
    pub(crate) fn of(
        food: &FoodSettings,
        crew: &CrewSettings,
        days: &DaysOfFood,
        chosen: &Percentile,
        mean_air_temperature_c: Option<f64>,
    ) -> Self {
        let over = days.all;
        let is_cold = mean_air_temperature_c.is_some_and(|celsius| celsius < COLD_BELOW_C.value);
        let cold = is_cold.then(|| COLD.unless_given(food.cold_share));
        let cold_share = cold.map_or(0.0, |cold| cold.value);
        let all_people_kcal: f64 = crew.people.iter().map(Person::daily_kcal).sum();
        let heavy_weather = HEAVY_WEATHER.unless_given(food.heavy_weather_share);
        let spoilage = SPOILAGE.unless_given(food.spoilage_share);
        let least_no_cook = LEAST_NO_COOK.unless_given(food.least_no_cook_days);
        let pet_food = PET_FOOD.unless_given(food.pet_food_kcal_per_kg);
        let rough_days = (chosen.gale_hours + chosen.hard_beat_hours) / 24.0;
        let kcal_per_day = all_people_kcal * (1.0 + cold_share);
        let energy = Energy {
            kcal_per_day,
            heavy_kcal: kcal_per_day * heavy_weather.value * rough_days,
            no_cook_days: (chosen.gale_hours / 24.0).max(least_no_cook.value),
            bought_over_eaten: 1.0 + spoilage.value,
        };
        let provisions = provisions(food, crew, days, &energy);
        let fresh_kg = days.fresh.iter().map(|stretch| {
            let fresh = food.kinds.iter();
            let fresh = fresh.filter(|kind| kind.keeping == Keeping::Fresh);
            let kcal = fresh.map(|kind| {
                let eaten_kcal = energy.kcal_per_day * kind.share * kind.keeps_days.min(*stretch);
                eaten_kcal * energy.bought_over_eaten / kind.kcal_per_kg
            });
            kcal.fold(0.0, |sum, kg| sum + kg)
        });
        let fresh_kg = fresh_kg.collect();
        let people_kg = provisions.iter().map(|provision| provision.mass_kg).sum();
        let stowed = provisions.iter().map(|provision| provision.stowed_litres);
        let stowed_litres = stowed.sum();
        let pets = crew.pets.iter();
        let pet_kg = pets
            .map(|pet| pet_daily_kcal(pet) * over / pet_food.value)
            // The sum of nothing would be minus zero.
            .fold(0.0, |sum, kg| sum + kg);

        let no_cook = Item::NoCookDays;
        let no_cook = Line::new(no_cook, energy.no_cook_days, Unit::Day, least_no_cook.basis);
        let room = Line::new(Item::FoodRoom, stowed_litres, Unit::Litre, Basis::PRACTICE);
        let to_load_kg = people_kg + pet_kg;
        let mut lines: Vec<Line> = crew.people.iter().map(person_line).collect();
        lines.extend(cold.filter(|cold| cold.value > 0.0).map(|cold| {
            kilocalories(Item::ColdEnergy, kcal_per_day, cold.basis).by(Rule::Colder {
                share: cold.value,
                below_c: COLD_BELOW_C.value,
            })
        }));
        lines.extend([
            kilocalories(
                Item::HeavyWeatherEnergy,
                energy.heavy_kcal,
                heavy_weather.basis,
            )
            .by(Rule::Part {
                share: heavy_weather,
            }),
            no_cook.by(Rule::NoFewer {
                days: least_no_cook.value,
            }),
            Line::share(Item::Spoilage, spoilage.value, spoilage.basis),
        ]);
        lines.extend(crew.pets.iter().map(|pet| pet_line(pet, over, pet_food)));
        lines.push(kilograms(Item::FoodToLoad, to_load_kg, Basis::ARITHMETIC).over_days(over));
        lines.push(room);
        Self {
            kcal_per_day,
            no_cook_days: energy.no_cook_days,
            people_kg,
            pet_kg,
            to_load_kg,
            stowed_litres,
            provisions,
            for_days: over,
            fresh_kg,
            lines,
        }
    }
}

/// The days that food is for.
pub(crate) struct DaysOfFood {
    /// All of them, reserve included.
    pub all: f64,
    /// Of them, those from each place where fresh food is had to the next.
    pub fresh: Vec<f64>,
}

/// Energy to carry.
struct Energy {
    kcal_per_day: f64,
    heavy_kcal: f64,
    no_cook_days: f64,
    /// Fresh and chilled food bought, over what of it is eaten.
    bought_over_eaten: f64,
}

/// What to buy, in the order to use it. Fresh and chilled kinds give their share of each day while
/// they keep; dry kinds share all the rest; no-cook kinds come on top.
fn provisions(
    food: &FoodSettings,
    crew: &CrewSettings,
    days: &DaysOfFood,
    energy: &Energy,
) -> Vec<Provision> {
    let food_days = days.all;
    let eaten_kcal = |kind: &FoodKind, over_days: f64| match kind.keeping {
        Keeping::Chilled if !food.refrigerator => 0.0,
        Keeping::Fresh | Keeping::Chilled => {
            energy.kcal_per_day * kind.share * kind.keeps_days.min(over_days)
        }
        Keeping::Dry | Keeping::NoCook => 0.0,
    };
    let stretches = |kind: &FoodKind| match kind.keeping {
        Keeping::Fresh => &days.fresh[..],
        _ => std::slice::from_ref(&days.all),
    };
    let perishable_kcal: f64 = food
        .kinds
        .iter()
        .map(|kind| {
            stretches(kind)
                .iter()
                .map(|days| eaten_kcal(kind, *days))
                .fold(0.0, |sum, kcal| sum + kcal)
        })
        .sum();
    let dry_kcal = energy.kcal_per_day * food_days + energy.heavy_kcal - perishable_kcal;
    let no_cook_kcal = energy.kcal_per_day * energy.no_cook_days;
    let provision = |kind: &FoodKind| {
        let part = kind.share / food.shares(kind.keeping);
        let kcal = match kind.keeping {
            Keeping::Fresh | Keeping::Chilled => {
                let over_days = stretches(kind).first().copied().unwrap_or(0.0);
                eaten_kcal(kind, over_days) * energy.bought_over_eaten
            }
            Keeping::Dry => dry_kcal * part,
            Keeping::NoCook => no_cook_kcal * part,
        };
        let mass_kg = kcal / kind.kcal_per_kg;
        Provision {
            name: kind.name.clone(),
            keeping: kind.keeping,
            mass_kg,
            stowed_litres: mass_kg * kind.litres_per_kg,
            kcal,
            grams_per_person_day: if food_days > 0.0 {
                1000.0 * mass_kg / (crew.count() * food_days)
            } else {
                0.0
            },
            keeps_days: kind.keeps_days,
            basis: kind.basis,
        }
    };
    let mut provisions: Vec<Provision> = food.kinds.iter().map(provision).collect();
    provisions.retain(|provision| provision.mass_kg > 0.0);
    provisions.sort_by(|a, b| a.keeps_days.total_cmp(&b.keeps_days));
    provisions
}

fn person_line(person: &Person) -> Line {
    let of_basis =
        |basis| kilocalories(Item::PersonEnergy, person.daily_kcal(), basis).named(&person.name);
    match person.need {
        FoodNeed::Given(_) => of_basis(Basis::GIVEN),
        FoodNeed::Body(body) => of_basis(RESTING_BASIS).by(Rule::RestingEnergy {
            resting_kcal: resting_kcal(&body),
            activity_level: activity_level(body.activity),
            cross_check_kcal: resting_cross_check_kcal(&body),
        }),
    }
}

fn pet_line(pet: &Pet, over_days: f64, pet_food: Figure) -> Line {
    let factor = pet_factor(pet.animal);
    let per_day_kg = pet_daily_kcal(pet) / pet_food.value;
    kilograms(Item::PetFood, per_day_kg * over_days, factor.basis)
        .named(&pet.name)
        .over_days(over_days)
        .at_rate(1000.0 * per_day_kg, Unit::Gram, Per::Day)
        .by(Rule::PetEnergy {
            factor: factor.value,
            kcal_per_kg: pet_food,
        })
}

fn kilograms(item: Item, amount: f64, basis: Basis) -> Line {
    Line::new(item, amount, Unit::Kilogram, basis)
}

fn kilocalories(item: Item, amount: f64, basis: Basis) -> Line {
    Line::new(item, amount, Unit::Kilocalorie, basis)
}
