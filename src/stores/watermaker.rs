//! A watermaker, and what its failure asks of the tanks.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Range, Unit};

use super::basis::{Basis, Figure};
use super::days::DaysPlan;
use super::error::{StoresError, check};
use super::line::{Caution, Item, Line, Per, Rule};

/// Water made an hour.
pub const MADE_PER_HOUR: Range = Range::new("water made", "L/h", 0.1, 1000.0);
/// A watermaker's power.
pub const WATERMAKER_POWER: Range = Range::new("watermaker's power", "W", 0.0, 10_000.0);
/// Hours a day.
pub const HOURS_A_DAY: Range = Range::new("hours a day", "h", 0.0, 24.0);

/// A watermaker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watermaker {
    /// Litres made in an hour.
    pub litres_per_hour: f64,
    /// Electric power while it runs, watts.
    pub watts: f64,
    /// Hours it runs a day; `None` runs it as long as the daily use asks.
    pub hours_per_day: Option<f64>,
}

impl Watermaker {
    pub(super) fn validate(&self) -> Result<(), StoresError> {
        let of = "watermaker";
        check(of, &MADE_PER_HOUR, self.litres_per_hour)?;
        check(of, &WATERMAKER_POWER, self.watts)?;
        check(of, &HOURS_A_DAY, self.hours_per_day)
    }
}

/// What the watermaker does, and what is left when it fails.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct WatermakerPlan {
    /// Hours it runs a day; above 24 where the use outruns it.
    pub hours_per_day: f64,
    /// Litres it makes a day.
    pub made_litres_per_day: f64,
    /// Litres it makes over the days to provide for.
    pub made_litres: f64,
    /// What it uses a day, Wh.
    pub used_wh_per_day: f64,
    /// The day of the passage on which its failure is worst; 0 is the day of departure.
    pub worst_day: f64,
    /// Litres in tanks and bottles on that day, having left with them full.
    pub litres_on_worst_day: f64,
    /// Days still to go on that day.
    pub days_to_go: f64,
    /// Days those litres last at the ration.
    pub survival_days: f64,
    /// The share of passages that run out before they are provided for, should it fail on their worst
    /// day with no more than the least in tanks and bottles, 0 to 1.
    pub too_slow_share: f64,
    /// The same with tanks and bottles full.
    pub too_slow_share_full: f64,
}

impl WatermakerPlan {
    /// What it makes, and what its failure means at the ration, litres a day.
    pub(super) fn lines(&self, days: &DaysPlan, ration: Figure) -> [Line; 4] {
        let (over, reserve) = (days.water_days, days.water_reserve);
        let (day, days_to_go) = (self.worst_day, self.days_to_go);
        let hours = self.hours_per_day;
        let (least, full) = (Item::TooSlowForLeastWater, Item::TooSlowForFullTanks);
        let lasts = self.survival_days;
        [
            Line::new(Item::WaterMade, self.made_litres, Unit::Litre, Basis::GIVEN)
                .over_days(over)
                .at_rate(self.made_litres_per_day, Unit::Litre, Per::Day)
                .by(Rule::EachDay { hours }),
            Line::share(least, self.too_slow_share, reserve.basis)
                .with_reserve(reserve.value)
                .by(Rule::LongerThan { days: over }),
            Line::new(Item::WaterAfterFailure, lasts, Unit::Day, ration.basis)
                .over_days(days_to_go)
                .at_rate(ration.value, Unit::Litre, Per::DayAtRation)
                .by(Rule::WorstDay { day, days_to_go }),
            Line::share(full, self.too_slow_share_full, Basis::ARITHMETIC),
        ]
    }

    pub(super) fn cautions(&self) -> impl Iterator<Item = Caution> {
        let short_days = self.days_to_go - self.survival_days;
        let (share, share_with_full_tanks) = (self.too_slow_share, self.too_slow_share_full);
        let hours_per_day = self.hours_per_day;
        let early = (short_days > 0.0).then_some(Caution::WaterEndsEarly { short_days });
        let slow = (share > 0.0).then_some(Caution::SlowPassagesRunOut {
            share,
            share_with_full_tanks,
        });
        let small = hours_per_day > 24.0;
        let small = small.then_some(Caution::WatermakerTooSmall { hours_per_day });
        early.into_iter().chain(slow).chain(small)
    }
}

/// A watermaker that may fail on any day of the passage, begun with full tanks.
pub(super) struct Failure {
    watts: f64,
    hours_per_day: f64,
    made_per_day: f64,
    use_per_day: f64,
    ration_per_day: f64,
    days: f64,
}

impl Failure {
    pub(super) fn of(maker: &Watermaker, use_per_day: f64, ration_per_day: f64, days: f64) -> Self {
        let hours_per_day = maker
            .hours_per_day
            .unwrap_or(use_per_day / maker.litres_per_hour);
        Self {
            watts: maker.watts,
            hours_per_day,
            // Wanted hours beyond a day's 24 make nothing.
            made_per_day: hours_per_day.min(24.0) * maker.litres_per_hour,
            use_per_day,
            ration_per_day,
            days,
        }
    }

    /// What the tanks lose in a day while the watermaker runs; full tanks do not gain.
    fn drawdown_per_day(&self) -> f64 {
        (self.use_per_day - self.made_per_day).max(0.0)
    }

    /// Losses and rations are steady, so what must be aboard is linear in the day of failure and the
    /// worst day is the first or the last: the ration for all days, or the drawdown for all days.
    fn worst_day(&self) -> f64 {
        if self.drawdown_per_day() > self.ration_per_day {
            self.days
        } else {
            0.0
        }
    }

    pub(super) fn tank_minimum(&self) -> f64 {
        self.days * self.drawdown_per_day().max(self.ration_per_day)
    }

    /// Days that `litres` provide for, whichever of them it fails on; infinite where nothing is drawn.
    pub(super) fn days_from(&self, litres: f64) -> f64 {
        let per_day = self.drawdown_per_day().max(self.ration_per_day);
        if per_day > 0.0 {
            litres / per_day
        } else {
            f64::INFINITY
        }
    }

    pub(super) fn plan(
        &self,
        stock_litres: f64,
        too_slow_share: f64,
        too_slow_share_full: f64,
    ) -> WatermakerPlan {
        let worst_day = self.worst_day();
        let litres = (stock_litres - worst_day * self.drawdown_per_day()).max(0.0);
        WatermakerPlan {
            hours_per_day: self.hours_per_day,
            made_litres_per_day: self.made_per_day,
            made_litres: self.made_per_day * self.days,
            used_wh_per_day: self.watts * self.hours_per_day.min(24.0),
            worst_day,
            litres_on_worst_day: litres,
            days_to_go: self.days - worst_day,
            survival_days: if self.ration_per_day > 0.0 {
                litres / self.ration_per_day
            } else {
                self.days
            },
            too_slow_share,
            too_slow_share_full,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MAKER: Watermaker = Watermaker {
        litres_per_hour: 10.0,
        watts: 60.0,
        hours_per_day: None,
    };

    /// The least tank by trying every day of failure: what was drawn until then, and the ration
    /// from then on.
    fn least_tank_by_days(failure: &Failure) -> f64 {
        let steps = 1000;
        (0..=steps)
            .map(|step| failure.days * f64::from(step) / f64::from(steps))
            .map(|day| {
                day * failure.drawdown_per_day() + (failure.days - day) * failure.ration_per_day
            })
            .fold(0.0, f64::max)
    }

    #[test]
    fn tank_minimum_survives_a_failure_on_any_day() {
        for hours in [None, Some(0.0), Some(0.3), Some(1.0), Some(3.0)] {
            let maker = Watermaker {
                hours_per_day: hours,
                ..MAKER
            };
            let failure = Failure::of(&maker, 16.0, 6.0, 30.0);
            let least = least_tank_by_days(&failure);
            assert!((failure.tank_minimum() - least).abs() < 1e-9, "{hours:?}");
            assert!((failure.days_from(least) - 30.0).abs() < 1e-9, "{hours:?}");
        }
    }

    #[test]
    fn a_maker_that_keeps_up_fails_worst_on_the_first_day() {
        let plan = Failure::of(&MAKER, 16.0, 6.0, 30.0).plan(120.0, 0.0, 0.0);
        assert_eq!((plan.worst_day, plan.days_to_go), (0.0, 30.0));
        assert_eq!(plan.survival_days, 20.0);
        assert!((plan.used_wh_per_day - 96.0).abs() < 1e-9);
    }

    #[test]
    fn a_maker_cannot_run_more_than_a_day_has() {
        let plan = Failure::of(&MAKER, 480.0, 6.0, 10.0).plan(5000.0, 0.0, 0.0);
        assert_eq!(plan.hours_per_day, 48.0);
        assert_eq!(plan.made_litres_per_day, 240.0);
        assert_eq!(plan.used_wh_per_day, 24.0 * 60.0);
        assert_eq!(plan.worst_day, 10.0);
    }
}
