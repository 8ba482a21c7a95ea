//! Where a figure comes from, carried beside the figure itself.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// How far a figure's origin was followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Read in the publication named.
    Published,
    /// Read in a text that quotes the publication named.
    SecondHand,
    /// Remembered from the publication named, which was not at hand.
    FromMemory,
    /// A rule of thumb among crews; nothing published is claimed.
    CommonPractice,
    /// Exact by definition of the unit or by geometry.
    Definition,
    /// The crew's own figure, from the voyage file or the command line.
    Given,
    /// Sums and products of other lines.
    Arithmetic,
}

/// A status and the source it speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Basis {
    /// How far the origin was followed.
    pub status: Status,
    /// The publication or definition; empty where the status says all there is to say.
    pub source: &'static str,
}

impl Basis {
    /// A rule of thumb.
    pub const PRACTICE: Self = Self::new(Status::CommonPractice, "");
    /// The crew's own figure.
    pub const GIVEN: Self = Self::new(Status::Given, "");
    /// Follows from other lines.
    pub const ARITHMETIC: Self = Self::new(Status::Arithmetic, "");

    const fn new(status: Status, source: &'static str) -> Self {
        Self { status, source }
    }

    /// Read in the publication named.
    pub const fn published(source: &'static str) -> Self {
        Self::new(Status::Published, source)
    }

    /// Read in a text quoting the publication named.
    pub const fn second_hand(source: &'static str) -> Self {
        Self::new(Status::SecondHand, source)
    }

    /// Remembered from the publication named.
    pub const fn from_memory(source: &'static str) -> Self {
        Self::new(Status::FromMemory, source)
    }

    /// Exact by the definition named.
    pub const fn definition(source: &'static str) -> Self {
        Self::new(Status::Definition, source)
    }
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.status {
            Status::Published => write!(f, "{}", self.source),
            Status::SecondHand => write!(f, "{} (seen second-hand)", self.source),
            Status::FromMemory => write!(f, "{} (from memory)", self.source),
            Status::CommonPractice => write!(f, "common practice, no source"),
            Status::Definition => write!(f, "exact: {}", self.source),
            Status::Given => write!(f, "given by the crew"),
            Status::Arithmetic => write!(f, "arithmetic on other lines"),
        }
    }
}

/// A constant with its meaning, unit and origin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Known {
    /// What it is.
    pub what: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// The unit's symbol; empty for a bare number.
    pub unit: &'static str,
    /// Where it comes from.
    pub basis: Basis,
}

impl Known {
    /// A constant `value` in `unit`.
    pub const fn new(what: &'static str, value: f64, unit: &'static str, basis: Basis) -> Self {
        Self {
            what,
            value,
            unit,
            basis,
        }
    }

    /// The figure the crew gives, even if it is the same, or else this constant.
    pub fn unless_given(&self, given: Option<f64>) -> Figure {
        match given {
            Some(value) => Figure {
                value,
                basis: Basis::GIVEN,
            },
            None => Figure {
                value: self.value,
                basis: self.basis,
            },
        }
    }
}

/// A figure in use, and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// Its value; the field that holds it says the unit.
    pub value: f64,
    /// Where it comes from.
    pub basis: Basis,
}

#[cfg(test)]
mod tests {
    use super::*;

    const PACE: Known = Known::new("pace", 2.0, "kn", Basis::PRACTICE);

    #[test]
    fn a_figure_given_is_the_crews_own_even_where_it_is_the_default() {
        let basis = |given| PACE.unless_given(given).basis;
        assert_eq!(basis(None), Basis::PRACTICE);
        assert_eq!(basis(Some(2.0)), Basis::GIVEN);
        assert_eq!(PACE.unless_given(Some(2.5)).value, 2.5);
    }

    #[test]
    fn every_status_reads_as_words() {
        assert_eq!(Basis::PRACTICE.to_string(), "common practice, no source");
        assert_eq!(
            Basis::from_memory("LSA Code 4.4.8.9").to_string(),
            "LSA Code 4.4.8.9 (from memory)"
        );
    }
}
