//! What keeps a question from being answered.

use crate::boat::BoatError;
use crate::climate::ClimateError;
use crate::passage::PassageError;
use crate::shaping::ShapingError;
use crate::stores::StoresError;
use crate::text::brief;
use crate::voyage::VoyageError;

/// What keeps a question from being answered.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StudyError {
    /// The voyage says too little, or its file is wrong.
    #[error(transparent)]
    Voyage(#[from] VoyageError),
    /// A log that says nothing about the polar.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// The winds cannot be read.
    #[error(transparent)]
    Climate(#[from] ClimateError),
    /// A series of winds cannot be measured.
    #[cfg(feature = "netcdf")]
    #[error(transparent)]
    Series(#[from] Box<crate::climate::SeriesError>),
    /// A passage cannot be computed.
    #[error(transparent)]
    Passage(#[from] PassageError),
    /// A passage cannot be computed in the second climate.
    #[error("in the second climate: {0}")]
    SecondClimate(PassageError),
    /// No course can be shaped.
    #[error(transparent)]
    Shaping(Box<ShapingError>),
    /// A rally without a boat.
    #[error("a rally needs boats: found none")]
    NoBoats,
    /// Two boats of a rally have one name.
    #[error("two boats of the rally are called '{}'; give each a name of her own", brief(.0))]
    BoatTwice(String),
    /// The stores cannot be worked out.
    #[error(transparent)]
    Stores(#[from] StoresError),
}

impl From<ShapingError> for StudyError {
    fn from(error: ShapingError) -> Self {
        Self::Shaping(Box::new(error))
    }
}
