//! The winds of a box of sea brought onto a fine lattice, so that a search looks them up by number.

use rayon::prelude::*;

use super::pace::WindRange;
use crate::climate::{Basin, Climate, LocalClimate, Month, Region, SeasonDay, cyclone_basin};
use crate::geodesy::Position;
use crate::units::KN_PER_MS;

/// Where the winds come from.
pub trait Winds: Sync {
    /// The climate of a place and season; none where it is not known.
    fn at(&self, place: Position, day: SeasonDay) -> Option<LocalClimate>;
}

impl Winds for Climate {
    fn at(&self, place: Position, day: SeasonDay) -> Option<LocalClimate> {
        Self::at(self, place, day).ok()
    }
}

impl<F: Fn(Position, SeasonDay) -> Option<LocalClimate> + Sync> Winds for F {
    fn at(&self, place: Position, day: SeasonDay) -> Option<LocalClimate> {
        self(place, day)
    }
}

/// A wind as the search needs it: toward the east, toward the north and the spread of each, in
/// knots, and the air's temperature in degrees Celsius. Not numbers where nothing is known.
pub(super) type SeaWind = [f32; 4];

/// The wind of a place as the search needs it.
pub(super) fn sea_wind(local: &LocalClimate) -> SeaWind {
    let kn = |speed_ms: f64| (speed_ms * KN_PER_MS) as f32;
    let air_c = local.air_temperature_c.map_or(f32::NAN, |air| air as f32);
    [
        kn(local.wind.u_ms),
        kn(local.wind.v_ms),
        kn(local.wind.s_ms),
        air_c,
    ]
}

/// The mix of two winds.
pub(super) fn mixed(earlier: &SeaWind, later: &SeaWind, later_share: f32) -> SeaWind {
    std::array::from_fn(|part| earlier[part] + later_share * (later[part] - earlier[part]))
}

/// A lattice of places in rows from south to north and columns from west to east, with each
/// month's wind. Places between are read at the nearest.
pub(super) struct Waters {
    spacing_deg: f64,
    south_row: i32,
    west_column: i32,
    rows: usize,
    columns: usize,
    months: Vec<Vec<SeaWind>>,
    basins: Vec<Option<Basin>>,
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
            basins: Vec::new(),
        };
        let cells = 0..waters.rows * waters.columns;
        waters.months = Month::ALL
            .into_par_iter()
            .map(|month| {
                let wind = |cell| {
                    let local = winds.at(waters.place(cell), month.middle());
                    local.map_or([f32::NAN; 4], |local| sea_wind(&local))
                };
                cells.clone().map(wind).collect()
            })
            .collect();
        waters.basins = cells
            .map(|cell| cyclone_basin(waters.place(cell)))
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

    /// The wind of a cell between two months, given by their numbers from 0.
    pub(super) fn wind(&self, cell: usize, months: (u8, u8), later_share: f32) -> SeaWind {
        mixed(
            &self.months[usize::from(months.0)][cell],
            &self.months[usize::from(months.1)][cell],
            later_share,
        )
    }

    /// The cyclone basin of a cell.
    pub(super) fn basin(&self, cell: usize) -> Option<Basin> {
        self.basins[cell]
    }

    /// The winds there are on the lattice; none where there are no winds at all.
    pub(super) fn wind_range(&self) -> Option<WindRange> {
        let mut range: Option<WindRange> = None;
        for [u, v, s, _] in self.winds_known() {
            let (mean_kn, spread_kn) = (f64::from(u.hypot(v)), f64::from(s));
            let range = range.get_or_insert(WindRange {
                greatest_mean_kn: 0.0,
                spreads_kn: (spread_kn, spread_kn),
            });
            range.greatest_mean_kn = range.greatest_mean_kn.max(mean_kn);
            range.spreads_kn.0 = range.spreads_kn.0.min(spread_kn);
            range.spreads_kn.1 = range.spreads_kn.1.max(spread_kn);
        }
        range
    }

    pub(super) fn winds_known(&self) -> impl Iterator<Item = SeaWind> {
        let winds = self.months.iter().flatten().copied();
        winds.filter(|wind| !wind[0].is_nan())
    }
}
