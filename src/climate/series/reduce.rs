//! Streams a series once, a band of rows and a block of steps at a time, and hands over what was measured
//! month by month.

use std::ops::Range;
use std::path::Path;
use std::sync::mpsc;

use rayon::prelude::*;

use super::catalogue::{Catalogue, MonthOfYear};
use super::error::SeriesError;
use super::measure::{Measured, Measurer, YearSums};
use super::memory::Lagged;
use super::spacing::Spacing;
use super::sums::{Mean, Moments, RunningMonth, YearMean};
use crate::climate::error::ClimatePart;
use crate::climate::gridded::Quantity;
use crate::climate::reader::{DAY_MINUTES, OpenFile};
use crate::climate::window::Run;

/// Bytes that the sums over a band of rows may take, at most; whatever the length of the series.
const BAND_BYTES: usize = 320 << 20;

/// Values of all quantities together that are read at once, at most.
const BLOCK_VALUES: usize = 8 << 20;

/// What was measured of one calendar month on some rows.
pub(super) struct BandMonth {
    /// Rows of the grid, from south.
    pub(super) rows: Range<usize>,
    /// 0 to 11.
    pub(super) month: usize,
    /// By row and column.
    pub(super) nodes: Vec<Measured>,
    /// Means of the quantities besides the wind's components and speed, in the catalogue's order.
    pub(super) others: Vec<Vec<f32>>,
    /// Each year's mean less that of all years, by year: u, v and speed by node.
    pub(super) anomalies: Vec<Vec<YearMean>>,
}

/// How far the reading has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SeriesProgress {
    /// Steps read.
    pub read: usize,
    /// Steps to be read; each once for every band of rows that is needed to keep within memory.
    pub of: usize,
}

/// Reads all there is and hands over each calendar month of each band of rows.
///
/// # Errors
/// A file that cannot be read after all; whatever `take` refuses.
pub(super) fn reduce(
    catalogue: &Catalogue,
    take: &mut dyn FnMut(BandMonth) -> Result<(), SeriesError>,
    progress: &mut dyn FnMut(SeriesProgress),
) -> Result<(), SeriesError> {
    let bands = bands(catalogue)?;
    let measurer = Measurer::new(catalogue);
    let of = bands.len() * catalogue.steps.len();
    for (number, rows) in bands.into_iter().enumerate() {
        let mut band = Band::new(catalogue, rows);
        let rows = band.rows.clone();
        let blocks = blocks(catalogue, band.nodes());
        // The next block is read while the one before is added up.
        std::thread::scope(|scope| {
            let (send, receive) = mpsc::sync_channel(0);
            scope.spawn(move || {
                let mut reader = Reader::new(catalogue);
                for steps in blocks {
                    let block = reader.read(steps, rows.clone());
                    let failed = block.is_err();
                    if send.send(block).is_err() || failed {
                        break;
                    }
                }
            });
            for block in receive {
                let block: Block = block?;
                band.add(&block);
                let read = number * catalogue.steps.len() + block.steps.end;
                progress(SeriesProgress { read, of });
            }
            Ok::<_, SeriesError>(())
        })?;
        for month in 0..12 {
            take(band.measured(month, &measurer))?;
        }
    }
    Ok(())
}

/// The calendar months that the series has.
fn calendar_months(catalogue: &Catalogue) -> Vec<usize> {
    let has = |month: &usize| catalogue.months.iter().any(|one| one.month == *month);
    (0..12).filter(has).collect()
}

/// The rows that are read together, each band as large as memory allows; a whole number of the files'
/// chunks where there are several.
fn bands(catalogue: &Catalogue) -> Result<Vec<Range<usize>>, SeriesError> {
    let (rows, columns) = (catalogue.latitudes.len(), catalogue.longitudes.len());
    let lags = match catalogue.spacing {
        Spacing::Monthly => 0,
        _ => size_of::<Lagged>(),
    };
    let node_bytes = size_of::<RunningMonth>()
        + calendar_months(catalogue).len()
            * (size_of::<Moments>()
                + lags
                + catalogue.others.len() * size_of::<Mean>()
                + catalogue.years().len() * size_of::<YearMean>());
    let most_rows = BAND_BYTES / (node_bytes * columns);
    if most_rows == 0 {
        return Err(SeriesError::TooFine {
            nodes: columns,
            most: BAND_BYTES / node_bytes,
        });
    }
    let chunk = catalogue.sources[0].1.chunk.map_or(1, |[_, rows]| rows);
    let count = if most_rows >= chunk && most_rows < rows {
        most_rows / chunk * chunk
    } else {
        most_rows
    };
    Ok((0..rows)
        .step_by(count)
        .map(|start| start..(start + count).min(rows))
        .collect())
}

/// The steps that are read together: a whole number of the files' chunks where they fit.
fn blocks(catalogue: &Catalogue, nodes: usize) -> Vec<Range<usize>> {
    let quantities = 2 + catalogue.others.len();
    let most = (BLOCK_VALUES / (nodes * quantities)).max(1);
    let mut blocks = Vec::new();
    let mut start = 0;
    while start < catalogue.steps.len() {
        let mut end = (start + most).min(catalogue.steps.len());
        // Where a chunk of the eastward wind begins a block may end, so that no chunk is read twice.
        let chunk_begins = |step: &usize| {
            let Some((number, of_source)) = catalogue.steps[*step].at[0] else {
                return true;
            };
            let chunk = catalogue.sources[number as usize].1.chunk;
            chunk.is_none_or(|[time, _]| (of_source as usize).is_multiple_of(time))
        };
        if end < catalogue.steps.len()
            && let Some(at) = (start + 1..=end).rev().find(chunk_begins)
        {
            end = at;
        }
        blocks.push(start..end);
        start = end;
    }
    blocks
}

/// The values of some steps that follow one another.
struct Block {
    steps: Range<usize>,
    /// By quantity, then step and node; empty where the files do not have it.
    values: Vec<Vec<f32>>,
    nodes: usize,
}

impl Block {
    /// The quantity's values in the block's step; none where the files do not have it.
    fn step(&self, place: usize, step: usize) -> Option<&[f32]> {
        self.values[place].get(step * self.nodes..(step + 1) * self.nodes)
    }
}

/// Reads the files' values a block at a time.
struct Reader<'c> {
    catalogue: &'c Catalogue,
    /// For each quantity in the catalogue, the file read last.
    open: Vec<Option<(usize, OpenFile)>>,
}

impl<'c> Reader<'c> {
    fn new(catalogue: &'c Catalogue) -> Self {
        Self {
            catalogue,
            open: Quantity::SERIES.map(|_| None).into(),
        }
    }

    fn read(&mut self, block: Range<usize>, rows: Range<usize>) -> Result<Block, SeriesError> {
        let catalogue = self.catalogue;
        let nodes = rows.len() * catalogue.longitudes.len();
        let mut all = vec![Vec::new(); Quantity::SERIES.len()];
        let steps = &catalogue.steps[block.clone()];
        for (place, quantity) in Quantity::SERIES.iter().enumerate() {
            if place >= 2 && !catalogue.others.contains(quantity) {
                continue;
            }
            let values = &mut all[place];
            values.resize(steps.len() * nodes, f32::NAN);
            // Steps that follow one another in one file are read at once.
            let mut first = 0;
            for run in steps.chunk_by(|a, b| match (a.at[place], b.at[place]) {
                (Some((a, step)), Some((b, next))) => a == b && step + 1 == next,
                _ => false,
            }) {
                if let Some((number, step)) = run[0].at[place] {
                    let (file, source) = &catalogue.sources[number as usize];
                    let run = Run {
                        start: step as usize,
                        count: run.len(),
                    };
                    let path = &catalogue.files[*file];
                    let to = &mut values[first * nodes..(first + run.count) * nodes];
                    opened(&mut self.open[place], *file, path)
                        .and_then(|open| open.read(source, run, rows.clone(), to))
                        .map_err(|fault| {
                            fault.in_file(ClimatePart::Winds, &path.display().to_string())
                        })?;
                }
                first += run.len();
            }
        }
        Ok(Block {
            steps: block,
            values: all,
            nodes,
        })
    }
}

fn opened<'o>(
    open: &'o mut Option<(usize, OpenFile)>,
    file: usize,
    path: &Path,
) -> Result<&'o mut OpenFile, crate::climate::error::ClimateFault> {
    if open.as_ref().is_none_or(|(number, _)| *number != file) {
        // The old one is closed first.
        *open = None;
        *open = Some((file, OpenFile::open(path)?));
    }
    let (_, open) = open.as_mut().expect("opened above");
    Ok(open)
}

/// The sums of a band of rows.
struct Band<'c> {
    catalogue: &'c Catalogue,
    rows: Range<usize>,
    per_day: usize,
    running: Vec<RunningMonth>,
    /// The calendar months there are; the sums below have a place for each.
    months: Vec<usize>,
    /// By node and calendar month.
    all: Vec<Moments>,
    /// By node and calendar month; empty where days are not known.
    lagged: Vec<Lagged>,
    /// By node, quantity and calendar month.
    others: Vec<Mean>,
    /// By node, year and calendar month.
    years: Vec<YearMean>,
}

impl<'c> Band<'c> {
    fn new(catalogue: &'c Catalogue, rows: Range<usize>) -> Self {
        let nodes = rows.len() * catalogue.longitudes.len();
        let years = catalogue.years().len();
        let per_day = match catalogue.spacing {
            Spacing::Monthly | Spacing::Daily => 1,
            Spacing::PartDay { per_day } => per_day,
        };
        let with_days = catalogue.spacing != Spacing::Monthly;
        let months = calendar_months(catalogue);
        let by_month = nodes * months.len();
        Self {
            catalogue,
            rows,
            per_day,
            running: vec![RunningMonth::new(); nodes],
            all: vec![Moments::default(); by_month],
            lagged: vec![Lagged::default(); if with_days { by_month } else { 0 }],
            others: vec![Mean::default(); by_month * catalogue.others.len()],
            years: vec![[f32::NAN; 3]; by_month * years],
            months,
        }
    }

    fn nodes(&self) -> usize {
        self.running.len()
    }

    /// A calendar month's place among those there are.
    fn place(&self, month: usize) -> Option<usize> {
        self.months.iter().position(|one| *one == month)
    }

    /// Adds the steps of a block, month by month.
    fn add(&mut self, block: &Block) {
        let steps = &block.steps;
        let months = &self.catalogue.months;
        let first = months.partition_point(|month| month.steps.end <= steps.start);
        for month in &months[first..] {
            let (start, end) = (
                month.steps.start.max(steps.start),
                month.steps.end.min(steps.end),
            );
            if start >= end {
                break;
            }
            self.add_steps(block, start - steps.start..end - steps.start, start, month);
            if end == month.steps.end {
                self.close(month);
            }
        }
    }

    /// Adds steps of one month: `in_block` of the block, the first of which is the catalogue's `first`.
    fn add_steps(
        &mut self,
        block: &Block,
        in_block: Range<usize>,
        first: usize,
        month: &MonthOfYear,
    ) {
        let catalogue = self.catalogue;
        let days: Vec<u8> = (0..in_block.len())
            .map(|step| {
                let day = catalogue.steps[first + step]
                    .minutes
                    .div_euclid(DAY_MINUTES);
                // A monthly step may stand where its month ends.
                (day - month.first_day).clamp(0, 30) as u8
            })
            .collect();
        let steps = |place: usize| -> Option<Vec<&[f32]>> {
            in_block
                .clone()
                .map(|step| block.step(place, step))
                .collect()
        };
        let (Some(u), Some(v)) = (steps(0), steps(1)) else {
            return;
        };
        let speed = steps(2);
        let (per_day, monthly) = (self.per_day, catalogue.spacing == Spacing::Monthly);
        self.running
            .par_iter_mut()
            .enumerate()
            .with_min_len(1024)
            .for_each(|(node, running)| {
                for (step, &day) in days.iter().enumerate() {
                    let (u, v) = (u[step][node], v[step][node]);
                    let speed = match &speed {
                        Some(speed) => speed[step][node],
                        // Of a monthly mean the size is no mean speed.
                        None if monthly => f32::NAN,
                        None => u.hypot(v),
                    };
                    running.add(day, u, v, speed, per_day);
                }
            });
        let (count, by_node) = (catalogue.others.len(), self.months.len());
        let place_of_month = self.place(month.month).unwrap_or_default();
        for (number, quantity) in catalogue.others.iter().enumerate() {
            let place = Quantity::SERIES.iter().position(|one| one == quantity);
            let Some(values) = place.and_then(steps) else {
                continue;
            };
            self.others
                .par_chunks_mut(count * by_node)
                .enumerate()
                .with_min_len(1024)
                .for_each(|(node, means)| {
                    for step in &values {
                        means[number * by_node + place_of_month].add(step[node]);
                    }
                });
        }
    }

    /// Ends a month of one year.
    fn close(&mut self, month: &MonthOfYear) {
        let Some(place) = self.place(month.month) else {
            return;
        };
        let years = self.catalogue.years();
        let (per_day, count) = (self.per_day, self.months.len());
        let ended: Vec<Moments> = if self.lagged.is_empty() {
            let running = self.running.par_iter_mut().with_min_len(1024);
            running
                .map(|running| running.close(per_day, None))
                .collect()
        } else {
            self.running
                .par_iter_mut()
                .zip(self.lagged.par_chunks_mut(count))
                .with_min_len(1024)
                .map(|(running, lagged)| running.close(per_day, Some(&mut lagged[place])))
                .collect()
        };
        for (node, moments) in ended.iter().enumerate() {
            self.all[node * count + place].add_all(moments);
        }
        if let Some(first) = years.first() {
            let at = (month.year - first) as usize * count + place;
            for (node, moments) in ended.iter().enumerate() {
                self.years[node * years.len() * count + at] = moments.year_mean(month.expected);
            }
        }
    }

    /// What was measured of a calendar month.
    fn measured(&self, month: usize, measurer: &Measurer) -> BandMonth {
        let years = self.catalogue.years().len();
        let (place, count) = (self.place(month), self.months.len());
        let of_year = |node: usize, year: usize| match place {
            Some(place) => self.years[(node * years + year) * count + place],
            None => [f32::NAN; 3],
        };
        let nodes: Vec<Measured> = (0..self.nodes())
            .into_par_iter()
            .with_min_len(64)
            .map(|node| {
                let none = Moments::default();
                let moments = place.map_or(&none, |place| &self.all[node * count + place]);
                let lagged = place.and_then(|place| self.lagged.get(node * count + place));
                let years = YearSums::of((0..years).map(|year| of_year(node, year)));
                measurer.measure(month, moments, lagged, years)
            })
            .collect();
        let quantities = self.catalogue.others.len();
        let other = |number: usize, node: usize| match place {
            Some(place) => self.others[(node * quantities + number) * count + place].value(),
            None => f32::NAN,
        };
        let others =
            (0..quantities).filter(|&number| self.catalogue.others[number] != Quantity::WindSpeed);
        let anomaly = |year: usize, node: usize| {
            let (mean, all) = (of_year(node, year), &nodes[node]);
            [
                mean[0] - all.u_ms,
                mean[1] - all.v_ms,
                mean[2] - all.speed_ms,
            ]
        };
        BandMonth {
            rows: self.rows.clone(),
            month,
            others: others
                .map(|number| (0..self.nodes()).map(|node| other(number, node)).collect())
                .collect(),
            anomalies: (0..years)
                .map(|year| (0..self.nodes()).map(|node| anomaly(year, node)).collect())
                .collect(),
            nodes,
        }
    }
}
