//! The climate of twelve months brought onto a route, in its own directions.

use crate::climate::{Climate, ClimateGap, Month, MonthMix, SeasonDay};
use crate::geodesy::Position;
use crate::route::Route;
use crate::units::{Course, KN_PER_MS};

/// The most cells a route may have; a longer route has longer cells.
pub(super) const MOST_CELLS: usize = 1024;
/// Cells are no longer than this, in nautical miles, while there are few enough of them.
const CELL_NM: f64 = 30.0;

/// The wind of one cell at one time: the mean from ahead, the mean from abeam and the spread of
/// each component, all in knots. The fourth place only fills the word.
pub(super) type CellWind = [f32; 4];

/// A route cut into cells of one length, with the wind of every month in each.
#[derive(Debug, Clone)]
pub(in crate::passage) struct TrackClimate {
    route: String,
    length_nm: f64,
    cell_nm: f64,
    months: [Vec<CellWind>; 12],
    middles: Vec<Position>,
}

impl TrackClimate {
    pub(in crate::passage) fn new(route: &Route, climate: &Climate) -> Self {
        let length_nm = route.length_nm();
        let count = ((length_nm / CELL_NM).ceil() as usize).clamp(1, MOST_CELLS);
        let cell_nm = length_nm / count as f64;
        let mut months: [Vec<CellWind>; 12] = std::array::from_fn(|_| Vec::with_capacity(count));
        let mut middles = Vec::with_capacity(count);
        for cell in 0..count {
            let Some((_, here)) = route.at_nm((cell as f64 + 0.5) * cell_nm) else {
                break;
            };
            for (month, winds) in Month::ALL.into_iter().zip(&mut months) {
                winds.push(cell_wind(climate, here.position, here.course, month));
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
        winds: &mut [CellWind; MOST_CELLS],
    ) -> Result<(), (ClimateGap, f64)> {
        let mix = day.month_mix();
        let earlier = &self.months[usize::from(mix.earlier.number() - 1)][first..=last];
        let later = &self.months[usize::from(mix.later.number() - 1)][first..=last];
        let share = mix.later_share as f32;
        let mut sum = 0.0;
        for ((wind, a), b) in winds[first..=last].iter_mut().zip(earlier).zip(later) {
            for part in 0..4 {
                wind[part] = a[part] + share * (b[part] - a[part]);
            }
            sum += wind[0];
        }
        // A cell without data is not a number, and makes the sum so.
        if sum.is_nan() {
            Err(self.gap(mix, first))
        } else {
            Ok(())
        }
    }

    /// The first gap from cell `first` on in one of the two months.
    fn gap(&self, mix: MonthMix, first: usize) -> (ClimateGap, f64) {
        let missing = |cell: usize, month: Month| {
            self.months[usize::from(month.number() - 1)][cell][0].is_nan()
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
fn cell_wind(climate: &Climate, place: Position, course: Course, month: Month) -> CellWind {
    let local = climate.month_at(place.latitude_deg(), place.longitude_deg(), month);
    let Some(wind) = local.map(|local| local.wind) else {
        return [f32::NAN; 4];
    };
    let (east, north) = course.deg().to_radians().sin_cos();
    let ahead_ms = -(wind.u_ms * east + wind.v_ms * north);
    let abeam_ms = wind.u_ms * north - wind.v_ms * east;
    [ahead_ms, abeam_ms, wind.s_ms, 0.0].map(|speed_ms| (speed_ms * KN_PER_MS) as f32)
}
