//! Streams a series once, in the order of time, and hands over what was measured month by month.

use std::ops::Range;

use rayon::prelude::*;

use super::catalogue::{Catalogue, MonthOfYear};
use super::error::SeriesError;
use super::kept::{Kept, Leaf};
use super::lanes::{LANES, LaggedLanes, Lanes};
use super::measure::{Measured, Measurer, YearSums};
use super::plan::{Tile, blocks, layout, segments, tiles};
use super::reading::Reader;
use super::spacing::Spacing;
use super::sums::{Mean, YearMean};
use crate::climate::gridded::Quantity;
use crate::climate::reader::DAY_MINUTES;

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
    /// Steps read, in this run and in those that it goes on from.
    pub read: usize,
    /// Steps to be read; 0 as long as that is not known.
    pub of: usize,
}

/// Reads all there is and hands over each calendar month of each band of rows.
///
/// # Errors
/// A file that cannot be read after all; sums that cannot be kept; whatever `take` refuses.
pub(super) fn reduce(
    catalogue: &Catalogue,
    kept: &mut Kept,
    take: &mut dyn FnMut(BandMonth) -> Result<(), SeriesError>,
    progress: &mut dyn FnMut(SeriesProgress),
) -> Result<(), SeriesError> {
    add_up(catalogue, kept, progress)?;
    let measurer = Measurer::new(catalogue);
    for (segment, rows) in segments(catalogue).into_iter().enumerate() {
        for month in 0..12 {
            take(measured(
                catalogue,
                kept,
                &measurer,
                (segment, &rows),
                month,
            )?)?;
            // Nothing more is read, but the work goes on.
            let read = catalogue.steps.len();
            progress(SeriesProgress { read, of: read });
        }
    }
    Ok(())
}

/// Adds up all months that are not in `kept` yet.
fn add_up(
    catalogue: &Catalogue,
    kept: &mut Kept,
    progress: &mut dyn FnMut(SeriesProgress),
) -> Result<(), SeriesError> {
    let tiles = tiles(catalogue);
    let mut reader = Reader::new(catalogue);
    let mut running = Running::new(catalogue);
    let of = catalogue.steps.len();
    for (number, month) in catalogue.months.iter().enumerate().skip(kept.months()) {
        let (first, steps) = (month.steps.start, month.steps.len());
        progress(SeriesProgress { read: first, of });
        for (done, tile) in tiles.iter().enumerate() {
            running.begin(tile);
            for block in blocks(catalogue, tile, month) {
                reader.read(block.clone(), tile)?;
                running.add_block(&reader, block.clone(), month);
                let of_month = (done * steps + block.end - first) / tiles.len();
                progress(SeriesProgress {
                    read: first + of_month,
                    of,
                });
            }
            running.close(month, kept)?;
        }
        kept.month_is_whole(number + 1)?;
    }
    Ok(())
}

/// The month that is being read, on one tile.
struct Running<'c> {
    catalogue: &'c Catalogue,
    tile: Tile,
    per_day: usize,
    lanes: Vec<Lanes>,
    /// By node and quantity.
    others: Vec<Mean>,
}

impl<'c> Running<'c> {
    fn new(catalogue: &'c Catalogue) -> Self {
        let per_day = match catalogue.spacing {
            Spacing::Monthly | Spacing::Daily => 1,
            Spacing::PartDay { per_day } => per_day,
        };
        Self {
            catalogue,
            tile: Tile {
                rows: 0..0,
                columns: 0..0,
            },
            per_day,
            lanes: Vec::new(),
            others: Vec::new(),
        }
    }

    /// Begins a month on a tile.
    fn begin(&mut self, tile: &Tile) {
        self.tile = tile.clone();
        let count = tile.nodes().div_ceil(LANES);
        self.lanes.truncate(count);
        self.lanes.par_iter_mut().for_each(Lanes::clear);
        self.lanes
            .resize_with(count, || Lanes::new(layout(self.catalogue).with_days));
        self.others.clear();
        let means = tile.nodes() * self.catalogue.others.len();
        self.others.resize(means, Mean::default());
    }

    /// Adds the block read last, whose first step is the catalogue's `block.start`.
    fn add_block(&mut self, reader: &Reader, block: Range<usize>, month: &MonthOfYear) {
        let catalogue = self.catalogue;
        let days: Vec<usize> = catalogue.steps[block.clone()]
            .iter()
            .map(|step| {
                let day = step.minutes.div_euclid(DAY_MINUTES);
                // A monthly step may stand where its month ends.
                (day - month.first_day).clamp(0, 30) as usize
            })
            .collect();
        let steps = |place: usize| -> Option<Vec<&[f32]>> {
            (0..block.len())
                .map(|step| reader.step(place, step))
                .collect()
        };
        let (Some(u), Some(v)) = (steps(0), steps(1)) else {
            return;
        };
        let speed = steps(2);
        // Of a monthly mean the size is no mean speed.
        let unknown = [f32::NAN; LANES];
        let no_speed = (catalogue.spacing == Spacing::Monthly).then_some(&unknown);
        let per_day = self.per_day;
        self.lanes
            .par_iter_mut()
            .enumerate()
            .with_min_len(8)
            .for_each(|(number, lanes)| {
                for (step, &day) in days.iter().enumerate() {
                    let wind = [u[step], v[step]].map(|values| Side::of(values, number));
                    let wind = [wind[0].each(), wind[1].each()];
                    match &speed {
                        Some(speed) => {
                            let speed = Side::of(speed[step], number);
                            lanes.add(day, wind, Some(speed.each()), per_day);
                        }
                        None => lanes.add(day, wind, no_speed, per_day),
                    }
                }
            });
        let count = catalogue.others.len();
        for (number, quantity) in catalogue.others.iter().enumerate() {
            let place = Quantity::SERIES.iter().position(|one| one == quantity);
            let Some(values) = place.and_then(steps) else {
                continue;
            };
            self.others
                .par_chunks_mut(count)
                .enumerate()
                .with_min_len(1024)
                .for_each(|(node, means)| {
                    for step in &values {
                        means[number].add(step[node]);
                    }
                });
        }
    }

    /// Ends the month of one year: adds it to the sums of its calendar month, and keeps its means.
    fn close(&mut self, month: &MonthOfYear, kept: &mut Kept) -> Result<(), SeriesError> {
        let catalogue = self.catalogue;
        let per_day = self.per_day;
        self.lanes
            .par_iter_mut()
            .for_each(|lanes| lanes.end_day(per_day));
        let layout = layout(catalogue);
        let width = catalogue.longitudes.len();
        for (segment, rows) in segments(catalogue).into_iter().enumerate() {
            let south = rows.start.max(self.tile.rows.start);
            let north = rows.end.min(self.tile.rows.end);
            if south >= north {
                continue;
            }
            let across = self.tile.columns.len();
            let first = (south - self.tile.rows.start) * across;
            let nodes = first..first + (north - south) * across;
            let first_lanes = nodes.start / LANES;
            let products: Vec<Option<Box<LaggedLanes>>> = self.lanes
                [first_lanes..nodes.end.div_ceil(LANES)]
                .par_iter()
                .map(Lanes::products)
                .collect();
            // A node of the segment as one of the tile.
            let of_tile = |node: usize| {
                let (row, column) = (rows.start + node / width, node % width);
                let is_in = (south..north).contains(&row) && self.tile.columns.contains(&column);
                is_in.then(|| {
                    (row - self.tile.rows.start) * across + column - self.tile.columns.start
                })
            };
            let count = rows.len() * width;
            let mut sums = kept.take_sums(month.month, segment)?;
            sums.resize(count * layout.len(), 0.0);
            sums.par_chunks_mut(layout.len())
                .enumerate()
                .with_min_len(1024)
                .for_each(|(node, sums)| {
                    let Some(node) = of_tile(node) else { return };
                    let (number, lane) = (node / LANES, node % LANES);
                    let lagged = products[number - first_lanes].as_ref();
                    let lagged = lagged.map(|lagged| lagged.of(lane));
                    let quantities = catalogue.others.len();
                    let others = &self.others[node * quantities..(node + 1) * quantities];
                    let moments = self.lanes[number].moments(lane);
                    layout.add(sums, &moments, lagged.as_ref(), others);
                });
            kept.put_sums(month.month, segment, sums)?;
            if !kept.with_years() {
                continue;
            }
            let leaf = Leaf::Year {
                year: month.year,
                month: month.month,
                segment,
            };
            let mut means = kept.take_means(leaf)?;
            means.resize(count, [f32::NAN; 3]);
            for (node, mean) in means.iter_mut().enumerate() {
                if let Some(node) = of_tile(node) {
                    let moments = self.lanes[node / LANES].moments(node % LANES);
                    *mean = moments.year_mean(month.expected);
                }
            }
            kept.put_means(leaf, means)?;
        }
        Ok(())
    }
}

/// The values of some nodes side by side; at the end of a tile there may be fewer than there are lanes.
// Those are on the stack: one is made for each block, and none is kept.
#[allow(clippy::large_enum_variant)]
enum Side<'v> {
    Whole(&'v [f32; LANES]),
    Filled([f32; LANES]),
}

impl<'v> Side<'v> {
    #[inline]
    fn of(values: &'v [f32], number: usize) -> Self {
        let rest = &values[number * LANES..];
        match rest.first_chunk() {
            Some(whole) => Self::Whole(whole),
            None => {
                let mut filled = [f32::NAN; LANES];
                filled[..rest.len()].copy_from_slice(rest);
                Self::Filled(filled)
            }
        }
    }

    #[inline]
    fn each(&self) -> &[f32; LANES] {
        match self {
            Self::Whole(whole) => whole,
            Self::Filled(filled) => filled,
        }
    }
}

/// What was measured of a calendar month on the rows of a segment.
fn measured(
    catalogue: &Catalogue,
    kept: &mut Kept,
    measurer: &Measurer,
    (segment, rows): (usize, &Range<usize>),
    month: usize,
) -> Result<BandMonth, SeriesError> {
    let layout = layout(catalogue);
    let count = rows.len() * catalogue.longitudes.len();
    let mut sums = kept.take_sums(month, segment)?;
    sums.resize(count * layout.len(), 0.0);
    let mut years: Vec<Vec<YearMean>> = Vec::new();
    if kept.with_years() {
        for year in catalogue.years() {
            let mut means = kept.take_means(Leaf::Year {
                year,
                month,
                segment,
            })?;
            means.resize(count, [f32::NAN; 3]);
            years.push(means);
        }
    }
    let nodes: Vec<Measured> = sums
        .par_chunks(layout.len())
        .enumerate()
        .with_min_len(64)
        .map(|(node, sums)| {
            let years = YearSums::of(years.iter().map(|means| means[node]));
            let lagged = layout.lagged(sums);
            measurer.measure(month, &layout.moments(sums), lagged.as_ref(), years)
        })
        .collect();
    let others = (0..layout.others)
        .filter(|&number| catalogue.others[number] != Quantity::WindSpeed)
        .map(|number| {
            let sums = sums.chunks(layout.len());
            sums.map(|sums| layout.other(sums, number)).collect()
        })
        .collect();
    for means in &mut years {
        means.par_iter_mut().zip(&nodes).for_each(|(mean, all)| {
            let of_all = [all.u_ms, all.v_ms, all.speed_ms];
            for (mean, of_all) in mean.iter_mut().zip(of_all) {
                *mean -= of_all;
            }
        });
    }
    Ok(BandMonth {
        rows: rows.clone(),
        month,
        nodes,
        others,
        anomalies: years,
    })
}
