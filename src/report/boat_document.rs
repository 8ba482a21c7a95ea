//! The boat as JSON: speeds in knots, angles in degrees, the factor included.

use serde::Serialize;

use super::boat_notes::boat_notes;
use super::boat_tables::{course_angles_deg, winds_kn};
use super::cautions::BOAT_CAUTIONS;
use super::document::written;
use crate::boat::{Engine, GenericBoat, MadeGood};
use crate::passage::Voyage;

#[derive(Serialize)]
struct Document<'a> {
    boat: BoatRecord<'a>,
    polar: PolarRecord<'a>,
    best_angles: Vec<BestRecord>,
    course_made_good: CourseMadeGoodRecord,
    notes: Vec<String>,
    cautions: [&'static str; BOAT_CAUTIONS.len()],
}

#[derive(Serialize)]
struct BoatRecord<'a> {
    name: Option<&'a str>,
    factor: f64,
    generic: Option<GenericBoat>,
    heave_to_kn: f64,
    motor_below_kn: Option<f64>,
    engine: Option<&'a Engine>,
}

#[derive(Serialize)]
struct PolarRecord<'a> {
    true_wind_speeds_kn: &'a [f64],
    true_wind_angles_deg: &'a [f64],
    /// A list for each wind speed, in it a speed for each angle.
    boat_speeds_kn: Vec<Vec<f64>>,
}

#[derive(Serialize)]
struct BestRecord {
    true_wind_speed_kn: f64,
    upwind: Option<MadeGood>,
    downwind: Option<MadeGood>,
}

#[derive(Serialize)]
struct CourseMadeGoodRecord {
    true_wind_speeds_kn: Vec<f64>,
    angles_off_course_deg: Vec<f64>,
    /// A list for each wind speed, in it the progress for each angle; under sail.
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
        cautions: BOAT_CAUTIONS,
    })
}
