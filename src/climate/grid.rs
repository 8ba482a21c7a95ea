//! Twelve monthly grids of wind, and what is to be said about where they come from.

use ndarray::Array3;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::axis::Axis;
use super::currents::Currents;
use super::measured::MeasuredFields;
use super::region::Region;
use crate::units::wrap_180_deg;

/// A wind climate on a region: for every node and month the mean wind, its standard deviation and,
/// where the file has them, the air temperature and whether the value was observed there.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    pub(super) latitudes: Axis,
    pub(super) longitudes: Axis,
    pub(super) wind: WindFields,
    /// Degrees Celsius, as a field of the wind is kept.
    pub(super) air_temperature_c: Option<Array3<f32>>,
    /// The wind there was not observed but filled in by the file's makers.
    pub(super) replaced: Option<Array3<bool>>,
    /// Surface currents under the winds.
    pub(super) currents: Currents,
    /// What was measured besides.
    pub(super) measured: MeasuredFields,
    pub(super) provenance: Provenance,
}

/// The wind's fields, each by month, latitude (south to north) and longitude (west to east). A value
/// that is missing is NaN; `s_ms` is NaN wherever any of the three is missing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WindFields {
    pub(super) u_ms: Array3<f32>,
    pub(super) v_ms: Array3<f32>,
    pub(super) s_ms: Array3<f32>,
}

/// What a report must say about the climate it used.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub(super) struct Provenance {
    pub(super) label: String,
    pub(super) assumed_steadiness: Option<f64>,
    pub(super) height_scaling: Option<HeightScaling>,
    pub(super) notes: Vec<String>,
    pub(super) real_year: Option<i64>,
    pub(super) node_months_with_wind: usize,
    pub(super) node_months_at_least_deviation: usize,
}

/// Winds taken at another height, brought to 10 m.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct HeightScaling {
    /// The height the file's winds are for, m.
    pub from_height_m: f64,
    /// What every speed was multiplied by.
    pub factor: f64,
}

impl Climate {
    /// Where the climate comes from: the file, and its title where it has one.
    pub fn label(&self) -> &str {
        &self.provenance.label
    }

    /// The real year whose departures are in its means; none for an average year.
    pub fn real_year(&self) -> Option<i64> {
        self.provenance.real_year
    }

    /// What the reader assumed or changed, one sentence each, for the report to repeat.
    pub fn notes(&self) -> &[String] {
        &self.provenance.notes
    }

    /// The steadiness the standard deviation was worked out from, where the file has no scalar wind
    /// speed.
    pub fn assumed_steadiness(&self) -> Option<f64> {
        self.provenance.assumed_steadiness
    }

    /// How the winds were brought to 10 m, where the file gives them at another height.
    pub fn height_scaling(&self) -> Option<HeightScaling> {
        self.provenance.height_scaling
    }

    /// Whether the file has air temperatures.
    pub fn has_air_temperature(&self) -> bool {
        self.air_temperature_c.is_some()
    }

    /// How many months at nodes hold a wind.
    pub fn node_months_with_wind(&self) -> usize {
        self.provenance.node_months_with_wind
    }

    /// How many of them have the least standard deviation, 0.5 m/s, because the mean speed in the file leaves
    /// no more: it is at or just above the vector mean.
    pub fn node_months_at_least_deviation(&self) -> usize {
        self.provenance.node_months_at_least_deviation
    }

    /// The area between the outermost nodes kept, where winds can be read.
    pub fn extent(&self) -> Region {
        let south_deg = self.latitudes.first_deg();
        Region {
            south_deg,
            north_deg: south_deg + self.latitudes.span_deg(),
            west_deg: wrap_180_deg(self.longitudes.first_deg()),
            east_span_deg: self.longitudes.span_deg(),
        }
    }
}
