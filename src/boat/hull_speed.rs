//! Hull speed: as fast as a wave of the waterline's length.

use crate::units::{GRAVITY_MS2, KN_PER_MS};

/// The speed (kn) of a deep-water wave as long as the waterline (m), at which a displacement hull
/// would have to climb its own bow wave.
///
/// Formula: sqrt(g L / 2 pi), the deep-water dispersion relation. In feet it is 1.34 sqrt(L).
pub fn hull_speed_kn(waterline_length_m: f64) -> f64 {
    (GRAVITY_MS2 * waterline_length_m / std::f64::consts::TAU).sqrt() * KN_PER_MS
}
