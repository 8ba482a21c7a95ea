//! Where a figure comes from, carried beside the figure itself.

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
    /// The crew's own figure.
    Given,
    /// Sums and products of other figures.
    Arithmetic,
}

/// A status and the source it speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Basis {
    /// How far the origin was followed.
    pub status: Status,
    /// The publication; empty where the status says all there is to say.
    pub source: &'static str,
}

impl Basis {
    /// A rule of thumb.
    pub const PRACTICE: Self = Self::new(Status::CommonPractice, "");
    /// The crew's own figure.
    pub const GIVEN: Self = Self::new(Status::Given, "");
    /// Follows from other figures.
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
}

/// A figure and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Figure {
    /// Its value; whatever holds it says the unit.
    pub value: f64,
    /// Where it comes from.
    pub basis: Basis,
}

impl Figure {
    /// A figure of that origin.
    pub const fn new(value: f64, basis: Basis) -> Self {
        Self { value, basis }
    }

    /// The figure the crew gives, even if it is the same, or else this one.
    pub fn unless_given(self, given: Option<f64>) -> Self {
        given.map_or(self, |value| Self::new(value, Basis::GIVEN))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_given_is_the_crews_own_even_where_it_is_the_default() {
        let pace = Figure::new(2.0, Basis::PRACTICE);
        assert_eq!(pace.unless_given(None), pace);
        assert_eq!(pace.unless_given(Some(2.0)).basis, Basis::GIVEN);
        assert_eq!(pace.unless_given(Some(2.5)).value, 2.5);
    }
}
