//! What routes are called where there is no room for long names.

use super::table::{width, wrap};

/// The longest name that stands at the head of a column or of a line.
const LONGEST: usize = 24;

/// Routes as they are called in tables and pictures of a terminal.
pub(super) struct Called {
    /// In the voyage's order: their names, or letters where one of them is long.
    pub names: Vec<String>,
    /// Which letter stands for which name, a line each; none where the names stand.
    pub legend: Option<String>,
}

impl Called {
    /// By their names where each has room at the head of a column or a line.
    pub(super) fn of<'a>(names: impl IntoIterator<Item = &'a str>) -> Self {
        Self::within(LONGEST, names)
    }

    /// By their names where none is longer.
    pub(super) fn within<'a>(longest: usize, names: impl IntoIterator<Item = &'a str>) -> Self {
        let full: Vec<&str> = names.into_iter().collect();
        if full.iter().all(|name| width(name) <= longest) {
            return Self {
                names: full.into_iter().map(str::to_owned).collect(),
                legend: None,
            };
        }
        let names: Vec<String> = (0..full.len()).map(letter).collect();
        let lines = names.iter().zip(full);
        let lines: Vec<String> = lines
            .map(|(letter, name)| wrap(&format!("{letter}: {name}"), "   "))
            .collect();
        Self {
            legend: Some(lines.join("\n")),
            names,
        }
    }
}

/// A, B and so on; with a number behind it after Z.
fn letter(index: usize) -> String {
    let letter = char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_long_name_makes_letters_of_all() {
        let short = Called::of(["Trades", "Direct"]);
        assert_eq!(short.names, ["Trades", "Direct"]);
        assert_eq!(short.legend, None);
        let long = Called::of(["By way of the trades and the Mozambique Channel", "Direct"]);
        assert_eq!(long.names, ["A", "B"]);
        let legend = "A: By way of the trades and the Mozambique Channel\nB: Direct";
        assert_eq!(long.legend.as_deref(), Some(legend));
        assert_eq!([25, 26].map(letter), ["Z", "A2"]);
    }
}
