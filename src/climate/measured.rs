//! What a climate measured from a series knows besides the winds' means and standard deviation: how the
//! winds scatter to either side, how long they last, gales and calms as counted, and the waves.

use ndarray::Array3;
use schemars::JsonSchema;
use serde::Serialize;

use super::axis::Between;
use super::grid::Climate;
use super::month::Month;
use super::season::SeasonDay;
use super::wind::Wind;
use crate::geodesy::Position;

/// A kind of figure that a climate may have measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum MeasuredFigure {
    /// Both variances of the wind and their covariance.
    Scatter,
    /// How long the wind's departure from its mean lasts.
    Memory,
    /// Gales and calms, as counted.
    GalesAndCalms,
    /// The significant wave height.
    WaveHeight,
}

/// How a wind scatters about its mean: with two independent Gaussian numbers x and y of variance 1 it is
/// u + `east_ms` x toward the east and v + `north_with_east_ms` x + `north_ms` y toward the north (the
/// Cholesky factor of the covariances).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindScatter {
    /// Standard deviation toward the east, m/s.
    pub east_ms: f64,
    /// The part toward the north that goes with the one toward the east, m/s.
    pub north_with_east_ms: f64,
    /// The part toward the north that does not, m/s.
    pub north_ms: f64,
}

impl WindScatter {
    /// One for both components.
    pub fn even(s_ms: f64) -> Self {
        Self {
            east_ms: s_ms,
            north_with_east_ms: 0.0,
            north_ms: s_ms,
        }
    }

    /// The wind toward the east and the north, m/s, that is so many deviations from the mean of `wind`.
    pub fn about(&self, wind: &Wind, x: f64, y: f64) -> [f64; 2] {
        [
            wind.u_ms + self.east_ms * x,
            wind.v_ms + (self.north_ms * y + self.north_with_east_ms * x),
        ]
    }
}

/// How long the wind's departure from its mean lasts, as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindMemory {
    /// Share of the variance in the slow part, 0 to 1.
    pub slow_share: f64,
    /// Correlation time of the fast part, hours.
    pub fast_hours: f64,
}

/// Shares of the time, as counted in a series.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct CountedShares {
    /// Share of the time with 34 kn or more, 0 to 1.
    pub gale: f64,
    /// Share of the time below 1 kn, 0 to 1.
    pub calm: f64,
}

/// The fields that may have been measured, each by month, latitude and longitude, not a number where there
/// is no value.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct MeasuredFields(pub(super) [Option<Array3<f32>>; MeasuredField::ALL.len()]);

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MeasuredField {
    /// The three figures of [`WindScatter`].
    East,
    NorthWithEast,
    North,
    SlowShare,
    FastHours,
    GaleShare,
    CalmShare,
    WaveHeight,
}

impl MeasuredField {
    pub(super) const ALL: [Self; 8] = [
        Self::East,
        Self::NorthWithEast,
        Self::North,
        Self::SlowShare,
        Self::FastHours,
        Self::GaleShare,
        Self::CalmShare,
        Self::WaveHeight,
    ];
}

impl MeasuredFields {
    #[cfg(feature = "netcdf")]
    pub(super) fn set(&mut self, field: MeasuredField, values: Array3<f32>) {
        self.0[field as usize] = Some(values);
    }

    fn of(&self, field: MeasuredField) -> Option<&Array3<f32>> {
        self.0[field as usize].as_ref()
    }
}

impl Climate {
    /// What it has measured; nothing for averages that a file gives without a series behind them.
    pub fn measured(&self) -> Vec<MeasuredFigure> {
        let kinds = [
            (MeasuredFigure::Scatter, MeasuredField::East),
            (MeasuredFigure::Memory, MeasuredField::FastHours),
            (MeasuredFigure::GalesAndCalms, MeasuredField::GaleShare),
            (MeasuredFigure::WaveHeight, MeasuredField::WaveHeight),
        ];
        let has = |field: &MeasuredField| self.measured.of(*field).is_some();
        kinds
            .into_iter()
            .filter_map(|(kind, field)| has(&field).then_some(kind))
            .collect()
    }

    /// How the wind scatters at a place in a month; none where that was not measured.
    pub fn scatter_in_month(&self, place: Position, month: Month) -> Option<WindScatter> {
        self.scatter(|field| self.measured_in_month(field, place, month))
    }

    /// How the wind scatters at a place on a day: months linear between their middles; none where that was
    /// not measured.
    pub fn scatter_at(&self, place: Position, day: SeasonDay) -> Option<WindScatter> {
        self.scatter(|field| self.measured_at(field, place, day))
    }

    fn scatter(&self, value: impl Fn(MeasuredField) -> Option<f64>) -> Option<WindScatter> {
        Some(WindScatter {
            east_ms: value(MeasuredField::East)?,
            north_with_east_ms: value(MeasuredField::NorthWithEast)?,
            north_ms: value(MeasuredField::North)?,
        })
    }

    /// How long the wind lasts at a place in a month; none where that was not measured.
    pub fn memory_in_month(&self, place: Position, month: Month) -> Option<WindMemory> {
        let value = |field| self.measured_in_month(field, place, month);
        Some(WindMemory {
            slow_share: value(MeasuredField::SlowShare)?,
            fast_hours: value(MeasuredField::FastHours)?,
        })
    }

    /// Gales and calms at a place in a month as counted; none where they were not.
    pub fn counted_in_month(&self, place: Position, month: Month) -> Option<CountedShares> {
        let value = |field| self.measured_in_month(field, place, month);
        Some(CountedShares {
            gale: value(MeasuredField::GaleShare)?,
            calm: value(MeasuredField::CalmShare)?,
        })
    }

    /// Gales and calms at a place on a day as counted: months linear between their middles.
    pub fn counted_at(&self, place: Position, day: SeasonDay) -> Option<CountedShares> {
        let value = |field| self.measured_at(field, place, day);
        Some(CountedShares {
            gale: value(MeasuredField::GaleShare)?,
            calm: value(MeasuredField::CalmShare)?,
        })
    }

    /// The mean significant wave height at a place on a day, m; none where it was not measured.
    pub fn wave_height_at(&self, place: Position, day: SeasonDay) -> Option<f64> {
        self.measured_at(MeasuredField::WaveHeight, place, day)
    }

    /// Months linear between their middles; none where one of the two has no value.
    fn measured_at(&self, field: MeasuredField, place: Position, day: SeasonDay) -> Option<f64> {
        self.measured.of(field)?;
        let mix = day.month_mix();
        let earlier = self.measured_in_month(field, place, mix.earlier)?;
        let later = self.measured_in_month(field, place, mix.later)?;
        Some(earlier + mix.later_share * (later - earlier))
    }

    /// Bilinear over the four nodes around, those without a value left out and the rest reweighted.
    fn measured_in_month(
        &self,
        field: MeasuredField,
        place: Position,
        month: Month,
    ) -> Option<f64> {
        let values = self.measured.of(field)?;
        let row = self.latitudes.around_latitude(place.latitude_deg())?;
        let column = self.longitudes.around_longitude(place.longitude_deg())?;
        let ends = |between: Between| {
            [
                (between.low, 1.0 - between.high_share),
                (between.high, between.high_share),
            ]
        };
        let (mut sum, mut weights) = (0.0, 0.0);
        for (row, row_weight) in ends(row) {
            for (column, column_weight) in ends(column) {
                let value = f64::from(values[[month.index(), row, column]]);
                let weight = row_weight * column_weight;
                if !value.is_nan() {
                    sum += weight * value;
                    weights += weight;
                }
            }
        }
        (weights > 0.0).then(|| sum / weights)
    }
}
