//! The wind felt on board.

use schemars::JsonSchema;
use serde::Serialize;

/// The wind felt on board, from true wind and the boat's own speed.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct ApparentWind {
    /// Apparent wind speed, kn.
    pub speed_kn: f64,
    /// Apparent wind angle off the bow, degrees, 0 to 180.
    pub angle_deg: f64,
}

/// The wind felt on board a boat that makes `boat_speed_kn` through the water, `true_wind_speed_kn`
/// of wind coming from `true_wind_angle_deg` off the bow (0 to 180).
///
/// Formula: the vector sum of the true wind and the boat's own headwind,
/// x = TWS cos TWA + BS ahead, y = TWS sin TWA abeam.
pub fn apparent_wind(
    true_wind_speed_kn: f64,
    true_wind_angle_deg: f64,
    boat_speed_kn: f64,
) -> ApparentWind {
    let (sin, cos) = true_wind_angle_deg.to_radians().sin_cos();
    let ahead_kn = true_wind_speed_kn * cos + boat_speed_kn;
    let abeam_kn = true_wind_speed_kn * sin;
    ApparentWind {
        speed_kn: ahead_kn.hypot(abeam_kn),
        angle_deg: abeam_kn.atan2(ahead_kn).to_degrees(),
    }
}
