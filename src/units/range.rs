//! Ranges a quantity may have, declared once, with one wording for a breach.

/// What a quantity is called, its unit and the values allowed, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What the quantity is, as a sailor would say it.
    pub what: &'static str,
    /// The unit's symbol; empty for a bare number.
    pub unit: &'static str,
    /// The smallest value allowed.
    pub min: f64,
    /// The largest value allowed.
    pub max: f64,
}

/// A value outside its [`Range`], or not a number.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "{} is {}{}; allowed: {} to {}{}",
    range.what, found_words(*found), space_before(range.unit), range.min, range.max, space_before(range.unit)
)]
pub struct OutOfRange {
    /// The range that was breached.
    pub range: Range,
    /// The value found.
    pub found: f64,
}

/// A number as a message repeats it: one with more digits than anyone reads by its power of ten.
fn found_words(found: f64) -> String {
    match found.abs() {
        0.0 | 1e-9..1e15 => found.to_string(),
        _ => format!("{found:e}"),
    }
}

impl Range {
    /// A range from `min` to `max`, in `unit`.
    pub const fn new(what: &'static str, unit: &'static str, min: f64, max: f64) -> Self {
        Self {
            what,
            unit,
            min,
            max,
        }
    }

    /// The value itself where it is allowed. NaN never is.
    pub fn check(&self, value: f64) -> Result<f64, OutOfRange> {
        if value >= self.min && value <= self.max {
            Ok(value)
        } else {
            Err(OutOfRange {
                range: *self,
                found: value,
            })
        }
    }
}

fn space_before(unit: &str) -> String {
    if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEPTH: Range = Range::new("depth", "m", 0.0, 20.0);

    #[test]
    fn both_ends_are_allowed_and_nan_is_not() {
        assert_eq!(DEPTH.check(0.0), Ok(0.0));
        assert_eq!(DEPTH.check(20.0), Ok(20.0));
        assert!(DEPTH.check(20.01).is_err());
        assert!(DEPTH.check(f64::NAN).is_err());
    }

    #[test]
    fn a_breach_names_what_was_found_and_what_is_allowed() {
        let error = DEPTH.check(-1.0).unwrap_err();
        assert_eq!(error.to_string(), "depth is -1 m; allowed: 0 to 20 m");
    }
}
