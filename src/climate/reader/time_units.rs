//! CF time coordinates, like `days since 1800-1-1 00:00` in one of the calendars of the conventions:
//! from a number to the time of year.

/// A time step further from its reference date than this, in days, is not a date.
const MOST_DAYS: f64 = 4e6;
/// Days in a month of the year on average, for a reference date within one.
const MONTH_DAYS: f64 = 365.2425 / 12.0;
/// Minutes in a day.
pub(in crate::climate) const DAY_MINUTES: i64 = 24 * 60;

/// What numbers a time coordinate counts in, and from when.
pub(in crate::climate) struct TimeUnits {
    calendar: Calendar,
    date: (i64, i64, i64),
    hours: f64,
    unit: Unit,
}

enum Unit {
    /// So many days each.
    Days(f64),
    /// Months of the calendar.
    Months,
}

impl TimeUnits {
    /// The units of the attributes `units` and `calendar`; none where they cannot be read.
    pub(super) fn read(units: &str, calendar: &str) -> Option<Self> {
        let lower = units.to_lowercase();
        let (unit, since) = lower.split_once(" since ")?;
        let (date, hours) = reference_date(since)?;
        let unit = match unit.trim() {
            "day" | "days" | "d" => Unit::Days(1.0),
            "hour" | "hours" | "hr" | "hrs" | "h" => Unit::Days(1.0 / 24.0),
            "minute" | "minutes" | "min" | "mins" => Unit::Days(1.0 / 1440.0),
            "second" | "seconds" | "sec" | "secs" | "s" => Unit::Days(1.0 / 86_400.0),
            "month" | "months" => Unit::Months,
            _ => return None,
        };
        Some(Self {
            calendar: Calendar::named(calendar)?,
            date,
            hours,
            unit,
        })
    }

    /// The calendar the values count in.
    pub(in crate::climate) fn calendar(&self) -> Calendar {
        self.calendar
    }

    /// The time of a value, to the nearest minute, in minutes since the start of the calendar's day 0;
    /// none for a value that is no date.
    pub(in crate::climate) fn minutes(&self, value: f64) -> Option<i64> {
        if !value.is_finite() {
            return None;
        }
        let day_minutes = 24.0 * 60.0;
        match self.unit {
            Unit::Days(days) => {
                let days = value * days + self.hours / 24.0;
                (days.abs() < MOST_DAYS).then(|| {
                    let start = self.calendar.day_number(self.date) * DAY_MINUTES;
                    start + (days * day_minutes).round() as i64
                })
            }
            Unit::Months => {
                if value.abs() >= MOST_DAYS / MONTH_DAYS {
                    return None;
                }
                let (year, month, day) = self.date;
                let months = (12 * year + month - 1) as f64
                    + ((day - 1) as f64 + self.hours / 24.0) / MONTH_DAYS
                    + value;
                let whole = months.floor() as i64;
                let [start, end] = [whole, whole + 1].map(|month| {
                    self.calendar
                        .month_start(month.div_euclid(12), month.rem_euclid(12) as usize)
                });
                let into = (months - months.floor()) * (end - start) as f64 * day_minutes;
                Some(start * DAY_MINUTES + into.round() as i64)
            }
        }
    }

    /// The time of year of a value, in months: 0 at the start of January, 0.5 in its middle. None
    /// for a value that is no date.
    pub(super) fn months_into_year(&self, value: f64) -> Option<f64> {
        if value.abs() >= MOST_DAYS {
            return None;
        }
        match self.unit {
            Unit::Days(days) => {
                let days = value * days + self.hours / 24.0;
                (days.abs() < MOST_DAYS).then(|| self.calendar.months_into_year(self.date, days))
            }
            Unit::Months => {
                let (_, month, day) = self.date;
                let into_month = ((day - 1) as f64 + self.hours / 24.0) / MONTH_DAYS;
                Some(((month - 1) as f64 + into_month + value).rem_euclid(12.0))
            }
        }
    }
}

/// Year, month, day and hours of a text like `1800-1-1 00:00:0.0` or `1950-01-01T12:00:00Z`.
fn reference_date(text: &str) -> Option<((i64, i64, i64), f64)> {
    let text = text.trim();
    let (date, time) = text.split_once([' ', 't']).unwrap_or((text, ""));
    let (negative, date) = match date.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, date),
    };
    let mut parts = date.split('-').map(|part| part.parse::<i64>().ok());
    let year = parts.next()??;
    let year = if negative { -year } else { year };
    let month = parts.next().unwrap_or(Some(1))?;
    let day = parts.next().unwrap_or(Some(1))?;
    let valid = year.abs() < 10_000 && (1..=12).contains(&month) && (1..=31).contains(&day);
    // A time that cannot be read shifts the date by less than a day.
    let hours = time
        .split(':')
        .next()
        .and_then(|hours| hours.trim().parse::<f64>().ok());
    let hours = hours
        .filter(|hours| (0.0..24.0).contains(hours))
        .unwrap_or(0.0);
    valid.then_some(((year, month, day), hours))
}

/// A calendar a CF time coordinate may count in (CF conventions, section 4.4.1). Five of the six are
/// not in jiff, which counts in the Gregorian one alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::climate) enum Calendar {
    /// Julian before 15 October 1582, Gregorian from then on.
    Mixed,
    Gregorian,
    Julian,
    /// Every year has 365 days.
    NoLeap,
    /// Every year has 366 days.
    AllLeap,
    /// Every month has 30 days.
    Months30,
}

/// The first day of the Gregorian calendar, 15 October 1582, as a Julian day number.
const FIRST_GREGORIAN_DAY: i64 = 2_299_161;

const COMMON_MONTH_STARTS: [i64; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
const LEAP_MONTH_STARTS: [i64; 12] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];

impl Calendar {
    /// The calendar of a `calendar` attribute, empty where there is none.
    pub(super) fn named(name: &str) -> Option<Self> {
        match name.to_lowercase().as_str() {
            "" | "standard" | "gregorian" | "none" => Some(Self::Mixed),
            "proleptic_gregorian" => Some(Self::Gregorian),
            "julian" => Some(Self::Julian),
            "noleap" | "365_day" => Some(Self::NoLeap),
            "all_leap" | "366_day" => Some(Self::AllLeap),
            "360_day" => Some(Self::Months30),
            _ => None,
        }
    }

    /// The time of year `days` after the given date, in months: 0 at the start of January, 0.5 in
    /// its middle.
    pub(super) fn months_into_year(self, date: (i64, i64, i64), days: f64) -> f64 {
        let day = self.day_number(date) + days.floor() as i64;
        let month = self.month_of(day);
        let in_month = |other: &i64| self.month_of(*other) == month;
        let passed = (1..).map(|back| day - back).take_while(in_month).count() as f64;
        let left = (1..).map(|on| day + on).take_while(in_month).count() as f64;
        month as f64 + (passed + days - days.floor()) / (passed + 1.0 + left)
    }

    /// The month, 0 to 11, in which a day falls.
    fn month_of(self, day: i64) -> usize {
        self.year_and_month(day).1
    }

    /// The year, and the month, 0 to 11, in which a day falls.
    pub(in crate::climate) fn year_and_month(self, day: i64) -> (i64, usize) {
        match self {
            Self::NoLeap => {
                let month = month_of(&COMMON_MONTH_STARTS, day.rem_euclid(365));
                (day.div_euclid(365), month)
            }
            Self::AllLeap => {
                let month = month_of(&LEAP_MONTH_STARTS, day.rem_euclid(366));
                (day.div_euclid(366), month)
            }
            Self::Months30 => (day.div_euclid(360), (day.rem_euclid(360) / 30) as usize),
            Self::Gregorian => year_and_month(day, true),
            Self::Julian => year_and_month(day, false),
            Self::Mixed => year_and_month(day, day >= FIRST_GREGORIAN_DAY),
        }
    }

    /// The number of a month's first day; the month is 0 to 11.
    pub(in crate::climate) fn month_start(self, year: i64, month: usize) -> i64 {
        self.day_number((year, month as i64 + 1, 1))
    }

    /// The name of the conventions.
    pub(in crate::climate) fn name(self) -> &'static str {
        match self {
            Self::Mixed => "standard",
            Self::Gregorian => "proleptic_gregorian",
            Self::Julian => "julian",
            Self::NoLeap => "noleap",
            Self::AllLeap => "all_leap",
            Self::Months30 => "360_day",
        }
    }

    fn day_number(self, (year, month, day): (i64, i64, i64)) -> i64 {
        let month_index = (month - 1) as usize;
        match self {
            Self::NoLeap => year * 365 + COMMON_MONTH_STARTS[month_index] + day - 1,
            Self::AllLeap => year * 366 + LEAP_MONTH_STARTS[month_index] + day - 1,
            Self::Months30 => year * 360 + (month - 1) * 30 + day - 1,
            Self::Gregorian => julian_day(year, month, day, true),
            Self::Julian => julian_day(year, month, day, false),
            Self::Mixed => julian_day(year, month, day, (year, month, day) >= (1582, 10, 15)),
        }
    }
}

fn month_of(starts: &[i64; 12], day_of_year: i64) -> usize {
    starts.partition_point(|&start| start <= day_of_year) - 1
}

/// The Julian day number of a date in the Gregorian or the Julian calendar, by counting the years
/// from 1 March (the usual formula; from memory).
fn julian_day(year: i64, month: i64, day: i64, gregorian: bool) -> i64 {
    let before_march = i64::from(month < 3);
    let years = year + 4800 - before_march;
    let months = month + 12 * before_march - 3;
    let days = day + (153 * months + 2) / 5 + 365 * years + years.div_euclid(4);
    if gregorian {
        days - years.div_euclid(100) + years.div_euclid(400) - 32_045
    } else {
        days - 32_083
    }
}

/// The year, and the month, 0 to 11, of a Julian day number: the inverse of [`julian_day`].
fn year_and_month(julian_day: i64, gregorian: bool) -> (i64, usize) {
    let (centuries, since_march) = if gregorian {
        let days = julian_day + 32_044;
        let centuries = (4 * days + 3).div_euclid(146_097);
        (centuries, days - (146_097 * centuries).div_euclid(4))
    } else {
        (0, julian_day + 32_082)
    };
    let years = (4 * since_march + 3).div_euclid(1461);
    let day_of_year = since_march - (1461 * years).div_euclid(4);
    let months_since_march = (5 * day_of_year + 2) / 153;
    let year = 100 * centuries + years - 4800 + months_since_march / 10;
    (year, ((months_since_march + 2) % 12) as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn months(values: &[f64], units: &str, calendar: &str) -> Option<Vec<usize>> {
        let units = TimeUnits::read(units, calendar)?;
        let places = values.iter().map(|value| units.months_into_year(*value));
        places.map(|place| Some(place?.floor() as usize)).collect()
    }

    #[test]
    fn dates_in_many_notations_are_read() {
        assert_eq!(
            reference_date("1800-1-1 00:00:0.0"),
            Some(((1800, 1, 1), 0.0))
        );
        assert_eq!(
            reference_date("1950-01-15t12:00:00z"),
            Some(((1950, 1, 15), 12.0))
        );
        assert_eq!(reference_date("0001-01-01"), Some(((1, 1, 1), 0.0)));
        assert_eq!(reference_date("yesterday"), None);
        assert_eq!(reference_date("1900-13-01"), None);
    }

    #[test]
    fn middles_of_months_in_hours_are_january_to_december() {
        let hours: Vec<f64> = (0..12)
            .map(|month| 24.0 * (15.0 + 30.44 * f64::from(month)))
            .collect();
        assert_eq!(
            months(&hours, "hours since 1-1-1 00:00", ""),
            Some((0..12).collect())
        );
    }

    #[test]
    fn months_since_a_date_are_read() {
        let whole: Vec<f64> = (0..12).map(f64::from).collect();
        assert_eq!(
            months(&whole, "months since 1980-01-01", ""),
            Some((0..12).collect())
        );
        assert_eq!(
            months(&[0.0, 11.0], "months since 1980-02-15", ""),
            Some(vec![1, 0])
        );
    }

    #[test]
    fn what_is_no_date_is_not_guessed() {
        assert_eq!(months(&[1.0], "fortnights since 1980-01-01", ""), None);
        assert_eq!(months(&[1.0], "days since 1980-01-01", "lunar"), None);
        assert_eq!(months(&[1e300], "days since 1980-01-01", ""), None);
    }

    #[test]
    fn every_calendar_finds_each_month_it_starts_in() {
        for name in [
            "standard",
            "proleptic_gregorian",
            "julian",
            "noleap",
            "all_leap",
            "360_day",
        ] {
            let calendar = Calendar::named(name).expect("a known calendar");
            for year in [1, 1581, 1583, 1900, 2000, 2023, 2024] {
                for month in 1..=12 {
                    let start = calendar.month_start(year, month as usize - 1);
                    let own = (year, month as usize - 1);
                    assert_eq!(calendar.year_and_month(start), own, "{name}");
                    assert_ne!(calendar.year_and_month(start - 1), own, "{name}");
                    let at = |days| calendar.months_into_year((year, month, 1), days);
                    assert_eq!(at(0.0), (month - 1) as f64, "{name} {year}-{month}");
                    let before = at(-0.5).floor() as i64;
                    assert_eq!(before, (month + 10) % 12, "{name} {year}-{month}");
                    // The middle of a month is 14 to 15.5 days on.
                    let middle = at(14.75) - at(0.0);
                    assert!((0.47..0.53).contains(&middle), "{name} {year}-{month}");
                }
            }
        }
    }

    #[test]
    fn times_are_told_to_the_minute() {
        let minutes = |units: &str, value: f64| {
            TimeUnits::read(units, "").and_then(|units| units.minutes(value))
        };
        let noon = 2_451_545 * DAY_MINUTES + 12 * 60;
        assert_eq!(minutes("hours since 2000-01-01", 12.0), Some(noon));
        assert_eq!(minutes("days since 1999-12-31 12:00", 1.0), Some(noon));
        // 31 days in January.
        let middle = 2_451_545 * DAY_MINUTES + 31 * DAY_MINUTES / 2;
        assert_eq!(minutes("months since 2000-01-01", 0.5), Some(middle));
        assert_eq!(minutes("days since 2000-01-01", 1e9), None);
    }

    /// Julian day numbers of known days (Meeus, Astronomical Algorithms; from memory).
    #[test]
    fn known_julian_days() {
        assert_eq!(julian_day(2000, 1, 1, true), 2_451_545);
        assert_eq!(julian_day(1582, 10, 15, true), FIRST_GREGORIAN_DAY);
        assert_eq!(julian_day(1582, 10, 4, false), FIRST_GREGORIAN_DAY - 1);
        assert_eq!(julian_day(-4712, 1, 1, false), 0);
    }

    /// Days from 1 January 1800 back to 1 January of year 1, as long-term means of many public
    /// reanalysis files count them, in the mixed calendar: 657073.
    #[test]
    fn a_count_back_to_year_one_lands_in_january() {
        let mixed = Calendar::Mixed;
        assert_eq!(mixed.months_into_year((1800, 1, 1), -657_073.0), 0.0);
        assert_eq!(mixed.months_into_year((1800, 1, 1), -657_073.0 + 31.0), 1.0);
        let gregorian = Calendar::Gregorian.months_into_year((1800, 1, 1), -657_073.0);
        assert_eq!(gregorian.floor(), 11.0);
    }

    #[test]
    fn an_unknown_calendar_is_not_guessed() {
        assert_eq!(Calendar::named("martian"), None);
    }
}
