//! The climate of twelve months brought onto a route, in its own directions.

use super::block::STEP_HOURS;
use super::look_up::{PROGRESS_PER_KN, WindTable};
use crate::climate::{Climate, ClimateGap, Month, SeasonDay, cyclone_basin};
use crate::geodesy::Position;
use crate::passage::cyclone_time::Reach;
use crate::route::Route;
use crate::units::{Course, KN_PER_MS};

/// The most cells a route may have; a longer route has longer cells.
pub(super) const MOST_CELLS: usize = 1024;
/// A cell is this power of two of the run's steps: 24 nautical miles, or as often twice that as a
/// long route asks for. So the number of a run's cell is the run shifted right.
const CELL_SHIFT: u32 = 13;

/// A run is counted in these: the steps of the table's progress, made good for a time step.
pub(super) const RUN_PER_NM: f64 = PROGRESS_PER_KN / STEP_HOURS;

/// The winds of a route's cells on one day in the measure of [`WindTable::in_cells`]: the mean from
/// ahead and from abeam, and the spread of each, so that a cell's wind is one load.
pub(super) type CellWinds = [[f32; 4]; MOST_CELLS];

/// A route cut into cells of one length, the last one shorter, with the wind of every month in
/// each, as in [`CellWinds`].
#[derive(Debug, Clone)]
pub(in crate::passage) struct TrackClimate {
    route: String,
    finish: u32,
    cell_shift: u32,
    months: [Vec<[f32; 4]>; 12],
    middles: Vec<Position>,
}

impl TrackClimate {
    pub(in crate::passage) fn new(route: &Route, climate: &Climate) -> Self {
        let length_nm = route.length_nm();
        let finish = (length_nm * RUN_PER_NM).round() as u32;
        let cells = |shift: u32| finish.div_ceil(1 << shift).max(1);
        let mut cell_shift = CELL_SHIFT;
        while cells(cell_shift) > MOST_CELLS as u32 {
            cell_shift += 1;
        }
        let count = cells(cell_shift);
        let mut months: [_; 12] = std::array::from_fn(|_| Vec::with_capacity(count as usize));
        let mut middles = Vec::with_capacity(count as usize);
        for cell in 0..count {
            let middle_nm = middle_nm(cell, cell_shift, finish);
            let Some((_, here)) = route.at_nm(middle_nm.min(length_nm)) else {
                break;
            };
            for (month, winds) in Month::ALL.into_iter().zip(&mut months) {
                winds.push(cell_wind(climate, here.position, here.course, month));
            }
            middles.push(here.position);
        }
        Self {
            route: route.name().to_owned(),
            finish,
            cell_shift,
            months,
            middles,
        }
    }

    /// The route's name.
    pub(super) fn route(&self) -> &str {
        &self.route
    }

    /// The cells that lie in cyclone waters.
    pub(super) fn cyclone_reaches(&self) -> Vec<Reach> {
        let of_route = |run: f64| run / f64::from(self.finish);
        let cells = (0..).zip(&self.middles);
        cells
            .filter_map(|(cell, middle)| {
                let [start, end] = cell_ends(cell, self.cell_shift, self.finish);
                Some(Reach {
                    middle: of_route((start + end) / 2.0),
                    length: of_route(end - start),
                    basin: cyclone_basin(*middle)?,
                })
            })
            .collect()
    }

    /// The run from start to finish.
    pub(super) fn finish(&self) -> u32 {
        self.finish
    }

    /// By how many places a run is shifted right to give the number of its cell.
    pub(super) fn cell_shift(&self) -> u32 {
        self.cell_shift
    }

    /// The cell of a run; the last one for a run beyond the finish.
    pub(super) fn cell(&self, run: u32) -> usize {
        ((run >> self.cell_shift) as usize).min(self.middles.len() - 1)
    }

    /// The winds of the cells from `first` to `last` on `day`, put into their places in `winds`;
    /// not a number where there are no data.
    pub(super) fn on_day(
        &self,
        day: SeasonDay,
        (first, last): (usize, usize),
        winds: &mut CellWinds,
    ) {
        let mix = day.month_mix();
        let [earlier, later] = [mix.earlier, mix.later]
            .map(|month| &self.months[usize::from(month.number() - 1)][first..=last]);
        let share = mix.later_share as f32;
        for ((wind, a), b) in winds[first..=last].iter_mut().zip(earlier).zip(later) {
            for ((wind, a), b) in wind.iter_mut().zip(a).zip(b) {
                *wind = a + share * (b - a);
            }
        }
    }

    /// Makes sure that the cells from `first` to `last` have winds on `day`.
    ///
    /// # Errors
    /// The first cell without data in one of the two months about the day, and its distance along
    /// the route in nautical miles.
    pub(super) fn check(
        &self,
        day: SeasonDay,
        (first, last): (usize, usize),
    ) -> Result<(), (ClimateGap, f64)> {
        let mix = day.month_mix();
        let missing = |(cell, month): &(usize, Month)| {
            self.months[usize::from(month.number() - 1)][*cell][0].is_nan()
        };
        let gap = (first..=last)
            .flat_map(|cell| [(cell, mix.earlier), (cell, mix.later)])
            .find(missing);
        let Some((cell, month)) = gap else {
            return Ok(());
        };
        let place = self.middles[cell];
        let gap = ClimateGap::NoData { place, month };
        Err((gap, middle_nm(cell as u32, self.cell_shift, self.finish)))
    }
}

/// The runs at which a cell begins and ends.
fn cell_ends(cell: u32, cell_shift: u32, finish: u32) -> [f64; 2] {
    let start = f64::from(cell << cell_shift);
    let end = (start + f64::from(1_u32 << cell_shift)).min(f64::from(finish));
    [start, end]
}

/// How far along the route the middle of a cell is.
fn middle_nm(cell: u32, cell_shift: u32, finish: u32) -> f64 {
    let [start, end] = cell_ends(cell, cell_shift, finish);
    (start + end) / 2.0 / RUN_PER_NM
}

/// The wind of a month at a place, turned to the course; not a number where there are no data.
fn cell_wind(climate: &Climate, place: Position, course: Course, month: Month) -> [f32; 4] {
    let local = climate.month_at(place, month);
    let Some(wind) = local.map(|local| local.wind) else {
        return [f32::NAN; 4];
    };
    let [ahead_ms, abeam_ms] = wind.along(course);
    let [ahead_kn, abeam_kn, spread_kn] =
        [ahead_ms, abeam_ms, wind.s_ms].map(|speed_ms| speed_ms * KN_PER_MS);
    let [ahead, abeam, spread] = WindTable::in_cells(ahead_kn, abeam_kn, spread_kn);
    [ahead, abeam, spread, spread]
}
