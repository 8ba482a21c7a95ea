//! A month as a person writes it.

use std::str::FromStr;

use super::Month;

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
