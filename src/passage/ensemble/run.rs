//! A whole ensemble: blocks of members, shared out over the machine's cores.

use jiff::civil::{Date, date};
use rayon::prelude::*;

use super::block::{Conditions, LANES, Passage, STEP_HOURS, run_block};
use super::gaussian::GaussianTable;
use super::generator::StreamKey;
use super::look_up::WindTable;
use super::options::EnsembleOptions;
use super::outcome::Ensemble;
use super::tank::Tank;
use super::track::TrackClimate;
use crate::boat::Boat;
use crate::climate::{Climate, ClimateGap, SeasonDay};
use crate::passage::PassageError;
use crate::route::Route;

/// Runs ensembles for one boat: her table of winds is made once.
pub struct EnsembleRunner<'a> {
    boat: &'a Boat,
    options: EnsembleOptions,
    table: WindTable,
    gaussian: GaussianTable,
}

impl<'a> EnsembleRunner<'a> {
    /// Makes the boat's table of winds.
    pub fn new(boat: &'a Boat, options: EnsembleOptions) -> Self {
        Self {
            boat,
            options,
            table: WindTable::new(boat),
            gaussian: GaussianTable::new(),
        }
    }

    /// The spread of passages along `route`, leaving at 00:00 UTC on `departure`.
    ///
    /// # Errors
    /// A gap in the climate where and when a passage needs it.
    pub fn run(
        &self,
        route: &Route,
        climate: &Climate,
        departure: Date,
    ) -> Result<Ensemble, PassageError> {
        self.along(&TrackClimate::new(route, climate), departure)
    }

    pub(in crate::passage) fn along(
        &self,
        track: &TrackClimate,
        departure: Date,
    ) -> Result<Ensemble, PassageError> {
        let passages =
            self.passages(track, departure)
                .map_err(|(gap, run_nm)| PassageError::Gap {
                    route: track.route().to_owned(),
                    run_nm,
                    gap,
                })?;
        Ok(Ensemble::new(
            &passages,
            departure,
            self.boat.engine(),
            &track.cyclone_reaches(),
        ))
    }

    /// Every member's passage along `track`, in the members' order.
    fn passages(
        &self,
        track: &TrackClimate,
        departure: Date,
    ) -> Result<Vec<Passage>, (ClimateGap, f64)> {
        let conditions = Conditions {
            track,
            table: &self.table,
            gaussian: &self.gaussian,
            key: StreamKey {
                seed: self.options.seed,
                route: track.route(),
                departure_day: departure.duration_since(date(1, 1, 1)).as_hours() / 24,
            },
            departure: SeasonDay::from_date(departure),
            memory: (-STEP_HOURS / self.options.persistence_hours).exp(),
            tank: self.boat.engine().map(Tank::new),
        };
        let mut passages = vec![Passage::default(); self.options.members];
        passages
            .par_chunks_mut(LANES)
            .enumerate()
            .try_for_each(|(block, chunk)| run_block(&conditions, (block * LANES) as u32, chunk))?;
        Ok(passages)
    }
}
