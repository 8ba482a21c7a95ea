//! Months, by number, by name and as a person writes them.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::Serialize;

const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A calendar month.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, JsonSchema, Serialize)]
pub struct Month(#[schemars(range(min = 1, max = 12))] u8);

impl Month {
    /// January to December.
    pub const ALL: [Month; 12] = {
        let mut all = [Month(1); 12];
        let mut index = 0;
        while index < 12 {
            all[index] = Month(index as u8 + 1);
            index += 1;
        }
        all
    };

    /// The month numbered 1 (January) to 12 (December).
    pub fn from_number(number: u8) -> Option<Self> {
        (1..=12).contains(&number).then_some(Self(number))
    }

    /// 1 (January) to 12 (December).
    pub fn number(self) -> u8 {
        self.0
    }

    /// The English name.
    pub fn name(self) -> &'static str {
        MONTH_NAMES[self.index()]
    }

    /// The month so many months later.
    pub(super) fn months_on(self, months: usize) -> Self {
        Self::ALL[(self.index() + months) % Self::ALL.len()]
    }

    /// Its place among the twelve, from 0.
    pub(crate) fn index(self) -> usize {
        usize::from(self.0) - 1
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// The fewest letters that tell the months apart.
const FEWEST_LETTERS: usize = 3;

/// A text that is no month.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "found '{found}'; allowed: 1 to 12, or an English month name or its first 3 letters or more"
)]
pub struct NoSuchMonth {
    /// The text.
    pub found: String,
}

impl FromStr for Month {
    type Err = NoSuchMonth;

    /// Reads a number from 1 to 12, an English name, or the first three letters or more of one, in
    /// capitals or not.
    fn from_str(text: &str) -> Result<Self, NoSuchMonth> {
        let no_such_month = || NoSuchMonth {
            found: text.to_owned(),
        };
        let plain = text.trim().to_lowercase();
        if let Ok(number) = plain.parse() {
            return Self::from_number(number).ok_or_else(no_such_month);
        }
        let named = |month: &Self| {
            plain.len() >= FEWEST_LETTERS && month.name().to_lowercase().starts_with(&plain)
        };
        Self::ALL.into_iter().find(named).ok_or_else(no_such_month)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn month_numbers_are_1_to_12() {
        assert_eq!(Month::from_number(0), None);
        assert_eq!(Month::from_number(13), None);
        assert_eq!(Month::from_number(12).map(Month::name), Some("December"));
    }

    #[test]
    fn numbers_names_and_their_beginnings_are_read() {
        for (text, number) in [
            ("1", 1),
            ("12", 12),
            ("05", 5),
            ("May", 5),
            ("jun", 6),
            ("JULY", 7),
            (" Sept ", 9),
            ("december", 12),
        ] {
            assert_eq!(text.parse().map(Month::number), Ok(number), "{text}");
        }
    }

    #[test]
    fn anything_else_is_refused_with_what_is_allowed() {
        for text in ["0", "13", "-1", "1.5", "ma", "Mayy", "", "Mai"] {
            assert!(text.parse::<Month>().is_err(), "{text}");
        }
        assert_eq!(
            "Mai".parse::<Month>().unwrap_err().to_string(),
            "found 'Mai'; allowed: 1 to 12, or an English month name or its first 3 letters or more"
        );
    }
}
