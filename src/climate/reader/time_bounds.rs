//! The bounds of time steps: when each mean begins and ends (CF conventions, sections 7.1 and 7.4;
//! from memory).

use netcdf::{File, Variable};

use super::super::ClimateFault;
use super::time_units::TimeUnits;
use super::{attributes, coordinates, variables};

/// A mean that lasts fewer or more months of the year than these is not that of a month.
const MONTH_LONG: std::ops::RangeInclusive<f64> = 0.5..=1.5;

/// What a file's bounds say of its steps.
pub(super) enum Bounds {
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
pub(super) fn read(
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
    let values = coordinates::values(&variable)?;
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
    fn the_middle_tells_the_month_over_the_years_end_too() {
        assert_eq!(month_between(0.0, 1.0), Some(0));
        assert_eq!(month_between(11.0, 0.0), Some(11));
        // To the last day at 00:00.
        assert_eq!(month_between(3.0, 3.97), Some(3));
        // From the first of many Januaries' stamps to the last.
        assert_eq!(month_between(0.0, 0.0), None);
        assert_eq!(month_between(11.0, 2.0), None);
    }
}
