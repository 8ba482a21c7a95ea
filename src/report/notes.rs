//! What is to be said about the boat, the winds and the land wherever they are used.

use super::comparison::bullets;
use super::land::{about_the_land, land_notes};
use crate::climate::Climate;
use crate::route::LandCheck;
use crate::voyage::Voyage;

/// All notes about a voyage, a sentence or two each.
pub(super) fn notes(voyage: &Voyage, climate: &Climate, land: &[LandCheck]) -> Vec<String> {
    [
        boat_notes(voyage).as_slice(),
        climate.notes(),
        &land_notes(&voyage.routes, land),
    ]
    .concat()
}

/// The same under headings, for a terminal.
pub(super) fn about_the_voyage(
    voyage: &Voyage,
    climate: &Climate,
    land: &[LandCheck],
) -> Vec<String> {
    let mut parts: Vec<String> = about_the_boat(voyage).into_iter().collect();
    parts.extend(about_the_winds(climate));
    parts.push(about_the_land(&voyage.routes, land));
    parts
}

/// What is to be known about the boat's polar, if anything.
pub(super) fn about_the_boat(voyage: &Voyage) -> Option<String> {
    let notes = boat_notes(voyage);
    (!notes.is_empty()).then(|| format!("About the boat\n{}", bullets(&notes)))
}

/// What the reader of the winds has to say about them, if anything.
pub(super) fn about_the_winds(climate: &Climate) -> Option<String> {
    let notes = climate.notes();
    (!notes.is_empty()).then(|| format!("About the winds\n{}", bullets(notes)))
}

/// Notes about the boat: that her polar is a generic one, and what to do about it.
pub(super) fn boat_notes(voyage: &Voyage) -> Vec<String> {
    let Some(dimensions) = &voyage.generic_boat else {
        return Vec::new();
    };
    let mut notes = vec![format!(
        "The polar is generic: made from dimensions ({} m waterline, {} kg, {} m2 of sail), in \
         smooth water, with a clean bottom and good sails. It is a first guess; `offing boat fit` \
         compares it with your own log.",
        dimensions.waterline_length_m, dimensions.displacement_kg, dimensions.sail_area_m2
    )];
    if voyage.boat.factor() >= 1.0 {
        notes.push(format!(
            "The factor on it is {}: a boat loaded for the ocean and sailed by a small crew is \
             slower than that. Write a factor below 1 under [boat], such as 0.85 (common \
             practice, no source).",
            voyage.boat.factor()
        ));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Boat, GenericBoat, Handling, Keel, Rig};

    fn with_factor(factor: f64) -> Voyage {
        let dimensions = GenericBoat {
            waterline_length_m: 10.2,
            displacement_kg: 11_000.0,
            sail_area_m2: 80.0,
            rig: Rig::Sloop,
            keel: Keel::Fin,
        };
        let polar = dimensions.polar().unwrap();
        Voyage {
            boat: Boat::new(&polar, factor, None, Handling::default()).unwrap(),
            generic_boat: Some(dimensions),
            ..Voyage::demo().unwrap()
        }
    }

    #[test]
    fn a_generic_polar_is_said_to_be_one_and_a_factor_suggested_only_where_none_is() {
        assert!(boat_notes(&Voyage::demo().unwrap()).is_empty());
        let notes = boat_notes(&with_factor(0.85));
        assert_eq!(notes.len(), 1);
        assert!(notes[0].contains("10.2 m waterline, 11000 kg, 80 m2"));
        let notes = boat_notes(&with_factor(1.0));
        assert!(notes[1].contains("a factor below 1"), "{notes:?}");
    }
}
