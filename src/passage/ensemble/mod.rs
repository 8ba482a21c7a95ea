//! The ensemble: many passages through winds that persist, and the spread of what came of them.
//!
//! A member's wind is the mean of its place and season plus the spread times a pair z of standard
//! Gaussians, one along the track and one across, that persist: z(t + dt) = r z(t) + sqrt(1 - r²) e
//! with r = exp(-dt / tau), a first-order autoregression. The two components have one spread and
//! are independent, so turning them from east and north to the track changes nothing.
//!
//! Built for speed: a route is one-dimensional once chosen. The climate is brought onto its cells
//! once (`track`), the boat into one table over the wind ahead and abeam (`look_up`), so that a step
//! of a member is a random pair, three look-ups and an addition (`block`).

mod block;
mod gaussian;
mod generator;
mod look_up;
mod options;
mod outcome;
mod quantile;
mod run;
mod track;

pub use options::EnsembleOptions;
pub use outcome::{
    Chance, Ensemble, ExposureHours, MeanAnd90, MemberPassage, chance_first_arrives_before,
};
pub use quantile::quantile;
pub use block::MOST_DAYS;
pub use run::EnsembleRunner;
pub(super) use track::TrackClimate;
