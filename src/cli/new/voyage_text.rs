//! The voyage file of a crew's answers.

use std::fmt::Write as _;

use jiff::civil::Date;

use super::options::{Answers, Cruiser, End};
use crate::boat::{GenericBoat, Keel, Rig};
use crate::geodesy::Position;
use crate::route::{Route, Waypoint};

/// A loaded cruiser with a small crew, against her polar (common practice, no source).
const FACTOR: f64 = 0.85;
/// Speed made good below which a cruising crew starts the engine, kn (common practice, no source).
const MOTOR_BELOW_KN: f64 = 1.5;
/// What one of the crew eats in a day, kcal (common practice, no source).
const KCAL_PER_DAY: f64 = 2600.0;

/// What a voyage cannot do without, all of it answered.
pub(super) struct Needed<'a> {
    pub ends: [&'a End; 2],
    pub departure: Date,
    pub answers: &'a Answers,
    /// The file with her polar, beside the voyage file.
    pub polar: Option<&'a str>,
}

impl End {
    /// What its waypoint is called.
    pub(super) fn name(&self, otherwise: &str) -> String {
        match self {
            Self::Port(port) => port.name.clone(),
            Self::Position(_) => otherwise.to_owned(),
        }
    }
}

impl Cruiser {
    /// What she is, for the person who chooses.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Small => "9 m, 4.5 t, a sloop with a fin keel",
            Self::Middle => "11 m, 8 t, a sloop with a fin and a skeg",
            Self::Large => "13 m, 14 t, a cutter with a long keel",
        }
    }

    /// Her dimensions, invented: displacement-length ratios of 290, sail area-displacement ratios
    /// of 16.
    fn dimensions(self) -> GenericBoat {
        let (waterline_length_m, displacement_kg, sail_area_m2, rig, keel) = match self {
            Self::Small => (7.6, 4500.0, 42.0, Rig::Sloop, Keel::Fin),
            Self::Middle => (9.2, 8000.0, 62.0, Rig::Sloop, Keel::FinAndSkeg),
            Self::Large => (11.0, 14_000.0, 90.0, Rig::Cutter, Keel::Long),
        };
        GenericBoat {
            waterline_length_m,
            displacement_kg,
            sail_area_m2,
            rig,
            keel,
        }
    }
}

impl Answers {
    /// The dimensions to make a polar from; none where there is a polar.
    fn dimensions(&self) -> Option<GenericBoat> {
        let given = || {
            Some(GenericBoat {
                waterline_length_m: self.waterline_m?,
                displacement_kg: self.displacement_kg?,
                sail_area_m2: self.sail_area_m2?,
                rig: self.rig?.into(),
                keel: self.keel?.into(),
            })
        };
        self.boat.map(Cruiser::dimensions).or_else(given)
    }
}

fn place(end: &End) -> String {
    match end {
        End::Port(port) => format!("place = {}", quoted(&port.to_string())),
        End::Position(end) => position(*end),
    }
}

/// To a metre: rounded to a tenth of a minute, as positions are shown, a corner found close to land
/// could come to lie behind it.
fn position(place: Position) -> String {
    let (latitude_deg, longitude_deg) = (place.latitude_deg(), place.longitude_deg());
    format!("position = \"{latitude_deg:.5}, {longitude_deg:.5}\"")
}

/// A text in quotes, as TOML has it.
fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

impl Needed<'_> {
    /// The ends' names.
    pub fn names(&self) -> [String; 2] {
        [self.ends[0].name("Start"), self.ends[1].name("End")]
    }

    /// The whole file, with these routes between the ends: what each is called, why it is there, and
    /// its waypoints between the ends.
    pub fn text(&self, routes: &[(&str, &str, &[Waypoint])]) -> String {
        let [from, to] = self.names();
        let mut text = format!(
            "# {from} to {to}, made by `offing new`. What you did not say is an assumption and has a\n\
             # comment. `offing new --example` writes a file with every key explained.\n\
             #\n\
             # A planning aid from averages of many years, not a forecast. Check official pilot charts,\n\
             # warnings and local rules; the skipper decides.\n\n\
             [voyage]\nname = {}\ndeparture = {}\n\n",
            quoted(&format!("{from} to {to}")),
            self.departure
        );
        self.boat(&mut text);
        self.crew(&mut text);
        for (name, reason, between) in routes {
            let _ = write!(text, "\n# {reason}\n[[route]]\nname = {}\n", quoted(name));
            let between = between.iter().enumerate().map(|(index, waypoint)| {
                (format!("{name} {}", index + 1), position(waypoint.position))
            });
            let first = (from.clone(), place(self.ends[0]));
            let last = (to.clone(), place(self.ends[1]));
            for (name, place) in std::iter::once(first).chain(between).chain([last]) {
                let name = quoted(&name);
                let _ = write!(text, "\n[[route.waypoint]]\nname = {name}\n{place}\n");
            }
        }
        text
    }

    fn boat(&self, text: &mut String) {
        let answers = self.answers;
        let _ = writeln!(text, "[boat]");
        if let Some(cruiser) = answers.boat {
            let name = quoted(&format!("an invented cruiser ({})", cruiser.words()));
            let _ = writeln!(text, "name = {name}");
        }
        if let Some(polar) = self.polar {
            let _ = writeln!(text, "polar = {}", quoted(polar));
        }
        let _ = writeln!(
            text,
            "factor = {FACTOR}     # assumed: loaded, a small crew; `offing boat fit` finds yours from a log"
        );
        if let Some(boat) = answers.dimensions() {
            let words = |value: toml::Value| value.to_string();
            let _ = write!(
                text,
                "\n[boat.generic]\nwaterline_length_m = {}\ndisplacement_kg = {}\nsail_area_m2 = {}\n\
                 rig = {}\nkeel = {}\n",
                boat.waterline_length_m,
                boat.displacement_kg,
                boat.sail_area_m2,
                toml::Value::try_from(boat.rig).map_or_else(|_| String::new(), words),
                toml::Value::try_from(boat.keel).map_or_else(|_| String::new(), words),
            );
        }
        if let (Some(speed_kn), Some(burnt), Some(diesel)) =
            (answers.motor_kn, answers.litres_per_hour, &answers.diesel)
        {
            let _ = write!(
                text,
                "\n[boat.engine]\nmotor_speed_kn = {speed_kn}\nlitres_per_hour = {burnt}\nfuel = {}\n\n\
                 [handling]\nmotor_below_kn = {MOTOR_BELOW_KN}   # assumed: the engine runs when she \
                 makes less than this good\n",
                quoted(diesel)
            );
        }
    }

    fn crew(&self, text: &mut String) {
        if let Some(people) = self.answers.crew {
            let _ = write!(
                text,
                "\n[crew]\npeople = {people}\nkcal_per_day = {KCAL_PER_DAY}   # assumed, of each; or give sex, \
                 age_years and mass instead\n"
            );
        }
        if let Some(water) = &self.answers.water {
            let _ = write!(text, "\n[water]\ntank = {}\n", quoted(water));
        }
    }
}

/// A route's waypoints without its ends.
pub(super) fn between(route: &Route) -> &[Waypoint] {
    match route.waypoints() {
        [_, between @ .., _] => between,
        _ => &[],
    }
}
