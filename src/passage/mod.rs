//! Where wind, boat and route meet: the voyage file and the walk along a route.

mod ensemble;
mod error;
mod expected;
mod exposure;
mod season;
mod survey;
mod voyage;
mod wind_nodes;

pub use ensemble::{
    Chance, Ensemble, EnsembleOptions, EnsembleRunner, ExposureHours, MeanAnd90, MemberPassage,
    chance_first_arrives_before,
};
pub use error::PassageError;
pub use expected::{
    ExpectedLeg, ExpectedPassage, ExpectedSegment, STALL_BELOW_KN, Stall, Walk,
    months_without_wind, walk_expected,
};
pub use exposure::{
    ABAFT_OFF_DEG, AirTemperature, Exposure, GALE_KN, HARD_BEAT_KN, HEADWIND_OFF_DEG, LIGHT_AIR_KN,
    STRONG_KN,
};
pub use season::{
    Departure, SEASON_EVERY_DAYS, SeasonPassage, Window, best_window, season, season_length,
};
pub use survey::{SurveyedPlace, survey_place, survey_route};
pub use voyage::{ClimateChoice, EngineRoom, Voyage};
