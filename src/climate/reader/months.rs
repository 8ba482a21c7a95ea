//! Which time step is which month.

use netcdf::File;

use super::super::{ClimateFault, Month};
use super::calendar::Calendar;
use super::{attributes, coordinates};

/// A time step further from its reference date than this, in days, is not a date.
const MOST_DAYS: f64 = 4e6;

/// The time step of each month.
pub(super) struct MonthSteps {
    /// The step of January, February and so on.
    pub(super) steps: [usize; 12],
    /// What had to be assumed.
    pub(super) note: Option<String>,
}

/// The steps along the dimension `time`, which has twelve.
///
/// # Errors
/// [`ClimateFault::RepeatedMonth`] where two steps fall in one month.
pub(super) fn month_steps(file: &File, time: &str) -> Result<MonthSteps, ClimateFault> {
    let (why, variable) = match coordinates::variable_along(file, time)? {
        None => (format!("dimension '{time}' has no coordinate"), None),
        Some(variable) => {
            let units = attributes::text(&variable, "units")?.unwrap_or_default();
            let calendar = attributes::text(&variable, "calendar")?.unwrap_or_default();
            let name = variable.name();
            let why = format!("'{name}' in units '{units}' could not be read as dates");
            (
                why,
                Some((name, coordinates::values(&variable)?, units, calendar)),
            )
        }
    };
    let months = variable.as_ref().and_then(|(_, values, units, calendar)| {
        if units.to_lowercase().contains(" since ") {
            months_since(values, units, calendar)
        } else {
            month_numbers(values)
        }
    });
    let Some(months) = months else {
        return Ok(MonthSteps {
            steps: std::array::from_fn(|step| step),
            note: Some(format!(
                "{why}; its twelve steps are taken as January to December"
            )),
        });
    };
    let mut steps = [None; 12];
    for (step, &month) in months.iter().enumerate() {
        if let Some(first_step) = steps[month].replace(step) {
            return Err(ClimateFault::RepeatedMonth {
                variable: variable.map_or_else(String::new, |(name, ..)| name),
                month: Month::ALL[month].name(),
                first_step: first_step + 1,
                second_step: step + 1,
            });
        }
    }
    // Twelve steps without a repeat fill all twelve months.
    Ok(MonthSteps {
        steps: steps.map(Option::unwrap_or_default),
        note: None,
    })
}

/// Months, 0 to 11, of values that are plainly the numbers 1 to 12.
fn month_numbers(values: &[f64]) -> Option<Vec<usize>> {
    values
        .iter()
        .map(|&value| {
            let is_number = (1.0..=12.0).contains(&value) && value.fract() == 0.0;
            is_number.then(|| value as usize - 1)
        })
        .collect()
}

/// Months, 0 to 11, of values in units like `days since 1800-1-1 00:00`.
fn months_since(values: &[f64], units: &str, calendar: &str) -> Option<Vec<usize>> {
    let calendar = Calendar::named(calendar)?;
    let lower = units.to_lowercase();
    let (unit, since) = lower.split_once(" since ")?;
    let (date, hours) = reference_date(since)?;
    let days_per_unit = match unit.trim() {
        "day" | "days" | "d" => 1.0,
        "hour" | "hours" | "hr" | "hrs" | "h" => 1.0 / 24.0,
        "minute" | "minutes" | "min" | "mins" => 1.0 / 1440.0,
        "second" | "seconds" | "sec" | "secs" | "s" => 1.0 / 86_400.0,
        "month" | "months" => {
            let month = |value: f64| (date.1 - 1 + value.floor() as i64).rem_euclid(12) as usize;
            let sound = values.iter().all(|value| value.abs() < MOST_DAYS);
            return sound.then(|| values.iter().map(|&value| month(value)).collect());
        }
        _ => return None,
    };
    values
        .iter()
        .map(|value| {
            let days = value * days_per_unit + hours / 24.0;
            (days.abs() < MOST_DAYS).then(|| calendar.month_after(date, days))
        })
        .collect()
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

    fn january_to_december() -> Option<Vec<usize>> {
        Some((0..12).collect())
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
            months_since(&hours, "hours since 1-1-1 00:00", ""),
            january_to_december()
        );
    }

    #[test]
    fn months_since_a_date_and_month_numbers_are_read() {
        let from_zero: Vec<f64> = (0..12).map(f64::from).collect();
        let from_one: Vec<f64> = (1..=12).map(f64::from).collect();
        assert_eq!(
            months_since(&from_zero, "months since 1980-01-01", ""),
            january_to_december()
        );
        assert_eq!(month_numbers(&from_one), january_to_december());
        assert_eq!(month_numbers(&from_zero), None);
    }

    #[test]
    fn what_is_no_date_is_not_guessed() {
        assert_eq!(
            months_since(&[1.0], "fortnights since 1980-01-01", ""),
            None
        );
        assert_eq!(months_since(&[1.0], "days since 1980-01-01", "lunar"), None);
        assert_eq!(months_since(&[1e300], "days since 1980-01-01", ""), None);
    }
}
