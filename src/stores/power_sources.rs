//! What makes electricity aboard: sun, wind, and the engine's alternator; and what keeps it.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::geodesy::SunDay;
use crate::units::Range;

use super::basis::{Basis, Figure};
use super::error::{StoresError, check};
use super::outcome::{TrackDay, WIND};

/// Electric power of one thing aboard.
pub const ELECTRIC_POWER: Range = Range::new("electric power", "W", 0.0, 50_000.0);
/// Power of a source that is aboard at all.
pub const SOURCE_POWER: Range = Range::new("power of the source", "W", 1.0, 50_000.0);
/// A share of a whole that cannot be none.
pub const PART: Range = Range::new("share", "", 0.01, 1.0);
/// A battery's energy.
pub const BATTERY_ENERGY: Range = Range::new("battery", "Wh", 50.0, 1_000_000.0);
/// A wind generator's rated wind.
pub const RATED_WIND: Range = Range::new("rated wind", "m/s", 1.0, 30.0);

/// The share of the sun's energy above the air that comes down to the deck, over days of all kinds.
pub const CLEARNESS: Figure = Figure::new(
    0.5,
    Basis::from_memory(
        "FAO Irrigation and Drainage Paper 56, equation 35: 0.25 overcast, 0.75 clear",
    ),
);
/// The share of a panel's rating left by sails' shade, heat, angle, wiring and regulator.
pub const PANEL_SHARE: Figure = Figure::new(0.6, Basis::PRACTICE);
/// The share of the true wind speed that reaches the blades, since passages run mostly downwind.
pub const BLADE_WIND_SHARE: Figure = Figure::new(0.7, Basis::PRACTICE);
/// The share of charge put into a battery that comes out again.
pub const CHARGE_EFFICIENCY: Figure = Figure::new(0.85, Basis::PRACTICE);
/// The share of a lead-acid battery that may be used.
pub const LEAD_USABLE: Figure = Figure::new(0.5, Basis::PRACTICE);
/// The share of a lithium iron phosphate battery that may be used: the lower end of 80 to 90 %.
pub const LITHIUM_USABLE: Figure = Figure::new(
    0.8,
    Basis::from_memory("battery makers' sheets, 80 to 90 %"),
);
/// Power in the wind grows with the cube of its speed (textbook).
const WIND_POWER: i32 = 3;

/// Solar panels lying level; `None` takes the default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solar {
    /// Rating under the standard sun of 1 kW/m2, watts.
    pub peak_watts: f64,
    /// The share of the sun's energy above the air that reaches the deck.
    pub clearness: Option<f64>,
    /// The share of the rating left by shade, heat, angle, wiring and regulator.
    pub in_use_share: Option<f64>,
}

/// A wind generator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindGenerator {
    /// Power at `rated_wind_ms`, watts.
    pub rated_watts: f64,
    /// The wind of the rating, m/s.
    pub rated_wind_ms: f64,
    /// The wind below which nothing comes, m/s.
    pub starts_at_ms: f64,
    /// The share of the true wind speed that reaches the blades; `None` takes the default.
    pub wind_share: Option<f64>,
}

/// The alternator, and the battery's taking of its charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alternator {
    /// Power into the battery over a whole charge, watts; well below the rating.
    pub net_watts: f64,
    /// The share of charge that comes out again; `None` takes the default.
    pub charge_efficiency: Option<f64>,
}

/// What a battery is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum BatteryKind {
    /// Lead-acid.
    Lead,
    /// Lithium iron phosphate.
    Lithium,
}

/// The house battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// What it is made of.
    pub kind: BatteryKind,
    /// Energy when full, watt-hours.
    pub watt_hours: f64,
    /// The share that may be used; `None` takes the default of its kind.
    pub usable_share: Option<f64>,
}

impl Solar {
    /// Panels of `peak_watts`, with the default shares.
    pub fn new(peak_watts: f64) -> Self {
        Self {
            peak_watts,
            clearness: None,
            in_use_share: None,
        }
    }

    pub(super) fn clearness(&self) -> Figure {
        CLEARNESS.unless_given(self.clearness)
    }

    pub(super) fn in_use_share(&self) -> Figure {
        PANEL_SHARE.unless_given(self.in_use_share)
    }

    /// Watt-hours on one day: a square metre's energy at the standard sun of 1 kW/m2 gives
    /// the rating for as many hours.
    pub fn watt_hours(&self, sun: &SunDay) -> f64 {
        let shares = self.clearness().value * self.in_use_share().value;
        sun.above_air_kwh_per_m2 * self.peak_watts * shares
    }

    pub(super) fn validate(&self) -> Result<(), StoresError> {
        let of = "solar panels";
        check(of, &SOURCE_POWER, self.peak_watts)?;
        check(of, &PART, self.clearness)?;
        check(of, &PART, self.in_use_share)
    }
}

impl WindGenerator {
    pub(super) fn wind_share(&self) -> Figure {
        BLADE_WIND_SHARE.unless_given(self.wind_share)
    }

    /// Watt-hours on one day: the rating times the cube of the wind at the blades over the rated
    /// wind, no more than the rating. Gusts bring more than the mean wind shows.
    pub fn watt_hours(&self, day: &TrackDay) -> f64 {
        let wind_ms = day.mean_wind_ms * self.wind_share().value;
        if wind_ms < self.starts_at_ms {
            return 0.0;
        }
        let share = (wind_ms / self.rated_wind_ms).powi(WIND_POWER).min(1.0);
        24.0 * self.rated_watts * share
    }

    pub(super) fn validate(&self) -> Result<(), StoresError> {
        let of = "wind generator";
        check(of, &SOURCE_POWER, self.rated_watts)?;
        check(of, &RATED_WIND, self.rated_wind_ms)?;
        check(of, &WIND, self.starts_at_ms)?;
        check(of, &PART, self.wind_share)
    }
}

impl Alternator {
    /// An alternator that puts `net_watts` into the battery.
    pub fn new(net_watts: f64) -> Self {
        Self {
            net_watts,
            charge_efficiency: None,
        }
    }

    pub(super) fn charge_efficiency(&self) -> Figure {
        CHARGE_EFFICIENCY.unless_given(self.charge_efficiency)
    }

    /// Hours of charging that make up `watt_hours` of use.
    pub fn hours_for(&self, watt_hours: f64) -> f64 {
        watt_hours / (self.net_watts * self.charge_efficiency().value)
    }

    pub(super) fn validate(&self) -> Result<(), StoresError> {
        let of = "alternator";
        check(of, &SOURCE_POWER, self.net_watts)?;
        check(of, &PART, self.charge_efficiency)
    }
}

impl Battery {
    /// A battery of `watt_hours`, with its kind's default share in use.
    pub fn new(kind: BatteryKind, watt_hours: f64) -> Self {
        Self {
            kind,
            watt_hours,
            usable_share: None,
        }
    }

    pub(super) fn usable_share(&self) -> Figure {
        let default = match self.kind {
            BatteryKind::Lead => LEAD_USABLE,
            BatteryKind::Lithium => LITHIUM_USABLE,
        };
        default.unless_given(self.usable_share)
    }

    /// Watt-hours that may be used.
    pub fn usable_wh(&self) -> f64 {
        self.watt_hours * self.usable_share().value
    }

    pub(super) fn validate(&self) -> Result<(), StoresError> {
        let of = "battery";
        check(of, &BATTERY_ENERGY, self.watt_hours)?;
        check(of, &PART, self.usable_share)
    }
}
