//! In which parts a series is read and its sums are kept, so that memory is bounded whatever its length.
//!
//! A month of one year is read tile by tile, a tile block by block. A tile is as large as memory allows, and
//! its edges and a block's ends lie where the files' chunks end, so that no chunk is inflated twice unless
//! one alone is too large. Sums are kept in segments, which depend on the grid alone.

use std::ops::Range;

use super::catalogue::{Catalogue, MonthOfYear};
use super::lanes::Lanes;
use super::spacing::Spacing;
use super::sums::{Layout, Mean};
use super::write::CHUNK_ROWS;

/// Bytes that the month being read may take: a field of a quarter of a degree, all round the Earth.
const TILE_BYTES: usize = 360 << 20;

/// Values of all quantities together that are read at once.
const BLOCK_VALUES: usize = 14 << 20;

/// Nodes of a segment.
const SEGMENT_NODES: usize = 128 << 10;

/// Rows and columns that are read together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Tile {
    pub(super) rows: Range<usize>,
    pub(super) columns: Range<usize>,
}

impl Tile {
    pub(super) fn nodes(&self) -> usize {
        self.rows.len() * self.columns.len()
    }
}

/// What is kept of a node and a calendar month.
pub(super) fn layout(catalogue: &Catalogue) -> Layout {
    Layout {
        with_days: catalogue.spacing != Spacing::Monthly,
        others: catalogue.others.len(),
    }
}

/// Bytes that a node takes while a month is read.
fn node_bytes(catalogue: &Catalogue) -> usize {
    Lanes::NODE_BYTES + catalogue.others.len() * size_of::<Mean>()
}

/// Bytes that the largest tile takes while a month is read.
pub(super) fn tile_bytes(catalogue: &Catalogue, tiles: &[Tile]) -> usize {
    let nodes = tiles.iter().map(Tile::nodes).max().unwrap_or_default();
    nodes * node_bytes(catalogue)
}

/// The segments' rows; a segment has all columns.
pub(super) fn segments(catalogue: &Catalogue) -> Vec<Range<usize>> {
    let (rows, columns) = (catalogue.latitudes.len(), catalogue.longitudes.len());
    let most = (SEGMENT_NODES / columns).max(1);
    // Whole chunks of the file that is written.
    let count = match most / CHUNK_ROWS {
        0 => most,
        chunks => chunks * CHUNK_ROWS,
    };
    (0..rows)
        .step_by(count)
        .map(|start| start..(start + count).min(rows))
        .collect()
}

/// The tiles, from the south and the west.
pub(super) fn tiles(catalogue: &Catalogue) -> Vec<Tile> {
    let source = &catalogue.sources[0].1;
    let [row_edges, column_edges] = source.chunk_edges();
    let longest = catalogue.months.iter().map(|month| month.steps.len());
    let steps = source.chunk.map_or(1, |[time, ..]| time);
    let steps = steps.min(longest.max().unwrap_or(1));
    let quantities = 2 + catalogue.others.len();
    let held = TILE_BYTES / node_bytes(catalogue);
    let most = held.min(BLOCK_VALUES / (quantities * steps)).max(1);
    tiled(&row_edges, &column_edges, most, held)
}

/// Tiles of at most `most` nodes where chunks allow it, and never more than `held`.
fn tiled(row_edges: &[usize], column_edges: &[usize], most: usize, held: usize) -> Vec<Tile> {
    let longest = |edges: &[usize]| edges.windows(2).map(|pair| pair[1] - pair[0]).max();
    let columns = column_edges[column_edges.len() - 1];
    let chunk_rows = longest(row_edges).unwrap_or(1);
    let most_rows = most / columns;
    if most_rows >= chunk_rows {
        let rows = grouped(row_edges, most_rows).into_iter();
        return rows
            .map(|rows| Tile {
                rows,
                columns: 0..columns,
            })
            .collect();
    }
    let chunk_columns = longest(column_edges).unwrap_or(1);
    let most_columns = (most / chunk_rows).max(chunk_columns);
    let most_columns = most_columns.min((held / chunk_rows).max(1));
    let columns = grouped(column_edges, most_columns);
    let rows = grouped(row_edges, chunk_rows.min(held)).into_iter();
    rows.flat_map(|rows| {
        columns.iter().map(move |columns| Tile {
            rows: rows.clone(),
            columns: columns.clone(),
        })
    })
    .collect()
}

/// Neighbouring pieces between edges, put together as long as they have at most `most`; a longer one is cut.
fn grouped(edges: &[usize], most: usize) -> Vec<Range<usize>> {
    let mut groups: Vec<Range<usize>> = Vec::new();
    for pair in edges.windows(2) {
        match groups.last_mut() {
            Some(last) if pair[1] - last.start <= most => last.end = pair[1],
            _ => {
                let starts = (pair[0]..pair[1]).step_by(most);
                groups.extend(starts.map(|start| start..(start + most).min(pair[1])));
            }
        }
    }
    groups
}

/// The steps of a month that are read together for a tile.
pub(super) fn blocks(catalogue: &Catalogue, tile: &Tile, month: &MonthOfYear) -> Vec<Range<usize>> {
    let quantities = 2 + catalogue.others.len();
    let most = (BLOCK_VALUES / (tile.nodes() * quantities)).max(1);
    let mut blocks = Vec::new();
    let mut start = month.steps.start;
    while start < month.steps.end {
        let mut end = (start + most).min(month.steps.end);
        // Where a chunk of the eastward wind begins a block may end, so that no chunk is read twice.
        let chunk_begins = |step: &usize| {
            let Some((number, of_source)) = catalogue.steps[*step].at[0] else {
                return true;
            };
            let chunk = catalogue.sources[number as usize].1.chunk;
            chunk.is_none_or(|[time, ..]| (of_source as usize).is_multiple_of(time))
        };
        if end < month.steps.end
            && let Some(at) = (start + 1..=end).rev().find(chunk_begins)
        {
            end = at;
        }
        blocks.push(start..end);
        start = end;
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_put_together_or_cut() {
        assert_eq!(grouped(&[0, 2, 5, 8, 9], 5), [0..5, 5..9]);
        assert_eq!(grouped(&[0, 7, 9], 3), [0..3, 3..6, 6..9]);
    }

    /// Every node is in one tile, whatever the chunks.
    #[test]
    fn tiles_cover_the_grid_once() {
        let rows: Vec<usize> = (0..=7).map(|edge| (edge * 10).min(61)).collect();
        let columns = [0, 30, 60, 90, 100];
        for (most, held, tiles, largest) in [
            (10_000, 10_000, 1, 6100),
            // Three rows of chunks together.
            (3_500, 10_000, 2, 3100),
            // Two chunks side by side.
            (600, 10_000, 14, 600),
            // Less than a chunk for a block, but memory for it.
            (100, 10_000, 28, 300),
            // No memory for a chunk.
            (100, 100, 70, 100),
        ] {
            let all = tiled(&rows, &columns, most, held);
            let mut seen = vec![0; 6100];
            for tile in &all {
                for row in tile.rows.clone() {
                    for column in tile.columns.clone() {
                        seen[row * 100 + column] += 1;
                    }
                }
            }
            assert!(seen.iter().all(|count| *count == 1), "{most}");
            let most_nodes = all.iter().map(Tile::nodes).max();
            assert_eq!(
                (all.len(), most_nodes),
                (tiles, Some(largest)),
                "{most} {held}"
            );
        }
    }
}
