//! The boat as the passage sees her: how she is handled; wind and course in, progress out.

use schemars::JsonSchema;
use serde::Serialize;

use super::course_made_good::CourseMadeGood;
use super::engine::Engine;
use super::error::BoatError;
use super::polar::Polar;
use super::ranges::POLAR_FACTOR;
use super::ranges::{HEAVE_TO, MOTOR_BELOW};

/// A boat: her polar, the factor on it, an engine if she has one, and how she is handled.
#[derive(Debug, Clone)]
pub struct Boat {
    given_polar: Polar,
    polar: Polar,
    factor: f64,
    course_made_good: CourseMadeGood,
    engine: Option<Engine>,
    handling: Handling,
}

/// How the boat moves along her course.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Progress {
    /// Under sail, at this speed along the course, kn; 0 in a calm.
    Sailing(f64),
    /// Under power, at this speed along the course, kn.
    Motoring(f64),
    /// Hove to: no progress.
    HoveTo,
}

impl Progress {
    /// Speed along the course, kn.
    pub fn made_good_kn(self) -> f64 {
        match self {
            Self::Sailing(made_good_kn) | Self::Motoring(made_good_kn) => made_good_kn,
            Self::HoveTo => 0.0,
        }
    }
}

impl Boat {
    /// A boat whose speeds under sail are `factor` times those of `polar`, for crew, load and
    /// fouling.
    ///
    /// # Errors
    /// A factor outside 0.3 to 1.5; an engine slower than the progress below which it is started.
    pub fn new(
        polar: &Polar,
        factor: f64,
        engine: Option<Engine>,
        handling: Handling,
    ) -> Result<Self, BoatError> {
        let factor = POLAR_FACTOR.check(factor)?;
        go_together(engine.as_ref(), &handling)?;
        let scaled = polar.scaled(factor);
        Ok(Self {
            given_polar: polar.clone(),
            course_made_good: CourseMadeGood::new(&scaled),
            polar: scaled,
            factor,
            engine,
            handling,
        })
    }

    /// The same boat with another engine, or none, and handled otherwise.
    ///
    /// # Errors
    /// An engine slower than the progress below which it is started.
    pub fn handled(&self, engine: Option<Engine>, handling: Handling) -> Result<Self, BoatError> {
        go_together(engine.as_ref(), &handling)?;
        Ok(Self {
            engine,
            handling,
            ..self.clone()
        })
    }

    /// How she moves along a course with the wind `angle_off_course_deg` (0 to 180) off it, with
    /// fuel left for the engine if she has one. `true_wind_speed_kn` is 0 or more.
    ///
    /// Heaving to comes before motoring.
    pub fn progress(&self, true_wind_speed_kn: f64, angle_off_course_deg: f64) -> Progress {
        let under_sail = self.progress_under_sail(true_wind_speed_kn, angle_off_course_deg);
        match (under_sail, self.engine, self.handling.motor_below_kn()) {
            (Progress::Sailing(made_good_kn), Some(engine), Some(motor_below_kn))
                if made_good_kn < motor_below_kn =>
            {
                Progress::Motoring(engine.motor_speed_kn())
            }
            _ => under_sail,
        }
    }

    /// How she moves along a course without the engine: when the fuel is spent.
    pub fn progress_under_sail(
        &self,
        true_wind_speed_kn: f64,
        angle_off_course_deg: f64,
    ) -> Progress {
        if true_wind_speed_kn >= self.handling.heave_to_kn() {
            return Progress::HoveTo;
        }
        Progress::Sailing(
            self.course_made_good
                .progress_kn(true_wind_speed_kn, angle_off_course_deg),
        )
    }

    /// The polar she sails by, factor included.
    pub fn polar(&self) -> &Polar {
        &self.polar
    }

    /// Her polar as it was given, before the factor.
    pub fn given_polar(&self) -> &Polar {
        &self.given_polar
    }

    /// The factor on her polar.
    pub fn factor(&self) -> f64 {
        self.factor
    }

    /// Her course made good, factor included.
    pub fn course_made_good(&self) -> &CourseMadeGood {
        &self.course_made_good
    }

    /// Her engine, if she has one.
    pub fn engine(&self) -> Option<&Engine> {
        self.engine.as_ref()
    }

    /// How she is handled.
    pub fn handling(&self) -> &Handling {
        &self.handling
    }
}

/// An engine is started where it makes more of the course than the sails do.
fn go_together(engine: Option<&Engine>, handling: &Handling) -> Result<(), BoatError> {
    match (engine, handling.motor_below_kn()) {
        (Some(engine), Some(motor_below_kn)) if motor_below_kn > engine.motor_speed_kn() => {
            Err(BoatError::MotorSlower {
                motor_below_kn,
                motor_speed_kn: engine.motor_speed_kn(),
            })
        }
        _ => Ok(()),
    }
}

/// When the crew heaves to and when it starts the engine.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct Handling {
    /// True wind speed at and above which she makes no progress, knots.
    heave_to_kn: f64,
    /// Progress under sail below which the engine is started, knots; none for never.
    motor_below_kn: Option<f64>,
}

impl Handling {
    /// Heaving to at or above `heave_to_kn` of true wind; motoring where progress under sail falls
    /// below `motor_below_kn`, or never.
    ///
    /// # Errors
    /// A figure outside 15 to 100 kn or 0 to 15 kn.
    pub fn new(heave_to_kn: f64, motor_below_kn: Option<f64>) -> Result<Self, BoatError> {
        Ok(Self {
            heave_to_kn: HEAVE_TO.check(heave_to_kn)?,
            motor_below_kn: motor_below_kn
                .map(|progress_kn| MOTOR_BELOW.check(progress_kn))
                .transpose()?,
        })
    }

    /// True wind speed at and above which she makes no progress, kn.
    pub fn heave_to_kn(&self) -> f64 {
        self.heave_to_kn
    }

    /// Progress under sail below which the engine is started, kn.
    pub fn motor_below_kn(&self) -> Option<f64> {
        self.motor_below_kn
    }
}

impl Default for Handling {
    /// Heaving to at 45 kn (common practice, no source), never motoring.
    fn default() -> Self {
        Self {
            heave_to_kn: 45.0,
            motor_below_kn: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boat(engine: Option<Engine>, motor_below_kn: Option<f64>) -> Boat {
        let polar = Polar::tabulate(&[10.0, 20.0], &[0.0, 90.0, 180.0], |_, _| 6.0);
        let handling = Handling::new(40.0, motor_below_kn).unwrap();
        Boat::new(&polar, 0.5, engine, handling).unwrap()
    }

    fn engine() -> Option<Engine> {
        Some(Engine::new(5.0, 2.5, 200.0).unwrap())
    }

    #[test]
    fn heaving_to_begins_at_its_wind_speed_and_wins_over_motoring() {
        let boat = boat(engine(), Some(4.0));
        assert_eq!(boat.progress(39.9, 90.0), Progress::Motoring(5.0));
        assert_eq!(boat.progress(40.0, 90.0), Progress::HoveTo);
        assert_eq!(boat.progress(40.0, 90.0).made_good_kn(), 0.0);
    }

    #[test]
    fn she_motors_only_below_the_limit_and_only_with_an_engine() {
        assert_eq!(
            boat(engine(), Some(3.0)).progress(10.0, 90.0),
            Progress::Sailing(3.0)
        );
        assert_eq!(
            boat(engine(), Some(3.1)).progress(10.0, 90.0),
            Progress::Motoring(5.0)
        );
        assert_eq!(
            boat(None, Some(3.1)).progress(10.0, 90.0),
            Progress::Sailing(3.0)
        );
        assert_eq!(
            boat(engine(), None).progress(0.0, 90.0),
            Progress::Sailing(0.0)
        );
    }

    #[test]
    fn with_the_fuel_spent_she_only_sails() {
        let boat = boat(engine(), Some(4.0));
        assert_eq!(boat.progress_under_sail(10.0, 90.0), Progress::Sailing(3.0));
        assert_eq!(boat.progress_under_sail(45.0, 90.0), Progress::HoveTo);
    }

    #[test]
    fn handled_otherwise_she_sails_as_before() {
        let before = boat(engine(), Some(4.0));
        let never = Handling::new(40.0, None).unwrap();
        let after = before.handled(None, never).unwrap();
        assert_eq!(after.progress(10.0, 90.0), Progress::Sailing(3.0));
        assert_eq!(after.factor(), before.factor());
        let above_the_engine = Handling::new(40.0, Some(6.0)).unwrap();
        assert!(before.handled(engine(), above_the_engine).is_err());
    }

    #[test]
    fn an_engine_slower_than_the_limit_is_refused() {
        let polar = Polar::tabulate(&[10.0, 20.0], &[0.0, 90.0, 180.0], |_, _| 6.0);
        let handling = Handling::new(45.0, Some(6.0)).unwrap();
        let error = Boat::new(&polar, 1.0, engine(), handling).unwrap_err();
        assert_eq!(
            error.to_string(),
            "motor below 6 kn, but the engine makes only 5 kn; allowed: at most the speed under power"
        );
        let error = Boat::new(&polar, 1.6, None, Handling::default()).unwrap_err();
        assert_eq!(
            error.to_string(),
            "factor on the polar is 1.6; allowed: 0.3 to 1.5"
        );
    }

    #[test]
    fn figures_out_of_range_are_named() {
        let message = |result: Result<Handling, BoatError>| result.unwrap_err().to_string();
        assert_eq!(
            message(Handling::new(5.0, None)),
            "wind speed at which to heave to is 5 kn; allowed: 15 to 100 kn"
        );
        assert_eq!(
            message(Handling::new(45.0, Some(f64::INFINITY))),
            "progress below which to motor is inf kn; allowed: 0 to 15 kn"
        );
    }
}
