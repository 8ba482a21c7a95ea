//! What a command can end with other than its result.

use crate::boat::BoatError;
use crate::passage::PassageError;
use crate::report::OutputError;
use crate::shaping::ShapingError;
use crate::stores::StoresError;
use crate::units::OutOfRange;

/// What went wrong, in words for the person at the keyboard.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// The voyage, its boat, its routes or its winds.
    #[error("{}{}", .0, key_for_variable(.0))]
    Passage(#[from] PassageError),
    /// A crew's log that says nothing about the polar.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// The stores cannot be worked out.
    #[error(transparent)]
    Stores(#[from] StoresError),
    /// A file that was asked for could not be written.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// No course can be shaped.
    #[error(transparent)]
    Shaping(Box<ShapingError>),
    /// An option out of its range.
    #[error("{option}: {breach}")]
    Option {
        /// The option, as it is written.
        option: &'static str,
        /// What was found and what is allowed.
        breach: OutOfRange,
    },
    /// A route that the voyage does not have.
    #[error("the voyage has no route '{found}'; it has: {}", .names.join(", "))]
    NoSuchRoute {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// Routes over land, where that is not allowed.
    #[error("--strict allows no land in the way:\n  {}", .warnings.join("\n  "))]
    OverLand {
        /// A line for each crossing.
        warnings: Vec<String>,
    },
    /// A command that there is not.
    #[error("there is no command '{found}'; there are: {}", .names.join(", "))]
    NoSuchCommand {
        /// The name asked for.
        found: String,
        /// The names there are.
        names: Vec<String>,
    },
    /// Standard output cannot be written to.
    #[error("cannot write to standard output: {0}")]
    Stdout(std::io::Error),
}

impl CliError {
    /// A value of `option` out of its range.
    pub(super) fn option(option: &'static str) -> impl FnOnce(OutOfRange) -> Self {
        move |breach| Self::Option { option, breach }
    }
}

/// Where the voyage file names the variable that a climate file leaves open.
fn key_for_variable(error: &PassageError) -> String {
    match error {
        PassageError::Climate(error) => error.fault.quantity_without_variable(),
        _ => None,
    }
    .map_or(String::new(), |key| {
        format!(". Name the variable to use in a voyage file, in [climate.variables] at {key}")
    })
}

impl From<ShapingError> for CliError {
    fn from(error: ShapingError) -> Self {
        Self::Shaping(Box::new(error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::{ClimateError, ClimateFault};

    #[test]
    fn a_variable_left_open_is_asked_for_by_its_key() {
        let fault = ClimateFault::Ambiguous {
            quantity: "eastward wind",
            standard_name: "eastward_wind",
            candidates: "u, u10".to_owned(),
        };
        let file = "winds.nc".to_owned();
        let error = ClimateError {
            file,
            fault: Box::new(fault),
        };
        assert_eq!(
            CliError::from(PassageError::from(error)).to_string(),
            "wind climate winds.nc: has more than one eastward wind: u, u10. Name the variable to \
             use in a voyage file, in [climate.variables] at eastward_wind"
        );
    }
}
