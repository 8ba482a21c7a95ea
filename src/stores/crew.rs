//! Who is aboard, people and pets, and the food energy they need in a day, kilocalories.
//!
//! People: FAO/WHO/UNU (2001), Human energy requirements: resting energy is linear in body mass,
//! by sex and age; the day's energy is that times a physical activity level. The day's energy of
//! the worked example (section 5.4.1) was read there; the coefficients of table 5.2 are from memory.
//! Pets: resting energy 70 kcal x mass^0.75, the form used in veterinary clinics, seen second-hand.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Range;

use super::basis::{Basis, Figure};
use super::error::{StoresError, check};

/// How many people a crew may count.
pub const CREW_COUNT: Range = Range::new("crew", "people", 1.0, 20.0);
/// Age of a person whose food energy is computed from the body; the formulas are for adults.
pub const AGE: Range = Range::new("age", "years", 18.0, 100.0);
/// Body mass of a person.
pub const BODY_MASS: Range = Range::new("body mass", "kg", 30.0, 250.0);
/// Height of a person.
pub const HEIGHT: Range = Range::new("height", "cm", 120.0, 230.0);
/// Food energy given outright, for a child or a special diet.
pub const FOOD_ENERGY: Range = Range::new("food energy", "kcal/day", 500.0, 6000.0);
/// Physical activity level: the day's energy over the resting energy.
pub const ACTIVITY_LEVEL: Range = Range::new("physical activity level", "", 1.4, 2.4);
/// Body mass of a dog or cat.
pub const PET_MASS: Range = Range::new("pet's mass", "kg", 0.5, 100.0);

/// Sex, as the energy formulas need it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sex {
    /// Female.
    Female,
    /// Male.
    Male,
}

/// How hard a person works through the day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Activity {
    /// Mostly sitting or lying.
    Sedentary,
    /// Handling sail, steering now and then, keeping balance all day: the default at sea.
    Moderate,
    /// Steering by hand and working on deck for much of the day.
    Vigorous,
    /// A physical activity level of one's own, 1.40 to 2.40.
    Level(f64),
}

/// The body the food energy is computed from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Sex.
    pub sex: Sex,
    /// Age in years, 18 or more.
    pub age_years: f64,
    /// Mass in kilograms.
    pub mass_kg: f64,
    /// Height in centimetres; only a cross-check uses it.
    pub height_cm: Option<f64>,
    /// Work done through the day.
    pub activity: Activity,
}

/// Where a person's food energy comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FoodNeed {
    /// From the body.
    Body(Body),
    /// Given outright, kilocalories a day: for children, whom the adult formulas do not fit.
    Given(f64),
}

/// One person aboard.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// What the list calls this person.
    pub name: String,
    /// Food energy.
    pub need: FoodNeed,
    /// Whether this person takes a turn on watch alone.
    pub keeps_watch: bool,
}

/// The kind of animal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Animal {
    /// A dog.
    Dog,
    /// A cat.
    Cat,
}

/// A pet aboard.
#[derive(Debug, Clone, PartialEq)]
pub struct Pet {
    /// What the list calls it.
    pub name: String,
    /// Dog or cat.
    pub animal: Animal,
    /// Mass in kilograms.
    pub mass_kg: f64,
}

/// Everyone aboard.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewSettings {
    /// The people, at least one.
    pub people: Vec<Person>,
    /// The pets; usually none.
    pub pets: Vec<Pet>,
}

impl CrewSettings {
    /// Checks every person and pet.
    ///
    /// # Errors
    /// No people, too many, no watch keeper, or a number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        let missing = |of, needed| Err(StoresError::Missing { of, needed });
        if self.people.is_empty() {
            return missing("people aboard", "at least one");
        }
        check("people aboard", &CREW_COUNT, self.count())?;
        for (index, person) in self.people.iter().enumerate() {
            person.validate(index + 1)?;
        }
        if self.watch_keepers().next().is_none() {
            return missing("watch keepers", "at least one person who keeps watch");
        }
        for pet in &self.pets {
            check(&pet.name, &PET_MASS, pet.mass_kg)?;
        }
        Ok(())
    }

    /// How many people there are.
    pub fn count(&self) -> f64 {
        self.people.len() as f64
    }

    /// The people who keep watch, in the order given.
    pub fn watch_keepers(&self) -> impl Iterator<Item = &Person> {
        self.people.iter().filter(|person| person.keeps_watch)
    }
}

impl Person {
    /// So many people with the same need, all keeping watch, named `person 1` and on.
    pub fn alike(count: usize, need: FoodNeed) -> Vec<Self> {
        (1..=count)
            .map(|number| Self {
                name: format!("person {number}"),
                need,
                keeps_watch: true,
            })
            .collect()
    }

    fn validate(&self, number: usize) -> Result<(), StoresError> {
        let of = format!("person {number}");
        let body = match self.need {
            FoodNeed::Given(kcal_per_day) => return check(&of, &FOOD_ENERGY, kcal_per_day),
            FoodNeed::Body(body) => body,
        };
        check(&of, &AGE, body.age_years)?;
        check(&of, &BODY_MASS, body.mass_kg)?;
        check(&of, &HEIGHT, body.height_cm)?;
        match body.activity {
            Activity::Level(level) => check(&of, &ACTIVITY_LEVEL, level),
            _ => Ok(()),
        }
    }

    /// Energy of the person's day, kcal.
    pub(super) fn daily_kcal(&self) -> f64 {
        match self.need {
            FoodNeed::Body(body) => daily_kcal(&body),
            FoodNeed::Given(kcal_per_day) => kcal_per_day,
        }
    }
}

/// The origin of the resting energy of people.
pub const RESTING_BASIS: Basis =
    Basis::from_memory("FAO/WHO/UNU 2001, Human energy requirements, table 5.2");

/// Sex, age in years from which the row holds, and slope and offset of the resting energy, kcal/day,
/// in body mass, kg.
const RESTING: [(Sex, f64, f64, f64); 6] = [
    (Sex::Male, 18.0, 15.057, 692.2),
    (Sex::Male, 30.0, 11.472, 873.1),
    (Sex::Male, 60.0, 11.711, 587.7),
    (Sex::Female, 18.0, 14.818, 486.6),
    (Sex::Female, 30.0, 8.126, 845.6),
    (Sex::Female, 60.0, 9.082, 658.5),
];

/// Physical activity level, sedentary: the middle of 1.40 to 1.69.
pub const SEDENTARY: Figure = Figure::new(
    1.55,
    Basis::from_memory("FAO/WHO/UNU 2001, range 1.40 to 1.69"),
);
/// Physical activity level, moderately active: the middle of 1.70 to 1.99.
pub const MODERATE: Figure = Figure::new(
    1.85,
    Basis::published("FAO/WHO/UNU 2001, section 5.4.1, range 1.70 to 1.99"),
);
/// Physical activity level, vigorously active: the middle of 2.00 to 2.40.
pub const VIGOROUS: Figure = Figure::new(
    2.20,
    Basis::from_memory("FAO/WHO/UNU 2001, range 2.00 to 2.40"),
);

/// Resting energy of a dog or cat of one kilogram, kcal/day; it grows with mass to the power 0.75.
pub const PET_RESTING: Figure = Figure::new(
    70.0,
    Basis::second_hand("veterinary clinical form 70 x mass^0.75"),
);
/// The power of mass in [`PET_RESTING`].
pub const PET_MASS_POWER: f64 = 0.75;
/// An adult dog's day over its resting energy: the upper end of 1.6 to 1.8.
pub const DOG_FACTOR: Figure =
    Figure::new(1.8, Basis::from_memory("veterinary practice, 1.6 to 1.8"));
/// An adult cat's day over its resting energy.
pub const CAT_FACTOR: Figure = Figure::new(1.4, Basis::PRACTICE);

/// Resting energy of a person, kcal/day, after FAO/WHO/UNU (2001), table 5.2.
pub fn resting_kcal(body: &Body) -> f64 {
    let mut rows = RESTING.iter();
    let row = rows.rfind(|(sex, from, ..)| *sex == body.sex && body.age_years >= *from);
    row.map_or(f64::NAN, |(.., slope, offset)| {
        slope * body.mass_kg + offset
    })
}

/// Resting energy after Mifflin and St Jeor, kcal/day, as a cross-check of [`resting_kcal`];
/// `None` without a height. `10 W + 6.25 H - 5 A`, plus 5 for a man, less 161 for a woman, in kg,
/// cm and years (Mifflin et al. 1990, seen second-hand).
pub fn resting_cross_check_kcal(body: &Body) -> Option<f64> {
    let sex_term = match body.sex {
        Sex::Male => 5.0,
        Sex::Female => -161.0,
    };
    let height_cm = body.height_cm?;
    Some(10.0 * body.mass_kg + 6.25 * height_cm - 5.0 * body.age_years + sex_term)
}

/// The physical activity level and where it comes from.
pub fn activity_level(activity: Activity) -> Figure {
    match activity {
        Activity::Sedentary => SEDENTARY,
        Activity::Moderate => MODERATE,
        Activity::Vigorous => VIGOROUS,
        Activity::Level(level) => Figure::new(level, Basis::GIVEN),
    }
}

/// Energy of a person's day, kcal: resting energy times the physical activity level.
pub fn daily_kcal(body: &Body) -> f64 {
    resting_kcal(body) * activity_level(body.activity).value
}

/// Resting energy of a dog or cat, kcal/day, from its mass in kg.
pub fn pet_resting_kcal(mass_kg: f64) -> f64 {
    PET_RESTING.value * mass_kg.powf(PET_MASS_POWER)
}

/// Energy of a pet's day, kcal.
pub fn pet_daily_kcal(pet: &Pet) -> f64 {
    pet_resting_kcal(pet.mass_kg) * pet_factor(pet.animal).value
}

/// A pet's day over its resting energy.
pub fn pet_factor(animal: Animal) -> Figure {
    match animal {
        Animal::Dog => DOG_FACTOR,
        Animal::Cat => CAT_FACTOR,
    }
}
