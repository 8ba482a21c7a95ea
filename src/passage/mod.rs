//! Where wind, boat and route meet: the voyage file and the walk along a route.

mod ensemble;
mod error;
mod expected;
mod exposure;
mod hard_times;
mod itinerary;
mod lay_off;
mod measured;
mod median;
mod pieces;
mod season;
mod storms;
mod survey;
mod wind_nodes;

pub use ensemble::{
    Chance, DatePercentiles, DaysPercentiles, Ensemble, EnsembleOptions, EnsembleRunner, FirstDays,
    Late, LeavingAtOnce, MOST_DAYS, MeanAnd90, MedianAndP90, MemberPassage, MemberStage,
    StageSpread, StageWaiting, Waiting, chance_first_arrives_before, standard_error,
};
pub use error::PassageError;
pub use expected::{
    CurrentMet, ExpectedLeg, ExpectedPassage, ExpectedSegment, ExpectedStop, LegWind,
    STALL_BELOW_KN, Stall, Walk, months_without_wind, walk_expected,
};
pub use exposure::{
    AirTemperature, ByKind, Exposure, ExposureKind, GALE_KN, KindNames, LIGHT_AIR_KN, STRONG_KN,
};
pub use lay_off::{LayOff, NotLaidOff};
pub use measured::CountedBesideModel;
pub use median::MedianPassage;
pub use pieces::{MOST_PIECES, Piece, check_lay_off, lay_off};
pub use season::{
    Departure, MOST_PASSAGES, MOST_STORM_CHANCE, SEASON_EVERY_DAYS, SeasonDates, SeasonPassage,
    Window, best_window, season,
};
pub use storms::{LegStorms, Storms};
pub use survey::{SurveyedPlace, survey_place, survey_route};
