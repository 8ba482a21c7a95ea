//! Spares by the hour and the litre, and questions about the systems a short crew lives by.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure, Known};
use super::error::{StoresError, check, check_given};
use super::line::{Caution, Line, Subject};
use super::outcome::Percentile;

/// Engine hours between changes.
pub const ENGINE_INTERVAL: Range = Range::new("engine hours between changes", "h", 1.0, 10_000.0);
/// Litres of water made between changes.
pub const WATER_INTERVAL: Range = Range::new("litres made between changes", "L", 1.0, 10_000_000.0);
/// Use since the last change.
pub const SINCE: Range = Range::new("use since the last change", "", 0.0, 10_000_000.0);
/// What one change takes.
pub const PER_CHANGE: Range = Range::new("taken by one change", "", 0.01, 1000.0);
/// Changes carried beyond those due.
pub const IN_HAND: Range = Range::new("changes in hand", "", 0.0, 100.0);

/// Engine hours between oil changes; 100 to 250 for a small diesel, or a year.
pub const OIL_HOURS: Known = Known::new(
    "engine oil",
    150.0,
    "h",
    Basis::from_memory("engine makers' handbooks, 100 to 250 h"),
);
/// Litres of oil in one change; the engine's handbook has the figure.
pub const OIL_LITRES: Known = Known::new("oil in one change", 4.0, "L", Basis::PRACTICE);
/// Engine hours between oil filters: with each oil change.
pub const OIL_FILTER_HOURS: Known = Known::new("oil filter", OIL_HOURS.value, "h", OIL_HOURS.basis);
/// Engine hours between fuel filters; 200 to 400.
pub const FUEL_FILTER_HOURS: Known = Known::new(
    "fuel filters",
    300.0,
    "h",
    Basis::from_memory("engine makers' handbooks, 200 to 400 h"),
);
/// Engine hours between sea-water pump impellers.
pub const IMPELLER_HOURS: Known =
    Known::new("sea-water pump impeller", 400.0, "h", Basis::PRACTICE);
/// Litres made between the watermaker's pre-filters.
pub const PREFILTER_LITRES: Known =
    Known::new("watermaker pre-filter", 3000.0, "L", Basis::PRACTICE);
/// Changes carried beyond those due.
pub const ONE_IN_HAND: Known = Known::new("changes in hand", 1.0, "", Basis::PRACTICE);

/// What wears a part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Interval {
    /// Engine hours between changes.
    EngineHours(f64),
    /// Litres of fresh water made between changes.
    WaterLitres(f64),
}

/// A part or fluid changed at an interval.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceItem {
    /// What it is.
    pub name: String,
    /// Use between changes.
    pub interval: Interval,
    /// Use since the last change, engine hours or litres as the interval has it.
    pub since_last: f64,
    /// What one change takes, in `unit`.
    pub per_change: Figure,
    /// Pieces or litres.
    pub unit: Unit,
    /// Changes carried beyond those due; `None` takes the default.
    pub in_hand: Option<f64>,
    /// Where the interval comes from.
    pub basis: Basis,
}

/// What is serviced on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceSettings {
    /// Parts and fluids; engine items are left out where there is no engine, and water items
    /// where there is no watermaker.
    pub items: Vec<ServiceItem>,
}

impl Default for ServiceSettings {
    /// Everything changed on the day of departure, one change in hand.
    fn default() -> Self {
        let item = |known: Known, interval: fn(f64) -> Interval| ServiceItem {
            name: known.what.to_owned(),
            interval: interval(known.value),
            since_last: 0.0,
            // One piece of itself, by the same origin.
            per_change: Figure {
                value: 1.0,
                basis: known.basis,
            },
            unit: Unit::Piece,
            in_hand: None,
            basis: known.basis,
        };
        let oil = ServiceItem {
            per_change: OIL_LITRES.unless_given(None),
            unit: Unit::Litre,
            ..item(OIL_HOURS, Interval::EngineHours)
        };
        Self {
            items: vec![
                oil,
                item(OIL_FILTER_HOURS, Interval::EngineHours),
                item(FUEL_FILTER_HOURS, Interval::EngineHours),
                item(IMPELLER_HOURS, Interval::EngineHours),
                item(PREFILTER_LITRES, Interval::WaterLitres),
            ],
        }
    }
}

impl ServiceSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A number out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        for item in &self.items {
            let field = |name: &str| format!("service.item.{}.{name}", item.name);
            let since = match item.interval {
                Interval::EngineHours(hours) => {
                    check(&field("every_engine_hours"), &ENGINE_INTERVAL, hours)?;
                    "engine_hours_since"
                }
                Interval::WaterLitres(litres) => {
                    check(&field("every_water_litres"), &WATER_INTERVAL, litres)?;
                    "water_litres_since"
                }
            };
            check(&field(since), &SINCE, item.since_last)?;
            let taken = match item.unit {
                Unit::Piece => "pieces",
                _ => "fluid",
            };
            check(&field(taken), &PER_CHANGE, item.per_change.value)?;
            check_given(&field("in_hand"), &IN_HAND, item.in_hand)?;
        }
        Ok(())
    }
}

impl ServiceItem {
    /// Changes that fall due while `used` more is put on it.
    pub fn changes_due(&self, used: f64) -> f64 {
        let (Interval::EngineHours(interval) | Interval::WaterLitres(interval)) = self.interval;
        ((self.since_last + used) / interval).floor()
    }
}

/// A system a short crew lives by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum System {
    /// Steering.
    Steering,
    /// Electric power.
    Power,
    /// Fresh water.
    Water,
    /// Mast and standing rigging.
    Rig,
    /// Sails and lines.
    Sails,
    /// Engine.
    Engine,
    /// Medicine.
    Medical,
}

/// A question for the skipper. It is never a verdict.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Prompt {
    /// The system.
    pub system: System,
    /// The question.
    pub question: String,
    /// Hours of use it speaks of, where it does.
    pub hours: Option<f64>,
}

/// Spares to carry and questions to ask.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct ServicePlan {
    /// Engine hours reckoned with; none where there is no engine.
    pub engine_hours: Option<f64>,
    /// Litres made by the watermaker reckoned with; none where there is none.
    pub made_litres: Option<f64>,
    /// Questions.
    pub prompts: Vec<Prompt>,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

const QUESTIONS: [(System, &str); 14] = [
    (
        System::Steering,
        "Two of each? The autopilot's drive, its computer and its rudder sensor.",
    ),
    (
        System::Steering,
        "Has the emergency tiller been fitted and steered with at sea?",
    ),
    (
        System::Power,
        "Two of each? Ways to charge, and batteries that can start the engine.",
    ),
    (
        System::Power,
        "What goes on working, and what stops, when the house battery is dead?",
    ),
    (
        System::Water,
        "Two of each? Tanks that can be shut off from one another, and ways to pump from them.",
    ),
    (
        System::Water,
        "Two of each? Watermaker pre-filters, its fuses, and its pump's spare parts.",
    ),
    (
        System::Rig,
        "Two of each? Halyards that can hold the mast up, and terminals to make a new stay.",
    ),
    (
        System::Rig,
        "Can the rig be cut away with the tools aboard, in the dark?",
    ),
    (
        System::Sails,
        "Two of each? A storm jib and trysail, or a reef deep enough to stand in for them.",
    ),
    (
        System::Engine,
        "Two of each? Belts, fuel lift pump, thermostat, and a spare for what starts it.",
    ),
    (
        System::Engine,
        "Are there more fuel filters than the hours ask? A rough sea stirs up the tank's dirt.",
    ),
    (
        System::Medical,
        "Has a doctor gone through the medicine chest with each person's history, doses and allergies?",
    ),
    (
        System::Medical,
        "Prescribed medicine: is there enough for the days of food, and some kept apart?",
    ),
    (
        System::Medical,
        "How is a doctor reached by radio or satellite on every day of the passage?",
    ),
];

impl ServicePlan {
    pub(crate) fn of(
        service: &ServiceSettings,
        chosen: &Percentile,
        engine_hours: Option<f64>,
        made_litres: Option<f64>,
    ) -> Self {
        let lines = service
            .items
            .iter()
            .filter_map(|item| {
                let used = match item.interval {
                    Interval::EngineHours(_) => engine_hours?,
                    Interval::WaterLitres(_) => made_litres?,
                };
                Some(list_item(item, used))
            })
            .collect();
        Self {
            engine_hours,
            made_litres,
            prompts: prompts(chosen, engine_hours.is_some()),
            lines,
        }
    }

    pub(crate) fn cautions(&self) -> Vec<Caution> {
        vec![Caution::new(
            Subject::Service,
            "Spares and medicine are minimums, not targets. Medical stores are a doctor's matter; the skipper decides.",
        )]
    }
}

fn list_item(item: &ServiceItem, used: f64) -> Line {
    let due = item.changes_due(used);
    let in_hand = ONE_IN_HAND.unless_given(item.in_hand);
    let taken = item.per_change;
    let (interval, unit, per) = match item.interval {
        Interval::EngineHours(hours) => (hours, Unit::Hour, "change, by the engine"),
        Interval::WaterLitres(litres) => (litres, Unit::Litre, "change, by the water made"),
    };
    let mut rule = format!("changes due on the way: {due}; in hand: {}", in_hand.value);
    // The line's own origin is the interval's.
    if in_hand.basis != item.basis {
        rule.push_str(&format!(" ({})", in_hand.basis));
    }
    if taken.basis != item.basis {
        rule.push_str(&format!("; what a change takes: {}", taken.basis));
    }
    let amount = ((due + in_hand.value) * taken.value, item.unit);
    Line::new(Subject::Service, &item.name, amount, rule, item.basis).at_rate(interval, unit, per)
}

fn prompts(chosen: &Percentile, has_engine: bool) -> Vec<Prompt> {
    let sailing_h = (24.0 * chosen.days - chosen.motor_hours).max(0.0);
    let hours = |system: System, question: &str, hours: f64| Prompt {
        system,
        question: format!("About {hours:.0} {question}"),
        hours: Some(hours),
    };
    let mut prompts = vec![
        hours(
            System::Sails,
            "hours under sail: seams, batten ends, and thread and cloth to mend them?",
            sailing_h,
        ),
        hours(
            System::Sails,
            "hours of strain on the same parts of sheets and halyards: spare line, and a place to shift the chafe to?",
            sailing_h,
        ),
        hours(
            System::Rig,
            "hours of gale and hard beat: rigging looked over from deck to masthead before leaving?",
            chosen.gale_hours + chosen.hard_beat_hours,
        ),
    ];
    prompts.extend(
        QUESTIONS
            .iter()
            .filter(|(system, _)| has_engine || *system != System::Engine)
            .map(|&(system, question)| Prompt {
                system,
                question: question.to_owned(),
                hours: None,
            }),
    );
    prompts
}
