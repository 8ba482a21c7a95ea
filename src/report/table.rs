//! Tables of plain characters, aligned, for a terminal of 80 columns.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

/// The width every table keeps to.
pub(super) const WIDTH: u16 = 80;

/// Lays out rows under a heading: the first `text_columns` to the left, figures to the right.
pub(super) fn layout(heading: &[String], rows: &[Vec<String>], text_columns: usize) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH);
    table.set_header(heading);
    table.add_rows(rows);
    for (index, column) in table.column_iter_mut().enumerate() {
        let figures = index >= text_columns;
        column.set_cell_alignment(if figures {
            CellAlignment::Right
        } else {
            CellAlignment::Left
        });
        column.set_padding((if index == 0 { 0 } else { 1 }, 1));
    }
    table.trim_fmt()
}

/// Breaks a text into lines no wider than [`WIDTH`], each after the first set in by `indent`.
pub(super) fn wrap(text: &str, indent: &str) -> String {
    textwrap::fill(
        text,
        textwrap::Options::new(usize::from(WIDTH)).subsequent_indent(indent),
    )
}
