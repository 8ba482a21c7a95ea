//! Reads the values of a series a block at a time.

use std::ops::Range;
use std::path::Path;

use super::catalogue::Catalogue;
use super::error::SeriesError;
use super::plan::Tile;
use crate::climate::error::{ClimateFault, ClimatePart};
use crate::climate::gridded::Quantity;
use crate::climate::reader::{OpenFile, Slab};
use crate::climate::window::Run;

/// Reads, and holds what was read last.
pub(super) struct Reader<'c> {
    catalogue: &'c Catalogue,
    /// For each quantity in the catalogue, the file read last.
    open: Vec<Option<(usize, OpenFile)>>,
    /// By quantity, then step and node; empty where the files do not have it.
    values: Vec<Vec<f32>>,
    nodes: usize,
}

impl<'c> Reader<'c> {
    pub(super) fn new(catalogue: &'c Catalogue) -> Self {
        Self {
            catalogue,
            open: Quantity::SERIES.map(|_| None).into(),
            values: vec![Vec::new(); Quantity::SERIES.len()],
            nodes: 0,
        }
    }

    /// The values of a quantity in a step of the block read last; none where the files do not have it.
    pub(super) fn step(&self, place: usize, step: usize) -> Option<&[f32]> {
        self.values[place].get(step * self.nodes..(step + 1) * self.nodes)
    }

    /// Reads a block: some steps that follow one another, on a tile.
    ///
    /// # Errors
    /// A file that cannot be read after all.
    pub(super) fn read(&mut self, block: Range<usize>, tile: &Tile) -> Result<(), SeriesError> {
        let catalogue = self.catalogue;
        self.nodes = tile.nodes();
        let steps = &catalogue.steps[block];
        for (place, quantity) in Quantity::SERIES.iter().enumerate() {
            if place >= 2 && !catalogue.others.contains(quantity) {
                continue;
            }
            let values = &mut self.values[place];
            // Every value is written below.
            values.resize(steps.len() * self.nodes, f32::NAN);
            // Steps that follow one another in one file are read at once.
            let mut first = 0;
            for run in steps.chunk_by(|a, b| match (a.at[place], b.at[place]) {
                (Some((a, step)), Some((b, next))) => a == b && step + 1 == next,
                _ => false,
            }) {
                let to = &mut values[first * self.nodes..(first + run.len()) * self.nodes];
                first += run.len();
                let Some((number, step)) = run[0].at[place] else {
                    to.fill(f32::NAN);
                    continue;
                };
                let (file, source) = &catalogue.sources[number as usize];
                let slab = Slab {
                    steps: Run {
                        start: step as usize,
                        count: run.len(),
                    },
                    rows: tile.rows.clone(),
                    columns: tile.columns.clone(),
                };
                let path = &catalogue.files[*file];
                opened(&mut self.open[place], *file, path)
                    .and_then(|open| open.read(source, &slab, to))
                    .map_err(|fault| {
                        fault.in_file(ClimatePart::Winds, &path.display().to_string())
                    })?;
            }
        }
        Ok(())
    }
}

fn opened<'o>(
    open: &'o mut Option<(usize, OpenFile)>,
    file: usize,
    path: &Path,
) -> Result<&'o mut OpenFile, ClimateFault> {
    if open.as_ref().is_none_or(|(number, _)| *number != file) {
        // The old one is closed first.
        *open = None;
        *open = Some((file, OpenFile::open(path)?));
    }
    let (_, open) = open.as_mut().expect("opened above");
    Ok(open)
}
