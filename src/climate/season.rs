//! The day in the season: where a time falls among the months, in a year of mean length.

use schemars::JsonSchema;
use serde::Serialize;

use super::month::Month;

/// Days in the mean Gregorian year, exact.
pub const DAYS_PER_YEAR: f64 = 365.2425;

/// Days in each month of the mean Gregorian year.
const MONTH_DAYS: [f64; 12] = [
    31.0, 28.2425, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0,
];

/// Day of the mean year on which each month begins.
const MONTH_START_DAYS: [f64; 12] = month_starts();

const fn month_starts() -> [f64; 12] {
    let mut starts = [0.0; 12];
    let mut month = 1;
    while month < 12 {
        starts[month] = starts[month - 1] + MONTH_DAYS[month - 1];
        month += 1;
    }
    starts
}

impl Month {
    /// Its days in a year of mean length.
    pub fn days(self) -> f64 {
        MONTH_DAYS[self.index()]
    }

    /// The middle of the month in a year of mean length.
    pub fn middle(self) -> SeasonDay {
        SeasonDay(MONTH_START_DAYS[self.index()] + 0.5 * MONTH_DAYS[self.index()])
    }
}

/// Days since 1 January 00:00 UTC in a year of 365.2425 days, in [0, 365.2425). The year is a
/// circle: adding hours runs on from December into January.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct SeasonDay(f64);

/// The two months whose middles enclose a day, and how far the day is on from the first to the
/// second, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct MonthMix {
    /// The month whose middle is at or before the day.
    pub earlier: Month,
    /// The month whose middle comes next.
    pub later: Month,
    /// The share of the later month.
    pub later_share: f64,
}

impl SeasonDay {
    /// The day `days` after 1 January 00:00 UTC, brought into the year.
    pub fn from_days(days: f64) -> Self {
        let wrapped = days.rem_euclid(DAYS_PER_YEAR);
        // A tiny negative number rounds up to the year's length itself.
        Self(if wrapped >= DAYS_PER_YEAR {
            0.0
        } else {
            wrapped
        })
    }

    /// The start (00:00 UTC) of a calendar date. Each calendar month is laid on its month of the
    /// mean year, so 1 March is 1 March whether or not the year is a leap year; only February,
    /// of 28 or 29 days, is stretched to 28.2425.
    pub fn from_date(date: jiff::civil::Date) -> Self {
        let month = usize::from(date.month().unsigned_abs()) - 1;
        let share = f64::from(date.day() - 1) / f64::from(date.days_in_month());
        Self::from_days(MONTH_START_DAYS[month] + share * MONTH_DAYS[month])
    }

    /// This day and `hours` more (or less, where negative).
    pub fn plus_hours(self, hours: f64) -> Self {
        Self::from_days(self.0 + hours / 24.0)
    }

    /// Days since 1 January 00:00 UTC, in [0, 365.2425).
    pub fn days(self) -> f64 {
        self.0
    }

    /// The calendar month the day falls in.
    pub fn month(self) -> Month {
        let begun = MONTH_START_DAYS
            .iter()
            .filter(|&&start| self.0 >= start)
            .count();
        Month::ALL[begun.saturating_sub(1)]
    }

    /// The months on either side, by their middles, and the weight of the later one.
    pub fn month_mix(self) -> MonthMix {
        let month = self.month();
        let past_middle_days = self.0 - month.middle().0;
        let (earlier, later, since_days) = if past_middle_days >= 0.0 {
            (month, month.months_on(1), past_middle_days)
        } else {
            let before = month.months_on(11);
            let gap_days = middle_gap_days(before, month);
            (before, month, gap_days + past_middle_days)
        };
        MonthMix {
            earlier,
            later,
            later_share: since_days / middle_gap_days(earlier, later),
        }
    }
}

/// Days from the middle of one month to the middle of the next.
fn middle_gap_days(month: Month, next: Month) -> f64 {
    0.5 * (MONTH_DAYS[month.index()] + MONTH_DAYS[next.index()])
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;
    use proptest::prelude::*;

    use super::*;

    const EPSILON_DAYS: f64 = 1e-9;

    #[test]
    fn the_months_fill_the_year() {
        let total: f64 = MONTH_DAYS.iter().sum();
        assert!((total - DAYS_PER_YEAR).abs() < EPSILON_DAYS);
    }

    #[test]
    fn a_month_stands_alone_in_its_middle() {
        for month in Month::ALL {
            let mix = month.middle().month_mix();
            assert_eq!(mix.earlier, month);
            assert_eq!(mix.later_share, 0.0);
        }
    }

    #[test]
    fn new_year_lies_halfway_between_december_and_january() {
        let mix = SeasonDay::from_date(date(2027, 1, 1)).month_mix();
        assert_eq!(
            (mix.earlier.name(), mix.later.name()),
            ("December", "January")
        );
        assert!((mix.later_share - 0.5).abs() < EPSILON_DAYS);
    }

    #[test]
    fn the_first_of_a_month_is_the_same_day_in_leap_years() {
        for month in 1..=12 {
            let common = SeasonDay::from_date(date(2027, month, 1));
            let leap = SeasonDay::from_date(date(2028, month, 1));
            assert_eq!(common, leap);
            assert_eq!(common.month().number(), month.unsigned_abs());
        }
    }

    #[test]
    fn hours_run_on_into_the_next_year() {
        let day = SeasonDay::from_date(date(2027, 12, 31)).plus_hours(36.0);
        assert!((day.days() - 0.5).abs() < EPSILON_DAYS);
        assert!((day.plus_hours(-36.0).days() - 364.2425).abs() < EPSILON_DAYS);
        assert_eq!(SeasonDay::from_days(-1e-20).days(), 0.0);
    }

    proptest! {
        #[test]
        fn shares_are_shares_and_the_year_is_a_circle(days in 0.0..365.2425f64) {
            let mix = SeasonDay::from_days(days).month_mix();
            prop_assert!((0.0..=1.0).contains(&mix.later_share));
            let next_year = SeasonDay::from_days(days + DAYS_PER_YEAR).month_mix();
            let position = |mix: MonthMix| f64::from(mix.earlier.number()) + mix.later_share;
            let apart = (position(mix) - position(next_year)).abs();
            prop_assert!(apart < 1e-9 || (apart - 12.0).abs() < 1e-9);
        }
    }
}
