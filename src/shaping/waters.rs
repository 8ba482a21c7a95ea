//! The winds and currents of a box of sea brought onto a fine lattice, so that a search looks them up
//! by number.

use rayon::prelude::*;

use super::pace::MetRange;
use crate::climate::{
    Climate, Current, LocalClimate, Month, Region, SeasonDay, StormDays, StormRate,
};
use crate::geodesy::Position;
use crate::units::KN_PER_MS;

/// Where the winds and currents come from.
pub trait Winds: Sync {
    /// The climate of a place and season; none where it is not known.
    fn at(&self, place: Position, day: SeasonDay) -> Option<LocalClimate>;

    /// The surface current of a place and season; none unless there are currents too.
    fn current_at(&self, _place: Position, _day: SeasonDay) -> Current {
        Current::default()
    }
}

impl Winds for Climate {
    fn at(&self, place: Position, day: SeasonDay) -> Option<LocalClimate> {
        Self::at(self, place, day).ok()
    }

    fn current_at(&self, place: Position, day: SeasonDay) -> Current {
        Self::current_at(self, place, day)
    }
}

impl<F: Fn(Position, SeasonDay) -> Option<LocalClimate> + Sync> Winds for F {
    fn at(&self, place: Position, day: SeasonDay) -> Option<LocalClimate> {
        self(place, day)
    }
}

/// Wind and current as the search needs them: the wind toward the east, toward the north and the
/// spread of each, in knots, the air's temperature in degrees Celsius, and the current toward the
/// east and toward the north, in knots. Not numbers where no wind is known.
pub(super) type Met = [f32; 6];

/// What is met at a place and season, as the search needs it; none where no wind is known.
pub(super) fn met_at(winds: &dyn Winds, place: Position, day: SeasonDay) -> Option<Met> {
    let local = winds.at(place, day)?;
    Some(met(&local, winds.current_at(place, day)))
}

/// Wind and current of a place as the search needs them.
pub(super) fn met(local: &LocalClimate, current: Current) -> Met {
    let kn = |speed_ms: f64| (speed_ms * KN_PER_MS) as f32;
    let air_c = local.air_temperature_c.map_or(f32::NAN, |air| air as f32);
    [
        kn(local.wind.u_ms),
        kn(local.wind.v_ms),
        kn(local.wind.s_ms),
        air_c,
        current.east_kn as f32,
        current.north_kn as f32,
    ]
}

/// The mix of two months.
pub(super) fn mixed(earlier: &Met, later: &Met, later_share: f32) -> Met {
    std::array::from_fn(|part| earlier[part] + later_share * (later[part] - earlier[part]))
}

/// A lattice of places in rows from south to north and columns from west to east, with each
/// month's wind and current. Places between are read at the nearest.
pub(super) struct Waters {
    spacing_deg: f64,
    south_row: i32,
    west_column: i32,
    rows: usize,
    columns: usize,
    months: Vec<Vec<Met>>,
    storms: Vec<StormRate>,
}

impl Waters {
    /// The winds of `region`, whose edges are drawn in to the lattice of whole `spacing_deg`.
    pub(super) fn new(winds: &dyn Winds, region: &Region, spacing_deg: f64) -> Self {
        let south_row = (region.south_deg / spacing_deg).ceil() as i32;
        let west_column = (region.west_deg / spacing_deg).ceil() as i32;
        let rows = (region.north_deg / spacing_deg).floor() as i32 - south_row + 1;
        let east_deg = region.west_deg + region.east_span_deg;
        let columns = (east_deg / spacing_deg).floor() as i32 - west_column + 1;
        let mut waters = Self {
            spacing_deg,
            south_row,
            west_column,
            rows: rows.max(0) as usize,
            columns: columns.max(0) as usize,
            months: Vec::new(),
            storms: Vec::new(),
        };
        let cells = 0..waters.rows * waters.columns;
        waters.months = Month::ALL
            .into_par_iter()
            .map(|month| {
                let met = |cell| {
                    met_at(winds, waters.place(cell), month.middle()).unwrap_or([f32::NAN; 6])
                };
                cells.clone().map(met).collect()
            })
            .collect();
        waters.storms = cells
            .map(|cell| StormDays::observed().at(waters.place(cell)))
            .collect();
        waters
    }

    /// The cell at a row and column counted in spacings from the equator and Greenwich, the column
    /// as the region's west edge counts it; none off the lattice.
    pub(super) fn cell(&self, row: i32, column: i32) -> Option<usize> {
        let row = usize::try_from(row - self.south_row).ok()?;
        let column = usize::try_from(column - self.west_column).ok()?;
        (row < self.rows && column < self.columns).then(|| row * self.columns + column)
    }

    /// The place of a cell.
    fn place(&self, cell: usize) -> Position {
        let row = (cell / self.columns) as i32 + self.south_row;
        let column = (cell % self.columns) as i32 + self.west_column;
        super::place(
            f64::from(row) * self.spacing_deg,
            f64::from(column) * self.spacing_deg,
        )
    }

    /// What is met in a cell between two months, given by their numbers from 0.
    pub(super) fn met(&self, cell: usize, months: (u8, u8), later_share: f32) -> Met {
        mixed(
            &self.months[usize::from(months.0)][cell],
            &self.months[usize::from(months.1)][cell],
            later_share,
        )
    }

    /// Storm-days a day within 200 nm of a cell.
    pub(super) fn storm_days_a_day(&self, cell: usize, day: SeasonDay) -> f64 {
        self.storms[cell].on(day)
    }

    /// What there is on the lattice; none where there are no winds at all.
    pub(super) fn range(&self) -> Option<MetRange> {
        let mut range: Option<MetRange> = None;
        for [u, v, s, _, east, north] in self.known() {
            let (mean_kn, spread_kn) = (f64::from(u.hypot(v)), f64::from(s));
            let range = range.get_or_insert(MetRange {
                greatest_mean_kn: 0.0,
                spreads_kn: (spread_kn, spread_kn),
                currents: false,
            });
            range.currents |= east != 0.0 || north != 0.0;
            range.greatest_mean_kn = range.greatest_mean_kn.max(mean_kn);
            range.spreads_kn.0 = range.spreads_kn.0.min(spread_kn);
            range.spreads_kn.1 = range.spreads_kn.1.max(spread_kn);
        }
        range
    }

    /// Everything met anywhere on the lattice in any month.
    pub(super) fn known(&self) -> impl Iterator<Item = Met> {
        let all = self.months.iter().flatten().copied();
        all.filter(|met| !met[0].is_nan())
    }
}
