//! The ensemble: many passages through winds that persist, and the spread of what came of them.
//!
//! A member's wind is the mean of its place and season plus the spread times a pair z of standard
//! Gaussians, one along the track and one across, that persist: z(t + dt) = r z(t) + sqrt(1 - r²) e
//! with r = exp(-dt / tau), a first-order autoregression. By definition its components keep to east
//! and north. Here they keep to the track: since they have one spread and are independent, that is
//! the same as long as the course holds, but where the course turns, the anomaly turns with it. The
//! reference in fixed components (scripts/reference/ensemble.py) says what that does, along with all
//! else that differs: on the demonstration's routes, one with five legs and one great circle, mean
//! days differ by 0.04 % and mean hours of gale by 0.06 %.
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
mod run;
mod tank;
mod track;

pub use block::MOST_DAYS;
pub use options::EnsembleOptions;
pub use outcome::{
    ArrivalPercentiles, Chance, DaysPercentiles, Ensemble, MeanAnd90, MedianAndP90, MemberPassage,
    chance_first_arrives_before,
};
pub use run::EnsembleRunner;
pub(super) use track::TrackClimate;
