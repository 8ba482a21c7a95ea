//! The boat: as the voyage describes her, her speeds, and the factor a log of hers shows.

use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::ranges::POLAR_FACTOR;
use crate::boat::{
    AtSea, Boat, BoatError, Calibration, CourseWind, Engine, FactorEstimate, GenericBoat,
    LearnedPolar, Logbook, MadeGood, OWN_LOG_UNCERTAINTY, PointFactors, PointOfSailing,
    WaitForWeather, WindErrors, learn_from_logs,
};
use crate::voyage::Voyage;

use super::StudyError;

/// Steps of the angles off the course in the table of course made good, degrees.
const COURSE_STEP_DEG: u32 = 15;

/// The boat as the voyage describes her.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AboutBoat {
    /// Her name; none where the voyage gives none.
    pub name: Option<String>,
    /// What scales her polar.
    pub factor: f64,
    /// What scales it by point of sailing, on top of that.
    pub factors: PointFactors,
    /// How sure the factor is: the standard deviation of her speed from passage to passage, as a
    /// share of it.
    pub factor_uncertainty: f64,
    /// The dimensions her polar is worked out from; none where it was given.
    pub generic: Option<GenericBoat>,
    /// True wind speed at and above which she makes no progress, knots.
    pub heave_to_kn: f64,
    /// Progress under sail below which the engine is started, knots; none for never.
    pub motor_below_kn: Option<f64>,
    /// What the sea and the crew take off her speeds.
    #[serde(flatten)]
    pub at_sea: AtSea,
    /// How she waits in harbour for weather; none where she leaves on the day.
    pub waiting: Option<WaitForWeather>,
    /// Her engine, with the diesel it can use; none where she has none.
    pub engine: Option<Engine>,
}

impl AboutBoat {
    pub(super) fn new(voyage: &Voyage) -> Self {
        let boat = &voyage.boat;
        Self {
            name: voyage.boat_name.clone(),
            factor: boat.factor(),
            factors: boat.point_factors(),
            factor_uncertainty: boat.factor_uncertainty(),
            generic: voyage.generic_boat,
            heave_to_kn: boat.handling().heave_to_kn(),
            motor_below_kn: boat.handling().motor_below_kn(),
            at_sea: boat.handling().at_sea(),
            waiting: boat.handling().waiting().copied(),
            engine: boat.engine().cloned(),
        }
    }
}

/// A boat's speeds, the factor included.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct BoatSpeeds {
    /// The boat as the voyage describes her.
    pub boat: AboutBoat,
    /// Boat speed by wind speed and angle.
    pub polar: PolarTable,
    /// The headings that make most good up and down the wind, by wind speed.
    pub best_angles: Vec<BestHeadings>,
    /// The best progress along a course, tacking where that pays.
    pub course_made_good: CourseMadeGoodTable,
    /// The boat herself: her polar at any wind and angle, and the one given, before the factor.
    #[serde(skip)]
    pub sailed: Boat,
}

/// Boat speed through the water, the factor included.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct PolarTable {
    /// True wind speeds, knots, rising.
    pub true_wind_speeds_kn: Vec<f64>,
    /// True wind angles off the bow, degrees, rising.
    pub true_wind_angles_deg: Vec<f64>,
    /// Boat speeds, knots: a list for each wind speed, in it a speed for each angle.
    pub boat_speeds_kn: Vec<Vec<f64>>,
}

/// The best headings in one wind.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct BestHeadings {
    /// True wind speed, knots.
    pub true_wind_speed_kn: f64,
    /// The heading that makes most good to windward; none where none makes any.
    pub upwind: Option<MadeGood>,
    /// The heading that makes most good down the wind; none where none makes any.
    pub downwind: Option<MadeGood>,
}

/// The best progress along a course under sail, between two headings where that pays.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct CourseMadeGoodTable {
    /// True wind speeds, knots, rising: the polar's own, without the calm.
    pub true_wind_speeds_kn: Vec<f64>,
    /// Angles between the course and where the wind comes from, degrees, 0 to 180.
    pub angles_off_course_deg: Vec<f64>,
    /// Progress, knots: a list for each wind speed, in it the progress for each angle.
    pub progress_kn: Vec<Vec<f64>>,
}

/// A boat's speeds.
pub fn boat_speeds(voyage: &Voyage) -> BoatSpeeds {
    let boat = &voyage.boat;
    let polar = boat.polar();
    let all_winds_kn = polar.true_wind_speeds_kn().to_vec();
    let angles_deg = polar.true_wind_angles_deg().to_vec();
    let winds_kn: Vec<f64> = all_winds_kn
        .iter()
        .copied()
        .filter(|wind_kn| *wind_kn > 0.0)
        .collect();
    let courses_deg: Vec<f64> = (0..=180 / COURSE_STEP_DEG)
        .map(|step| f64::from(step * COURSE_STEP_DEG))
        .collect();
    BoatSpeeds {
        boat: AboutBoat::new(voyage),
        best_angles: winds_kn
            .iter()
            .map(|&true_wind_speed_kn| BestHeadings {
                true_wind_speed_kn,
                upwind: polar.best_upwind(true_wind_speed_kn),
                downwind: polar.best_downwind(true_wind_speed_kn),
            })
            .collect(),
        polar: PolarTable {
            boat_speeds_kn: by_wind(&all_winds_kn, &angles_deg, |wind_kn, deg| {
                polar.speed_kn(wind_kn, deg)
            }),
            true_wind_speeds_kn: all_winds_kn,
            true_wind_angles_deg: angles_deg,
        },
        course_made_good: CourseMadeGoodTable {
            progress_kn: by_wind(&winds_kn, &courses_deg, |wind_kn, deg| {
                boat.under_sail_kn(
                    CourseWind {
                        speed_kn: wind_kn,
                        off_deg: deg,
                    },
                    0.0,
                )
            }),
            true_wind_speeds_kn: winds_kn,
            angles_off_course_deg: courses_deg,
        },
        sailed: boat.clone(),
    }
}

/// A list for each wind speed, in it a speed for each angle.
fn by_wind(
    winds_kn: &[f64],
    angles_deg: &[f64],
    speed_kn: impl Fn(f64, f64) -> f64,
) -> Vec<Vec<f64>> {
    let at_wind = |&wind_kn: &f64| {
        angles_deg
            .iter()
            .map(|&deg| speed_kn(wind_kn, deg))
            .collect()
    };
    winds_kn.iter().map(at_wind).collect()
}

/// A polar learned from a crew's own logs.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct LearnedBoat {
    /// The boat as the voyage describes her.
    pub boat: AboutBoat,
    /// The logs' files.
    pub files: Vec<String>,
    /// What the logs show.
    #[serde(flatten)]
    pub learned: LearnedPolar,
}

/// Learns a polar from logs of a voyage's boat: her own polar, with its factors and what the sea takes
/// off it, is what the learned one is shrunk to where entries are few.
///
/// # Errors
/// Logs of different columns, without winds, without speeds and fixes, or with too few entries.
pub fn learn(
    voyage: &Voyage,
    logs: &[Logbook],
    errors: &WindErrors,
) -> Result<LearnedBoat, StudyError> {
    let prior = voyage.boat.braked(voyage.boat.polar());
    Ok(LearnedBoat {
        boat: AboutBoat::new(voyage),
        files: logs.iter().map(|log| log.file().to_owned()).collect(),
        learned: learn_from_logs(logs, &prior, errors)?,
    })
}

/// A point of sailing whose factor is this much below the overall one is pointed out.
const CLEARLY_SLOWER: f64 = 0.05;

/// What a crew's own log says about the polar as the sea leaves it, before any factor.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
#[non_exhaustive]
pub struct FittedFactor {
    /// The boat as the voyage describes her.
    pub boat: AboutBoat,
    /// The factor to write, to two decimals.
    pub factor_to_write: f64,
    /// The factors by point of sailing to write, on top of that one, to two decimals: 1 where the
    /// entries are too few.
    pub factors_to_write: PointFactors,
    /// The uncertainty of the factor to write.
    pub factor_uncertainty_to_write: f64,
    /// Whether the voyage has those factors already, to two decimals.
    pub agrees: bool,
    /// The points of sailing on which the log's factor is at least 0.05 below the overall one: there
    /// the boat is slower than the overall factor says.
    pub slower_on: Vec<PointOfSailing>,
    /// What the log shows.
    #[serde(flatten)]
    pub calibration: Calibration,
}

/// Compares a log with the polar of a voyage's boat.
///
/// # Errors
/// A log with too few entries of use.
pub fn fit(voyage: &Voyage, logbook: &Logbook) -> Result<FittedFactor, StudyError> {
    let boat = &voyage.boat;
    let calibration = Calibration::new(logbook, &boat.braked(boat.given_polar()))?;
    let overall = calibration.overall.factor;
    let slower = calibration.by_point_of_sailing.iter().filter(|point| {
        let clearly = |factor| overall - factor >= CLEARLY_SLOWER;
        point.estimate.is_some_and(|found| clearly(found.factor))
    });
    let factor_to_write = hundredths(overall);
    let [beating, reaching, running] = calibration.by_point_of_sailing.map(|point| {
        let on_top = |found: FactorEstimate| POLAR_FACTOR.check(hundredths(found.factor / overall));
        point.estimate.map_or(Ok(1.0), on_top)
    });
    let factors_to_write = PointFactors {
        beating: beating.map_err(BoatError::from)?,
        reaching: reaching.map_err(BoatError::from)?,
        running: running.map_err(BoatError::from)?,
    };
    let agrees =
        hundredths(boat.factor()) == factor_to_write && boat.point_factors() == factors_to_write;
    Ok(FittedFactor {
        boat: AboutBoat::new(voyage),
        factor_to_write,
        factors_to_write,
        factor_uncertainty_to_write: OWN_LOG_UNCERTAINTY,
        agrees,
        slower_on: slower.map(|point| point.point_of_sailing).collect(),
        calibration,
    })
}

fn hundredths(factor: f64) -> f64 {
    (factor * 100.0).round() / 100.0
}
