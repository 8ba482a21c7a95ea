//! The ensemble: many passages through winds that persist, each with her own boat factor, and how
//! they spread.
//!
//! A member's wind is the mean of its place and season plus its standard deviation times a departure
//! z = sqrt(1 - a) z_fast + sqrt(a) z_slow in two independent components toward the east and the
//! north. Each part is an Ornstein-Uhlenbeck process with its own correlation time; the slow one, which
//! hardly changes in a day, is stepped once a day.
//!
//! A route is one-dimensional once chosen: the climate is brought onto its stretches once (`track`),
//! the boat into one table over wind and current (`sails`), chance into two small tables and a
//! generator (`draws`). `steps` is the model. Where a route has stops its `marks` say where a member's
//! clock stands still; `stages` and `late` are what comes of it. Where the crew waits for weather a member
//! leaves by `departing`; `waiting` is what comes of that.

mod departing;
mod draws;
mod late;
mod marks;
mod options;
mod outcome;
mod passages;
mod run;
mod sails;
mod stages;
mod steps;
mod track;
mod waiting;
mod weather;
mod worst;

pub use late::Late;
pub use options::EnsembleOptions;
pub use outcome::{
    Chance, DatePercentiles, DaysPercentiles, Ensemble, MeanAnd90, MedianAndP90, MemberPassage,
    chance_first_arrives_before, standard_error,
};
pub use run::EnsembleRunner;
pub use stages::{MemberStage, StageSpread};
pub use steps::MOST_DAYS;
pub use waiting::{FirstDays, LeavingAtOnce, StageWaiting, Waiting};
