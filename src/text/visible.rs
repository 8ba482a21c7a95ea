//! Text from outside, such as a name, a cell or a path, as it may be shown: what a terminal would obey
//! instead of showing is spelt out.

use std::borrow::Cow;
use std::fmt::Write as _;

/// The most letters that the name of a voyage, a route, a place or a boat may have (our choice).
pub const MOST_NAME: usize = 200;
/// The most letters of a text that a message repeats.
const MOST_LETTERS: usize = 120;
/// The most letters of a message about a file of strangers.
const MOST_OF_A_MESSAGE: usize = 600;
/// The most items of a list that a message names.
const MOST_ITEMS: usize = 20;
/// The most faults that are told at once.
const MOST_LINES: usize = 10;

/// Whether a letter moves a terminal's cursor, breaks a line or turns the direction of writing (the
/// Unicode Bidirectional Algorithm's embeddings, overrides and isolates) instead of being seen.
pub fn is_hidden(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text on one line, its hidden letters spelt out: `\n`, `\x1b`, `\u{202e}`.
pub fn visible(text: &str) -> Cow<'_, str> {
    spelt_out(text, is_hidden)
}

/// A text of several lines, its other hidden letters spelt out.
pub fn visible_lines(text: &str) -> Cow<'_, str> {
    spelt_out(text, |letter| letter != '\n' && is_hidden(letter))
}

fn spelt_out(text: &str, hidden: impl Fn(char) -> bool) -> Cow<'_, str> {
    if !text.chars().any(&hidden) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for letter in text.chars() {
        match letter {
            letter if !hidden(letter) => shown.push(letter),
            '\n' | '\r' | '\t' => shown.extend(letter.escape_default()),
            letter if letter <= '\u{ff}' => {
                write!(shown, "\\x{:02x}", u32::from(letter)).expect("memory takes it");
            }
            letter => shown.extend(letter.escape_unicode()),
        }
    }
    Cow::Owned(shown)
}

/// A text as a message repeats it: visible, and cut short if it is long.
pub fn brief(text: &str) -> Cow<'_, str> {
    brief_to(text, MOST_LETTERS)
}

/// The same for what is made of several texts, and may take a few lines.
pub fn brief_message(text: &str) -> Cow<'_, str> {
    brief_to(text, MOST_OF_A_MESSAGE)
}

fn brief_to(text: &str, most_letters: usize) -> Cow<'_, str> {
    match text.char_indices().nth(most_letters) {
        Some((end, _)) => Cow::Owned(format!("{}...", visible(&text[..end]))),
        None => visible(text),
    }
}

/// A list as a message names it: each item brief, and counted where there are many.
pub fn brief_list<T: AsRef<str>>(items: &[T]) -> String {
    let named = items.iter().take(MOST_ITEMS);
    let mut named: Vec<Cow<'_, str>> = named.map(|item| brief(item.as_ref())).collect();
    if let Some(more) = items.len().checked_sub(MOST_ITEMS).filter(|more| *more > 0) {
        named.push(format!("and {more} more").into());
    }
    named.join(", ")
}

/// Lines of a message, the first of them where there are many.
pub fn brief_lines(lines: &[String], between: &str) -> String {
    let mut shown = lines[..lines.len().min(MOST_LINES)].join(between);
    if let Some(more) = lines.len().checked_sub(MOST_LINES).filter(|more| *more > 0) {
        write!(shown, "{between}and {more} more").expect("memory takes it");
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_obeys_is_spelt_out() {
        for (text, shown) in [
            (
                "Kap Hoorn, São Tomé, 東京, Δ 3°S",
                "Kap Hoorn, São Tomé, 東京, Δ 3°S",
            ),
            ("a\u{1b}[2Jb", "a\\x1b[2Jb"),
            ("\0\u{7}\u{8}\u{7f}\u{9b}2J", "\\x00\\x07\\x08\\x7f\\x9b2J"),
            ("one\r\n\ttwo", "one\\r\\n\\ttwo"),
            ("\u{2028}\u{2029}", "\\u{2028}\\u{2029}"),
            ("\u{202a}\u{202e}", "\\u{202a}\\u{202e}"),
            ("\u{2066}\u{2069}", "\\u{2066}\\u{2069}"),
            // Marks that Hebrew and Arabic names are written with.
            ("\u{200e}\u{200f}", "\u{200e}\u{200f}"),
        ] {
            assert_eq!(visible(text), shown);
            assert!(!visible(text).chars().any(is_hidden));
        }
        assert_eq!(visible_lines("a\n\u{1b}b\n"), "a\n\\x1bb\n");
    }

    #[test]
    fn a_message_repeats_little_of_what_is_long() {
        let long = "é".repeat(MOST_LETTERS);
        assert_eq!(brief(&long), long);
        assert_eq!(brief(&format!("{long}é")), format!("{long}..."));
        let names: Vec<String> = (1..=MOST_ITEMS + 2).map(|n| n.to_string()).collect();
        assert!(brief_list(&names).ends_with(", 20, and 2 more"));
        assert!(brief_list(&names[..MOST_ITEMS]).ends_with(", 19, 20"));
        assert!(brief_lines(&names, "\n").ends_with("\n10\nand 12 more"));
        assert_eq!(brief_lines(&names[..2], "\n"), "1\n2");
    }
}
