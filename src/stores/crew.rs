//! Who is aboard: people, and the pets they bring.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Range;

use super::error::{StoresError, check};

/// How many people a crew may count.
pub const CREW_COUNT: Range = Range::new("crew", "people", 1.0, 20.0);
/// Age of a person whose food energy is reckoned from the body; the formulas are for adults.
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

/// The body the food energy is reckoned from.
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
        if self.people.is_empty() {
            return Err(StoresError::Missing {
                field: "crew.person".to_owned(),
                allowed: "at least one person".to_owned(),
            });
        }
        check("crew.people", &CREW_COUNT, self.people.len() as f64)?;
        for (index, person) in self.people.iter().enumerate() {
            person.validate(index)?;
        }
        if self.watch_keepers().next().is_none() {
            return Err(StoresError::Conflict {
                field: "crew.person.keeps_watch".to_owned(),
                found: "false for everyone".to_owned(),
                allowed: "at least one person who keeps watch".to_owned(),
            });
        }
        for (index, pet) in self.pets.iter().enumerate() {
            check(
                &format!("crew.pet[{}].mass", index + 1),
                &PET_MASS,
                pet.mass_kg,
            )?;
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

    fn validate(&self, index: usize) -> Result<(), StoresError> {
        let field = |name: &str| format!("crew.person[{}].{name}", index + 1);
        match self.need {
            FoodNeed::Given(kcal_per_day) => {
                check(&field("kcal_per_day"), &FOOD_ENERGY, kcal_per_day)?;
            }
            FoodNeed::Body(body) => {
                check(&field("age_years"), &AGE, body.age_years)?;
                check(&field("mass"), &BODY_MASS, body.mass_kg)?;
                if let Some(height_cm) = body.height_cm {
                    check(&field("height"), &HEIGHT, height_cm)?;
                }
                if let Activity::Level(level) = body.activity {
                    check(&field("activity_level"), &ACTIVITY_LEVEL, level)?;
                }
            }
        }
        Ok(())
    }
}
