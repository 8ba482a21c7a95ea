//! The boat as JSON: speeds in knots, angles in degrees, the factor included.

use schemars::JsonSchema;
use serde::Serialize;

use super::boat_tables::{course_angles_deg, winds_kn};
use super::cautions::BOAT_CAUTIONS;
use super::document::written;
use super::notes::boat_notes;
use crate::boat::{Engine, GenericBoat, MadeGood};
use crate::voyage::Voyage;

/// A boat's speeds, the factor included.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'a> {
    /// The boat as the voyage file describes her.
    boat: BoatRecord<'a>,
    /// Boat speed by wind speed and angle.
    polar: PolarRecord<'a>,
    /// The headings that make most good up and down the wind, by wind speed.
    best_angles: Vec<BestRecord>,
    /// The best progress along a course, tacking where that pays.
    course_made_good: CourseMadeGoodRecord,
    /// What was assumed about the boat, a sentence each.
    notes: Vec<String>,
    /// What to know before trusting the figures, a sentence each.
    cautions: &'static [&'static str],
}

/// The boat as the voyage file describes her.
#[derive(JsonSchema, Serialize)]
struct BoatRecord<'a> {
    /// Her name; none where the voyage file gives none.
    name: Option<&'a str>,
    /// What scales her polar.
    factor: f64,
    /// The dimensions her polar is worked out from; none where it was given.
    generic: Option<GenericBoat>,
    /// True wind speed at and above which she makes no progress, knots.
    heave_to_kn: f64,
    /// Progress under sail below which the engine is started, knots; none for never.
    motor_below_kn: Option<f64>,
    /// Her engine; none where she has none.
    engine: Option<&'a Engine>,
}

/// Boat speed through the water, the factor included.
#[derive(JsonSchema, Serialize)]
struct PolarRecord<'a> {
    /// True wind speeds, knots, rising.
    true_wind_speeds_kn: &'a [f64],
    /// True wind angles off the bow, degrees, rising.
    true_wind_angles_deg: &'a [f64],
    /// Boat speeds, knots: a list for each wind speed, in it a speed for each angle.
    boat_speeds_kn: Vec<Vec<f64>>,
}

/// The best headings in one wind.
#[derive(JsonSchema, Serialize)]
struct BestRecord {
    /// True wind speed, knots.
    true_wind_speed_kn: f64,
    /// The heading that makes most good to windward; none where none makes any.
    upwind: Option<MadeGood>,
    /// The heading that makes most good down the wind; none where none makes any.
    downwind: Option<MadeGood>,
}

/// The best progress along a course under sail, between two headings where that pays.
#[derive(JsonSchema, Serialize)]
struct CourseMadeGoodRecord {
    /// True wind speeds, knots, rising.
    true_wind_speeds_kn: Vec<f64>,
    /// Angles between the course and where the wind comes from, degrees, 0 to 180.
    angles_off_course_deg: Vec<f64>,
    /// Progress, knots: a list for each wind speed, in it the progress for each angle.
    progress_kn: Vec<Vec<f64>>,
}

/// The boat of a voyage as JSON, indented.
pub fn boat_json(voyage: &Voyage) -> String {
    let boat = &voyage.boat;
    let polar = boat.polar();
    let winds_kn = winds_kn(boat);
    let courses_deg = course_angles_deg();
    let by_wind = |winds_kn: &[f64], angles_deg: &[f64], speed_kn: &dyn Fn(f64, f64) -> f64| {
        let at_wind = |&wind_kn: &f64| {
            let speeds = angles_deg.iter().map(|&deg| speed_kn(wind_kn, deg));
            speeds.collect::<Vec<f64>>()
        };
        winds_kn.iter().map(at_wind).collect::<Vec<_>>()
    };
    written(&Document {
        boat: BoatRecord {
            name: voyage.boat_name.as_deref(),
            factor: boat.factor(),
            generic: voyage.generic_boat,
            heave_to_kn: boat.handling().heave_to_kn(),
            motor_below_kn: boat.handling().motor_below_kn(),
            engine: boat.engine(),
        },
        polar: PolarRecord {
            true_wind_speeds_kn: polar.true_wind_speeds_kn(),
            true_wind_angles_deg: polar.true_wind_angles_deg(),
            boat_speeds_kn: by_wind(
                polar.true_wind_speeds_kn(),
                polar.true_wind_angles_deg(),
                &|wind_kn, deg| polar.speed_kn(wind_kn, deg),
            ),
        },
        best_angles: winds_kn
            .iter()
            .map(|&true_wind_speed_kn| BestRecord {
                true_wind_speed_kn,
                upwind: polar.best_upwind(true_wind_speed_kn),
                downwind: polar.best_downwind(true_wind_speed_kn),
            })
            .collect(),
        course_made_good: CourseMadeGoodRecord {
            progress_kn: by_wind(&winds_kn, &courses_deg, &|wind_kn, deg| {
                boat.progress_under_sail(wind_kn, deg).made_good_kn()
            }),
            true_wind_speeds_kn: winds_kn,
            angles_off_course_deg: courses_deg,
        },
        notes: boat_notes(voyage),
        cautions: &BOAT_CAUTIONS,
    })
}
