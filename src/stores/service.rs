//! Spares by the engine hours and by the litres of water made.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure};
use super::error::{StoresError, check};
use super::line::{Item, Line, Per, Rule};
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

const HANDBOOKS_OIL: Basis = Basis::from_memory("engine makers' handbooks, 100 to 250 h");
const HANDBOOKS_FUEL: Basis = Basis::from_memory("engine makers' handbooks, 200 to 400 h");

/// The usual items: name, interval, where that comes from. The oil filter goes with the oil.
const ITEMS: [(&str, Interval, Basis); 5] = [
    ("engine oil", Interval::EngineHours(150.0), HANDBOOKS_OIL),
    ("oil filter", Interval::EngineHours(150.0), HANDBOOKS_OIL),
    ("fuel filters", Interval::EngineHours(300.0), HANDBOOKS_FUEL),
    (
        "sea-water pump impeller",
        Interval::EngineHours(400.0),
        Basis::PRACTICE,
    ),
    (
        "watermaker pre-filter",
        Interval::WaterLitres(3000.0),
        Basis::PRACTICE,
    ),
];
/// Litres of oil in one change; the engine's handbook has the figure.
pub const OIL_LITRES: Figure = Figure::new(4.0, Basis::PRACTICE);
/// Changes carried beyond those due.
pub const ONE_IN_HAND: Figure = Figure::new(1.0, Basis::PRACTICE);

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
        let item = |(name, interval, basis): (&str, Interval, Basis)| ServiceItem {
            name: name.to_owned(),
            interval,
            since_last: 0.0,
            // One piece of itself, by the same origin.
            per_change: Figure::new(1.0, basis),
            unit: Unit::Piece,
            in_hand: None,
            basis,
        };
        let mut items = ITEMS.map(item);
        let [oil, ..] = &mut items;
        (oil.per_change, oil.unit) = (OIL_LITRES, Unit::Litre);
        Self {
            items: items.into(),
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
            let of = &item.name;
            match item.interval {
                Interval::EngineHours(hours) => check(of, &ENGINE_INTERVAL, hours)?,
                Interval::WaterLitres(litres) => check(of, &WATER_INTERVAL, litres)?,
            }
            check(of, &SINCE, item.since_last)?;
            check(of, &PER_CHANGE, item.per_change.value)?;
            check(of, &IN_HAND, item.in_hand)?;
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

    fn line(&self, used: f64) -> Line {
        let due = self.changes_due(used);
        let in_hand = ONE_IN_HAND.unless_given(self.in_hand);
        let per_change = self.per_change;
        let (interval, unit) = match self.interval {
            Interval::EngineHours(hours) => (hours, Unit::Hour),
            Interval::WaterLitres(litres) => (litres, Unit::Litre),
        };
        let amount = (due + in_hand.value) * per_change.value;
        Line::new(Item::Spare, amount, self.unit, self.basis)
            .named(&self.name)
            .at_rate(interval, unit, Per::Change)
            .by(Rule::Changes {
                due,
                in_hand,
                per_change,
            })
    }
}

/// Spares to carry, and the wear they are to mend.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct ServicePlan {
    /// Hours under sail at the chosen percentile, which wear sails, sheets and halyards.
    pub sailing_hours: f64,
    /// Hours of gale and of beating in 20 kn or more, which strain the rig.
    pub rough_hours: f64,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

impl ServicePlan {
    /// The spares for `engine_hours` and for `made_litres` of water, none where there is no engine or no
    /// watermaker.
    pub(crate) fn of(
        service: &ServiceSettings,
        chosen: &Percentile,
        engine_hours: Option<f64>,
        made_litres: Option<f64>,
    ) -> Self {
        let line = |item: &ServiceItem| {
            let used = match item.interval {
                Interval::EngineHours(_) => engine_hours?,
                Interval::WaterLitres(_) => made_litres?,
            };
            Some(item.line(used))
        };
        Self {
            sailing_hours: (24.0 * chosen.days - chosen.motor_hours).max(0.0),
            rough_hours: chosen.gale_hours + chosen.hard_beat_hours,
            lines: service.items.iter().filter_map(line).collect(),
        }
    }
}
