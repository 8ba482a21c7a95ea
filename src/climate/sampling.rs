//! The wind at a place and season: bilinear between nodes, linear between months.

use ndarray::Array3;
use schemars::JsonSchema;
use serde::Serialize;

use super::axis::Between;
use super::grid::Climate;
use super::month::Month;
use super::region::Region;
use super::season::SeasonDay;
use super::wind::Wind;
use crate::geodesy::Position;

/// The climate of one place and time.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct LocalClimate {
    /// The wind at 10 m.
    pub wind: Wind,
    /// Mean air temperature, degrees Celsius; `None` where the file has none here.
    pub air_temperature_c: Option<f64>,
    /// The share of this value, 0 to 1, that rests on nodes whose wind was not observed but
    /// smoothed or taken from elsewhere by the file's makers; `None` where the file does not say.
    pub replaced_share: Option<f64>,
}

/// No wind is known at a place and season.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ClimateGap {
    /// None of the nodes around the place has data in a month that is needed.
    #[error(
        "no wind data around {place} in {month}; it may be land or ice, or a part of the sea \
         without reports"
    )]
    NoData {
        /// Where.
        place: Position,
        /// The month without data.
        month: Month,
    },
    /// The place lies beyond the outermost nodes of the climate in use.
    #[error("{place} lies outside the wind data, which cover {extent}")]
    Outside {
        /// Where.
        place: Position,
        /// Where the climate in use has nodes.
        extent: Region,
    },
}

/// The grid cell a place lies in: the four nodes around it.
struct GridCell {
    row: Between,
    column: Between,
}

/// Sums over the nodes that have data, each with its weight.
#[derive(Default)]
struct Sums {
    weight: f64,
    u_ms: f64,
    v_ms: f64,
    s_ms: f64,
    replaced: f64,
    temperature_weight: f64,
    air_temperature_c: f64,
}

impl Climate {
    /// The climate at a place and season: the linear mix of the two months whose middles enclose
    /// the day.
    ///
    /// # Errors
    /// [`ClimateGap`] where the place is off the grid, or no node around it has data in one of
    /// the two months.
    pub fn at(&self, place: Position, season: SeasonDay) -> Result<LocalClimate, ClimateGap> {
        let cell = self.grid_cell(place).ok_or_else(|| ClimateGap::Outside {
            place,
            extent: self.extent(),
        })?;
        let fields = FlatFields::of(self);
        let no_data = |month| ClimateGap::NoData { place, month };
        let mix = season.month_mix();
        let earlier = fields
            .in_grid_cell(&cell, mix.earlier)
            .ok_or(no_data(mix.earlier))?;
        if mix.later_share == 0.0 {
            return Ok(earlier);
        }
        let later = fields
            .in_grid_cell(&cell, mix.later)
            .ok_or(no_data(mix.later))?;
        let between = |a: f64, b: f64| a + (b - a) * mix.later_share;
        let both = |a: Option<f64>, b: Option<f64>| Some(between(a?, b?));
        Ok(LocalClimate {
            wind: Wind {
                u_ms: between(earlier.wind.u_ms, later.wind.u_ms),
                v_ms: between(earlier.wind.v_ms, later.wind.v_ms),
                s_ms: between(earlier.wind.s_ms, later.wind.s_ms),
            },
            air_temperature_c: both(earlier.air_temperature_c, later.air_temperature_c),
            replaced_share: both(earlier.replaced_share, later.replaced_share),
        })
    }

    /// One month's climate at a place; `None` where the place is off the grid or no node around it
    /// has data.
    pub fn month_at(&self, place: Position, month: Month) -> Option<LocalClimate> {
        FlatFields::of(self).in_grid_cell(&self.grid_cell(place)?, month)
    }

    fn grid_cell(&self, place: Position) -> Option<GridCell> {
        Some(GridCell {
            row: self.latitudes.around_latitude(place.latitude_deg())?,
            column: self.longitudes.around_longitude(place.longitude_deg())?,
        })
    }
}

/// The fields as they lie in memory, all alike. To find a node's place in each of them anew would
/// double the time a look-up takes.
struct FlatFields<'c> {
    strides: [usize; 3],
    u_ms: &'c [f32],
    v_ms: &'c [f32],
    s_ms: &'c [f32],
    air_temperature_c: Option<&'c [f32]>,
    replaced: Option<&'c [bool]>,
}

impl<'c> FlatFields<'c> {
    fn of(climate: &'c Climate) -> Self {
        let wind = &climate.wind;
        let strides = wind.s_ms.strides();
        Self {
            strides: std::array::from_fn(|axis| strides[axis].unsigned_abs()),
            u_ms: flat(&wind.u_ms),
            v_ms: flat(&wind.v_ms),
            s_ms: flat(&wind.s_ms),
            air_temperature_c: climate.air_temperature_c.as_ref().map(flat),
            replaced: climate.replaced.as_ref().map(flat),
        }
    }

    fn in_grid_cell(&self, cell: &GridCell, month: Month) -> Option<LocalClimate> {
        let [by_month, by_row, by_column] = self.strides;
        let mut sums = Sums::default();
        for (row, row_weight) in both_ends(cell.row) {
            for (column, column_weight) in both_ends(cell.column) {
                let node = month.index() * by_month + row * by_row + column * by_column;
                sums.add(self, node, row_weight * column_weight);
            }
        }
        sums.local_climate(self.replaced.is_some())
    }
}

fn flat<T>(field: &Array3<T>) -> &[T] {
    field.as_slice().expect("a field in standard order")
}

fn both_ends(between: Between) -> [(usize, f64); 2] {
    [
        (between.low, 1.0 - between.high_share),
        (between.high, between.high_share),
    ]
}

impl Sums {
    fn add(&mut self, fields: &FlatFields, node: usize, weight: f64) {
        let s_ms = f64::from(fields.s_ms[node]);
        if !s_ms.is_nan() {
            self.weight += weight;
            self.u_ms += weight * f64::from(fields.u_ms[node]);
            self.v_ms += weight * f64::from(fields.v_ms[node]);
            self.s_ms += weight * s_ms;
            let replaced = fields.replaced.is_some_and(|replaced| replaced[node]);
            self.replaced += if replaced { weight } else { 0.0 };
        }
        let air_c = fields
            .air_temperature_c
            .map_or(f32::NAN, |air_c| air_c[node]);
        if !air_c.is_nan() {
            self.temperature_weight += weight;
            self.air_temperature_c += weight * f64::from(air_c);
        }
    }

    fn local_climate(&self, knows_replaced: bool) -> Option<LocalClimate> {
        if self.weight <= 0.0 {
            return None;
        }
        Some(LocalClimate {
            wind: Wind {
                u_ms: self.u_ms / self.weight,
                v_ms: self.v_ms / self.weight,
                s_ms: self.s_ms / self.weight,
            },
            air_temperature_c: (self.temperature_weight > 0.0)
                .then(|| self.air_temperature_c / self.temperature_weight),
            replaced_share: knows_replaced.then(|| self.replaced / self.weight),
        })
    }
}
