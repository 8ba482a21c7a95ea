//! What can stop a passage from being computed.

use jiff::civil::Date;

use super::lay_off::LayOff;
use super::pieces::MOST_PIECES;
use super::season::MOST_PASSAGES;
use crate::climate::{ClimateGap, Month};
use crate::geodesy::Position;
use crate::text::brief;

/// What stops a passage from being computed.
#[derive(Debug, thiserror::Error)]
pub enum PassageError {
    /// A place has no wind data in any of the months asked for.
    #[error(
        "no wind data around {position} in {when}; it may be land or ice, or a part of the sea \
         without reports"
    )]
    NoWinds {
        /// The place.
        position: Position,
        /// The month, or `any month`.
        when: &'static str,
    },
    /// More passages than a machine can be asked to keep.
    #[error(
        "{members} passages x {departures} departures x {stages} stages of routes are more than \
         {MOST_PASSAGES} in all; ask for fewer with --members, or for departures farther apart"
    )]
    TooMany {
        /// Passages for each departure and route.
        members: usize,
        /// The departures.
        departures: usize,
        /// The stages of all routes: one for a route without stops.
        stages: usize,
    },
    /// A season in which she can never leave.
    #[error(
        "no departure of the twelve months from {first} is on or after {leave_after}, the `leave_after` \
         of `[voyage]`; ask for another year with --year, or change `leave_after`"
    )]
    NoDeparture {
        /// The first day of the twelve months.
        first: Date,
        /// The first day on which she can leave.
        leave_after: Date,
    },
    /// A route laid off in pieces shorter than those its legs are sampled in.
    #[error(
        "pieces of {asked_nm} nm are shorter than the sampling step, which is {step_nm} nm; allowed: \
         --by {step_nm}nm or more, or a smaller `step_nm` in the voyage file"
    )]
    ShortPieces {
        /// The pieces asked for, nautical miles.
        asked_nm: f64,
        /// The sampling step, nautical miles.
        step_nm: f64,
    },
    /// More pieces than anyone reads.
    #[error(
        "route '{route}' laid off by {by} has {pieces} pieces; allowed: {MOST_PIECES} at most; ask \
         for longer ones with --by",
        route = brief(route)
    )]
    ManyPieces {
        /// The route's name.
        route: String,
        /// How it was to be laid off.
        by: LayOff,
        /// The pieces there would be.
        pieces: usize,
    },
    /// A route crosses waters without wind data.
    #[error(
        "route '{route}', {run_nm:.0} nm from its start: {gap}; move the route, or name a wind \
         file that covers it",
        route = brief(route)
    )]
    Gap {
        /// The route's name.
        route: String,
        /// How far along the route, in nautical miles.
        run_nm: f64,
        /// Where and when data are missing.
        gap: ClimateGap,
    },
}

impl PassageError {
    /// That a place has no wind data in any of `months`.
    pub fn no_winds(position: Position, months: &[Month]) -> Self {
        let when = match months {
            [month] => month.name(),
            _ => "any month",
        };
        Self::NoWinds { position, when }
    }
}
