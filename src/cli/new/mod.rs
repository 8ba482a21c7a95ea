//! `offing new`: a voyage of the crew's own from a few answers, or an example, every key explained.

mod options;
mod questions;
mod voyage_text;

use std::fs;
use std::path::{Path, PathBuf};

use super::arguments::LandOptions;
use super::voyage::warn_of_land;
use super::{CliError, deliver, print, screen, show};
use crate::boat::Polar;
use crate::report::{Files, OutputError, comparison_summary};
use crate::study::{InTheWay, Options, compare, first_routes};
use crate::text::read_text;
use crate::voyage::Voyage;
use options::Answers;
pub(super) use options::NewOptions;
use questions::{ask, can_ask};
use voyage_text::{Needed, between};

const POLAR: &str = "polar.csv";
const VOYAGE: &str = "voyage.toml";

/// The files of the example: name and text. The voyage comes last, so that it is never there without its polar.
const EXAMPLE: [(&str, &str); 2] = [
    (POLAR, include_str!("../../../fixtures/demo/cutter-12m.csv")),
    (VOYAGE, include_str!("../../../fixtures/new/voyage.toml")),
];

pub(super) fn run(options: &NewOptions) -> Result<(), CliError> {
    let folder = options.folder.clone().unwrap_or_else(|| PathBuf::from("."));
    let may_ask = !options.example && can_ask();
    if options.answers.are_none() && !may_ask {
        return write_example(&folder);
    }
    // Nobody is to answer for nothing.
    let voyage = folder.join(VOYAGE);
    if voyage.symlink_metadata().is_ok() {
        return Err(OutputError::AlreadyThere { file: voyage }.into());
    }
    let mut answers = options.answers.clone();
    if may_ask {
        ask(&mut answers)?;
    }
    write_own(&folder, &answers)
}

fn write_example(folder: &Path) -> Result<(), CliError> {
    let texts = EXAMPLE.map(|(name, text)| (name, text.to_owned()));
    let [polar, voyage] = EXAMPLE.map(|(name, _)| folder.join(name).display().to_string());
    let said = format!(
        "Wrote {voyage}, and {polar} for its boat.\nThe boat and the routes are invented examples: \
         replace them with your own, then run\n  offing check {voyage}\n  offing compare {voyage}\n"
    );
    write(folder, texts.into(), &said)
}

/// Writes files that are not there yet into a folder, which is made if need be, and says so.
fn write(folder: &Path, texts: Vec<(&str, String)>, said: &str) -> Result<(), CliError> {
    fs::create_dir_all(folder).map_err(|error| OutputError::refused(folder, &error))?;
    let mut files = Files::beside_old();
    for (name, text) in texts {
        files.add(&folder.join(name), text);
    }
    deliver(files, || print(said))
}

/// Writes the voyage of these answers, with two routes to begin with, and compares them.
fn write_own(folder: &Path, answers: &Answers) -> Result<(), CliError> {
    let options = answers.missing();
    let (Some(from), Some(to), Some(departure), []) =
        (&answers.from, &answers.to, answers.departure, &options[..])
    else {
        return Err(CliError::Unanswered { options });
    };
    let polar = answers.polar.as_deref();
    let polar = polar.map(|file| OwnPolar::read(file, folder)).transpose()?;
    let needed = Needed {
        ends: [from, to],
        departure,
        answers,
        polar: polar.as_ref().map(|polar| polar.name.as_str()),
    };
    let polars = polar.iter();
    let polars: Vec<(&str, &str)> = polars
        .map(|polar| (polar.name.as_str(), polar.text.as_str()))
        .collect();
    let parse = |text: &str| Voyage::parse(VOYAGE, text, &polars);

    let shortest = "The shortest way.";
    let direct = parse(&needed.text(&[("Great circle", shortest, &[])]))?;
    let routes = first_routes(&direct)?;
    let (name, why) = match routes.in_the_way {
        None => ("Great circle", shortest),
        Some(InTheWay::Land) => (
            "Round the land",
            "The fastest course on the mean wind: the great circle crosses land.",
        ),
        Some(InTheWay::NoWinds) => (
            "Where winds are known",
            "The fastest course on the mean wind: of a sea on the great circle no winds are known.",
        ),
    };
    let mut listed = vec![(name, why, between(&routes.short))];
    let gentle = "Of the courses that take at most a fifth longer than the fastest on the mean wind, the one\n\
                  # with the least time to windward. It looks at nothing else: not at ice, cold or gales.";
    listed.extend(
        routes
            .gentle
            .iter()
            .map(|route| ("Less headwind", gentle, between(route))),
    );
    let text = needed.text(&listed);
    // What is written is what was shaped for: read once more as the file it becomes, and compared
    // first, for a file is of no use where the winds of its routes are not known.
    let voyage = parse(&text)?;
    let comparison = compare(&voyage, &voyage.open_climate()?, &Options::default())?;

    let mut texts: Vec<(&str, String)> = Vec::new();
    let copied = polar.iter().filter(|polar| !polar.is_there);
    texts.extend(copied.map(|polar| (POLAR, polar.text.clone())));
    texts.push((VOYAGE, text));
    let voyage = folder.join(VOYAGE);
    let said = said(&voyage, routes.in_the_way, routes.gentle.is_some());
    write(folder, texts, &said)?;
    warn_of_land(&comparison, &LandOptions::default())?;
    show(&comparison_summary(&comparison, screen()))
}

/// A crew's polar file.
struct OwnPolar {
    /// What it is called beside the voyage file.
    name: String,
    text: String,
    /// Whether it stands there already.
    is_there: bool,
}

impl OwnPolar {
    /// Reads the file, once it is known to be a polar; one that is not in `folder` is to be copied.
    fn read(file: &Path, folder: &Path) -> Result<Self, CliError> {
        Polar::read(file)?;
        let text = read_text(file).map_err(|error| OutputError::refused(file, &error))?;
        let parent = file
            .parent()
            .filter(|parent| !parent.as_os_str().is_empty());
        let place = parent.unwrap_or(Path::new(".")).canonicalize().ok();
        let name = file.file_name().and_then(|name| name.to_str());
        let is_there = place.is_some() && place == folder.canonicalize().ok();
        Ok(Self {
            name: name.filter(|_| is_there).unwrap_or(POLAR).to_owned(),
            text,
            is_there: is_there && name.is_some(),
        })
    }
}

fn said(voyage: &Path, in_the_way: Option<InTheWay>, has_gentle: bool) -> String {
    let voyage = voyage.display();
    let mut text = format!("Wrote {voyage}. Each assumption in it has a comment.\n");
    text += match in_the_way {
        None => "",
        Some(InTheWay::Land) => {
            "The great circle crosses land: the first route is the fastest course round it.\n"
        }
        Some(InTheWay::NoWinds) => {
            "The great circle crosses a sea, ice as a rule, of which no winds are known in those\n\
             months: the first route is the fastest course that keeps clear of it.\n"
        }
    };
    if !has_gentle {
        text += "No other course has less time to windward for at most a fifth more days.\n";
    }
    text + "\n"
}
