//! The questions that `offing new` asks in a terminal, each where its option is not given.

use std::fmt::Display;
use std::io::{self, IsTerminal as _};
use std::path::Path;

use dialoguer::{Confirm, Input, Select};

use super::super::CliError;
use super::super::values::{day, number, whole_number};
use super::options::{Answers, Cruiser, KeelKind, RigKind, end, volume};
use crate::boat::{Polar, ranges};
use crate::stores::crew::CREW_COUNT;
use crate::units::Range;

/// Whether there is somebody to ask.
pub(super) fn can_ask() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// Asks for what is not answered yet.
pub(super) fn ask(answers: &mut Answers) -> Result<(), CliError> {
    if answers.from.is_none() {
        let question = "From: a port and its country (Fremantle, Australia), or a position";
        answers.from = Some(asked(question, end)?);
    }
    if answers.to.is_none() {
        answers.to = Some(asked("To: a port and its country, or a position", end)?);
    }
    if answers.departure.is_none() {
        answers.departure = Some(asked("Departure, year-month-day (2027-05-01)", day)?);
    }
    if answers.has_no_boat() {
        ask_for_boat(answers)?;
    }
    if answers.crew.is_none() {
        let people = |text: &str| {
            let people = whole_number::<u32>(text)?;
            within(&CREW_COUNT, f64::from(people)).map(|_| people)
        };
        answers.crew = Some(asked("People aboard", people)?);
    }
    if answers.motor_kn.is_none() && confirmed("Has she an engine?")? {
        let speed = "Speed under power in a calm, knots";
        answers.motor_kn = Some(number_asked(speed, &ranges::MOTOR_SPEED)?);
        let burnt = "Diesel burnt at that speed, litres an hour";
        answers.litres_per_hour = Some(number_asked(burnt, &ranges::FUEL_RATE)?);
        answers.diesel = Some(asked("Diesel in the tanks (240 L or 63 US gal)", volume)?);
    }
    if answers.water.is_none() {
        answers.water = Some(asked("Fresh water in the tanks (400 L)", volume)?);
    }
    Ok(())
}

fn ask_for_boat(answers: &mut Answers) -> Result<(), CliError> {
    let cruisers = [Cruiser::Small, Cruiser::Middle, Cruiser::Large];
    let mut choices: Vec<String> = cruisers.map(|cruiser| cruiser.words().to_owned()).to_vec();
    choices.push("none of these: I give her dimensions".to_owned());
    choices.push("I have a file with her polar".to_owned());
    let choice = chosen("Which boat is most like yours?", &choices)?;
    match choice {
        0..3 => answers.boat = Some(cruisers[choice]),
        3 => {
            let length = "Waterline length, metres";
            answers.waterline_m = Some(number_asked(length, &ranges::WATERLINE_LENGTH)?);
            let weight = "Displacement as she sails, kilograms";
            answers.displacement_kg = Some(number_asked(weight, &ranges::DISPLACEMENT)?);
            let sails = "Mainsail and working headsails, square metres";
            answers.sail_area_m2 = Some(number_asked(sails, &ranges::SAIL_AREA)?);
            let rigs = [
                RigKind::Sloop,
                RigKind::Cutter,
                RigKind::Ketch,
                RigKind::Gaff,
            ];
            let rig = chosen("Rig", &["sloop", "cutter", "ketch", "gaff"])?;
            answers.rig = Some(rigs[rig]);
            let keels = [KeelKind::Fin, KeelKind::FinAndSkeg, KeelKind::Long];
            let keel = chosen("Keel", &["fin", "fin and skeg", "long"])?;
            answers.keel = Some(keels[keel]);
        }
        _ => {
            let polar = |text: &str| {
                let file = Path::new(text.trim()).to_owned();
                match Polar::read(&file) {
                    Ok(_) => Ok(file),
                    Err(error) => Err(error.to_string()),
                }
            };
            answers.polar = Some(asked("The file with her polar", polar)?);
        }
    }
    Ok(())
}

/// Asks until the answer can be read.
fn asked<T>(question: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<T, CliError> {
    loop {
        let text: String = Input::new()
            .with_prompt(question)
            .validate_with(|text: &String| read(text).map(|_| ()))
            .interact_text()
            .map_err(unasked)?;
        if let Ok(answer) = read(&text) {
            return Ok(answer);
        }
    }
}

fn number_asked(question: &str, range: &Range) -> Result<f64, CliError> {
    asked(question, |text| within(range, number(text)?))
}

fn within(range: &Range, value: f64) -> Result<f64, String> {
    range.check(value).map_err(|breach| breach.to_string())
}

fn chosen<T: Display>(question: &str, choices: &[T]) -> Result<usize, CliError> {
    let select = Select::new()
        .with_prompt(question)
        .items(choices)
        .default(0);
    select.interact().map_err(unasked)
}

fn confirmed(question: &str) -> Result<bool, CliError> {
    let confirm = Confirm::new().with_prompt(question).default(true);
    confirm.interact().map_err(unasked)
}

fn unasked(error: dialoguer::Error) -> CliError {
    CliError::Terminal(error.into())
}
