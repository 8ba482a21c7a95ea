//! What can stop a passage from being computed.

use crate::climate::{ClimateError, ClimateGap};
use crate::voyage_file::VoyageError;

/// What stops a passage from being computed.
#[derive(Debug, thiserror::Error)]
pub enum PassageError {
    /// The voyage file is wrong.
    #[error(transparent)]
    Voyage(#[from] VoyageError),
    /// The winds cannot be read.
    #[error(transparent)]
    Climate(#[from] ClimateError),
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
