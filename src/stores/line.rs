//! One line of the loading list, with how it came about.

use schemars::JsonSchema;
use serde::Serialize;

use super::basis::Basis;
use crate::units::{OutputUnits, Unit};

/// What a line or a caution is about, in the order of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Subject {
    /// Days to provide for.
    Days,
    /// Diesel.
    Fuel,
    /// Fresh water.
    Water,
    /// Electric power.
    Power,
    /// Food for people and pets.
    Food,
    /// Spares and service.
    Service,
    /// Watches and sleep.
    Watches,
}

impl Subject {
    /// The word for it, as JSON and CSV have it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Days => "days",
            Self::Fuel => "fuel",
            Self::Water => "water",
            Self::Power => "power",
            Self::Food => "food",
            Self::Service => "service",
            Self::Watches => "watches",
        }
    }
}

/// An amount per something.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Rate {
    /// The amount, in `unit`.
    pub value: f64,
    /// The amount's unit.
    pub unit: Unit,
    /// What it is per, such as `person and day`.
    pub per: &'static str,
}

/// A quantity to load or to know, and how it came about.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Line {
    /// What it is about.
    pub subject: Subject,
    /// What it is.
    pub item: String,
    /// How much, in `unit`.
    pub quantity: f64,
    /// The quantity's unit.
    pub unit: Unit,
    /// The days it is reckoned over; none where days do not enter.
    pub days: Option<f64>,
    /// The rate it is reckoned at; none where none enters.
    pub rate: Option<Rate>,
    /// The reserve in it, as a share of what is expected to be used; none where there is none.
    pub reserve_share: Option<f64>,
    /// The rule in words.
    pub rule: String,
    /// Where the rule or its rate comes from.
    pub basis: Basis,
}

impl Line {
    pub(crate) fn new(
        subject: Subject,
        item: impl Into<String>,
        (quantity, unit): (f64, Unit),
        rule: impl Into<String>,
        basis: Basis,
    ) -> Self {
        Self {
            subject,
            item: item.into(),
            quantity,
            unit,
            days: None,
            rate: None,
            reserve_share: None,
            rule: rule.into(),
            basis,
        }
    }

    pub(crate) fn over_days(mut self, days: f64) -> Self {
        self.days = Some(days);
        self
    }

    pub(crate) fn at_rate(mut self, value: f64, unit: Unit, per: &'static str) -> Self {
        self.rate = Some(Rate { value, unit, per });
        self
    }

    pub(crate) fn with_reserve(mut self, share: f64) -> Self {
        self.reserve_share = Some(share);
        self
    }

    /// The same line in the units of `system`.
    pub(crate) fn show_in(&mut self, system: OutputUnits) {
        (self.quantity, self.unit) = self.unit.convert(self.quantity, system);
        if let Some(rate) = &mut self.rate {
            (rate.value, rate.unit) = rate.unit.convert(rate.value, system);
        }
    }
}

/// Something the skipper must see before acting on the list.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Caution {
    /// What it is about.
    pub subject: Subject,
    /// The caution in words.
    pub text: String,
    /// The amount it speaks of, such as a shortfall, in `unit`; none where it speaks of none.
    pub quantity: Option<f64>,
    /// The amount's unit; none without an amount.
    pub unit: Option<Unit>,
}

impl Caution {
    pub(crate) fn new(subject: Subject, text: impl Into<String>) -> Self {
        Self {
            subject,
            text: text.into(),
            quantity: None,
            unit: None,
        }
    }

    pub(crate) fn of(subject: Subject, text: impl Into<String>, quantity: f64, unit: Unit) -> Self {
        Self {
            quantity: Some(quantity),
            unit: Some(unit),
            ..Self::new(subject, text)
        }
    }

    pub(crate) fn show_in(&mut self, system: OutputUnits) {
        if let (Some(quantity), Some(unit)) = (self.quantity, self.unit) {
            let (quantity, unit) = unit.convert(quantity, system);
            (self.quantity, self.unit) = (Some(quantity), Some(unit));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantity_and_rate_change_units_together() {
        let mut line = Line::new(
            Subject::Water,
            "drinking",
            (378.541_178_4, Unit::Litre),
            "rule",
            Basis::GIVEN,
        )
        .at_rate(3.785_411_784, Unit::Litre, "person and day");
        line.show_in(OutputUnits::Us);
        assert!((line.quantity - 100.0).abs() < 1e-9);
        assert_eq!(line.unit, Unit::UsGallon);
        assert!((line.rate.unwrap().value - 1.0).abs() < 1e-12);
    }

    #[test]
    fn metric_is_left_untouched() {
        let mut caution = Caution::of(Subject::Fuel, "short", 12.3, Unit::Litre);
        let before = caution.clone();
        caution.show_in(OutputUnits::Metric);
        assert_eq!(caution, before);
    }
}
