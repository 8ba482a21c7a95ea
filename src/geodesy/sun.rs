//! Where the sun stands: hours of daylight, and the energy it brings.
//!
//! The sun's place is by the low-precision formulas of the Astronomical Almanac (from memory), good
//! to about 0.01 degrees between 1950 and 2050.

use jiff::civil::{Date, date};
use schemars::JsonSchema;
use serde::Serialize;

/// Zenith distance of the sun's centre at rise and set, degrees: the horizon, less refraction
/// and half the sun's disc (NOAA solar calculation).
pub const RISE_ZENITH_DEG: f64 = 90.833;

/// Sun's power above the air at the mean distance, kW/m2: 0.0820 MJ/m2 a minute
/// (FAO Irrigation and Drainage Paper 56, equation 21, from memory).
pub const SOLAR_CONSTANT_KW_PER_M2: f64 = 0.0820 * 1000.0 / 60.0;

/// Days from the civil date's midnight to the epoch the formulas count from, noon of 1 January 2000.
const EPOCH: Date = date(2000, 1, 1);

/// The sun's place on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
struct SunPlace {
    declination_rad: f64,
    /// Apparent less mean solar time, hours.
    equation_of_time_h: f64,
    distance_au: f64,
}

/// The sun on one day at one place.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct SunDay {
    /// The date.
    #[schemars(with = "String", extend("format" = "date"))]
    pub date: Date,
    /// The sun's declination at local noon, degrees, north positive.
    pub declination_deg: f64,
    /// Hours from sunrise to sunset, 0 to 24.
    pub daylight_hours: f64,
    /// Sunrise, hours UTC in [0, 24); none where the sun does not rise or does not set.
    pub sunrise_utc_hours: Option<f64>,
    /// Sunset, hours UTC in [0, 24), perhaps of the next date; none where the sun does not rise or does not
    /// set.
    pub sunset_utc_hours: Option<f64>,
    /// Energy on a level square metre above the air, kWh a day.
    pub above_air_kwh_per_m2: f64,
}

impl SunDay {
    /// The sun on `date` at a latitude (north positive) and longitude (east positive), in degrees.
    ///
    /// Daylight as [`daylight_hours`]. Energy: `24/pi S / r^2 (H0 sin lat sin dec + cos lat cos dec sin H0)`
    /// with H0 for z = 90 degrees and r the distance in astronomical units (FAO Irrigation and
    /// Drainage Paper 56, equation 21, from memory).
    pub fn at(date: Date, latitude_deg: f64, longitude_deg: f64) -> Self {
        let place = SunPlace::at(date, longitude_deg);
        let (sin_lat, cos_lat) = latitude_deg.to_radians().sin_cos();
        let (sin_dec, cos_dec) = place.declination_rad.sin_cos();
        let declination_deg = place.declination_rad.to_degrees();
        let half_day_h = daylight_hours(latitude_deg, declination_deg) / 2.0;
        let noon_utc_h = 12.0 - longitude_deg / 15.0 - place.equation_of_time_h;
        let rises = half_day_h > 0.0 && half_day_h < 12.0;
        let clock = |hours: f64| rises.then(|| hours.rem_euclid(24.0));
        let h0 = half_arc_rad(latitude_deg, declination_deg, 90.0);
        let mean_sine = h0 * sin_lat * sin_dec + cos_lat * cos_dec * h0.sin();
        let above_air_kwh_per_m2 = 24.0 / std::f64::consts::PI * SOLAR_CONSTANT_KW_PER_M2
            / place.distance_au.powi(2)
            * mean_sine.max(0.0);
        Self {
            date,
            declination_deg,
            daylight_hours: 2.0 * half_day_h,
            sunrise_utc_hours: clock(noon_utc_h - half_day_h),
            sunset_utc_hours: clock(noon_utc_h + half_day_h),
            above_air_kwh_per_m2,
        }
    }

    /// Hours from sunset to sunrise, twilight included.
    pub fn dark_hours(&self) -> f64 {
        24.0 - self.daylight_hours
    }
}

/// Hours from sunrise to sunset, 0 to 24, at a latitude under a declination, in degrees.
///
/// `cos H = (cos z - sin lat sin dec) / (cos lat cos dec)`, z = 90.833 degrees, H half the
/// day's arc (NOAA solar calculation).
pub fn daylight_hours(latitude_deg: f64, declination_deg: f64) -> f64 {
    2.0 * half_arc_rad(latitude_deg, declination_deg, RISE_ZENITH_DEG).to_degrees() / 15.0
}

/// Half the arc the sun is above the zenith distance for, radians.
fn half_arc_rad(latitude_deg: f64, declination_deg: f64, zenith_deg: f64) -> f64 {
    let (sin_lat, cos_lat) = latitude_deg.to_radians().sin_cos();
    let (sin_dec, cos_dec) = declination_deg.to_radians().sin_cos();
    let cos = (zenith_deg.to_radians().cos() - sin_lat * sin_dec) / (cos_lat * cos_dec);
    // Beyond these ends the sun stays down or up all day; that is no error.
    cos.clamp(-1.0, 1.0).acos()
}

impl SunPlace {
    /// At local mean noon. Astronomical Almanac, low-precision formulas for the sun (from memory):
    /// mean longitude `L = 280.460 + 0.9856474 n`, mean anomaly `g = 357.528 + 0.9856003 n`,
    /// ecliptic longitude `L + 1.915 sin g + 0.020 sin 2g`, obliquity `23.439 - 0.0000004 n`,
    /// distance `1.00014 - 0.01671 cos g - 0.00014 cos 2g`, in degrees and astronomical units,
    /// n days from the epoch J2000.0.
    fn at(date: Date, longitude_deg: f64) -> Self {
        // Both ends are civil dates, so the span is a whole number of days.
        let days = (date - EPOCH).get_days();
        let n = f64::from(days) - longitude_deg / 360.0;
        let mean_longitude_deg = 280.460 + 0.985_647_4 * n;
        let g = (357.528 + 0.985_600_3 * n).to_radians();
        let ecliptic_rad =
            (mean_longitude_deg + 1.915 * g.sin() + 0.020 * (2.0 * g).sin()).to_radians();
        let obliquity_rad = (23.439 - 0.000_000_4 * n).to_radians();
        let right_ascension_rad =
            (obliquity_rad.cos() * ecliptic_rad.sin()).atan2(ecliptic_rad.cos());
        let ahead_deg = mean_longitude_deg - right_ascension_rad.to_degrees();
        Self {
            declination_rad: (obliquity_rad.sin() * ecliptic_rad.sin()).asin(),
            equation_of_time_h: crate::units::wrap_180_deg(ahead_deg) / 15.0,
            distance_au: 1.00014 - 0.01671 * g.cos() - 0.00014 * (2.0 * g).cos(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beyond_the_polar_circle_the_sun_stays_up_or_down() {
        let summer = SunDay::at(date(2026, 6, 21), 80.0, 0.0);
        assert_eq!(summer.daylight_hours, 24.0);
        assert_eq!(summer.sunrise_utc_hours, None);
        let winter = SunDay::at(date(2026, 12, 21), 80.0, 0.0);
        assert_eq!(winter.daylight_hours, 0.0);
        assert!(winter.above_air_kwh_per_m2.abs() < 1e-9);
    }

    #[test]
    fn the_poles_themselves_have_a_day() {
        for latitude_deg in [-90.0, 90.0] {
            let day = SunDay::at(date(2026, 3, 1), latitude_deg, 0.0);
            assert!(day.daylight_hours == 0.0 || day.daylight_hours == 24.0);
            assert!(day.above_air_kwh_per_m2.is_finite());
        }
    }

    #[test]
    fn noon_moves_an_hour_every_fifteen_degrees() {
        let west = SunDay::at(date(2026, 5, 1), 30.0, -60.0);
        let east = SunDay::at(date(2026, 5, 1), 30.0, -45.0);
        let shift_h = west.sunrise_utc_hours.unwrap() - east.sunrise_utc_hours.unwrap();
        assert!((shift_h - 1.0).abs() < 0.01, "{shift_h}");
    }
}
