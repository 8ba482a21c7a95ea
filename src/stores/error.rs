//! What can be wrong with the stores' input.

use crate::units::{OutOfRange, Range};

/// Something the stores cannot be worked out from. The message names the thing, what was found and
/// what is allowed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StoresError {
    /// A number outside its range, or not a number at all.
    #[error("{of}: {breach}")]
    OutOfRange {
        /// What the number is of: `person 1`, `reserve of food`.
        of: String,
        /// The value and the range.
        #[source]
        breach: OutOfRange,
    },
    /// Something needed is not there.
    #[error("{of}: none; needed: {needed}")]
    Missing {
        /// What it is part of.
        of: &'static str,
        /// What is needed.
        needed: &'static str,
    },
    /// Values that are each allowed but do not go together.
    #[error("{of}: {found}; allowed: {allowed}")]
    Conflict {
        /// What they are of.
        of: String,
        /// What was found.
        found: String,
        /// What is allowed.
        allowed: &'static str,
    },
}

/// Whether `range` allows the value of the thing called `of`, if there is one.
///
/// # Errors
/// [`StoresError::OutOfRange`]; NaN is never allowed.
pub(crate) fn check(
    of: &str,
    range: &Range,
    value: impl Into<Option<f64>>,
) -> Result<(), StoresError> {
    match value.into().map(|value| range.check(value)) {
        Some(Err(breach)) => Err(StoresError::OutOfRange {
            of: of.to_owned(),
            breach,
        }),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_breach_names_thing_found_and_allowed() {
        let tank = Range::new("tank", "L", 0.0, 10_000.0);
        let error = check("diesel", &tank, f64::NAN).unwrap_err();
        assert_eq!(
            error.to_string(),
            "diesel: tank is NaN L; allowed: 0 to 10000 L"
        );
        assert!(check("diesel", &tank, None).is_ok());
    }
}
