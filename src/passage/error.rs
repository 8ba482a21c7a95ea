//! What can stop a passage from being computed.

use super::season::MOST_PASSAGES;
use crate::climate::{ClimateGap, Month};
use crate::geodesy::Position;

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
        "{members} passages x {departures} departures x {routes} routes are more than \
         {MOST_PASSAGES} in all; ask for fewer with --members, or for departures farther apart"
    )]
    TooMany {
        /// Passages for each departure and route.
        members: usize,
        /// The departures.
        departures: usize,
        /// The routes.
        routes: usize,
    },
    /// A route crosses waters without wind data.
    #[error(
        "route '{route}', {run_nm:.0} nm from its start: {gap}; move the route, or name a wind \
         file that covers it"
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
