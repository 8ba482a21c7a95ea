//! How many passages, from which seed, and how long winds persist.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::Range;

/// What an ensemble is made of.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct EnsembleOptions {
    /// How many passages.
    pub members: usize,
    /// The seed: the same seed gives the same passages.
    pub seed: u64,
    /// The time over which a wind persists, in hours: the e-folding time tau.
    pub persistence_hours: f64,
}

impl EnsembleOptions {
    /// How many members there may be.
    pub const MEMBERS: Range = Range::new("number of members", "", 10.0, 1_000_000.0);
    /// How long a wind may persist.
    pub const PERSISTENCE_HOURS: Range = Range::new("persistence", "hours", 0.1, 10_000.0);
}

impl Default for EnsembleOptions {
    /// 2,000 members; winds persist for 36 hours, between the half day to a day of storm tracks
    /// and the days of the trades (from memory, rough).
    fn default() -> Self {
        Self {
            members: 2_000,
            seed: 1,
            persistence_hours: 36.0,
        }
    }
}
