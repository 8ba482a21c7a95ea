//! The boat as the passage sees her, for a terminal.

use super::boat_tables::{best_angles, course_made_good, polar};
use super::cautions::BOAT_CAUTIONS;
use super::comparison::bullets;
use super::notes::about_the_boat;
use super::polar_drawing::drawing;
use super::table::wrap;
use super::wording::{grouped, short};
use crate::boat::Boat;
use crate::voyage::Voyage;

/// The boat of a voyage: how she is handled, her polar, her best angles, what she makes good along
/// a course, and a drawing of her polar.
pub fn boat_text(voyage: &Voyage) -> String {
    let boat = &voyage.boat;
    let mut parts = vec![
        heading(voyage),
        polar(boat),
        best_angles(boat),
        course_made_good(boat),
        drawing(boat.polar()),
    ];
    parts.extend(about_the_boat(voyage));
    parts.push(format!("Cautions\n{}", bullets(&BOAT_CAUTIONS)));
    parts.join("\n\n") + "\n"
}

/// Her name, factor, handling and engine.
fn heading(voyage: &Voyage) -> String {
    let boat = &voyage.boat;
    let name = voyage.boat_name.as_deref().unwrap_or("not named");
    let from = match voyage.generic_boat {
        None => "from a file",
        Some(_) => "generic, from her dimensions",
    };
    [
        format!("Boat: {name}"),
        format!(
            "Polar {from}; factor {}, included in all that follows",
            boat.factor()
        ),
        format!(
            "Hove to, making nothing good, in {} kn of wind and above",
            boat.handling().heave_to_kn()
        ),
        engine(boat),
    ]
    .map(|line| wrap(&line, "  "))
    .join("\n")
}

fn engine(boat: &Boat) -> String {
    let Some(engine) = boat.engine() else {
        return "No engine".to_owned();
    };
    let rate = engine.litres_per_hour();
    let hours = engine.fuel_litres() / rate;
    let started = match boat.handling().motor_below_kn() {
        Some(motor_below_kn) => format!("started below {motor_below_kn} kn made good"),
        None => "not used on passage".to_owned(),
    };
    format!(
        "Engine {started}: {} kn, {rate} litres an hour, {} litres; that is {} hours or {} nm",
        short(engine.motor_speed_kn()),
        grouped(engine.fuel_litres()),
        grouped(hours),
        grouped(hours * engine.motor_speed_kn())
    )
}
