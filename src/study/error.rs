//! What keeps a question from being answered.

use crate::boat::BoatError;
use crate::climate::ClimateError;
use crate::passage::PassageError;
use crate::shaping::ShapingError;
use crate::stores::StoresError;
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
    /// The stores cannot be worked out.
    #[error(transparent)]
    Stores(#[from] StoresError),
}

impl From<ShapingError> for StudyError {
    fn from(error: ShapingError) -> Self {
        Self::Shaping(Box::new(error))
    }
}
