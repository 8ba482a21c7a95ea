//! Tables of plain characters, aligned, for a terminal.

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};
use textwrap::WordSplitter;

/// The width that text keeps to, and tables where nothing is known of the terminal.
pub(super) const WIDTH: u16 = 80;
/// The widest that is of use.
const WIDEST: u16 = 160;

/// Between one column and the next.
const GAP: u16 = 2;

/// What a text is laid out for. Prose keeps to 80 columns on any, since longer lines are hard to
/// read; tables of routes and pictures take the room there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    /// How many characters stand side by side.
    columns: u16,
}

impl Screen {
    /// 80 columns: what is printed where nothing is known of a terminal, so that it can be made again.
    pub const PLAIN: Self = Self { columns: WIDTH };

    /// A terminal of so many columns, of which no fewer than 80 and no more than 160 are used.
    pub fn of_columns(columns: u16) -> Self {
        Self {
            columns: columns.clamp(WIDTH, WIDEST),
        }
    }

    /// How many characters stand side by side.
    pub(super) fn columns(self) -> usize {
        usize::from(self.columns)
    }

    /// Whether columns of these widths fit side by side.
    pub(super) fn fits(self, widths: impl IntoIterator<Item = usize>) -> bool {
        let columns = widths.into_iter().map(|width| width + usize::from(GAP));
        columns.sum::<usize>() <= self.columns() + usize::from(GAP)
    }
}

/// Lays out rows under a heading for 80 columns: the first `text_columns` to the left, figures to the
/// right. Words and figures stay whole wherever that fits.
pub(super) fn layout(heading: &[String], rows: &[Vec<String>], text_columns: usize) -> String {
    layout_on(Screen::PLAIN, heading, rows, text_columns)
}

/// The same on a screen.
pub(super) fn layout_on(
    screen: Screen,
    heading: &[String],
    rows: &[Vec<String>],
    text_columns: usize,
) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(screen.columns);
    table.set_header(heading);
    let columns = 0..heading.len();
    let (natural, least): (Vec<usize>, Vec<usize>) = columns
        .map(|index| {
            let cells = || rows.iter().filter_map(move |row| row.get(index));
            let whole = cells().map(|cell| width(cell)).max().unwrap_or(0);
            let words = cells().map(|cell| longest_word(cell)).max().unwrap_or(0);
            // A heading may be broken between its words, and so may words; a figure never.
            let least = if index < text_columns { words } else { whole };
            let heading = &heading[index];
            (whole.max(width(heading)), least.max(longest_word(heading)))
        })
        .unzip();
    let to_bound = !screen.fits(natural.iter().copied()) && screen.fits(least.iter().copied());
    // With one column of text what is too long of it is broken here, each line set in as the first.
    let label_width = (to_bound && text_columns == 1).then(|| {
        let others = least[1..].iter().map(|width| width + usize::from(GAP));
        (screen.columns() - others.sum::<usize>()).min(natural[0])
    });
    match label_width {
        Some(label_width) => table.add_rows(rows.iter().map(|row| {
            let labels = row.iter().take(1).map(|label| set_in(label, label_width));
            let figures = row.iter().skip(1).cloned();
            labels.chain(figures).collect::<Vec<_>>()
        })),
        None => table.add_rows(rows),
    };
    for (index, column) in table.column_iter_mut().enumerate() {
        if to_bound {
            let least = match label_width {
                Some(label_width) if index == 0 => label_width,
                _ => least[index],
            };
            column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(
                u16::try_from(least).unwrap_or(u16::MAX) + padding(index),
            )));
        }
        let figures = index >= text_columns;
        column.set_cell_alignment(if figures {
            CellAlignment::Right
        } else {
            CellAlignment::Left
        });
        column.set_padding((padding(index) - 1, 1));
    }
    table.trim_fmt()
}

/// The blanks about a column, of which one is to its right.
fn padding(index: usize) -> u16 {
    if index == 0 { 1 } else { GAP }
}

/// A label broken into lines, all set in as the first and the others one more.
fn set_in(label: &str, width: usize) -> String {
    let text = label.trim_start();
    let indent = &label[..label.len() - text.len()];
    let further = format!("{indent} ");
    let options = textwrap::Options::new(width)
        .initial_indent(indent)
        .subsequent_indent(&further);
    textwrap::fill(text, options)
}

fn longest_word(text: &str) -> usize {
    let indent = text.len() - text.trim_start().len();
    let words = text.split_whitespace().map(width);
    words.max().map_or(0, |word| word + indent)
}

/// The columns that a text takes.
pub(super) fn width(text: &str) -> usize {
    textwrap::core::display_width(text)
}

/// Breaks a text into lines no wider than [`WIDTH`], each after the first set in by `indent`.
pub(super) fn wrap(text: &str, indent: &str) -> String {
    textwrap::fill(
        text,
        textwrap::Options::new(usize::from(WIDTH))
            .subsequent_indent(indent)
            .word_splitter(WordSplitter::Custom(breaks)),
    )
}

/// Where a word may be broken: behind its hyphens, but an option is typed whole.
fn breaks(word: &str) -> Vec<usize> {
    if word.contains("--") {
        return Vec::new();
    }
    WordSplitter::HyphenSplitter.split_points(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laid_out(rows: &[[&str; 3]]) -> String {
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.map(str::to_owned).to_vec())
            .collect();
        layout(
            &["To", "Days at most", "Share"].map(str::to_owned),
            &rows,
            1,
        )
    }

    #[test]
    fn words_and_figures_stay_whole() {
        let long = "South of Madagascar and then along the coast as far as the harbour, if the wind allows";
        let text = laid_out(&[[long, "49 (90 %)", "12 %"], ["Durban", "1", "9.9 %"]]);
        for word in long.split(' ').chain(["49 (90 %)", "9.9 %"]) {
            assert!(text.contains(word), "{word} is broken in\n{text}");
        }
    }

    #[test]
    fn a_label_broken_in_two_keeps_its_place() {
        let rows = [vec![
            " needing more diesel than the tanks and the cans can hold".to_owned(),
            "over 110.3 US gal (27.0 short)".to_owned(),
        ]];
        let text = layout(&["", "A"].map(str::to_owned), &rows, 1);
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[1].starts_with(" needing more"), "{text}");
        assert!(lines[2].starts_with("  "), "{text}");
        assert!(lines[1].trim_end().len() <= usize::from(WIDTH), "{text}");
    }

    #[test]
    fn a_screen_is_used_between_80_and_160_columns() {
        let used = [0, 79, 100, 400].map(|columns| Screen::of_columns(columns).columns());
        assert_eq!(used, [80, 80, 100, 160]);
    }

    #[test]
    fn what_cannot_fit_is_broken_and_stays_within_the_width() {
        let text = laid_out(&[[&"x".repeat(200), "1", "2"]]);
        assert!(
            text.lines()
                .all(|line| line.chars().count() <= usize::from(WIDTH)),
            "{text}"
        );
    }
}
