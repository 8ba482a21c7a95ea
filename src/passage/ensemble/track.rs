//! The climate of twelve months brought onto a route, in its own directions.

use crate::climate::{Climate, ClimateGap, Month, MonthMix, SeasonDay};
use crate::geodesy::Position;
use crate::route::Route;
use crate::units::{Course, KN_PER_MS};

/// The most cells a route may have; a longer route has longer cells.
pub(super) const MOST_CELLS: usize = 1024;
/// Cells are no longer than this, in nautical miles, while there are few enough of them.
const CELL_NM: f64 = 30.0;

/// The winds of a route's cells at one time, in knots, part by part: the mean from ahead, the mean
/// from abeam and the spread of each component.
#[derive(Debug, Clone)]
pub(super) struct CellWinds {
    pub ahead: [f32; MOST_CELLS],
    pub abeam: [f32; MOST_CELLS],
    pub spread: [f32; MOST_CELLS],
}

impl CellWinds {
    fn parts_mut(&mut self) -> [&mut [f32; MOST_CELLS]; 3] {
        [&mut self.ahead, &mut self.abeam, &mut self.spread]
    }
}

impl Default for CellWinds {
    fn default() -> Self {
        let calm = [0.0; MOST_CELLS];
        Self {
            ahead: calm,
            abeam: calm,
            spread: calm,
        }
    }
}

/// A route cut into cells of one length, with the wind of every month in each, part by part as in
/// [`CellWinds`].
#[derive(Debug, Clone)]
pub(in crate::passage) struct TrackClimate {
    route: String,
    length_nm: f64,
    cell_nm: f64,
    months: [[Vec<f32>; 3]; 12],
    middles: Vec<Position>,
}

impl TrackClimate {
    pub(in crate::passage) fn new(route: &Route, climate: &Climate) -> Self {
        let length_nm = route.length_nm();
        let count = ((length_nm / CELL_NM).ceil() as usize).clamp(1, MOST_CELLS);
        let cell_nm = length_nm / count as f64;
        let part = |_| Vec::with_capacity(count);
        let mut months: [[Vec<f32>; 3]; 12] = std::array::from_fn(|_| std::array::from_fn(part));
        let mut middles = Vec::with_capacity(count);
        for cell in 0..count {
            let Some((_, here)) = route.at_nm((cell as f64 + 0.5) * cell_nm) else {
                break;
            };
            for (month, winds) in Month::ALL.into_iter().zip(&mut months) {
                let wind = cell_wind(climate, here.position, here.course, month);
                for (part, value) in winds.iter_mut().zip(wind) {
                    part.push(value);
                }
            }
            middles.push(here.position);
        }
        Self {
            route: route.name().to_owned(),
            length_nm,
            cell_nm,
            months,
            middles,
        }
    }

    /// The route's name.
    pub(super) fn route(&self) -> &str {
        &self.route
    }

    pub(super) fn length_nm(&self) -> f64 {
        self.length_nm
    }

    pub(super) fn cell_nm(&self) -> f64 {
        self.cell_nm
    }

    pub(super) fn cells(&self) -> usize {
        self.middles.len()
    }

    /// The winds of the cells from `first` to `last` on `day`, put into their places in `winds`.
    ///
    /// # Errors
    /// A cell without data in one of the two months about the day, and its distance along the
    /// route in nautical miles.
    pub(super) fn on_day(
        &self,
        day: SeasonDay,
        (first, last): (usize, usize),
        winds: &mut CellWinds,
    ) -> Result<(), (ClimateGap, f64)> {
        let mix = day.month_mix();
        let [earlier, later] =
            [mix.earlier, mix.later].map(|month| &self.months[usize::from(month.number() - 1)]);
        let share = mix.later_share as f32;
        for ((wind, a), b) in winds.parts_mut().into_iter().zip(earlier).zip(later) {
            let (a, b) = (&a[first..=last], &b[first..=last]);
            for ((wind, a), b) in wind[first..=last].iter_mut().zip(a).zip(b) {
                *wind = a + share * (b - a);
            }
        }
        // A cell without data is not a number.
        if winds.ahead[first..=last].iter().any(|ahead| ahead.is_nan()) {
            return Err(self.gap(mix, first));
        }
        Ok(())
    }

    /// The first gap from cell `first` on in one of the two months.
    fn gap(&self, mix: MonthMix, first: usize) -> (ClimateGap, f64) {
        let missing = |cell: usize, month: Month| {
            self.months[usize::from(month.number() - 1)][0][cell].is_nan()
        };
        let (cell, month) = (first..self.cells())
            .flat_map(|cell| [(cell, mix.earlier), (cell, mix.later)])
            .find(|(cell, month)| missing(*cell, *month))
            .unwrap_or((first, mix.earlier));
        let place = self.middles[cell];
        let gap = ClimateGap::NoData {
            latitude_deg: place.latitude_deg(),
            longitude_deg: place.longitude_deg(),
            month,
        };
        (gap, (cell as f64 + 0.5) * self.cell_nm)
    }
}

/// The wind of a month at a place, turned to the course; not a number where there are no data.
fn cell_wind(climate: &Climate, place: Position, course: Course, month: Month) -> [f32; 3] {
    let local = climate.month_at(place.latitude_deg(), place.longitude_deg(), month);
    let Some(wind) = local.map(|local| local.wind) else {
        return [f32::NAN; 3];
    };
    let (east, north) = course.deg().to_radians().sin_cos();
    let ahead_ms = -(wind.u_ms * east + wind.v_ms * north);
    let abeam_ms = wind.u_ms * north - wind.v_ms * east;
    [ahead_ms, abeam_ms, wind.s_ms].map(|speed_ms| (speed_ms * KN_PER_MS) as f32)
}
