//! The line of constant course between two places, on the ellipsoid.
//!
//! With psi the isometric and mu the rectifying latitude, R the radius of the rectifying sphere and
//! lambda the longitude, all in radians, a rhumb line of course C and length s obeys
//! tan C = (lambda2 - lambda1) / (psi2 - psi1) and s cos C = R (mu2 - mu1). Near a parallel both
//! sides of the second vanish, so the length is taken as
//! s = R hypot(lambda2 - lambda1, psi2 - psi1) (mu2 - mu1) / (psi2 - psi1), with the last ratio as
//! a divided difference. The sources are named in the module `meridian`.

use std::f64::consts::FRAC_PI_2;

use super::earth::{Earth, sin_cos_deg};
use super::error::GeodesyError;
use super::meridian::Meridian;
use super::position::Position;
use super::track::{TrackPoint, along_m, apart_m, sailed_m};
use crate::units::{Course, METRES_PER_NM};

/// How far past the pole a rectifying latitude may fall by rounding, in radians (0.6 micrometres).
const POLE_ROUNDING: f64 = 1e-13;

/// A rhumb line: constant course from one place to another.
#[derive(Debug, Clone, PartialEq)]
pub struct RhumbLine {
    meridian: Meridian,
    isometric: f64,
    rectifying: f64,
    longitude_deg: f64,
    course: Course,
    course_sin: f64,
    course_cos: f64,
    length_m: f64,
}

impl RhumbLine {
    /// The rhumb line from `from` to `to`, the shorter way round; eastward when the two are exactly
    /// 180 degrees of longitude apart. To or from a pole it is the meridian of the other end.
    ///
    /// # Errors
    /// [`GeodesyError::SamePlace`] when the two are within a millimetre.
    pub fn between(earth: Earth, from: Position, to: Position) -> Result<Self, GeodesyError> {
        let meridian = Meridian::of(earth);
        let isometric = meridian.isometric(from.latitude_deg());
        let isometric_end = meridian.isometric(to.latitude_deg());
        let rectifying = meridian.rectifying(isometric);
        let northing = isometric_end - isometric;

        let (longitude_deg, course_sin, course_cos, length);
        if from.is_pole() || to.is_pole() {
            longitude_deg = if from.is_pole() { to } else { from }.longitude_deg();
            course_sin = 0.0;
            course_cos = 1f64.copysign(to.latitude_deg() - from.latitude_deg());
            length = (meridian.rectifying(isometric_end) - rectifying).abs();
        } else {
            let easting = easting_deg(from, to).to_radians();
            let run = easting.hypot(northing);
            apart_m(run * meridian.radius_m(), from)?;
            longitude_deg = from.longitude_deg();
            course_sin = easting / run;
            course_cos = northing / run;
            length = run * meridian.rectifying_per_isometric(isometric, isometric_end);
        }
        Ok(Self {
            meridian,
            isometric,
            rectifying,
            longitude_deg,
            course: Course::from_deg(course_sin.atan2(course_cos).to_degrees()),
            course_sin,
            course_cos,
            length_m: apart_m(length * meridian.radius_m(), from)?,
        })
    }

    /// The rhumb line that leaves `from` on `course` and runs for `distance_nm` nautical miles.
    ///
    /// # Errors
    /// [`GeodesyError::OutOfRange`] for a distance that is not from 0 to 25,000 nm,
    /// [`GeodesyError::BeyondPole`] when the line reaches a pole before that, and
    /// [`GeodesyError::RhumbFromPole`] when it starts at a pole and not along a meridian.
    pub fn on_course(
        earth: Earth,
        from: Position,
        course: Course,
        distance_nm: f64,
    ) -> Result<Self, GeodesyError> {
        let length_m = sailed_m(distance_nm)?;
        let meridian = Meridian::of(earth);
        let isometric = meridian.isometric(from.latitude_deg());
        let rectifying = meridian.rectifying(isometric);
        let (course_sin, course_cos) = sin_cos_deg(course.deg());
        if from.is_pole() && course_sin != 0.0 {
            return Err(GeodesyError::RhumbFromPole { from, course });
        }
        let end = rectifying + length_m * course_cos / meridian.radius_m();
        if end.abs() > FRAC_PI_2 + POLE_ROUNDING {
            let to_pole = FRAC_PI_2.copysign(course_cos) - rectifying;
            return Err(GeodesyError::BeyondPole {
                from,
                course,
                distance_nm,
                pole_nm: to_pole / course_cos * meridian.radius_m() / METRES_PER_NM,
            });
        }
        Ok(Self {
            meridian,
            isometric,
            rectifying,
            longitude_deg: from.longitude_deg(),
            course,
            course_sin,
            course_cos,
            length_m,
        })
    }

    /// The course, the same all along.
    pub fn course(&self) -> Course {
        self.course
    }

    /// Length in nautical miles.
    pub fn length_nm(&self) -> f64 {
        self.length_m / METRES_PER_NM
    }

    /// The point `distance_nm` nautical miles from the start. None when that is more than a
    /// millimetre before the start or past the end, or not a number.
    pub fn at_nm(&self, distance_nm: f64) -> Option<TrackPoint> {
        along_m(distance_nm, self.length_m).map(|m| self.at_m(m))
    }

    pub(super) fn length_m(&self) -> f64 {
        self.length_m
    }

    pub(super) fn at_m(&self, distance_m: f64) -> TrackPoint {
        let turn = distance_m / self.meridian.radius_m();
        let rectifying = (self.rectifying + turn * self.course_cos).clamp(-FRAC_PI_2, FRAC_PI_2);
        let isometric = self.meridian.isometric_from_rectifying(rectifying);
        let easting = if self.course_sin == 0.0 {
            0.0
        } else {
            let slope = self
                .meridian
                .rectifying_per_isometric(self.isometric, isometric);
            self.course_sin * turn / slope
        };
        TrackPoint {
            position: Position::computed(
                self.meridian.latitude_deg(isometric),
                self.longitude_deg + easting.to_degrees(),
            ),
            course: self.course,
            distance_nm: distance_m / METRES_PER_NM,
        }
    }
}

/// The change of longitude from `from` to `to` the shorter way, in (-180, 180] degrees.
pub(super) fn easting_deg(from: Position, to: Position) -> f64 {
    let plain_deg = to.longitude_deg() - from.longitude_deg();
    if plain_deg > 180.0 {
        plain_deg - 360.0
    } else if plain_deg <= -180.0 {
        plain_deg + 360.0
    } else {
        plain_deg
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position::new(latitude_deg, longitude_deg).unwrap()
    }

    #[test]
    fn half_way_round_is_sailed_eastward() {
        assert_eq!(easting_deg(at(0.0, 10.0), at(0.0, -170.0)), 180.0);
        assert_eq!(easting_deg(at(0.0, -170.0), at(0.0, 10.0)), 180.0);
        assert_eq!(easting_deg(at(0.0, 170.0), at(0.0, -170.0)), 20.0);
        assert_eq!(easting_deg(at(0.0, -170.0), at(0.0, 170.0)), -20.0);
        let line = RhumbLine::between(Earth::WGS84, at(-40.0, 100.0), at(-40.0, -80.0)).unwrap();
        assert_eq!(line.course().deg(), 90.0);
    }

    #[test]
    fn a_line_to_or_from_a_pole_keeps_to_one_meridian() {
        let pole = at(90.0, 77.0);
        let port = at(10.0, 20.0);
        let north = RhumbLine::between(Earth::WGS84, port, pole).unwrap();
        let south = RhumbLine::between(Earth::WGS84, pole, port).unwrap();
        assert_eq!((north.course().deg(), south.course().deg()), (0.0, 180.0));
        assert_eq!(north.length_nm(), south.length_nm());
        let middle = |line: &RhumbLine| line.at_nm(line.length_nm() / 2.0).unwrap().position;
        assert!((middle(&north).longitude_deg() - 20.0).abs() < 1e-12);
        assert!((middle(&south).longitude_deg() - 20.0).abs() < 1e-12);
        assert_eq!(
            north
                .at_nm(north.length_nm())
                .unwrap()
                .position
                .latitude_deg(),
            90.0
        );
    }

    #[test]
    fn nothing_lies_beyond_the_pole() {
        let on_course = |course, nm| {
            RhumbLine::on_course(Earth::WGS84, at(80.0, 0.0), Course::from_deg(course), nm)
        };
        assert!(on_course(30.0, 600.0).is_ok());
        let Err(error) = on_course(0.0, 700.0) else {
            panic!("the pole is 603 nm off");
        };
        assert_eq!(
            error.to_string(),
            "a rhumb line from 80°00.0'N 000°00.0'E on course 000.0 reaches the pole after 603.0 nm \
             and ends there; 700.0 nm was asked for"
        );
        let pole = at(-90.0, 0.0);
        let leave =
            |course| RhumbLine::on_course(Earth::WGS84, pole, Course::from_deg(course), 100.0);
        assert!(leave(0.0).is_ok());
        assert!(matches!(
            leave(45.0),
            Err(GeodesyError::RhumbFromPole { .. })
        ));
        assert!(matches!(leave(180.0), Err(GeodesyError::BeyondPole { .. })));
    }
}
