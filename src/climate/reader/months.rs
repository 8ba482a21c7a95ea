//! Which time step is which month.
//!
//! By the bounds of each step where the file has them: those say when a mean begins and ends. Else
//! by the step's own time, which is ambiguous where every step falls where one month ends and the next
//! begins: some files stamp a month at its start, others at its end. Then the report says which was
//! taken.
//! Bounds are those of the CF conventions, sections 7.1 and 7.4, from memory.

use netcdf::{File, Variable};

use super::time_units::TimeUnits;
use super::{attributes, layout, variables};
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{MonthSteps, months_of_stamps};

/// The steps along the dimension `time`, which has twelve.
///
/// # Errors
/// [`ClimateFault::RepeatedMonth`] where two steps fall in one month.
pub(super) fn month_steps(file: &File, time: &str) -> Result<MonthSteps, ClimateFault> {
    let Some(variable) = layout::variable_along(file, time)? else {
        let why = format!("dimension '{time}' has no coordinate");
        return Ok(MonthSteps::in_file_order(&why));
    };
    let text = |attribute| attributes::text(&variable, attribute).map(Option::unwrap_or_default);
    let (name, units, calendar) = (variable.name(), text("units")?, text("calendar")?);
    let values = layout::values(&variable)?;
    let unreadable = || {
        let why = format!("'{name}' in units '{units}' could not be read as dates");
        Ok(MonthSteps::in_file_order(&why))
    };
    if !units.to_lowercase().contains(" since ") {
        return match month_numbers(&values) {
            Some(months) => MonthSteps::of(&name, &months, Vec::new()),
            None => unreadable(),
        };
    }
    let Some(read) = TimeUnits::read(&units, &calendar) else {
        return unreadable();
    };
    let mut notes = Vec::new();
    match bounds(file, &variable, &calendar, &read)? {
        Bounds::None => {}
        Bounds::Unusable { note } => notes.push(note),
        Bounds::Months { name, months } => return MonthSteps::of(&name, &months, notes),
    }
    let stamps: Option<Vec<f64>> = values
        .iter()
        .map(|value| read.months_into_year(*value))
        .collect();
    let Some(stamps) = stamps else {
        return unreadable();
    };
    let (months, note) = months_of_stamps(&name, &stamps);
    notes.extend(note);
    MonthSteps::of(&name, &months, notes)
}

/// Months, 0 to 11, of values that are exactly the numbers 1 to 12.
fn month_numbers(values: &[f64]) -> Option<Vec<usize>> {
    values
        .iter()
        .map(|&value| {
            let is_number = (1.0..=12.0).contains(&value) && value.fract() == 0.0;
            is_number.then(|| value as usize - 1)
        })
        .collect()
}

/// A mean that lasts fewer or more months of the year than these is not that of a month.
const MONTH_LONG: std::ops::RangeInclusive<f64> = 0.5..=1.5;

/// What a file's bounds say of its steps.
enum Bounds {
    /// It has none.
    None,
    /// It names some that cannot be used.
    Unusable {
        /// What to say about that.
        note: String,
    },
    /// The month of each step, 0 to 11.
    Months {
        /// The variable that holds the bounds.
        name: String,
        /// The months.
        months: Vec<usize>,
    },
}

/// What the attribute `climatology` or `bounds` of the coordinate `time` says; `units` are those of
/// the coordinate, which its bounds share.
fn bounds(
    file: &File,
    time: &Variable,
    calendar: &str,
    units: &TimeUnits,
) -> Result<Bounds, ClimateFault> {
    let mut found = None;
    for attribute in ["climatology", "bounds"] {
        if found.is_none() {
            found = attributes::text(time, attribute)?.map(|name| (attribute, name));
        }
    }
    let Some((attribute, name)) = found else {
        return Ok(Bounds::None);
    };
    let unusable = |why: &str| {
        Ok(Bounds::Unusable {
            note: format!(
                "'{}' names '{name}' as its {attribute}, {why}; they are not used",
                time.name()
            ),
        })
    };
    let Some(variable) = variables::by_name(file, &name) else {
        return unusable("which the file does not have");
    };
    let steps = time.len();
    match variable.dimensions() {
        [along, pair] if along.len() == steps && pair.len() == 2 => {}
        _ => return unusable("which do not hold two times for each step"),
    }
    let own_units = attributes::text(&variable, "units")?;
    let own_units = own_units.map(|units| TimeUnits::read(&units, calendar));
    let units = match &own_units {
        None => units,
        Some(Some(own)) => own,
        Some(None) => return unusable("whose units could not be read"),
    };
    let values = layout::values(&variable)?;
    let months: Option<Vec<usize>> = values
        .chunks_exact(2)
        .map(|pair| {
            month_between(
                units.months_into_year(pair[0])?,
                units.months_into_year(pair[1])?,
            )
        })
        .collect();
    match months {
        Some(months) => Ok(Bounds::Months { name, months }),
        None => unusable("which do not run over one month each"),
    }
}

/// The month, 0 to 11, in the middle of two times of year in months; none where no month lies
/// between. A mean over many years' Januaries begins in the first and ends in the last.
fn month_between(begin: f64, end: f64) -> Option<usize> {
    let long = (end - begin).rem_euclid(12.0);
    MONTH_LONG
        .contains(&long)
        .then_some((begin + 0.5 * long) as usize % 12)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn month_numbers_are_those_from_one_to_twelve() {
        let from_zero: Vec<f64> = (0..12).map(f64::from).collect();
        let from_one: Vec<f64> = (1..=12).map(f64::from).collect();
        assert_eq!(month_numbers(&from_one), Some((0..12).collect()));
        assert_eq!(month_numbers(&from_zero), None);
    }

    #[test]
    fn times_within_months_leave_no_doubt() {
        let middles: Vec<f64> = (0..12).map(|month| f64::from(month) + 0.5).collect();
        let (months, note) = months_of_stamps("time", &middles);
        assert_eq!((months, note), ((0..12).collect(), None));
        // The last day of each month is within it.
        let last_days: Vec<f64> = (0..12).map(|month| f64::from(month) + 0.97).collect();
        let (months, note) = months_of_stamps("time", &last_days);
        assert_eq!((months, note), ((0..12).collect(), None));
    }

    /// A second before the year's end, or by the rounding of single precision.
    #[test]
    fn times_just_before_a_month_begins_count_as_where_two_meet() {
        let hair = 1e-5;
        let mut ends: Vec<f64> = (1..=12).map(|month| f64::from(month) - hair).collect();
        let (months, note) = months_of_stamps("time", &ends);
        assert_eq!(months, (0..12).collect::<Vec<_>>());
        assert!(note.unwrap().contains("months that end then"));
        ends.rotate_right(1);
        let (months, note) = months_of_stamps("time", &ends);
        assert_eq!(months, (0..12).collect::<Vec<_>>());
        assert!(note.unwrap().contains("months that begin then"));
    }

    #[test]
    fn the_middle_decides_the_month_over_the_years_end_too() {
        assert_eq!(month_between(0.0, 1.0), Some(0));
        assert_eq!(month_between(11.0, 0.0), Some(11));
        // To the last day at 00:00.
        assert_eq!(month_between(3.0, 3.97), Some(3));
        // From the first of many Januaries' stamps to the last.
        assert_eq!(month_between(0.0, 0.0), None);
        assert_eq!(month_between(11.0, 2.0), None);
    }
}
