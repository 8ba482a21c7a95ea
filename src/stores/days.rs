//! Days to provide for: the passage at the chosen percentile, a reserve, and the days after
//! arrival until stores can be bought again.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure, Known};
use super::error::{StoresError, check_given};
use super::line::{Caution, Line, Subject};
use super::outcome::Percentile;

/// The percentile of days to provide for.
pub const CONFIDENCE: Range = Range::new("percentile", "%", 50.0, 99.0);
/// A reserve, as a share of the days.
pub const RESERVE_SHARE: Range = Range::new("reserve share", "", 0.0, 3.0);
/// Days after arrival until stores can be bought.
pub const RESUPPLY_DAYS: Range = Range::new("days until resupply", "days", 0.0, 365.0);
/// A price there over the price here.
pub const PRICE_RATIO: Range = Range::new("price ratio", "", 0.05, 50.0);

/// The default percentile.
pub const DEFAULT_CONFIDENCE: Known = Known::new("percentile of days", 90.0, "%", Basis::PRACTICE);
/// The default reserve of food, and of water without a watermaker: half as much again.
pub const HALF_AGAIN: Known = Known::new("reserve of days", 0.5, "", Basis::PRACTICE);
/// The default reserve of water with a watermaker: the failure case decides instead.
pub const NO_RESERVE: Known = Known::new("reserve of days", 0.0, "", Basis::PRACTICE);

/// The default days until resupply: shops on the day of arrival.
pub const NO_WAIT: Known = Known::new("days until resupply", 0.0, "days", Basis::PRACTICE);

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
        let percent = self.confidence_percent;
        check_given("reserve.confidence_percent", &CONFIDENCE, percent)?;
        check_given("reserve.food_share", &RESERVE_SHARE, self.food_share)?;
        check_given("reserve.water_share", &RESERVE_SHARE, self.water_share)
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

    fn word(self) -> (&'static str, Subject) {
        match self {
            Self::Diesel => ("diesel", Subject::Fuel),
            Self::Water => ("water", Subject::Water),
            Self::Food => ("food", Subject::Food),
            Self::Spares => ("spares", Subject::Service),
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
        check_given("resupply.days", &RESUPPLY_DAYS, self.days)?;
        check_given("resupply.price_ratio", &PRICE_RATIO, self.price_ratio)
    }

    /// What the destination means for the list.
    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut cautions = Vec::new();
        for supply in Supply::ALL {
            let (word, subject) = supply.word();
            if self
                .sold_there
                .as_ref()
                .is_some_and(|sold| !sold.contains(&supply))
            {
                let text = format!(
                    "The voyage says {word} cannot be bought there: what the next passage needs must be carried from here as well."
                );
                cautions.push(Caution::new(subject, text));
            }
        }
        if let Some(ratio) = self.price_ratio.filter(|ratio| *ratio > 1.0) {
            let text = format!(
                "Prices there are given as {ratio} times those here: stores that keep may be worth carrying beyond this passage."
            );
            cautions.push(Caution::new(Subject::Days, text));
        }
        cautions
    }
}

/// Days to provide for.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct DaysPlan {
    /// Days of passage at 50 %.
    pub median_days: f64,
    /// Days of passage at the chosen percentile.
    pub passage_days: f64,
    /// Days after arrival until stores can be bought.
    pub resupply_days: f64,
    /// Days of food to carry, reserve and resupply included.
    pub food_days: f64,
    /// Days of water to carry or make, reserve and resupply included.
    pub water_days: f64,
    /// The reserve in the days of water, as a share of those at sea, and where it comes from.
    #[serde(skip)]
    pub(crate) water_reserve: Figure,
    /// The lines of the list.
    pub lines: Vec<Line>,
}

impl DaysPlan {
    pub(crate) fn of(
        reserve: &ReserveSettings,
        resupply: &ResupplySettings,
        has_watermaker: bool,
        median: &Percentile,
        chosen: &Percentile,
    ) -> Self {
        let water_reserve = reserve.water(has_watermaker);
        let food_reserve = HALF_AGAIN.unless_given(reserve.food_share);
        let wait = NO_WAIT.unless_given(resupply.days);
        let food_days = chosen.days * (1.0 + food_reserve.value) + wait.value;
        let water_days = chosen.days * (1.0 + water_reserve.value) + wait.value;
        let provide = "passage days x (1 + reserve) + days until resupply";
        let day = |item: &str, days: f64, rule: &str, basis: Basis| {
            Line::new(Subject::Days, item, (days, Unit::Day), rule, basis)
        };
        let lines = vec![
            day(
                "passage, 50 %",
                median.days,
                "half of the simulated passages take no longer",
                Basis::ARITHMETIC,
            ),
            day(
                &format!("passage, {} %", chosen.percent),
                chosen.days,
                &format!(
                    "{} % of the simulated passages take no longer",
                    chosen.percent
                ),
                reserve.confidence().basis,
            ),
            day(
                "until resupply",
                wait.value,
                "days after arrival before stores can be bought",
                wait.basis,
            ),
            day("food for", food_days, provide, food_reserve.basis)
                .over_days(chosen.days)
                .with_reserve(food_reserve.value),
            day("water for", water_days, provide, water_reserve.basis)
                .over_days(chosen.days)
                .with_reserve(water_reserve.value),
        ];
        Self {
            median_days: median.days,
            passage_days: chosen.days,
            resupply_days: wait.value,
            food_days,
            water_days,
            water_reserve,
            lines,
        }
    }
}
