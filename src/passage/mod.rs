//! Where wind, boat and route meet: the voyage file and the walk along a route.

mod cyclone_time;
mod ensemble;
mod error;
mod expected;
mod exposure;
mod season;
mod survey;
mod wind_nodes;

pub use cyclone_time::CycloneTime;
pub use ensemble::{
    Chance, Ensemble, EnsembleOptions, EnsembleRunner, ExposureHours, MOST_DAYS, MeanAnd90,
    MemberPassage, chance_first_arrives_before,
};
pub use error::PassageError;
pub use expected::{
    ExpectedLeg, ExpectedPassage, ExpectedSegment, STALL_BELOW_KN, Stall, Walk,
    months_without_wind, walk_expected,
};
pub use exposure::{AirTemperature, Exposure, GALE_KN, LIGHT_AIR_KN, Met, STRONG_KN};
pub use season::{
    Departure, MOST_PASSAGES, SEASON_EVERY_DAYS, SeasonPassage, Window, best_window, season,
    season_length,
};
pub use survey::{SurveyedPlace, survey_place, survey_route};
