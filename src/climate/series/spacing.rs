//! How far apart a series' steps are, and times in words.

use std::collections::BTreeMap;

use super::catalogue::TimeStep;
use super::error::SeriesError;
use crate::climate::month::Month;
use crate::climate::reader::{Calendar, DAY_MINUTES};

/// Days from one monthly step to the next, for stamps that stand anywhere in their months.
const MONTH_DAYS: std::ops::RangeInclusive<i64> = 27..=32;

/// What a series' steps are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spacing {
    /// One for a month.
    Monthly,
    /// One for a day.
    Daily,
    /// Several for a day.
    PartDay {
        /// How many.
        per_day: usize,
    },
}

impl Spacing {
    /// Steps in a month of so many days.
    pub(super) fn steps_in(self, days: usize) -> usize {
        match self {
            Self::Monthly => 1,
            Self::Daily => days,
            Self::PartDay { per_day } => days * per_day,
        }
    }

    /// In words.
    pub(super) fn words(self) -> String {
        match self {
            Self::Monthly => "monthly".to_owned(),
            Self::Daily => "daily".to_owned(),
            Self::PartDay { per_day: 24 } => "hourly".to_owned(),
            Self::PartDay { per_day } => {
                words(DAY_MINUTES / per_day as i64).replace(' ', "-") + "ly"
            }
        }
    }
}

/// A time as it is written: 1991-01-31 18:00.
pub(super) fn moment(calendar: Calendar, minutes: i64) -> String {
    let day = minutes.div_euclid(DAY_MINUTES);
    let (year, month) = calendar.year_and_month(day);
    let of_month = day - calendar.month_start(year, month) + 1;
    let of_day = minutes.rem_euclid(DAY_MINUTES);
    format!(
        "{year:04}-{:02}-{of_month:02} {:02}:{:02}",
        month + 1,
        of_day / 60,
        of_day % 60
    )
}

fn words(minutes: i64) -> String {
    if minutes % DAY_MINUTES == 0 {
        format!("{} day", minutes / DAY_MINUTES)
    } else if minutes % 60 == 0 {
        format!("{} hour", minutes / 60)
    } else {
        format!("{minutes} minute")
    }
}

/// What the steps are, and what to take off a stamp to come into its month, in minutes; `sure` says that
/// their times lie within what they are the means of.
pub(super) fn spacing(
    steps: &[TimeStep],
    calendar: Calendar,
    sure: bool,
    notes: &mut Vec<String>,
) -> Result<(Spacing, i64), SeriesError> {
    let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
    for pair in steps.windows(2) {
        *counts.entry(pair[1].minutes - pair[0].minutes).or_default() += 1;
    }
    // The most frequent; of several the shortest.
    let usual = counts
        .iter()
        .max_by_key(|(minutes, count)| (**count, -**minutes));
    let Some((&usual, _)) = usual else {
        return Err(SeriesError::Spacing {
            found: "not to be told from one step".to_owned(),
        });
    };
    if MONTH_DAYS.contains(&((usual as f64 / DAY_MINUTES as f64).round() as i64)) {
        let shift = month_end_shift(steps, calendar, sure, notes);
        return Ok((Spacing::Monthly, shift));
    }
    let spacing = match usual {
        DAY_MINUTES => Spacing::Daily,
        part if part < DAY_MINUTES && DAY_MINUTES % part == 0 && part >= 30 => Spacing::PartDay {
            per_day: (DAY_MINUTES / part) as usize,
        },
        other => {
            return Err(SeriesError::Spacing {
                found: words(other) + "s",
            });
        }
    };
    let near = steps
        .windows(2)
        .find(|pair| pair[1].minutes - pair[0].minutes < usual);
    match near {
        Some(pair) => Err(SeriesError::Uneven {
            first: moment(calendar, pair[0].minutes),
            second: moment(calendar, pair[1].minutes),
            spacing: words(usual)
                + if words(usual).starts_with("1 ") {
                    ""
                } else {
                    "s"
                },
        }),
        None => Ok((spacing, 0)),
    }
}

/// Monthly steps that all stand where one month ends and the next begins are taken as the months that
/// begin there, or that end there where only so they make whole years; and that is said.
fn month_end_shift(
    steps: &[TimeStep],
    calendar: Calendar,
    sure: bool,
    notes: &mut Vec<String>,
) -> i64 {
    let begins = |step: &TimeStep| {
        let day = step.minutes.div_euclid(DAY_MINUTES);
        let (year, month) = calendar.year_and_month(day);
        (step.minutes == calendar.month_start(year, month) * DAY_MINUTES).then_some(month)
    };
    if sure || steps.iter().any(|step| begins(step).is_none()) {
        return 0;
    }
    let [first, last] = [0, steps.len() - 1].map(|place| begins(&steps[place]).unwrap_or_default());
    let ends = (first, last) == (1, 0);
    let name = |month: usize| Month::ALL[(month + if ends { 11 } else { 0 }) % 12].name();
    notes.push(format!(
        "the steps stand where one month ends and the next begins, without bounds that say which is \
         meant; they are taken as the months that {} then, the first step as {} and the last as {}. \
         Check the winds of a month that you know",
        if ends { "end" } else { "begin" },
        name(first),
        name(last)
    ));
    if ends { 1 } else { 0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(minutes: &[i64]) -> Vec<TimeStep> {
        minutes
            .iter()
            .map(|&minutes| TimeStep {
                minutes,
                at: Default::default(),
            })
            .collect()
    }

    fn found(minutes: &[i64]) -> Result<Spacing, String> {
        let found = spacing(&steps(minutes), Calendar::Months30, true, &mut Vec::new());
        found
            .map(|found| found.0)
            .map_err(|error| error.to_string())
    }

    #[test]
    fn months_days_and_parts_of_a_day_are_told_apart() {
        let day = DAY_MINUTES;
        assert_eq!(found(&[0, 31 * day, 59 * day]), Ok(Spacing::Monthly));
        assert_eq!(found(&[0, day, 3 * day, 4 * day]), Ok(Spacing::Daily));
        let hourly = Spacing::PartDay { per_day: 24 };
        assert_eq!(found(&[0, 60, 120, 240, 300]), Ok(hourly));
        assert_eq!(hourly.words(), "hourly");
        assert_eq!(Spacing::PartDay { per_day: 4 }.words(), "6-hourly");
        insta::assert_snapshot!(found(&[0, 5 * day, 10 * day]).unwrap_err(), @"the steps are mostly 5 days apart; allowed: monthly, daily, or a part of a day that goes into it without rest, such as 1, 3, 6 or 12 hours");
        insta::assert_snapshot!(found(&[0, 360, 720, 780, 1140]).unwrap_err(), @"the steps of 0000-01-01 12:00 and 0000-01-01 13:00 are nearer to each other than the rest, which are 6 hours apart; expected one kind of step in all files");
        assert!(found(&[0]).is_err());
    }

    #[test]
    fn stamps_between_two_months_are_taken_one_way_and_it_is_said() {
        let month = 30 * DAY_MINUTES;
        let mut notes = Vec::new();
        let begin: Vec<i64> = (0..24).map(|place| place * month).collect();
        let taken = spacing(&steps(&begin), Calendar::Months30, false, &mut notes).unwrap();
        assert_eq!(taken, (Spacing::Monthly, 0));
        let end: Vec<i64> = (1..=24).map(|place| place * month).collect();
        let taken = spacing(&steps(&end), Calendar::Months30, false, &mut notes).unwrap();
        assert_eq!(taken, (Spacing::Monthly, 1));
        assert!(
            notes[0].contains("the months that begin then"),
            "{}",
            notes[0]
        );
        assert!(notes[1].contains("first step as January"), "{}", notes[1]);
    }
}
