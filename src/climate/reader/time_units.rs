//! Units of CF time coordinates, like `days since 1800-1-1 00:00`: from a number to the time of year.

use super::calendar::Calendar;

/// A time step further from its reference date than this, in days, is not a date.
const MOST_DAYS: f64 = 4e6;
/// Days in a month of the year on average, for a reference date within one.
const MONTH_DAYS: f64 = 365.2425 / 12.0;

/// What numbers a time coordinate counts in, and from when.
pub(super) struct TimeUnits {
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
    let sound = year.abs() < 10_000 && (1..=12).contains(&month) && (1..=31).contains(&day);
    // A time that cannot be read shifts the date by less than a day.
    let hours = time
        .split(':')
        .next()
        .and_then(|hours| hours.trim().parse::<f64>().ok());
    let hours = hours
        .filter(|hours| (0.0..24.0).contains(hours))
        .unwrap_or(0.0);
    sound.then_some(((year, month, day), hours))
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
    fn dates_in_many_dresses_are_read() {
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
}
