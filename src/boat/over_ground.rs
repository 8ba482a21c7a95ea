//! Progress over the ground: the boat keeps to her course in a current.

use super::vessel::Boat;

/// The wind as it meets a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CourseWind {
    /// Its true speed, knots.
    pub speed_kn: f64,
    /// Where it comes from, degrees off the course, -180 to 180, positive to port.
    pub off_deg: f64,
}

/// A current as it sets on a course.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CourseCurrent {
    /// Set along the course, knots, negative against it.
    pub along_kn: f64,
    /// Set across the course, knots, positive to port.
    pub across_kn: f64,
}

/// How the boat moves along her course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Over the ground, knots; negative where a current sets her back.
    pub made_good_kn: f64,
    /// Whether under power.
    pub under_power: bool,
}

/// A speed across the course this near to what is wanted holds it, knots.
const HELD_WITHIN_KN: f64 = 1e-3;
/// The water tracks tried where the first guesses do not hold, degrees apart.
const TURN_DEG: f64 = 10.0;
/// Halvings between two of them.
const HALVINGS: u32 = 14;

impl CourseWind {
    /// From its parts from ahead and from port, knots.
    pub fn from_parts(ahead_kn: f64, port_kn: f64) -> Self {
        Self {
            // Four times as fast as `hypot`, whose care for overflow no wind needs.
            speed_kn: (ahead_kn * ahead_kn + port_kn * port_kn).sqrt(),
            off_deg: port_kn.atan2(ahead_kn).to_degrees(),
        }
    }
}

impl Boat {
    /// How she moves along a course: hove to, under power where her engine is wanted and `fuelled`,
    /// or under sail. In a calm, or hove to, she drifts with the current along her course; the drift
    /// across it is made good later and not counted.
    pub fn progress(&self, wind: CourseWind, current: CourseCurrent, fuelled: bool) -> Progress {
        let water_kn = self.under_sail_kn(wind, current.across_kn);
        self.progress_from(water_kn, wind, current, fuelled)
    }

    /// How she moves where she would make `water_kn` under sail, as [`Boat::under_sail_kn`] says: the
    /// rest of [`Boat::progress`], for both answers about the fuel from one speed under sail.
    pub fn progress_from(
        &self,
        water_kn: f64,
        wind: CourseWind,
        current: CourseCurrent,
        fuelled: bool,
    ) -> Progress {
        let sailing = |water_kn: f64| Progress {
            made_good_kn: water_kn + current.along_kn,
            under_power: false,
        };
        if self.heaves_to(wind.speed_kn) {
            return sailing(0.0);
        }
        let (Some(engine), Some(motor_below_kn)) =
            (self.engine(), self.handling().motor_below_kn())
        else {
            return sailing(water_kn);
        };
        // In a strong current across she may make more under sail than the engine holds.
        let powered_kn = held_by_engine_kn(engine.motor_speed_kn(), current.across_kn);
        if fuelled && water_kn < motor_below_kn.min(powered_kn) {
            Progress {
                under_power: true,
                ..sailing(powered_kn)
            }
        } else {
            sailing(water_kn)
        }
    }

    /// Her speed through the water along a course under sail, knots, while she holds it against a
    /// current that sets `across_kn` to port. She may split her time between two headings; so what
    /// she can do is the convex hull of her polar curve, and she goes where the line of just that
    /// speed across the course leaves it. Where no heading gives enough of it, she is on the one that
    /// gives most; 0 where she heaves to.
    pub fn under_sail_kn(&self, wind: CourseWind, across_kn: f64) -> f64 {
        if self.heaves_to(wind.speed_kn) {
            return 0.0;
        }
        // By symmetry the current may set to starboard, and she to port.
        let side = if across_kn > 0.0 { -1.0 } else { 1.0 };
        let wanted_kn = across_kn.abs();
        // Speed through the water at an angle off the course, and its part across.
        let reach_kn = |track_deg: f64| {
            let off_deg = side * wind.off_deg - track_deg;
            self.course_made_good().progress_kn(wind.speed_kn, off_deg)
        };
        let along_kn = if wanted_kn == 0.0 {
            reach_kn(0.0)
        } else {
            held_kn(reach_kn, wanted_kn)
        };
        along_kn
            * self
                .handling()
                .at_sea()
                .share_beaten(wind.speed_kn, wind.off_deg.abs())
    }

    /// Whether she heaves to in a wind.
    pub(super) fn heaves_to(&self, true_wind_speed_kn: f64) -> bool {
        true_wind_speed_kn >= self.handling().heave_to_kn()
    }
}

/// What is left along the course of a speed under power that holds it against a current across.
pub fn held_by_engine_kn(motor_speed_kn: f64, across_kn: f64) -> f64 {
    (motor_speed_kn * motor_speed_kn - across_kn * across_kn)
        .max(0.0)
        .sqrt()
}

/// Speed along the course where the speed across it is `wanted_kn`, given the reach of the hull at
/// angles off the course; at the most there is across, where that is less.
fn held_kn(reach_kn: impl Fn(f64) -> f64, wanted_kn: f64) -> f64 {
    let parts = |track_deg: f64| {
        let (sin, cos) = track_deg.to_radians().sin_cos();
        let reach_kn = reach_kn(track_deg);
        (reach_kn * cos, reach_kn * sin)
    };
    // A current is weak beside the boat as a rule: then a few guesses hold the course.
    let mut reach = reach_kn(0.0);
    for _ in 0..3 {
        if wanted_kn > 0.5 * reach {
            break;
        }
        let sin = wanted_kn / reach;
        reach = reach_kn(sin.asin().to_degrees());
        if (reach * sin - wanted_kn).abs() < HELD_WITHIN_KN {
            return reach * (1.0 - sin * sin).sqrt();
        }
    }
    let (mut low_deg, mut most) = (0.0, parts(0.0));
    let mut turned_deg = TURN_DEG;
    while turned_deg <= 180.0 - TURN_DEG {
        let here = parts(turned_deg);
        if here.1 >= wanted_kn {
            let mut high_deg = turned_deg;
            for _ in 0..HALVINGS {
                let middle_deg = (low_deg + high_deg) / 2.0;
                if parts(middle_deg).1 < wanted_kn {
                    low_deg = middle_deg;
                } else {
                    high_deg = middle_deg;
                }
            }
            return parts(high_deg).0;
        }
        if here.1 > most.1 {
            most = here;
        }
        low_deg = turned_deg;
        turned_deg += TURN_DEG;
    }
    most.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{AtSea, Engine, Handling, Polar};

    /// The table's own error, and that of holding the course.
    const SPEED_TOLERANCE_KN: f64 = 0.02;

    fn circle(motor_below_kn: Option<f64>) -> Boat {
        circle_of(6.0, motor_below_kn)
    }

    fn circle_of(speed_kn: f64, motor_below_kn: Option<f64>) -> Boat {
        let polar = Polar::tabulate(&[0.0, 40.0], &[0.0, 90.0, 180.0], |_, _| speed_kn);
        let engine = Engine::new(5.0, 2.0, 100.0).unwrap();
        let handling = Handling::new(45.0, motor_below_kn).unwrap();
        assert_eq!(handling.at_sea(), AtSea::NONE);
        Boat::new(&polar, 1.0, Some(engine), handling).unwrap()
    }

    fn on(along_kn: f64, across_kn: f64) -> CourseCurrent {
        CourseCurrent {
            along_kn,
            across_kn,
        }
    }

    /// A polar that is a circle makes the same speed any way: with a current across the course the
    /// sides of a right-angled triangle are left (plane geometry).
    #[test]
    fn a_circle_in_a_cross_current_has_a_closed_form() {
        let boat = circle(None);
        for off_deg in [-170.0, -90.0, 0.0, 30.0, 120.0, 180.0] {
            for across_kn in [-5.9, -4.0, -1.0, -0.2, 0.0, 0.3, 2.0, 5.0] {
                let wind = CourseWind {
                    speed_kn: 12.0,
                    off_deg,
                };
                let made = boat.progress(wind, on(0.7, across_kn), true);
                let exact = (36.0 - across_kn * across_kn).sqrt() + 0.7;
                approx::assert_abs_diff_eq!(made.made_good_kn, exact, epsilon = SPEED_TOLERANCE_KN);
            }
        }
    }

    #[test]
    fn a_current_ahead_as_strong_as_the_boat_stalls_her() {
        let wind = CourseWind {
            speed_kn: 12.0,
            off_deg: 90.0,
        };
        let made = circle(None).progress(wind, on(-6.0, 0.0), true);
        approx::assert_abs_diff_eq!(made.made_good_kn, 0.0, epsilon = SPEED_TOLERANCE_KN);
    }

    #[test]
    fn a_current_across_too_strong_to_hold_leaves_nothing_along() {
        let wind = CourseWind {
            speed_kn: 12.0,
            off_deg: 90.0,
        };
        let made = circle(None).progress(wind, on(0.0, 8.0), true);
        assert!(made.made_good_kn < 1.1, "{made:?}");
    }

    #[test]
    fn hove_to_and_becalmed_she_drifts_along_her_course() {
        let gale = CourseWind {
            speed_kn: 50.0,
            off_deg: 10.0,
        };
        let hove_to = circle(None).progress(gale, on(-0.5, 0.3), true);
        assert_eq!((hove_to.made_good_kn, hove_to.under_power), (-0.5, false));
    }

    #[test]
    fn under_power_she_holds_the_course_too() {
        let wind = CourseWind {
            speed_kn: 12.0,
            off_deg: 90.0,
        };
        // The sides of right-angled triangles: 5 kn under power, 4 kn across, 3 kn along.
        let slow = circle_of(4.1, Some(4.5));
        let made = slow.progress(wind, on(0.5, 4.0), true);
        assert!(made.under_power);
        assert_eq!(made.made_good_kn, 3.5);
        assert!(!slow.progress(wind, on(0.5, 4.0), false).under_power);
        // Under 6 kn of sail she makes 4.47, and more than under power.
        let made = circle(Some(4.5)).progress(wind, on(0.5, 4.0), true);
        assert!(!made.under_power);
    }

    /// Against every pair of headings a degree apart, their shares of the time so that the current
    /// across the course is held.
    #[test]
    fn a_current_is_held_by_sharing_time_between_headings() {
        /// Headings a degree apart miss a little of the best.
        const MISSED_KN: f64 = 0.02;
        let text = include_str!("../../fixtures/demo/cutter-12m.csv");
        let polar = Polar::parse(text, "demo").unwrap();
        let boat = Boat::new(&polar, 1.0, None, Handling::new(45.0, None).unwrap()).unwrap();
        for (speed_kn, off_deg) in [
            (12.0, 20.0_f64),
            (16.0, -35.0),
            (9.0, 175.0),
            (20.0, -100.0),
        ] {
            let (wind_sin, wind_cos) = off_deg.to_radians().sin_cos();
            // Speeds along the course and to port, on every heading and lying still.
            let mut velocities = vec![(0.0, 0.0)];
            for angle in -180..180 {
                let angle_deg = f64::from(angle);
                let made_kn = polar.speed_kn(speed_kn, angle_deg);
                let (sin, cos) = angle_deg.to_radians().sin_cos();
                // The wind is from (cos, sin) of its angle off the course, to port.
                let ahead = wind_cos * cos - wind_sin * sin;
                let port = wind_sin * cos + wind_cos * sin;
                velocities.push((made_kn * ahead, made_kn * port));
            }
            for across_kn in [-1.5, -0.4, 0.6, 2.0] {
                let mut best_kn = f64::NEG_INFINITY;
                for (a, first) in velocities.iter().enumerate() {
                    for second in &velocities[..a] {
                        let share = (-across_kn - second.1) / (first.1 - second.1);
                        if (0.0..=1.0).contains(&share) {
                            let along_kn = share * first.0 + (1.0 - share) * second.0;
                            best_kn = best_kn.max(along_kn);
                        }
                    }
                }
                let got_kn = boat.under_sail_kn(CourseWind { speed_kn, off_deg }, across_kn);
                assert!(
                    (got_kn - best_kn).abs() < SPEED_TOLERANCE_KN + MISSED_KN,
                    "{speed_kn} kn from {off_deg}, {across_kn} across: {got_kn}, best {best_kn}"
                );
            }
        }
    }
}
