//! A whole ensemble: members a few abreast, shared out over the machine's cores.

use std::sync::Arc;

use jiff::civil::{Date, date};
use rayon::prelude::*;

use super::draws::{GaussianPairs, StreamKey, boat_factor};
use super::marks::marks;
use super::options::EnsembleOptions;
use super::outcome::{Ensemble, Sailed};
use super::passages::{Pack, Passage, StagePassage};
use super::sails::SailTable;
use super::steps::{ABREAST, Conditions, MOST_DAYS, STEP_HOURS, sail};
use super::track::{Days, TrackClimate};
use crate::boat::Boat;
use crate::climate::{Climate, SeasonDay};
use crate::passage::PassageError;
use crate::passage::itinerary::Itinerary;
use crate::route::Route;

/// Runs ensembles of one boat along some routes: her table and the routes' climate are made once.
#[derive(Clone)]
pub struct EnsembleRunner {
    boat: Boat,
    options: EnsembleOptions,
    tracks: Arc<[TrackClimate]>,
    sails: Arc<SailTable>,
    pairs: Arc<GaussianPairs>,
    factors: Vec<f64>,
}

impl EnsembleRunner {
    /// Makes the boat's table and brings the climate onto the routes.
    pub fn new(boat: &Boat, routes: &[Route], climate: &Climate, options: EnsembleOptions) -> Self {
        let tracks = tracks(routes, climate, &options);
        Self {
            sails: Arc::new(SailTable::new(boat, any_currents(&tracks))),
            boat: boat.clone(),
            options,
            tracks,
            pairs: Arc::new(GaussianPairs::new()),
            factors: factors(boat, &options),
        }
    }

    /// The same members with another number of them, or through winds with another memory.
    pub fn with_options(
        &self,
        routes: &[Route],
        climate: &Climate,
        options: EnsembleOptions,
    ) -> Self {
        let same_winds = options.slow_scale == self.options.slow_scale;
        Self {
            tracks: if same_winds {
                self.tracks.clone()
            } else {
                tracks(routes, climate, &options)
            },
            factors: factors(&self.boat, &options),
            options,
            ..self.clone()
        }
    }

    /// The same members through other winds.
    pub fn with_climate(&self, routes: &[Route], climate: &Climate) -> Self {
        let tracks = tracks(routes, climate, &self.options);
        let has_currents = any_currents(&tracks);
        Self {
            sails: if has_currents == self.has_currents() {
                self.sails.clone()
            } else {
                Arc::new(SailTable::new(&self.boat, has_currents))
            },
            tracks,
            ..self.clone()
        }
    }

    /// The same members in a boat that is handled otherwise, or sails otherwise.
    pub fn with_boat(&self, boat: &Boat) -> Self {
        Self {
            sails: Arc::new(SailTable::new(boat, self.has_currents())),
            boat: boat.clone(),
            ..self.clone()
        }
    }

    /// The same members, each so many times as fast under sail.
    pub fn with_boat_times(&self, times: f64) -> Self {
        let factors = self.factors.iter().map(|factor| factor * times);
        Self {
            factors: factors.collect(),
            ..self.clone()
        }
    }

    /// The same members in winds (mean and standard deviation) so many times as strong.
    pub fn with_winds_times(&self, times: f64) -> Self {
        let tracks = self.tracks.iter().map(|track| track.scaled(times, 1.0));
        Self {
            tracks: tracks.collect(),
            ..self.clone()
        }
    }

    /// The same members in currents so many times as strong.
    pub fn with_currents_times(&self, times: f64) -> Self {
        let tracks = self.tracks.iter().map(|track| track.scaled(1.0, times));
        Self {
            tracks: tracks.collect(),
            ..self.clone()
        }
    }

    /// Whether there is a current anywhere on the routes.
    pub fn has_currents(&self) -> bool {
        any_currents(&self.tracks)
    }

    /// The passages along the route numbered `route` of those given, leaving at 00:00 UTC on
    /// `departure`.
    ///
    /// # Errors
    /// A gap in the climate where and when a passage needs it.
    pub fn run(&self, route: usize, departure: Date) -> Result<Ensemble, PassageError> {
        self.run_handled(route, departure, &self.boat)
    }

    /// The same with her engine used otherwise: `boat` differs from the runner's in engine and fuel
    /// alone.
    ///
    /// # Errors
    /// A gap in the climate where and when a passage needs it.
    pub fn run_handled(
        &self,
        route: usize,
        departure: Date,
        boat: &Boat,
    ) -> Result<Ensemble, PassageError> {
        let track = &self.tracks[route];
        let itinerary = track.itinerary();
        let (marks, deadline_marks) = marks(itinerary, track.length_nm(), departure);
        let season = SeasonDay::from_date(departure);
        let conditions = Conditions {
            days: Days::new(
                track,
                season,
                boat.engine(),
                most_days(itinerary, departure),
            ),
            marks: &marks,
            stages: itinerary.stages.len(),
            sails: &self.sails,
            pairs: &self.pairs,
            key: StreamKey {
                seed: self.options.seed,
                route: track.route(),
                departure_day: departure.duration_since(date(1, 1, 1)).as_hours() / 24,
            },
            boat,
            kept: [
                (-STEP_HOURS / self.options.fast_hours).exp() as f32,
                (-24.0 / self.options.slow_hours).exp() as f32,
            ],
        };
        let members = self.options.members;
        // With one stage and one mark the whole passage says it all.
        let each = |count: usize| if count > 1 { count } else { 0 };
        let (stages, reached) = (each(conditions.stages), each(marks.len()));
        let mut passages = vec![Passage::default(); members];
        let mut stage_passages = vec![StagePassage::default(); stages * members];
        let mut reached_hours = vec![f64::INFINITY; reached * members];
        let mut stages_left = stage_passages.chunks_mut((ABREAST * stages).max(1));
        let mut reached_left = reached_hours.chunks_mut((ABREAST * reached).max(1));
        let packs: Vec<Pack<'_>> = passages
            .chunks_mut(ABREAST)
            .map(|passages| Pack {
                passages,
                stages: stages_left.next().unwrap_or_default(),
                reached_hours: reached_left.next().unwrap_or_default(),
            })
            .collect();
        packs
            .into_par_iter()
            .enumerate()
            .zip(self.factors.par_chunks(ABREAST))
            .try_for_each(|((number, mut pack), factors)| {
                sail(&conditions, (number * ABREAST) as u64, factors, &mut pack)
            })
            .map_err(|(gap, run_nm)| PassageError::Gap {
                route: track.route().to_owned(),
                run_nm,
                gap,
            })?;
        let sailed = Sailed {
            passages,
            stages: stage_passages,
            reached_hours,
            deadline_marks,
        };
        Ok(Ensemble::new(
            &sailed,
            &self.factors,
            departure,
            boat.engine(),
            track,
        ))
    }
}

/// More days than any passage takes, with its days in harbour: a day more for each stage that begins
/// or ends within one.
fn most_days(itinerary: &Itinerary, departure: Date) -> usize {
    if !itinerary.has_stops() {
        return MOST_DAYS;
    }
    let harbour_days = (itinerary.most_harbour_hours(departure) / 24.0).ceil() as usize;
    MOST_DAYS + harbour_days + itinerary.stages.len() + 1
}

/// The climate of each route.
fn tracks(routes: &[Route], climate: &Climate, options: &EnsembleOptions) -> Arc<[TrackClimate]> {
    let tracks: Vec<TrackClimate> = routes
        .par_iter()
        .map(|route| TrackClimate::new(route, climate, options))
        .collect();
    tracks.into()
}

fn any_currents(tracks: &[TrackClimate]) -> bool {
    tracks.iter().any(TrackClimate::has_currents)
}

/// Each member's factor on the boat.
fn factors(boat: &Boat, options: &EnsembleOptions) -> Vec<f64> {
    let members = 0..options.members as u64;
    members
        .map(|member| boat_factor(options.seed, member, boat.factor_uncertainty()))
        .collect()
}
