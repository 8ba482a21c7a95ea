//! What the climate of a passage has measured besides its winds, averaged over the time: gales and calms as
//! counted, and the waves.

use schemars::JsonSchema;
use serde::Serialize;

use crate::climate::{Climate, LOWER_BOUNDS_KN, SeasonDay, Wind};
use crate::geodesy::Position;
use crate::units::MS_PER_KN;

/// What was measured for less of the time than this is not shown (our choice), 0 to 1.
const LEAST_MEASURED: f64 = 0.9;
/// Less wind than this is a calm, knots.
const CALM_KN: f64 = LOWER_BOUNDS_KN[0];

/// What the climate of a place has measured, and the model's share of calms beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MeasuredHere {
    /// None where they were not counted.
    counted: Option<CountedBesideModel>,
    /// Mean significant wave height, metres; none where it was not measured.
    wave_height_m: Option<f64>,
}

/// Shares of the time as counted in the climate's series. The model's share of gales stands among the
/// exposures.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub struct CountedBesideModel {
    /// Share of the time with 34 kn or more as counted, 0 to 1.
    pub gale: f64,
    /// Share of the time below 1 kn as counted, 0 to 1.
    pub calm: f64,
    /// The model's share of the time below 1 kn, 0 to 1.
    pub model_calm: f64,
}

impl MeasuredHere {
    /// What the climate has at a place on a day, where it has this wind.
    pub(super) fn at(climate: &Climate, place: Position, day: SeasonDay, wind: &Wind) -> Self {
        let counted = climate.counted_at(place, day);
        Self {
            counted: counted.map(|counted| CountedBesideModel {
                gale: counted.gale,
                calm: counted.calm,
                model_calm: wind.share_below(CALM_KN * MS_PER_KN),
            }),
            wave_height_m: climate.wave_height_at(place, day),
        }
    }
}

/// Sums over the time for which it was measured.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct MeasuredHours {
    counted_hours: f64,
    gale: f64,
    calm: f64,
    model_calm: f64,
    wave_hours: f64,
    wave_height_m: f64,
}

impl MeasuredHours {
    pub(super) fn add(&mut self, hours: f64, here: &MeasuredHere) {
        if let Some(counted) = here.counted {
            self.counted_hours += hours;
            self.gale += hours * counted.gale;
            self.calm += hours * counted.calm;
            self.model_calm += hours * counted.model_calm;
        }
        if let Some(wave_height_m) = here.wave_height_m {
            self.wave_hours += hours;
            self.wave_height_m += hours * wave_height_m;
        }
    }

    /// Gales and calms; none where they were counted for too little of `hours`.
    pub(super) fn counted(&self, hours: f64) -> Option<CountedBesideModel> {
        let mean = |sum: f64| sum / self.counted_hours;
        is_enough(self.counted_hours, hours).then(|| CountedBesideModel {
            gale: mean(self.gale),
            calm: mean(self.calm),
            model_calm: mean(self.model_calm),
        })
    }

    /// The mean significant wave height, metres; none where it was measured for too little of `hours`.
    pub(super) fn wave_height_m(&self, hours: f64) -> Option<f64> {
        is_enough(self.wave_hours, hours).then(|| self.wave_height_m / self.wave_hours)
    }
}

fn is_enough(measured_hours: f64, hours: f64) -> bool {
    measured_hours > 0.0 && measured_hours >= LEAST_MEASURED * hours
}
