//! The units quantities are given and shown in, with their exact sizes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::by_name::serialize_by_name;

/// Litres in one US gallon, exact: 231 cubic inches (NIST Handbook 44, from memory).
pub const LITRES_PER_US_GALLON: f64 = 3.785_411_784;
/// Litres in one imperial gallon, exact (UK Weights and Measures Act 1985, from memory).
pub const LITRES_PER_IMPERIAL_GALLON: f64 = 4.546_09;
/// Kilograms in one avoirdupois pound, exact (NIST Handbook 44, from memory).
pub const KG_PER_POUND: f64 = 0.453_592_37;
/// Ounces in one avoirdupois pound, exact.
pub const OUNCES_PER_POUND: f64 = 16.0;
/// Metres in one foot, exact (NIST Handbook 44, from memory).
pub const METRES_PER_FOOT: f64 = 0.304_8;
/// Kilojoules in one kilocalorie, exact (thermochemical calorie).
pub const KJ_PER_KCAL: f64 = 4.184;

/// The kind of quantity a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Base unit: litre.
    Volume,
    /// Base unit: kilogram.
    Mass,
    /// Base unit: metre.
    Length,
    /// Base unit: knot.
    Speed,
    /// Base unit: ampere-hour.
    Charge,
    /// Base unit: watt-hour.
    Energy,
    /// Base unit: watt.
    Power,
    /// Base unit: kilocalorie.
    FoodEnergy,
    /// Base unit: hour.
    Time,
    /// Base unit: one piece.
    Count,
    /// Base unit: the whole as 1.
    Share,
}

impl Kind {
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Volume => "volume",
            Self::Mass => "mass",
            Self::Length => "length",
            Self::Speed => "speed",
            Self::Charge => "charge",
            Self::Energy => "energy",
            Self::Power => "power",
            Self::FoodEnergy => "food energy",
            Self::Time => "time",
            Self::Count => "count",
            Self::Share => "share",
        }
    }

    /// The symbols a quantity of this kind may be written in, for a message. A battery's charge may
    /// be given as energy.
    pub fn written_units(self) -> String {
        let also = match self {
            Self::Charge => Self::Energy,
            other => other,
        };
        Unit::WRITTEN
            .into_iter()
            .filter(|unit| unit.kind() == self || unit.kind() == also)
            .map(Unit::symbol)
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// A unit of measure. It serialises as its symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// `L`
    Litre,
    /// `ml`
    Millilitre,
    /// `US gal`
    UsGallon,
    /// `imp gal`
    ImperialGallon,
    /// `kg`
    Kilogram,
    /// `g`
    Gram,
    /// `lb`, avoirdupois
    Pound,
    /// `oz`, avoirdupois: a mass, never a fluid ounce
    Ounce,
    /// `m`
    Metre,
    /// `ft`
    Foot,
    /// `kn`
    Knot,
    /// `Ah`
    AmpereHour,
    /// `Wh`
    WattHour,
    /// `kWh`
    KilowattHour,
    /// `W`
    Watt,
    /// `kW`
    Kilowatt,
    /// `kcal`
    Kilocalorie,
    /// `kJ`
    Kilojoule,
    /// `days`
    Day,
    /// `h`
    Hour,
    /// `weeks`
    Week,
    /// `pcs`: pieces, or occasions
    Piece,
    /// `%`
    Percent,
}

impl Unit {
    /// The units a quantity may be written in, in the order they are listed.
    pub const WRITTEN: [Self; 21] = [
        Self::Litre,
        Self::Millilitre,
        Self::UsGallon,
        Self::ImperialGallon,
        Self::Kilogram,
        Self::Gram,
        Self::Pound,
        Self::Ounce,
        Self::Metre,
        Self::Foot,
        Self::Knot,
        Self::AmpereHour,
        Self::WattHour,
        Self::KilowattHour,
        Self::Watt,
        Self::Kilowatt,
        Self::Kilocalorie,
        Self::Kilojoule,
        Self::Day,
        Self::Hour,
        Self::Week,
    ];

    /// The units that only results are in.
    const RESULTS_ONLY: [Self; 2] = [Self::Piece, Self::Percent];

    /// The symbol, as written and as printed.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Litre => "L",
            Self::Millilitre => "ml",
            Self::UsGallon => "US gal",
            Self::ImperialGallon => "imp gal",
            Self::Kilogram => "kg",
            Self::Gram => "g",
            Self::Pound => "lb",
            Self::Ounce => "oz",
            Self::Metre => "m",
            Self::Foot => "ft",
            Self::Knot => "kn",
            Self::AmpereHour => "Ah",
            Self::WattHour => "Wh",
            Self::KilowattHour => "kWh",
            Self::Watt => "W",
            Self::Kilowatt => "kW",
            Self::Kilocalorie => "kcal",
            Self::Kilojoule => "kJ",
            Self::Day => "days",
            Self::Hour => "h",
            Self::Week => "weeks",
            Self::Piece => "pcs",
            Self::Percent => "%",
        }
    }

    /// What it measures, and how many of the kind's base unit it holds.
    pub const fn size(self) -> (Kind, f64) {
        match self {
            Self::Litre => (Kind::Volume, 1.0),
            Self::Millilitre => (Kind::Volume, 1e-3),
            Self::UsGallon => (Kind::Volume, LITRES_PER_US_GALLON),
            Self::ImperialGallon => (Kind::Volume, LITRES_PER_IMPERIAL_GALLON),
            Self::Kilogram => (Kind::Mass, 1.0),
            Self::Gram => (Kind::Mass, 1e-3),
            Self::Pound => (Kind::Mass, KG_PER_POUND),
            Self::Ounce => (Kind::Mass, KG_PER_POUND / OUNCES_PER_POUND),
            Self::Metre => (Kind::Length, 1.0),
            Self::Foot => (Kind::Length, METRES_PER_FOOT),
            Self::Knot => (Kind::Speed, 1.0),
            Self::AmpereHour => (Kind::Charge, 1.0),
            Self::WattHour => (Kind::Energy, 1.0),
            Self::KilowattHour => (Kind::Energy, 1e3),
            Self::Watt => (Kind::Power, 1.0),
            Self::Kilowatt => (Kind::Power, 1e3),
            Self::Kilocalorie => (Kind::FoodEnergy, 1.0),
            Self::Kilojoule => (Kind::FoodEnergy, 1.0 / KJ_PER_KCAL),
            Self::Hour => (Kind::Time, 1.0),
            Self::Day => (Kind::Time, 24.0),
            Self::Week => (Kind::Time, 168.0),
            Self::Piece => (Kind::Count, 1.0),
            Self::Percent => (Kind::Share, 1e-2),
        }
    }

    /// What it measures.
    pub const fn kind(self) -> Kind {
        self.size().0
    }

    /// An amount of this unit, in the kind's base unit.
    pub const fn to_base(self, amount: f64) -> f64 {
        amount * self.size().1
    }

    /// An amount of the kind's base unit, in this unit.
    pub const fn from_base(self, amount: f64) -> f64 {
        amount / self.size().1
    }

    /// An amount of this unit, and the unit, as shown in `system`.
    pub fn convert(self, amount: f64, system: OutputUnits) -> (f64, Self) {
        let shown = self.shown_in(system);
        if shown == self {
            return (amount, self);
        }
        (shown.from_base(self.to_base(amount)), shown)
    }

    /// The unit that shows the same thing in `system`.
    pub const fn shown_in(self, system: OutputUnits) -> Self {
        match (system, self) {
            (OutputUnits::Us, Self::Litre) => Self::UsGallon,
            (OutputUnits::Us, Self::Kilogram) => Self::Pound,
            (OutputUnits::Us, Self::Gram) => Self::Ounce,
            (OutputUnits::Us, Self::Metre) => Self::Foot,
            (_, unit) => unit,
        }
    }
}

serialize_by_name!(
    Unit,
    Unit::symbol,
    Unit::WRITTEN.into_iter().chain(Unit::RESULTS_ONLY),
    "A unit of measure, by its symbol. Ounces and pounds are avoirdupois."
);

/// The scale that temperatures are shown on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TemperatureScale {
    /// Degrees Celsius.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureScale {
    /// A temperature in degrees Celsius on this scale.
    pub fn convert(self, celsius: f64) -> f64 {
        match self {
            Self::Celsius => celsius,
            Self::Fahrenheit => celsius * 1.8 + 32.0,
        }
    }

    /// How its degrees are written.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }
}

/// The one choice of units for output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum OutputUnits {
    /// Litres, kilograms, grams, metres.
    #[default]
    Metric,
    /// US gallons, pounds, ounces, feet.
    Us,
}
