//! `[crew]`: people one by one or so many alike, and pets; `[watches]`.

use super::lists::given;
use crate::stores::crew::{
    ACTIVITY_LEVEL, AGE, BODY_MASS, CREW_COUNT, FOOD_ENERGY, PET_MASS, Person, Pet,
};
use crate::stores::watches::{ASLEEP, CHORES, LOST};
use crate::stores::{Activity, Animal, Body, CrewSettings, FoodNeed, Sex, WatchSettings};
use crate::units::{Kind, Range};
use crate::voyage_file::{Problem, Table, VoyageError};

/// The least that says who is aboard.
pub(super) const LEAST: &str = "a table [crew] with people = 2, sex = \"female\", age_years = 45 and \
     mass = \"70 kg\", or a [[crew.person]] for each";

pub(super) const CREW: &[&str] = &[
    "people",
    "person",
    "pet",
    "sex",
    "age_years",
    "mass",
    "height",
    "activity",
    "activity_level",
    "kcal_per_day",
];
const PERSON: &[&str] = &[
    "name",
    "keeps_watch",
    "sex",
    "age_years",
    "mass",
    "height",
    "activity",
    "activity_level",
    "kcal_per_day",
];
/// The keys of a body, the same for one person and for so many alike.
const BODY: [&str; 6] = [
    "sex",
    "age_years",
    "mass",
    "height",
    "activity",
    "activity_level",
];
const PET: &[&str] = &["name", "animal", "mass"];
pub(super) const WATCHES: &[&str] = &[
    "chores_hours",
    "asleep_share",
    "gale_lost_share",
    "hard_beat_lost_share",
];

/// A person's height, as [`crate::stores::crew::HEIGHT`] has it in centimetres.
const HEIGHT_M: Range = Range::new("height", "m", 1.2, 2.3);
const CM_PER_M: f64 = 100.0;

/// The two ways to say who is aboard.
enum Aboard<'t> {
    /// So many people with the same need.
    Alike(usize),
    /// One by one.
    Listed(Vec<Table<'t>>),
}

pub(super) fn decode(table: &Table<'_>) -> Result<CrewSettings, VoyageError> {
    let count = table.whole_number("people", &CREW_COUNT)?;
    let listed = table.tables("person", PERSON)?;
    let aboard = table.one_of_two_at_most(
        ["people", "person"],
        count.map(|entry| Aboard::Alike(entry.value as usize)),
        (!listed.is_empty()).then_some(Aboard::Listed(listed)),
    )?;
    let people = match table.required("people", aboard)? {
        Aboard::Alike(count) => Person::alike(count, need(table)?),
        Aboard::Listed(listed) => listed
            .iter()
            .enumerate()
            .map(|(index, person)| decode_person(person, index + 1))
            .collect::<Result<_, _>>()?,
    };
    let pets = table
        .tables("pet", PET)?
        .iter()
        .map(decode_pet)
        .collect::<Result<_, _>>()?;
    let crew = CrewSettings { people, pets };
    crew.validate().map_err(|error| table.refuse("", error))?;
    Ok(crew)
}

fn decode_person(table: &Table<'_>, number: usize) -> Result<Person, VoyageError> {
    let name = table.text("name")?;
    Ok(Person {
        name: name.map_or(format!("person {number}"), |entry| entry.value.to_owned()),
        need: need(table)?,
        keeps_watch: table.flag("keeps_watch")?.is_none_or(|entry| entry.value),
    })
}

fn need(table: &Table<'_>) -> Result<FoodNeed, VoyageError> {
    let Some(given) = table.number("kcal_per_day", &FOOD_ENERGY)? else {
        return Ok(FoodNeed::Body(body(table)?));
    };
    if BODY.iter().any(|key| table.has(key)) {
        let reason = "the body already says what food is needed; keep one of the two";
        return Err(given.error(Problem::OutOfPlace { reason }));
    }
    Ok(FoodNeed::Given(given.value))
}

fn body(table: &Table<'_>) -> Result<Body, VoyageError> {
    let sex = table.choice("sex", "\"female\" or \"male\"", |word| match word {
        "female" => Some(Sex::Female),
        "male" => Some(Sex::Male),
        _ => None,
    })?;
    let age = table.number("age_years", &AGE)?;
    let mass = table.quantity("mass", Kind::Mass, &BODY_MASS)?;
    let height = table.quantity("height", Kind::Length, &HEIGHT_M)?;
    let kinds = "\"sedentary\", \"moderate\" or \"vigorous\"";
    let activity = table.choice("activity", kinds, |word| match word {
        "sedentary" => Some(Activity::Sedentary),
        "moderate" => Some(Activity::Moderate),
        "vigorous" => Some(Activity::Vigorous),
        _ => None,
    })?;
    let level = table.number("activity_level", &ACTIVITY_LEVEL)?;
    let activity = table.one_of_two_at_most(
        ["activity", "activity_level"],
        activity.map(|entry| entry.value),
        level.map(|entry| Activity::Level(entry.value)),
    )?;
    Ok(Body {
        sex: table.required("sex", sex)?.value,
        age_years: table.required("age_years", age)?.value,
        mass_kg: table.required("mass", mass)?.value,
        height_cm: height.map(|entry| entry.value * CM_PER_M),
        activity: activity.unwrap_or(Activity::Moderate),
    })
}

fn decode_pet(table: &Table<'_>) -> Result<Pet, VoyageError> {
    let name = table.required("name", table.text("name")?)?;
    let animal = table.choice("animal", "\"dog\" or \"cat\"", |word| match word {
        "dog" => Some(Animal::Dog),
        "cat" => Some(Animal::Cat),
        _ => None,
    })?;
    let mass = table.quantity("mass", Kind::Mass, &PET_MASS)?;
    Ok(Pet {
        name: name.value.to_owned(),
        animal: table.required("animal", animal)?.value,
        mass_kg: table.required("mass", mass)?.value,
    })
}

pub(super) fn decode_watches(table: &Table<'_>) -> Result<WatchSettings, VoyageError> {
    Ok(WatchSettings {
        chores_h: given(table, "chores_hours", &CHORES)?,
        asleep_share: given(table, "asleep_share", &ASLEEP)?,
        gale_lost_share: given(table, "gale_lost_share", &LOST)?,
        hard_beat_lost_share: given(table, "hard_beat_lost_share", &LOST)?,
    })
}
