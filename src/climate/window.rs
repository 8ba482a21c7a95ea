//! The rows and columns of a file that a region needs.

use std::ops::Range;

use super::axis::Axis;
use super::region::Region;
use crate::geodesy::Coordinate;
use crate::units::{wrap_180_deg, wrap_360_deg};

/// Longitudes of a full circle may miss it by the rounding of single precision, degrees.
const SEAM_ROUNDING_DEG: f64 = 1e-3;

/// A grid closes on itself where the gap at its seam is no wider than this many of its steps.
const SEAM_STEPS: f64 = 1.5;

/// A run of neighbouring rows or columns of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Run {
    pub(super) start: usize,
    pub(super) count: usize,
}

/// Rows or columns to read: the axis they make and their places in the file, in its order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Window {
    pub(super) axis: Axis,
    file_indices: Vec<usize>,
}

impl Window {
    /// The places in the file of some of the axis.
    pub(super) fn places(&self, of_axis: Range<usize>) -> &[usize] {
        &self.file_indices[of_axis]
    }

    /// The places in the file of all of the axis.
    pub(super) fn all_places(&self) -> &[usize] {
        &self.file_indices
    }

    /// The places in the file as runs of neighbours: for each run, the place in the axis of every
    /// index it reads, in the file's order.
    pub(super) fn runs(&self) -> Vec<(Run, Vec<usize>)> {
        self.runs_of(0..self.file_indices.len())
    }

    /// The same for some of the axis; the places are counted from the first of these.
    pub(super) fn runs_of(&self, places: Range<usize>) -> Vec<(Run, Vec<usize>)> {
        let indices = self.file_indices[places].iter().copied();
        let mut by_file: Vec<(usize, usize)> = indices.zip(0..).collect();
        by_file.sort_unstable();
        by_file
            .chunk_by(|a, b| a.0 + 1 == b.0)
            .map(|chunk| {
                let run = Run {
                    start: chunk[0].0,
                    count: chunk.len(),
                };
                (run, chunk.iter().map(|&(_, place)| place).collect())
            })
            .collect()
    }
}

/// The rows that enclose the region; `None` where it lies wholly beyond the grid. `latitudes_deg`
/// rise or fall throughout.
pub(super) fn rows(latitudes_deg: &[f64], region: &Region) -> Option<Window> {
    let mut ascending: Vec<(usize, f64)> = latitudes_deg.iter().copied().enumerate().collect();
    ascending.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (first_deg, last_deg) = (ascending.first()?.1, ascending.last()?.1);
    if region.north_deg < first_deg || region.south_deg > last_deg {
        return None;
    }
    let start = ascending
        .partition_point(|row| row.1 <= region.south_deg)
        .max(1)
        - 1;
    let end = ascending.partition_point(|row| row.1 < region.north_deg) + 1;
    Some(window(
        &ascending[start..end.min(ascending.len()).max(start + 1)],
        false,
    ))
}

/// A grid's columns from west to east, unwrapped.
struct Columns {
    /// Place in the file and longitude; the longitudes ascend by less than a full turn.
    eastward: Vec<(usize, f64)>,
    cyclic: bool,
}

/// What is wrong with longitudes that do not run one way round the globe at most once.
pub(super) const NOT_ONE_TURN: &str =
    "goes back on itself or more than once round; expected longitudes that run one way";

/// The columns that enclose the region.
///
/// `Err` says the longitudes do not run one way round; `Ok(None)` that the region lies wholly
/// beyond the grid.
pub(super) fn columns(
    longitudes_deg: &[f64],
    region: &Region,
) -> Result<Option<Window>, &'static str> {
    let Columns { eastward, cyclic } = unwrap(longitudes_deg).ok_or(NOT_ONE_TURN)?;
    Ok(if cyclic {
        Some(cyclic_window(&eastward, region))
    } else {
        open_window(&eastward, region)
    })
}

fn unwrap(longitudes_deg: &[f64]) -> Option<Columns> {
    let mut in_order: Vec<(usize, f64)> = longitudes_deg.iter().copied().enumerate().collect();
    let falls = matches!(longitudes_deg, [a, b, ..] if wrap_180_deg(b - a) < 0.0);
    if falls {
        in_order.reverse();
    }
    let mut eastward: Vec<(usize, f64)> = Vec::with_capacity(in_order.len());
    let mut widest_step_deg: f64 = 0.0;
    for (index, longitude_deg) in in_order {
        let unwrapped_deg = match eastward.last() {
            None => longitude_deg,
            Some(&(_, last_deg)) => {
                let step_deg = wrap_360_deg(longitude_deg - last_deg);
                if step_deg == 0.0 || step_deg >= 180.0 {
                    return None;
                }
                let span_deg = last_deg + step_deg - eastward[0].1;
                // Some files repeat the first column at the end.
                if (span_deg - 360.0).abs() < SEAM_ROUNDING_DEG {
                    continue;
                }
                if span_deg > 360.0 {
                    return None;
                }
                widest_step_deg = widest_step_deg.max(step_deg);
                last_deg + step_deg
            }
        };
        eastward.push((index, unwrapped_deg));
    }
    let span_deg = eastward.last()?.1 - eastward[0].1;
    let seam_deg = 360.0 - span_deg;
    let cyclic = eastward.len() > 2 && seam_deg <= SEAM_STEPS * widest_step_deg;
    Some(Columns { eastward, cyclic })
}

fn cyclic_window(eastward: &[(usize, f64)], region: &Region) -> Window {
    let count = eastward.len();
    // The last column at or before the region's western edge.
    let before_edge_deg = |column: usize| wrap_360_deg(region.west_deg - eastward[column].1);
    let start = (0..count)
        .min_by(|&a, &b| before_edge_deg(a).total_cmp(&before_edge_deg(b)))
        .unwrap_or(0);
    let needed_deg = before_edge_deg(start) + region.east_span_deg;
    let mut kept: Vec<(usize, f64)> = Vec::new();
    for step in 0..count {
        let (index, longitude_deg) = eastward[(start + step) % count];
        let turn_deg = if start + step >= count { 360.0 } else { 0.0 };
        let longitude_deg = longitude_deg + turn_deg;
        let enclosed = kept
            .last()
            .is_some_and(|last| last.1 - eastward[start].1 >= needed_deg);
        if enclosed && kept.len() > 1 {
            return window(&kept, false);
        }
        kept.push((index, longitude_deg));
    }
    if kept[count - 1].1 - kept[0].1 >= needed_deg {
        return window(&kept, false);
    }
    window(eastward, true)
}

fn open_window(eastward: &[(usize, f64)], region: &Region) -> Option<Window> {
    let first_deg = eastward[0].1;
    let span_deg = eastward[eastward.len() - 1].1 - first_deg;
    let from_deg = wrap_360_deg(region.west_deg - first_deg);
    let to_deg = from_deg + region.east_span_deg;
    // Beyond a full turn the region comes round to the grid's western part.
    let (from_deg, to_deg) = match (from_deg <= span_deg, to_deg >= 360.0) {
        (true, true) => (0.0, span_deg),
        (true, false) => (from_deg, to_deg.min(span_deg)),
        (false, true) => (0.0, (to_deg - 360.0).min(span_deg)),
        (false, false) => return None,
    };
    let start = eastward
        .partition_point(|column| column.1 - first_deg <= from_deg)
        .max(1)
        - 1;
    let end = eastward.partition_point(|column| column.1 - first_deg < to_deg) + 1;
    Some(window(
        &eastward[start..end.min(eastward.len()).max(start + 1)],
        false,
    ))
}

/// The ends of a grid, as on a chart.
pub(super) fn describe(latitudes_deg: &[f64], longitudes_deg: &[f64]) -> String {
    let ends = |values_deg: &[f64]| {
        let least = values_deg.iter().copied().fold(f64::INFINITY, f64::min);
        let most = values_deg.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        [least, most]
    };
    let [south, north] = ends(latitudes_deg).map(Coordinate::latitude);
    let [west, east] = ends(longitudes_deg).map(Coordinate::longitude);
    format!("latitudes {south} to {north}, longitudes {west} to {east}")
}

fn window(kept: &[(usize, f64)], cyclic: bool) -> Window {
    Window {
        axis: Axis::new(
            kept.iter().map(|&(_, value_deg)| value_deg).collect(),
            cyclic,
        ),
        file_indices: kept.iter().map(|&(index, _)| index).collect(),
    }
}

#[cfg(test)]
#[path = "window_tests.rs"]
mod tests;
