//! How many members, from which seed, and how long winds persist.

use schemars::JsonSchema;
use serde::Serialize;

use super::steps::STEP_HOURS;
use crate::climate::SLOW_HOURS;
use crate::units::Range;

/// What an ensemble is made of.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct EnsembleOptions {
    /// How many passages are simulated on each route.
    pub members: usize,
    /// The seed: the same seed gives the same passages.
    pub seed: u64,
    /// Correlation time of the fast part of the wind's departure from its mean, hours, where it is not
    /// the climate's own.
    pub fast_hours: f64,
    /// Correlation time of the slow part, hours.
    pub slow_hours: f64,
    /// How large the slow part is, as a multiple of what was measured: 1, or 0 for none.
    pub slow_scale: f64,
    /// How long the fast part lasts, as a multiple of what is said of it: 1.
    pub fast_scale: f64,
    /// Whether the slow part's share and the fast part's time are the climate's own where it has
    /// measured them.
    pub measured_memory: bool,
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
        self.scaled_share(LOW + poleward * (HIGH - LOW))
    }

    /// How much of the fast part is left after a step, and how much is fresh then, for a correlation time
    /// that was measured; not a number where it was not.
    pub(super) fn kept_and_fresh(&self, measured_hours: f64) -> [f32; 2] {
        let hours = if measured_hours.is_nan() {
            self.fast_hours
        } else {
            measured_hours
        };
        let kept = (-STEP_HOURS / (self.fast_scale * hours)).exp() as f32;
        [kept, (1.0 - kept * kept).sqrt()]
    }

    /// A slow part's share, scaled.
    pub(super) fn scaled_share(&self, share: f64) -> f64 {
        (self.slow_scale * share).clamp(0.0, 1.0)
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
            fast_scale: 1.0,
            measured_memory: true,
        }
    }
}
