//! Food energy of people and pets, kilocalories a day.
//!
//! People: FAO/WHO/UNU (2001), Human energy requirements: resting energy is linear in body mass,
//! by sex and age; the day's energy is that times a physical activity level. The day's energy of
//! the worked example (section 5.4.1) was read there; the coefficients of table 5.2 are from memory.
//! Pets: resting energy 70 kcal x mass^0.75, the form used in veterinary clinics, seen second-hand.

use super::basis::{Basis, Known};
use super::crew::{Activity, Animal, Body, Pet, Sex};

/// Resting energy, kcal/day, is `slope * mass_kg + offset` from `from_age_years` on.
struct RestingRow {
    sex: Sex,
    from_age_years: f64,
    slope: f64,
    offset: f64,
}

/// The origin of the resting energy of people.
pub const RESTING_BASIS: Basis =
    Basis::from_memory("FAO/WHO/UNU 2001, Human energy requirements, table 5.2");

const RESTING: [RestingRow; 6] = [
    row(Sex::Male, 18.0, 15.057, 692.2),
    row(Sex::Male, 30.0, 11.472, 873.1),
    row(Sex::Male, 60.0, 11.711, 587.7),
    row(Sex::Female, 18.0, 14.818, 486.6),
    row(Sex::Female, 30.0, 8.126, 845.6),
    row(Sex::Female, 60.0, 9.082, 658.5),
];

/// Middle of the sedentary range, 1.40 to 1.69.
pub const SEDENTARY: Known = Known::new(
    "physical activity level, sedentary",
    1.55,
    "",
    Basis::from_memory("FAO/WHO/UNU 2001, range 1.40 to 1.69"),
);
/// Middle of the moderately active range, 1.70 to 1.99.
pub const MODERATE: Known = Known::new(
    "physical activity level, moderately active",
    1.85,
    "",
    Basis::published("FAO/WHO/UNU 2001, section 5.4.1, range 1.70 to 1.99"),
);
/// Middle of the vigorously active range, 2.00 to 2.40.
pub const VIGOROUS: Known = Known::new(
    "physical activity level, vigorously active",
    2.20,
    "",
    Basis::from_memory("FAO/WHO/UNU 2001, range 2.00 to 2.40"),
);

/// Resting energy of a dog or cat of one kilogram; it grows with mass to the power 0.75.
pub const PET_RESTING: Known = Known::new(
    "resting energy of a pet of 1 kg",
    70.0,
    "kcal/day",
    Basis::second_hand("veterinary clinical form 70 x mass^0.75"),
);
/// The power of mass in [`PET_RESTING`].
pub const PET_MASS_POWER: f64 = 0.75;
/// A dog's day over its resting energy: the upper end of 1.6 to 1.8.
pub const DOG_FACTOR: Known = Known::new(
    "adult dog's daily over resting energy",
    1.8,
    "",
    Basis::from_memory("veterinary practice, 1.6 to 1.8"),
);
/// A cat's day over its resting energy.
pub const CAT_FACTOR: Known = Known::new(
    "adult cat's daily over resting energy",
    1.4,
    "",
    Basis::PRACTICE,
);

const fn row(sex: Sex, from_age_years: f64, slope: f64, offset: f64) -> RestingRow {
    RestingRow {
        sex,
        from_age_years,
        slope,
        offset,
    }
}

/// Resting energy of a person, kcal/day, after FAO/WHO/UNU (2001), table 5.2.
pub fn resting_kcal(body: &Body) -> f64 {
    RESTING
        .iter()
        .rfind(|row| row.sex == body.sex && body.age_years >= row.from_age_years)
        .map_or(f64::NAN, |row| row.slope * body.mass_kg + row.offset)
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
pub fn activity_level(activity: Activity) -> (f64, Basis) {
    match activity {
        Activity::Sedentary => (SEDENTARY.value, SEDENTARY.basis),
        Activity::Moderate => (MODERATE.value, MODERATE.basis),
        Activity::Vigorous => (VIGOROUS.value, VIGOROUS.basis),
        Activity::Level(level) => (level, Basis::GIVEN),
    }
}

/// Energy of a person's day, kcal: resting energy times the physical activity level.
pub fn daily_kcal(body: &Body) -> f64 {
    resting_kcal(body) * activity_level(body.activity).0
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
pub fn pet_factor(animal: Animal) -> Known {
    match animal {
        Animal::Dog => DOG_FACTOR,
        Animal::Cat => CAT_FACTOR,
    }
}
