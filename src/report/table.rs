//! Tables of plain characters, aligned, for a terminal of 80 columns.

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};

/// The width every table keeps to.
pub(super) const WIDTH: u16 = 80;

/// Between one column and the next.
const GAP: u16 = 2;

/// Lays out rows under a heading: the first `text_columns` to the left, figures to the right. Words
/// and figures stay whole wherever that fits.
pub(super) fn layout(heading: &[String], rows: &[Vec<String>], text_columns: usize) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH);
    table.set_header(heading);
    table.add_rows(rows);
    let columns = 0..heading.len();
    let (natural, least): (Vec<u16>, Vec<u16>) = columns
        .map(|index| {
            let cells = || rows.iter().filter_map(move |row| row.get(index));
            let whole = cells().map(|cell| display_width(cell)).max().unwrap_or(0);
            let words = cells().map(|cell| longest_word(cell)).max().unwrap_or(0);
            // A heading may be broken between its words, and so may words; a figure never.
            let least = if index < text_columns { words } else { whole };
            let heading = &heading[index];
            (
                whole.max(display_width(heading)),
                least.max(longest_word(heading)),
            )
        })
        .unzip();
    let to_bound = !fits(&natural) && fits(&least);
    for (index, column) in table.column_iter_mut().enumerate() {
        if to_bound {
            column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(
                least[index] + padding(index),
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

/// Whether columns of these widths fit side by side.
fn fits(widths: &[u16]) -> bool {
    let gaps = widths.len().saturating_sub(1) * usize::from(GAP);
    let columns = widths.iter().map(|width| usize::from(*width));
    columns.sum::<usize>() + gaps <= usize::from(WIDTH)
}

fn longest_word(text: &str) -> u16 {
    text.split_whitespace()
        .map(display_width)
        .max()
        .unwrap_or(0)
}

fn display_width(text: &str) -> u16 {
    u16::try_from(textwrap::core::display_width(text)).unwrap_or(u16::MAX)
}

/// Breaks a text into lines no wider than [`WIDTH`], each after the first set in by `indent`.
pub(super) fn wrap(text: &str, indent: &str) -> String {
    textwrap::fill(
        text,
        textwrap::Options::new(usize::from(WIDTH)).subsequent_indent(indent),
    )
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
    fn what_cannot_fit_is_broken_and_stays_within_the_width() {
        let text = laid_out(&[[&"x".repeat(200), "1", "2"]]);
        assert!(
            text.lines()
                .all(|line| line.chars().count() <= usize::from(WIDTH)),
            "{text}"
        );
    }
}
