//! How many members, from which seed, and how long winds persist.

use schemars::JsonSchema;
use serde::Serialize;

use crate::climate::SLOW_HOURS;
use crate::units::Range;

/// What an ensemble is made of.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct EnsembleOptions {
    /// How many passages are simulated on each route.
    pub members: usize,
    /// The seed: the same seed gives the same passages.
    pub seed: u64,
    /// Correlation time of the fast part of the wind's departure from its mean, hours.
    pub fast_hours: f64,
    /// Correlation time of the slow part, hours.
    pub slow_hours: f64,
    /// How large the slow part is, as a multiple of what was measured: 1, or 0 for none.
    pub slow_scale: f64,
}

impl EnsembleOptions {
    /// How many members there may be.
    pub const MEMBERS: Range = Range::new("number of members", "", 10.0, 1_000_000.0);
    /// How long a part of the wind may persist.
    pub const CORRELATION_HOURS: Range = Range::new("correlation time", "hours", 0.1, 10_000.0);

    /// The share of the wind's variance in its slow part at a latitude (degrees): 0.24 within 20
    /// degrees of the equator, 0.10 from 25 degrees on, linear between.
    ///
    /// Fitted together to the daily means of moored buoys (TAO Project, NOAA PMEL, 1980 to 1998), to
    /// the winds that ships logged from noon to noon by latitude (CLIWOC 2.1, 1826 to 1854), and to
    /// the standard deviation of real monthly means.
    pub fn slow_share(&self, latitude_deg: f64) -> f64 {
        const LOW: f64 = 0.24;
        const HIGH: f64 = 0.10;
        let poleward = ((latitude_deg.abs() - 20.0) / 5.0).clamp(0.0, 1.0);
        (self.slow_scale * (LOW + poleward * (HIGH - LOW))).clamp(0.0, 1.0)
    }
}

impl Default for EnsembleOptions {
    /// 2,000 members; correlation times of 24 and 400 hours, from the fit that
    /// [`Self::slow_share`] names.
    fn default() -> Self {
        Self {
            members: 2_000,
            seed: 1,
            fast_hours: 24.0,
            slow_hours: SLOW_HOURS,
            slow_scale: 1.0,
        }
    }
}
