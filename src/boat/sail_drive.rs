//! The wind felt on board, what a sail plan drives with in it, and what keel and rig cost.

use schemars::JsonSchema;
use serde::Serialize;

use super::hull_resistance::{SEA_WATER_KG_M3, between};
use crate::units::MS_PER_KN;

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
        speed_kn: apparent_speed_kn(true_wind_speed_kn, true_wind_angle_deg, boat_speed_kn),
        angle_deg: abeam_kn.atan2(ahead_kn).to_degrees(),
    }
}

/// The speed of [`apparent_wind`] alone, kn (law of cosines).
pub(super) fn apparent_speed_kn(
    true_wind_speed_kn: f64,
    true_wind_angle_deg: f64,
    boat_speed_kn: f64,
) -> f64 {
    let along = 2.0 * true_wind_speed_kn * boat_speed_kn * true_wind_angle_deg.to_radians().cos();
    (true_wind_speed_kn.powi(2) + boat_speed_kn.powi(2) + along)
        .max(0.0)
        .sqrt()
}

/// Density of air, kg/m^3, at sea level and 15 C (ICAO standard atmosphere, from memory).
const AIR_KG_M3: f64 = 1.225;

/// Lift of the whole plan on its area by apparent wind angle, degrees: main and headsail in equal
/// shares, after the coefficients Hazen published in 1980 (from memory, rounded).
const LIFT: [(f64, f64); 8] = [
    (0.0, 0.0),
    (15.0, 0.70),
    (27.0, 1.35),
    (50.0, 1.15),
    (80.0, 0.85),
    (100.0, 0.65),
    (130.0, 0.35),
    (180.0, 0.0),
];
/// Drag of the whole plan without induced drag, likewise. Beyond 130 degrees the headsail is taken
/// as poled out; dead before the wind the main still takes a tenth of its wind (common practice, no
/// source).
const DRAG: [(f64, f64); 8] = [
    (0.0, 0.02),
    (15.0, 0.03),
    (27.0, 0.05),
    (50.0, 0.20),
    (80.0, 0.45),
    (100.0, 0.60),
    (130.0, 0.80),
    (180.0, 0.85),
];
/// Frontal area of hull and rig times its drag coefficient, over the waterline length squared
/// (common practice, no source).
const WINDAGE: f64 = 0.045;
/// Apparent wind up to which full sail is carried; above it sail is shortened so that the wind's
/// load stays the same (common practice, no source).
const FULL_SAIL_KN: f64 = 22.0;

/// What a boat's drive depends on.
#[derive(Debug, Clone, Copy)]
pub(super) struct SailDrive {
    pub(super) sail_area_m2: f64,
    pub(super) waterline_length_m: f64,
    /// Factor on the plan's lift.
    pub(super) lift_factor: f64,
    /// Aspect ratio that the plan's induced drag answers to.
    pub(super) aspect_ratio: f64,
    /// Depth that the keel's induced drag answers to, over the waterline length.
    pub(super) draught_share: f64,
}

impl SailDrive {
    /// Force ahead, newtons, at a speed through the water above 0 in m/s: the sails' drive less
    /// windage and the keel's induced drag.
    ///
    /// The crew sets as much sail as helps. With area A the force is a A - b A^2, a the sails'
    /// drive on each square metre and b from the keel's induced drag F^2 / (pi q T^2), F the side
    /// force; so they set a / 2b, or all they have if that is less (lifting line theory, textbook
    /// form, from memory). Hence more sail is never slower.
    pub(super) fn newtons(&self, wind: ApparentWind, speed_ms: f64) -> f64 {
        let (sin, cos) = wind.angle_deg.to_radians().sin_cos();
        let lift = self.lift_factor * between(&LIFT, wind.angle_deg);
        let induced = lift * lift / (std::f64::consts::PI * self.aspect_ratio);
        let drag = between(&DRAG, wind.angle_deg) + induced;
        let pressure_pa = 0.5 * AIR_KG_M3 * (wind.speed_kn * MS_PER_KN).powi(2);
        let ahead_pa = pressure_pa * (lift * sin - drag * cos);
        let aside_pa = pressure_pa * (lift * cos + drag * sin);

        let windage_m2 = WINDAGE * self.waterline_length_m.powi(2);
        let windage_n = windage_m2 * pressure_pa * cos;
        if ahead_pa <= 0.0 {
            return -windage_n;
        }
        let draught_m = self.draught_share * self.waterline_length_m;
        let flow_pa = 0.5 * SEA_WATER_KG_M3 * speed_ms * speed_ms;
        let keel = aside_pa * aside_pa / (std::f64::consts::PI * flow_pa * draught_m * draught_m);
        let carried_m2 = self.sail_area_m2 * (FULL_SAIL_KN / wind.speed_kn).powi(2).min(1.0);
        let set_m2 = carried_m2.min(ahead_pa / (2.0 * keel));
        ahead_pa * set_m2 - keel * set_m2 * set_m2 - windage_n
    }
}
