//! Twelve monthly grids of wind, and what is to be said about where they come from.

use schemars::JsonSchema;
use serde::Serialize;

use super::axis::Axis;
use super::{Month, Region};

/// A wind climate on a region: for every node and month the mean wind, its spread and, where the
/// file has them, the air temperature and whether the value was observed there.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    pub(super) latitudes: Axis,
    pub(super) longitudes: Axis,
    /// Node by node (west to east, then south to north), the twelve months of each together.
    pub(super) nodes: Vec<Node>,
    /// In the order of `nodes`: the wind there was not observed but put in by the file's makers.
    pub(super) replaced: Option<Vec<bool>>,
    pub(super) has_air_temperature: bool,
    pub(super) provenance: Provenance,
}

/// One month at one node. A value that is missing is NaN; a node lacks wind where any of the three
/// is missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Node {
    pub(super) u_ms: f32,
    pub(super) v_ms: f32,
    pub(super) s_ms: f32,
    pub(super) air_temperature_c: f32,
}

/// What a report must say about the climate it used.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Provenance {
    pub(super) label: String,
    pub(super) spread_assumed: Option<f64>,
    pub(super) height_scaling: Option<HeightScaling>,
    pub(super) notes: Vec<String>,
    pub(super) node_months_with_wind: usize,
    pub(super) node_months_at_least_spread: usize,
}

/// Winds taken at another height, brought to 10 m.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct HeightScaling {
    /// The height the file's winds are for, m.
    pub from_height_m: f64,
    /// What every speed was multiplied by.
    pub factor: f64,
}

impl Node {
    pub(super) const MISSING: Node = Node {
        u_ms: f32::NAN,
        v_ms: f32::NAN,
        s_ms: f32::NAN,
        air_temperature_c: f32::NAN,
    };

    pub(super) fn has_wind(&self) -> bool {
        !(self.u_ms.is_nan() || self.v_ms.is_nan() || self.s_ms.is_nan())
    }
}

/// The place of a node's month in a climate's arrays.
pub(super) fn node_index(columns: usize, row: usize, column: usize, month: Month) -> usize {
    (row * columns + column) * Month::ALL.len() + month.index()
}

impl Climate {
    /// Where the climate comes from: the file, and its title where it has one.
    pub fn label(&self) -> &str {
        &self.provenance.label
    }

    /// What the reader assumed or changed, one sentence each, for the report to repeat.
    pub fn notes(&self) -> &[String] {
        &self.provenance.notes
    }

    /// The steadiness the spread was worked out from, where the file has no scalar wind speed.
    pub fn spread_assumed(&self) -> Option<f64> {
        self.provenance.spread_assumed
    }

    /// How the winds were brought to 10 m, where the file gives them at another height.
    pub fn height_scaling(&self) -> Option<HeightScaling> {
        self.provenance.height_scaling
    }

    /// Whether the file has air temperatures.
    pub fn has_air_temperature(&self) -> bool {
        self.has_air_temperature
    }

    /// How many months at nodes hold a wind.
    pub fn node_months_with_wind(&self) -> usize {
        self.provenance.node_months_with_wind
    }

    /// How many of them have the least spread, 0.5 m/s, because the mean speed in the file leaves
    /// no more: it is at or hardly above the vector mean.
    pub fn node_months_at_least_spread(&self) -> usize {
        self.provenance.node_months_at_least_spread
    }

    /// The area between the outermost nodes kept, where winds can be read.
    pub fn extent(&self) -> Region {
        let south_deg = self.latitudes.first_deg();
        Region {
            south_deg,
            north_deg: south_deg + self.latitudes.span_deg(),
            west_deg: crate::units::wrap_180_deg(self.longitudes.first_deg()),
            east_span_deg: self.longitudes.span_deg(),
        }
    }
}
