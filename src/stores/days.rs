//! Days to provide for: the passage at the chosen percentile, a reserve, and the days after
//! arrival until stores can be bought again.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure};
use super::error::{StoresError, check};
use super::line::{Caution, Item, Line, Subject};
use super::outcome::{MemberOutcome, Percentile};
use super::stages::Carry;

/// The percentile of days to provide for.
pub const CONFIDENCE: Range = Range::new("percentile", "%", 50.0, 99.0);
/// A reserve, as a share of the days.
pub const RESERVE_SHARE: Range = Range::new("reserve share", "", 0.0, 3.0);
/// Days after arrival until stores can be bought.
pub const RESUPPLY_DAYS: Range = Range::new("days until resupply", "days", 0.0, 365.0);
/// A price there over the price here.
pub const PRICE_RATIO: Range = Range::new("price ratio", "", 0.05, 50.0);

/// The default percentile of days, per cent.
pub const DEFAULT_CONFIDENCE: Figure = Figure::new(90.0, Basis::PRACTICE);
/// The default reserve of food, and of water without a watermaker: half as much again.
pub const HALF_AGAIN: Figure = Figure::new(0.5, Basis::PRACTICE);
/// The default reserve of water with a watermaker: the failure case decides instead.
pub const NO_RESERVE: Figure = Figure::new(0.0, Basis::PRACTICE);
/// The default days until resupply: shops on the day of arrival.
pub const NO_WAIT: Figure = Figure::new(0.0, Basis::PRACTICE);

/// How sure to be, and how much to add; `None` takes the default.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReserveSettings {
    /// Percentile of the passage's days to provide for, 50 to 99.
    pub confidence_percent: Option<f64>,
    /// Reserve of food, as a share of the days.
    pub food_share: Option<f64>,
    /// Reserve of water, as a share of the days; the default is none with a watermaker, half as much
    /// again without.
    pub water_share: Option<f64>,
}

impl ReserveSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A percentile outside 50 to 99, or a share out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        check("passages", &CONFIDENCE, self.confidence_percent)?;
        check("food", &RESERVE_SHARE, self.food_share)?;
        check("water", &RESERVE_SHARE, self.water_share)
    }

    /// The percentile to provide for.
    pub(crate) fn confidence(&self) -> Figure {
        DEFAULT_CONFIDENCE.unless_given(self.confidence_percent)
    }

    fn water(&self, has_watermaker: bool) -> Figure {
        let default = if has_watermaker {
            NO_RESERVE
        } else {
            HALF_AGAIN
        };
        default.unless_given(self.water_share)
    }
}

/// A store that may or may not be for sale at the destination.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Supply {
    /// Diesel.
    Diesel,
    /// Fresh water.
    Water,
    /// Food.
    Food,
    /// Spares.
    Spares,
}

impl Supply {
    const ALL: [Self; 4] = [Self::Diesel, Self::Water, Self::Food, Self::Spares];

    pub(super) fn subject(self) -> Subject {
        match self {
            Self::Diesel => Subject::Fuel,
            Self::Water => Subject::Water,
            Self::Food => Subject::Food,
            Self::Spares => Subject::Service,
        }
    }
}

/// What waits at the destination.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ResupplySettings {
    /// Days after arrival until stores can be bought; `None` for shops on the day of arrival.
    pub days: Option<f64>,
    /// Prices there over prices here; `None` where unknown.
    pub price_ratio: Option<f64>,
    /// What can be bought there; `None` where nothing is said of it.
    pub sold_there: Option<Vec<Supply>>,
}

impl ResupplySettings {
    /// Checks every number.
    ///
    /// # Errors
    /// Days or price ratio out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        check("destination", &RESUPPLY_DAYS, self.days)?;
        check("destination", &PRICE_RATIO, self.price_ratio)
    }

    /// What the destination means for the list.
    pub(crate) fn cautions(&self) -> impl Iterator<Item = Caution> {
        let sold = self.sold_there.as_ref();
        let not_sold = Supply::ALL
            .into_iter()
            .filter(move |supply| sold.is_some_and(|sold| !sold.contains(supply)));
        let dearer = self.price_ratio.filter(|ratio| *ratio > 1.0);
        not_sold
            .map(|supply| Caution::NotSoldThere { supply })
            .chain(dearer.map(|price_ratio| Caution::DearerThere { price_ratio }))
    }
}

/// Days to provide for.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct DaysPlan {
    /// Days after arrival until stores can be bought.
    pub resupply_days: f64,
    /// Days of food to carry, reserve and resupply included.
    pub food_days: f64,
    /// Days of water to carry or make, reserve and resupply included.
    pub water_days: f64,
    /// The reserve in the days of water, as a share of those at sea, and where it comes from.
    #[serde(skip)]
    pub(crate) water_reserve: Figure,
    /// Of the days of water those after arrival until it can be had.
    #[serde(skip)]
    pub(crate) water_wait_days: f64,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

impl DaysPlan {
    /// Of the passage's days at sea, and of the stages on one loading of food and of water; none where
    /// too few arrive.
    pub(super) fn of(
        reserve: &ReserveSettings,
        resupply: &ResupplySettings,
        has_watermaker: bool,
        [median, chosen]: [&Percentile; 2],
        [food, water]: [&Carry; 2],
    ) -> Option<Self> {
        let water_reserve = reserve.water(has_watermaker);
        let food_reserve = HALF_AGAIN.unless_given(reserve.food_share);
        let wait = NO_WAIT.unless_given(resupply.days);
        let wait_after = |carry: &Carry| if carry.is_last { wait.value } else { 0.0 };
        let days_of = |carry: &Carry, days: &dyn Fn(&MemberOutcome, f64) -> f64| {
            carry.outcome.percentile_of(chosen.percent, days)
        };
        // Days in harbour have no reserve, and each passage's own sum is what must be aboard.
        let provided_for = |carry: &Carry, reserve: Figure| {
            let stretched = 1.0 + reserve.value;
            let days = days_of(carry, &|member, days| {
                days + member.harbour_days / stretched
            })?;
            Some(days * stretched + wait_after(carry))
        };
        let food_days = provided_for(food, food_reserve)?;
        let water_days = provided_for(water, water_reserve)?;
        let at_sea_on = |carry: &Carry| days_of(carry, &|_, days| days);
        let in_harbour_on = |carry: &Carry| days_of(carry, &|member, _| member.harbour_days);
        let days = |item, days, basis| Line::new(item, days, Unit::Day, basis);
        let at_sea =
            |at: &Percentile, basis| days(Item::DaysAtSea, at.days, basis).at_percent(at.percent);
        let to_carry = |item, carried, carry, reserve: Figure| {
            let over = at_sea_on(carry)?;
            let line = days(item, carried, reserve.basis).over_days(over);
            Some(line.with_reserve(reserve.value))
        };
        let in_harbour = |item, carry| {
            let harbour_days = in_harbour_on(carry).filter(|days| *days > 0.0)?;
            Some(days(item, harbour_days, Basis::ARITHMETIC))
        };
        let mut lines = vec![
            at_sea(median, Basis::ARITHMETIC),
            at_sea(chosen, reserve.confidence().basis),
            days(Item::DaysUntilResupply, wait.value, wait.basis),
        ];
        lines.extend(in_harbour(Item::HarbourDaysOfFood, food));
        lines.push(to_carry(Item::DaysOfFood, food_days, food, food_reserve)?);
        lines.extend(in_harbour(Item::HarbourDaysOfWater, water));
        lines.push(to_carry(
            Item::DaysOfWater,
            water_days,
            water,
            water_reserve,
        )?);
        Some(Self {
            resupply_days: wait.value,
            food_days,
            water_days,
            water_reserve,
            water_wait_days: wait_after(water),
            lines,
        })
    }
}
