//! The boat as the passage sees her: how she is handled; wind and course in, progress out.

use schemars::JsonSchema;
use serde::Serialize;

use super::at_sea::AtSea;
use super::course_made_good::CourseMadeGood;
use super::engine::Engine;
use super::error::BoatError;
use super::point_factors::PointFactors;
use super::polar::Polar;
use super::ranges::{self, BEAT_UNTIL, HEAVE_TO, MOTOR_BELOW, POLAR_FACTOR, SEA_BRAKE, SLAT_BELOW};
use super::waiting::WaitForWeather;

/// Standard deviation of a boat's speed from passage to passage, where her polar was not checked at sea:
/// 80 % of real passages lay between P10 and P90 with 0.105 (90 % interval 0.096 to 0.115) on a known
/// track (logbooks of 1826 to 1854, CLIWOC 2.1).
const UNCHECKED_UNCERTAINTY: f64 = 0.11;

/// The same where it was found from the crew's own log, in the same condition (common practice, no
/// source).
pub const OWN_LOG_UNCERTAINTY: f64 = 0.07;

/// A boat: her polar, the factor on it, an engine if she has one, and how she is handled.
#[derive(Debug, Clone)]
pub struct Boat {
    given_polar: Polar,
    polar: Polar,
    factor: f64,
    point_factors: PointFactors,
    factor_uncertainty: f64,
    course_made_good: CourseMadeGood,
    engine: Option<Engine>,
    handling: Handling,
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
            course_made_good: CourseMadeGood::new(&scaled, &handling.at_sea),
            polar: scaled,
            factor,
            point_factors: PointFactors::NONE,
            factor_uncertainty: UNCHECKED_UNCERTAINTY,
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
        let mut other = self.clone();
        let takes = |at_sea: AtSea| (at_sea.sea_brake, at_sea.slat_below_kn);
        if takes(handling.at_sea) != takes(self.handling.at_sea) {
            other.course_made_good = CourseMadeGood::new(&self.polar, &handling.at_sea);
        }
        (other.engine, other.handling) = (engine, handling);
        Ok(other)
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

    /// The factors by point of sailing, on top of the one on all of her polar.
    pub fn point_factors(&self) -> PointFactors {
        self.point_factors
    }

    /// The same boat with other factors by point of sailing.
    ///
    /// # Errors
    /// A factor outside 0.3 to 1.5.
    pub fn with_point_factors(mut self, factors: PointFactors) -> Result<Self, BoatError> {
        self.point_factors = factors.check()?;
        self.polar = self.given_polar.scaled(self.factor).with_factors(&factors);
        self.course_made_good = CourseMadeGood::new(&self.polar, &self.handling.at_sea);
        Ok(self)
    }

    /// A polar of hers with what the sea takes off it; light airs, in which sails slat, are left as
    /// they are.
    pub fn braked(&self, polar: &Polar) -> Polar {
        let brake = AtSea {
            sea_brake: self.handling.at_sea.sea_brake,
            ..AtSea::NONE
        };
        polar.adjusted(&[], &[], |wind_kn, angle_deg, speed_kn| {
            brake.speed_kn(wind_kn, angle_deg, speed_kn)
        })
    }

    /// How sure the factor is: the standard deviation of her speed from passage to passage, as a share
    /// of it, for load, fouling, crew, damage and sails.
    pub fn factor_uncertainty(&self) -> f64 {
        self.factor_uncertainty
    }

    /// The same boat with another uncertainty of her factor.
    ///
    /// # Errors
    /// An uncertainty outside 0 to 0.5.
    pub fn with_factor_uncertainty(mut self, uncertainty: f64) -> Result<Self, BoatError> {
        self.factor_uncertainty = ranges::FACTOR_UNCERTAINTY.check(uncertainty)?;
        Ok(self)
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
    /// What the sea and the crew take off her speeds.
    at_sea: AtSea,
    /// How she waits in harbour for weather; none where she leaves on the day.
    waiting: Option<WaitForWeather>,
}

impl Handling {
    /// Heaving to at or above `heave_to_kn` of true wind; motoring where progress under sail falls
    /// below `motor_below_kn`, or never. Nothing is taken off her polar's speeds.
    ///
    /// # Errors
    /// A figure outside 15 to 100 kn or 0 to 15 kn.
    pub fn new(heave_to_kn: f64, motor_below_kn: Option<f64>) -> Result<Self, BoatError> {
        let never = Self {
            heave_to_kn: HEAVE_TO.check(heave_to_kn)?,
            motor_below_kn: None,
            at_sea: AtSea::NONE,
            waiting: None,
        };
        never.with_motor_below(motor_below_kn)
    }

    /// The same with the engine started below another progress under sail, or never.
    ///
    /// # Errors
    /// A progress outside 0 to 15 kn.
    pub fn with_motor_below(mut self, motor_below_kn: Option<f64>) -> Result<Self, BoatError> {
        self.motor_below_kn = motor_below_kn
            .map(|progress_kn| MOTOR_BELOW.check(progress_kn))
            .transpose()?;
        Ok(self)
    }

    /// The same with what the sea and the crew take off her speeds.
    ///
    /// # Errors
    /// A brake outside 0 to 3, slatting outside 0 to 15 kn of apparent wind, an end to beating outside
    /// 10 to 100 kn.
    pub fn with_at_sea(mut self, at_sea: AtSea) -> Result<Self, BoatError> {
        SEA_BRAKE.check(at_sea.sea_brake)?;
        at_sea
            .slat_below_kn
            .map(|kn| SLAT_BELOW.check(kn))
            .transpose()?;
        at_sea
            .beat_until_kn
            .map(|kn| BEAT_UNTIL.check(kn))
            .transpose()?;
        self.at_sea = at_sea;
        Ok(self)
    }

    /// The same, waiting in harbour for weather, or leaving on the day.
    pub fn with_waiting(mut self, waiting: Option<WaitForWeather>) -> Self {
        // To wait no day at all is to leave on the day.
        self.waiting = waiting.filter(|waiting| waiting.most_days() > 0);
        self
    }

    /// How she waits in harbour for weather; none where she leaves on the day.
    pub fn waiting(&self) -> Option<&WaitForWeather> {
        self.waiting.as_ref()
    }

    /// What the sea and the crew take off her speeds.
    pub fn at_sea(&self) -> AtSea {
        self.at_sea
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
            at_sea: AtSea::NONE,
            waiting: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{CourseCurrent, CourseWind};

    fn boat(engine: Option<Engine>, motor_below_kn: Option<f64>) -> Boat {
        let polar = Polar::tabulate(&[10.0, 20.0], &[0.0, 90.0, 180.0], |_, _| 6.0);
        let handling = Handling::new(40.0, motor_below_kn).unwrap();
        Boat::new(&polar, 0.5, engine, handling).unwrap()
    }

    fn engine() -> Option<Engine> {
        Some(Engine::new(5.0, 2.5, 200.0).unwrap())
    }

    /// Speed along the course and whether under power, in still water.
    fn still(boat: &Boat, speed_kn: f64, off_deg: f64, fuelled: bool) -> (f64, bool) {
        let wind = CourseWind { speed_kn, off_deg };
        let progress = boat.progress(wind, CourseCurrent::default(), fuelled);
        (progress.made_good_kn, progress.under_power)
    }

    #[test]
    fn heaving_to_begins_at_its_wind_speed_and_wins_over_motoring() {
        let boat = boat(engine(), Some(4.0));
        assert_eq!(still(&boat, 39.9, 90.0, true), (5.0, true));
        assert_eq!(still(&boat, 40.0, 90.0, true), (0.0, false));
    }

    #[test]
    fn she_motors_only_below_the_limit_and_only_with_an_engine_and_fuel() {
        let asked = |engine, below_kn, fuelled| {
            let (made_good_kn, under_power) = still(&boat(engine, below_kn), 10.0, 90.0, fuelled);
            (made_good_kn, under_power)
        };
        assert_eq!(asked(engine(), Some(3.0), true), (3.0, false));
        assert_eq!(asked(engine(), Some(3.1), true), (5.0, true));
        assert_eq!(asked(engine(), Some(3.1), false), (3.0, false));
        assert_eq!(asked(None, Some(3.1), true), (3.0, false));
        assert_eq!(still(&boat(engine(), None), 0.0, 90.0, true), (0.0, false));
    }

    #[test]
    fn handled_otherwise_she_sails_as_before() {
        let before = boat(engine(), Some(4.0));
        let never = Handling::new(40.0, None).unwrap();
        let after = before.handled(None, never).unwrap();
        assert_eq!(still(&after, 10.0, 90.0, true), (3.0, false));
        assert_eq!(after.factor(), before.factor());
        let above_the_engine = Handling::new(40.0, Some(6.0)).unwrap();
        assert!(before.handled(engine(), above_the_engine).is_err());
    }

    #[test]
    fn the_sea_takes_its_share_where_the_polar_is_of_smooth_water() {
        let polar = Polar::tabulate(&[10.0, 20.0], &[0.0, 90.0, 180.0], |_, _| 6.0);
        let braked = Handling::default()
            .with_at_sea(AtSea::SMOOTH_WATER)
            .unwrap();
        let boat = Boat::new(&polar, 1.0, None, braked).unwrap();
        let (into_it, _) = still(&boat, 18.0, 30.0, true);
        approx::assert_abs_diff_eq!(into_it, 6.0 * 0.88, epsilon = 0.02);
        let (before_it, _) = still(&boat, 18.0, 180.0, true);
        approx::assert_abs_diff_eq!(before_it, 6.0, epsilon = 0.02);
        assert_eq!(still(&boat, 38.0, 30.0, true).0, 0.0);
        let wrong = AtSea {
            sea_brake: -1.0,
            ..AtSea::NONE
        };
        let message = Handling::default()
            .with_at_sea(wrong)
            .unwrap_err()
            .to_string();
        assert!(message.contains("sea brake is -1"), "{message}");
    }

    #[test]
    fn another_threshold_leaves_what_the_sea_takes() {
        let braked = Handling::default()
            .with_at_sea(AtSea::SMOOTH_WATER)
            .unwrap();
        let patient = braked.with_motor_below(Some(1.0)).unwrap();
        assert_eq!(patient.motor_below_kn(), Some(1.0));
        assert_eq!(patient.at_sea(), AtSea::SMOOTH_WATER);
        assert!(braked.with_motor_below(Some(-1.0)).is_err());
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
