//! From monthly means to a climate: the wind's standard deviation, and what is to be said about it.

use ndarray::{Array3, Zip};

use super::axis::Axis;
use super::currents::Currents;
use super::error::ClimateFault;
use super::grid::{Climate, Provenance, WindFields};
use super::region::Region;
use super::rice::{LEAST_DEVIATION_MS, deviation_ms};
use super::source::{DEFAULT_STEADINESS, SourceOptions};

/// A share of nodes at the least standard deviation above this is reported.
const MANY_AT_LEAST_DEVIATION: f64 = 0.05;

/// Means by calendar month on the axes they lie on.
pub(super) struct MonthlyMeans {
    pub(super) latitudes: Axis,
    pub(super) longitudes: Axis,
    pub(super) u_ms: Array3<f32>,
    pub(super) v_ms: Array3<f32>,
    pub(super) mean_speed_ms: Option<Array3<f32>>,
    pub(super) air_temperature_c: Option<Array3<f32>>,
    /// The wind there was not observed but filled in.
    pub(super) replaced: Option<Array3<bool>>,
    pub(super) label: String,
    pub(super) notes: Vec<String>,
}

/// The climate of such means.
pub(super) fn climate_of_means(
    means: MonthlyMeans,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    let mut provenance = Provenance {
        label: means.label,
        notes: means.notes,
        ..Provenance::default()
    };
    let (u_ms, v_ms) = (means.u_ms, means.v_ms);
    let s_ms = deviations_ms(&u_ms, &v_ms, means.mean_speed_ms, options, &mut provenance)?;
    if provenance.node_months_with_wind == 0 {
        return Err(ClimateFault::NoWind { region: *region });
    }
    Ok(Climate {
        latitudes: means.latitudes,
        longitudes: means.longitudes,
        wind: WindFields { u_ms, v_ms, s_ms },
        air_temperature_c: means.air_temperature_c,
        replaced: means.replaced,
        currents: Currents::None,
        provenance,
    })
}

/// The standard deviation that gives each node its mean speed, or the one of an assumed steadiness.
pub(super) fn deviations_ms(
    u_ms: &Array3<f32>,
    v_ms: &Array3<f32>,
    mean_speed_ms: Option<Array3<f32>>,
    options: &SourceOptions,
    provenance: &mut Provenance,
) -> Result<Array3<f32>, ClimateFault> {
    let steadiness = match options.assumed_steadiness {
        Some(steadiness) => SourceOptions::STEADINESS.check(steadiness)?,
        None => DEFAULT_STEADINESS,
    };
    let has_speed = mean_speed_ms.is_some();
    let (mut at_least, mut all) = (0, 0);
    let mut deviation_of = |vector_mean_ms: f64, mean_speed_ms: f64| {
        if vector_mean_ms.is_nan() || mean_speed_ms.is_nan() {
            return f32::NAN;
        }
        let found_ms = deviation_ms(mean_speed_ms, vector_mean_ms);
        all += 1;
        at_least += usize::from(found_ms.is_none());
        found_ms.unwrap_or(LEAST_DEVIATION_MS) as f32
    };
    let vector_mean_ms = |u_ms: f32, v_ms: f32| f64::from(u_ms).hypot(f64::from(v_ms));
    let s_ms = match mean_speed_ms {
        Some(mut speeds_ms) => {
            Zip::from(&mut speeds_ms)
                .and(u_ms)
                .and(v_ms)
                .for_each(|speed_ms, &u_ms, &v_ms| {
                    *speed_ms = deviation_of(vector_mean_ms(u_ms, v_ms), f64::from(*speed_ms));
                });
            speeds_ms
        }
        None => Zip::from(u_ms).and(v_ms).map_collect(|&u_ms, &v_ms| {
            let vector_mean_ms = vector_mean_ms(u_ms, v_ms);
            deviation_of(vector_mean_ms, vector_mean_ms / steadiness)
        }),
    };
    provenance.node_months_with_wind = all;
    provenance.node_months_at_least_deviation = at_least;
    if has_speed {
        note_unused_steadiness(options, provenance, "the file has a mean wind speed");
        if at_least as f64 > MANY_AT_LEAST_DEVIATION * all as f64 {
            provenance.notes.push(format!(
                "in {at_least} of {all} node months the mean wind speed leaves a standard deviation \
                 below {LEAST_DEVIATION_MS} m/s, which is used instead; check that it is the mean of \
                 the speed, in the same unit as the components"
            ));
        }
    } else {
        provenance.assumed_steadiness = Some(steadiness);
        provenance.notes.push(format!(
            "the file has no mean wind speed: the wind's standard deviation is worked out from an \
             assumed steadiness of {steadiness}, so gales and headwinds are a guess"
        ));
    }
    Ok(s_ms)
}

pub(super) fn note_unused_steadiness(
    options: &SourceOptions,
    provenance: &mut Provenance,
    why: &str,
) {
    if options.assumed_steadiness.is_some() {
        let note = format!("the assumed steadiness was not used: {why}");
        provenance.notes.push(note);
    }
}
