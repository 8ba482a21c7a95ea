//! What can be wrong with a position or a leg.

use super::position::Position;
use crate::text::brief;
use crate::units::{Course, OutOfRange};

/// A position or a leg that cannot be used, worded for whoever wrote it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GeodesyError {
    /// A number outside its range.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),

    /// Text that is not a position.
    #[error(
        "cannot read the position \"{found}\": {fault}; write it like 32°03.2'S 115°44.0'E, \
         32.0533S 115.7333E or -32.0533, 115.7333",
        found = brief(found)
    )]
    PositionText {
        /// The text found.
        found: String,
        /// What is wrong with it.
        fault: PositionFault,
    },

    /// A leg from a place to itself, which has no course.
    #[error("a leg needs two different places, but both its ends are at {place}")]
    SamePlace {
        /// The place of both ends.
        place: Position,
    },

    /// A composite leg with an end nearer the pole than its limiting latitude.
    #[error(
        "the leg's end at {end} is beyond the limiting latitude {}; move the limit poleward or \
         sail this leg as a great circle or rhumb line",
        latitude_words(*limit_latitude_deg)
    )]
    EndBeyondLimit {
        /// The end beyond the limit.
        end: Position,
        /// The limit, positive north, in degrees.
        limit_latitude_deg: f64,
    },

    /// A composite leg across the equator.
    #[error(
        "a composite leg stays in one hemisphere, but it runs from {from} to {to}; put a waypoint \
         on the equator"
    )]
    HemispheresDiffer {
        /// Where the leg begins.
        from: Position,
        /// Where the leg ends.
        to: Position,
    },

    /// A southern limit, by its sign, for a leg in the north.
    #[error(
        "the limiting latitude {} is south, but the leg from {from} to {to} is north; give the \
         limit without a sign, it applies to the leg's own hemisphere",
        latitude_words(*limit_latitude_deg)
    )]
    LimitInOtherHemisphere {
        /// The limit, positive north, in degrees.
        limit_latitude_deg: f64,
        /// Where the leg begins.
        from: Position,
        /// Where the leg ends.
        to: Position,
    },

    /// A rhumb line that would run on past a pole.
    #[error(
        "a rhumb line from {from} on course {:05.1} reaches the pole after {pole_nm:.1} nm and ends \
         there; {distance_nm:.1} nm was asked for",
        course.deg()
    )]
    BeyondPole {
        /// Where the line begins.
        from: Position,
        /// Its course.
        course: Course,
        /// The distance asked for, in nautical miles.
        distance_nm: f64,
        /// The distance to the pole along the line, in nautical miles.
        pole_nm: f64,
    },

    /// A rhumb line from a pole on a course that is not along a meridian.
    #[error(
        "a rhumb line can leave the pole at {from} only along a meridian (course 000 or 180), not \
         on course {:05.1}",
        course.deg()
    )]
    RhumbFromPole {
        /// The pole.
        from: Position,
        /// The course asked for.
        course: Course,
    },
}

/// What is wrong with the text of a position.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PositionFault {
    /// Not one latitude followed by one longitude.
    #[error("found no clear split into a latitude and then a longitude")]
    NotTwoParts,
    /// A hemisphere letter that does not belong to this coordinate.
    #[error("the {axis} has the letter {found}; allowed: {allowed}")]
    Letter {
        /// Latitude or longitude.
        axis: &'static str,
        /// The letter found.
        found: char,
        /// The letters allowed.
        allowed: &'static str,
    },
    /// A sign and a hemisphere letter on one coordinate.
    #[error("the {axis} has both a sign and a hemisphere letter; use one of them")]
    SignAndLetter {
        /// Latitude or longitude.
        axis: &'static str,
    },
    /// Something that is not a plain decimal number.
    #[error("the {axis} has \"{}\" where a number belongs", brief(found))]
    Number {
        /// Latitude or longitude.
        axis: &'static str,
        /// The text found.
        found: String,
    },
    /// More or fewer numbers than degrees, or degrees and minutes.
    #[error(
        "the {axis} \"{}\" is neither degrees nor degrees and minutes",
        brief(found)
    )]
    Shape {
        /// Latitude or longitude.
        axis: &'static str,
        /// The text found.
        found: String,
    },
    /// Minutes of 60 or more.
    #[error("the {axis} has {found} minutes; allowed: 0 up to, but not including, 60")]
    Minutes {
        /// Latitude or longitude.
        axis: &'static str,
        /// The minutes found.
        found: f64,
    },
    /// Degrees with a fraction, and minutes after them.
    #[error("the {axis} has minutes after {found} degrees; with minutes the degrees are whole")]
    BrokenDegrees {
        /// Latitude or longitude.
        axis: &'static str,
        /// The degrees found.
        found: f64,
    },
    /// Minutes without a hemisphere letter.
    #[error("the {axis} has degrees and minutes but no hemisphere letter; allowed: {allowed}")]
    LetterMissing {
        /// Latitude or longitude.
        axis: &'static str,
        /// The letters allowed.
        allowed: &'static str,
    },
    /// A coordinate off the chart.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
}

/// A latitude as a sailor says it: `45°S`.
fn latitude_words(latitude_deg: f64) -> String {
    let hemisphere = if latitude_deg < 0.0 { 'S' } else { 'N' };
    format!("{}°{hemisphere}", latitude_deg.abs())
}
