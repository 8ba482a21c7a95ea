//! A boat's speeds, for a terminal.

use super::boat_tables::{best_angles, course_made_good, polar};
use super::cautions::BOAT_CAUTIONS;
use super::notes::{about_the_boat, bullets};
use super::polar_drawing::drawing;
use super::table::wrap;
use super::wording::{grouped, short};
use crate::boat::PointFactors;
use crate::study::{AboutBoat, BoatSpeeds};
use crate::units::OutputUnits;

/// A boat's handling, polar, best angles and course made good, and a drawing of the polar.
pub fn boat_text(speeds: &BoatSpeeds) -> String {
    let mut parts = vec![
        heading(&speeds.boat),
        polar(&speeds.polar),
        best_angles(&speeds.best_angles),
        course_made_good(&speeds.course_made_good),
        drawing(speeds.sailed.polar()),
    ];
    parts.extend(about_the_boat(&speeds.boat, OutputUnits::Metric));
    parts.push(format!("Cautions\n{}", bullets(&BOAT_CAUTIONS)));
    parts.join("\n\n") + "\n"
}

/// Her name, factor, handling and engine.
fn heading(boat: &AboutBoat) -> String {
    let from = match boat.generic {
        None => "from a file",
        Some(_) => "computed from her dimensions",
    };
    [
        format!("Boat: {}", boat.name.as_deref().unwrap_or("not named")),
        format!(
            "Polar {from}; factor {}{}, included in all figures below",
            boat.factor,
            by_point(&boat.factors)
        ),
        format!(
            "Heaves to, with no progress, in {} kn of wind or more",
            boat.heave_to_kn
        ),
        engine(boat),
    ]
    .map(|line| wrap(&line, "  "))
    .join("\n")
}

/// The factors by point of sailing, where there are any.
fn by_point(factors: &PointFactors) -> String {
    if *factors == PointFactors::NONE {
        return String::new();
    }
    format!(
        ", on top of it {} beating, {} reaching, {} running",
        factors.beating, factors.reaching, factors.running
    )
}

fn engine(boat: &AboutBoat) -> String {
    let Some(engine) = &boat.engine else {
        return "No engine".to_owned();
    };
    let started = match boat.motor_below_kn {
        Some(motor_below_kn) => format!("started below {motor_below_kn} kn made good"),
        None => "not used on passage".to_owned(),
    };
    format!(
        "Engine {started}: {} kn, {} litres an hour, {} litres usable; enough for {} hours or {} nm",
        short(engine.motor_speed_kn()),
        engine.litres_per_hour(),
        grouped(engine.fuel_litres()),
        grouped(engine.endurance_hours()),
        grouped(engine.range_nm())
    )
}
