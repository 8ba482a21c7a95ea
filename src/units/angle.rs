//! Directions: a course points where the boat goes, a wind is named by where it comes from.
//! They are separate types because a bare angle invites a mistake of 180 degrees.

use schemars::JsonSchema;
use serde::Serialize;

/// The direction of travel over the ground, in degrees true, in [0, 360).
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Course(f64);

/// The direction the wind comes from, in degrees true, in [0, 360).
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct WindFrom(f64);

impl Course {
    /// A course from any angle in degrees true; it is brought into [0, 360).
    pub fn from_deg(course_deg: f64) -> Self {
        Self(wrap_360_deg(course_deg))
    }

    /// Degrees true, clockwise from north, in [0, 360).
    pub fn deg(self) -> f64 {
        self.0
    }
}

impl WindFrom {
    /// A wind direction from any angle in degrees true; it is brought into [0, 360).
    pub fn from_deg(wind_from_deg: f64) -> Self {
        Self(wrap_360_deg(wind_from_deg))
    }

    /// The direction of a wind with components `u_ms` toward the east and `v_ms` toward the north.
    /// A calm has no direction; it is given as north.
    pub fn from_components(u_ms: f64, v_ms: f64) -> Self {
        if u_ms == 0.0 && v_ms == 0.0 {
            return Self(0.0);
        }
        Self::from_deg((-u_ms).atan2(-v_ms).to_degrees())
    }

    /// Degrees true, clockwise from north, in [0, 360).
    pub fn deg(self) -> f64 {
        self.0
    }
}

/// How far the wind is off the course, in degrees from 0 (dead ahead) to 180 (dead astern).
pub fn angle_off_deg(course: Course, wind_from: WindFrom) -> f64 {
    wrap_180_deg(wind_from.0 - course.0).abs()
}

/// The same direction in [0, 360) degrees.
pub fn wrap_360_deg(angle_deg: f64) -> f64 {
    let wrapped = angle_deg.rem_euclid(360.0);
    // A tiny negative angle rounds up to 360 itself.
    if wrapped >= 360.0 { 0.0 } else { wrapped }
}

/// The same direction in [-180, 180) degrees.
pub fn wrap_180_deg(angle_deg: f64) -> f64 {
    if (-180.0..180.0).contains(&angle_deg) {
        return angle_deg;
    }
    wrap_360_deg(angle_deg + 180.0) - 180.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wind_blowing_toward_the_east_comes_from_the_west() {
        assert_eq!(WindFrom::from_components(5.0, 0.0).deg(), 270.0);
        assert_eq!(WindFrom::from_components(0.0, 5.0).deg(), 180.0);
        assert_eq!(WindFrom::from_components(-3.0, 0.0).deg(), 90.0);
        assert_eq!(WindFrom::from_components(0.0, -3.0).deg(), 0.0);
    }

    #[test]
    fn angle_off_is_symmetric_across_north() {
        let off = |course, wind| angle_off_deg(Course::from_deg(course), WindFrom::from_deg(wind));
        assert_eq!(off(350.0, 20.0), 30.0);
        assert_eq!(off(20.0, 350.0), 30.0);
        assert_eq!(off(90.0, 270.0), 180.0);
        assert_eq!(off(45.0, 45.0), 0.0);
    }

    #[test]
    fn wrapping_keeps_the_open_end_open() {
        assert_eq!(wrap_360_deg(-1e-20), 0.0);
        assert_eq!(wrap_360_deg(725.0), 5.0);
        assert_eq!(wrap_180_deg(180.0), -180.0);
        assert_eq!(wrap_180_deg(-190.0), 170.0);
    }
}
