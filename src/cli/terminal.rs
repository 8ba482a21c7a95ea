//! What is particular to a terminal: its width, and colour, which never says what the words do not.

use std::io::{self, Write as _};

use anstream::{AutoStream, ColorChoice};
use anstyle::{AnsiColor, Style};
use terminal_size::{Width, terminal_size_of};

use super::CliError;
use crate::report::Screen;
use crate::text::visible_lines;

/// The width of an error.
const WIDTH: usize = 80;

const BETTER: Style = AnsiColor::Green.on_default().bold();
const WARNING: Style = AnsiColor::Yellow.on_default().bold();
const ERROR: Style = AnsiColor::Red.on_default().bold();

/// The terminal that standard output is; 80 columns where it is none.
pub(super) fn screen() -> Screen {
    match terminal_size_of(io::stdout()) {
        Some((Width(columns), _)) => Screen::of_columns(columns),
        None => Screen::PLAIN,
    }
}

/// Prints data as they are. A reader that has seen enough, such as `head`, is no error.
pub(super) fn print_data(text: &str) -> Result<(), CliError> {
    let mut stdout = io::stdout().lock();
    written(
        stdout
            .write_all(text.as_bytes())
            .and_then(|()| stdout.flush()),
    )
}

/// Prints a report without colour. What is from outside, such as the title of a file, is spelt out
/// here, should it hold what a terminal obeys.
pub(super) fn print(text: &str) -> Result<(), CliError> {
    print_data(&visible_lines(text))
}

/// Prints a report, with colour on a terminal that takes it and unless `NO_COLOR` is set.
pub(super) fn show(text: &str) -> Result<(), CliError> {
    if AutoStream::choice(&io::stdout()) == ColorChoice::Never {
        return print(text);
    }
    let mut stdout = anstream::stdout();
    let painted = painted(&visible_lines(text));
    written(
        stdout
            .write_all(painted.as_bytes())
            .and_then(|()| stdout.flush()),
    )
}

/// Whether what was printed got there. A reader that has seen enough, such as `head`, is no error.
pub(super) fn written(result: io::Result<()>) -> Result<(), CliError> {
    match result {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(CliError::Stdout(error)),
        _ => Ok(()),
    }
}

/// A warning on standard error.
pub(super) fn warn(text: &str) {
    say(&format!(
        "{WARNING}warning:{WARNING:#} {}",
        visible_lines(text)
    ));
}

/// What a command ended with, on standard error.
pub fn complain(error: &CliError) {
    let message = error.to_string();
    say(&format!(
        "{ERROR}error:{ERROR:#} {}",
        visible_lines(&message)
    ));
    if let Some(hint) = error.hint() {
        say(&format!("hint: {}", visible_lines(&hint)));
    }
}

/// A line on standard error. Where that takes nothing there is nobody to tell.
fn say(line: &str) {
    let _ = writeln!(anstream::stderr(), "{line}");
}

/// An error of several lines within 80 columns, its first line after `error: `.
pub(super) fn folded(text: &str) -> String {
    let fold = |(number, line): (usize, &str)| {
        let first = if number == 0 { "error: " } else { "" };
        let indent = line.len() - line.trim_start().len();
        let indent = " ".repeat(indent + 2);
        let options = textwrap::Options::new(WIDTH)
            .initial_indent(first)
            .subsequent_indent(&indent)
            .break_words(false)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        textwrap::fill(line, options)[first.len()..].to_owned()
    };
    let lines: Vec<String> = text.lines().enumerate().map(fold).collect();
    lines.join("\n")
}

/// A report with colour on the better values, which a `*` marks, and on warnings.
fn painted(text: &str) -> String {
    let mut lines = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let (line, warned) = match line.split_once("WARNING:") {
            Some((before, after)) => {
                lines += &format!("{before}{WARNING}WARNING:{WARNING:#}");
                (after, true)
            }
            None => (line, false),
        };
        if warned {
            lines += line;
        } else {
            paint_marked(line, &mut lines);
        }
    }
    lines
}

/// Colours each cell that ends in a mark: two blanks part the cells of a row.
fn paint_marked(line: &str, out: &mut String) {
    let mut rest = line;
    while let Some(mark) = rest.find('*') {
        let (before, after) = rest.split_at(mark + 1);
        let begins = before.rfind("  ").map_or(0, |blanks| blanks + 2);
        let cell = &before[begins..];
        let ends = after.chars().next().is_none_or(char::is_whitespace);
        if ends && begins > 0 && cell.len() > 1 {
            *out += &format!("{}{BETTER}{cell}{BETTER:#}", &before[..begins]);
        } else {
            *out += before;
        }
        rest = after;
    }
    *out += rest;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_only_stands_about_what_is_marked() {
        let text = "* better   A      B\nmedian   43.2*  over 47 \nWARNING: on land\n5 * 3\n";
        let coloured = painted(text);
        let green = format!("{BETTER}43.2*{BETTER:#}");
        let yellow = format!("{WARNING}WARNING:{WARNING:#} on land");
        assert!(coloured.contains(&green), "{coloured:?}");
        assert!(coloured.contains(&yellow), "{coloured:?}");
        assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), text);
        assert_eq!(coloured.matches(&format!("{BETTER}")).count(), 1);
    }

    #[test]
    fn a_long_error_is_folded_and_its_lines_stay_apart() {
        let text = format!("found {}\n\nUsage: offing", "too much ".repeat(12).trim());
        let folded = folded(&text);
        let lines: Vec<&str> = folded.lines().collect();
        assert!(lines[0].len() + "error: ".len() <= WIDTH, "{folded}");
        assert!(
            lines[1].starts_with("  too") || lines[1].starts_with("  much"),
            "{folded}"
        );
        assert!(folded.ends_with("\n\nUsage: offing"), "{folded}");
    }
}
