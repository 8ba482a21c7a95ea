//! Which values of a file were observed, and which its makers put in.

use netcdf::{File, Variable};

use super::super::ClimateFault;
use super::{attributes, variables};

/// The flag variable of a wind and the flags that mean its value was put in.
pub(super) struct Origin<'f> {
    pub(super) variable: Variable<'f>,
    replaced: Vec<f64>,
}

impl Origin<'_> {
    pub(super) fn is_replaced(&self, flag: f64) -> bool {
        self.replaced.contains(&flag)
    }
}

/// The flag variable that `wind` names in `ancillary_variables` and that has a meaning `observed`
/// (CF conventions, sections 3.4 and 3.5); `None` where there is none. Every other meaning but
/// `none` is taken as put in.
pub(super) fn of<'f>(file: &'f File, wind: &Variable) -> Result<Option<Origin<'f>>, ClimateFault> {
    let named = attributes::text(wind, "ancillary_variables")?.unwrap_or_default();
    for name in named.split_whitespace() {
        let Some(variable) = variables::by_name(file, name) else {
            continue;
        };
        let meanings = attributes::text(&variable, "flag_meanings")?.unwrap_or_default();
        let meanings: Vec<&str> = meanings.split_whitespace().collect();
        if !meanings.contains(&"observed") {
            continue;
        }
        let values = attributes::numbers(&variable, "flag_values")?.unwrap_or_default();
        if values.len() != meanings.len() {
            return Err(ClimateFault::Attribute {
                variable: variable.name(),
                attribute: "flag_values",
                found: format!("{values:?}"),
                expected: "one number for each of flag_meanings",
            });
        }
        let replaced = meanings
            .iter()
            .zip(values)
            .filter(|(meaning, _)| !matches!(**meaning, "observed" | "none"))
            .map(|(_, value)| value)
            .collect();
        return Ok(Some(Origin { variable, replaced }));
    }
    Ok(None)
}
