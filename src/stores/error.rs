//! What can be wrong with the stores' input, in one enum.

use crate::units::{OutOfRange, Range};

/// Something the stores cannot be worked out from. Each variant names the field, what was found
/// and what is allowed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StoresError {
    /// A number outside its range, or not a number at all.
    #[error("{field}: {breach}")]
    OutOfRange {
        /// The field, as the voyage file has it: `crew.person[1].mass`.
        field: String,
        /// The value and the range.
        #[source]
        breach: OutOfRange,
    },
    /// Nothing given where something must be.
    #[error("{field} is missing; needed: {allowed}")]
    Missing {
        /// The field.
        field: String,
        /// What is needed.
        allowed: String,
    },
    /// Values that are each allowed but do not go together.
    #[error("{field} is {found}; allowed: {allowed}")]
    Conflict {
        /// The field.
        field: String,
        /// What was found.
        found: String,
        /// What is allowed.
        allowed: String,
    },
    /// Too few simulated passages arrive for the percentile asked.
    #[error(
        "reserve.confidence_percent is {found_percent} %, but only {arrived_percent:.1} % of the passages \
         arrive; allowed: a lower percentile, or a boat and season that arrive more often"
    )]
    NotReached {
        /// The percentile asked.
        found_percent: f64,
        /// The share of passages that arrive, in per cent.
        arrived_percent: f64,
    },
}

/// Whether `range` allows the value.
///
/// # Errors
/// [`StoresError::OutOfRange`] under the name `field`; NaN is never allowed.
pub(crate) fn check(field: &str, range: &Range, value: f64) -> Result<(), StoresError> {
    range
        .check(value)
        .map(drop)
        .map_err(|breach| StoresError::OutOfRange {
            field: field.to_owned(),
            breach,
        })
}

/// The same for a value that need not be there.
pub(crate) fn check_given(
    field: &str,
    range: &Range,
    value: Option<f64>,
) -> Result<(), StoresError> {
    value.map_or(Ok(()), |value| check(field, range, value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_breach_names_field_found_and_allowed() {
        let tank = Range::new("tank", "L", 0.0, 10_000.0);
        let error = check("boat.engine.fuel", &tank, f64::NAN).unwrap_err();
        assert_eq!(
            error.to_string(),
            "boat.engine.fuel: tank is NaN L; allowed: 0 to 10000 L"
        );
    }
}
