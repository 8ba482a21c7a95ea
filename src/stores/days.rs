//! Days to provide for: the passage at the chosen percentile, a reserve, and the days after
//! arrival until stores can be bought again.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Range, Unit};

use super::basis::{Basis, Known};
use super::error::{StoresError, check};
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

/// How sure to be, and how much to add.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReserveSettings {
    /// Percentile of the passage's days to provide for, 50 to 99.
    pub confidence_percent: f64,
    /// Reserve of food, as a share of the days.
    pub food_share: f64,
    /// Reserve of water, as a share of the days; `None` takes [`HALF_AGAIN`] without a
    /// watermaker and [`NO_RESERVE`] with one.
    pub water_share: Option<f64>,
}

impl Default for ReserveSettings {
    fn default() -> Self {
        Self {
            confidence_percent: DEFAULT_CONFIDENCE.value,
            food_share: HALF_AGAIN.value,
            water_share: None,
        }
    }
}

impl ReserveSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// A percentile outside 50 to 99, or a share out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        let percent = self.confidence_percent;
        check("reserve.confidence_percent", &CONFIDENCE, percent)?;
        check("reserve.food_share", &RESERVE_SHARE, self.food_share)?;
        if let Some(share) = self.water_share {
            check("reserve.water_share", &RESERVE_SHARE, share)?;
        }
        Ok(())
    }

    /// The reserve of water and where it comes from.
    fn water(&self, has_watermaker: bool) -> (f64, Basis) {
        let default = if has_watermaker {
            NO_RESERVE
        } else {
            HALF_AGAIN
        };
        match self.water_share {
            Some(share) => (share, Basis::GIVEN),
            None => (default.value, default.basis),
        }
    }
}

/// A store that may or may not be for sale at the destination.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq)]
pub struct ResupplySettings {
    /// Days after arrival until stores can be bought.
    pub days: f64,
    /// Prices there over prices here; `None` where unknown.
    pub price_ratio: Option<f64>,
    /// What can be bought there; `None` where nothing is said of it.
    pub sold_there: Option<Vec<Supply>>,
}

impl Default for ResupplySettings {
    /// Shops on the day of arrival; prices and goods unknown.
    fn default() -> Self {
        Self {
            days: 0.0,
            price_ratio: None,
            sold_there: None,
        }
    }
}

impl ResupplySettings {
    /// Checks every number.
    ///
    /// # Errors
    /// Days or price ratio out of range.
    pub fn validate(&self) -> Result<(), StoresError> {
        check("resupply.days", &RESUPPLY_DAYS, self.days)?;
        if let Some(ratio) = self.price_ratio {
            check("resupply.price_ratio", &PRICE_RATIO, ratio)?;
        }
        Ok(())
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
        let (water_share, water_basis) = reserve.water(has_watermaker);
        let food_days = chosen.days * (1.0 + reserve.food_share) + resupply.days;
        let water_days = chosen.days * (1.0 + water_share) + resupply.days;
        let percentile_basis = DEFAULT_CONFIDENCE.basis_of(chosen.percent);
        let food_basis = HALF_AGAIN.basis_of(reserve.food_share);
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
                percentile_basis,
            ),
            day(
                "until resupply",
                resupply.days,
                "days after arrival before stores can be bought",
                Basis::GIVEN,
            ),
            day("food for", food_days, provide, food_basis)
                .over_days(chosen.days)
                .with_reserve(reserve.food_share),
            day("water for", water_days, provide, water_basis)
                .over_days(chosen.days)
                .with_reserve(water_share),
        ];
        Self {
            median_days: median.days,
            passage_days: chosen.days,
            resupply_days: resupply.days,
            food_days,
            water_days,
            lines,
        }
    }
}
