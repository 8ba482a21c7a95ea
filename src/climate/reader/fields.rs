//! From a file's variables to a climate: which fields it has, and the wind's standard deviation.

use ndarray::{Array3, Zip};
use netcdf::File;

use super::layout::{Layout, Steps};
use super::part::{Field, Part};
use super::variables::{self, DEFAULT_STEADINESS, MOST_MEAN_WIND_MS, Quantity, SourceOptions};
use super::{attributes, height, layout};
use crate::climate::axis::Axis;
use crate::climate::currents::Currents;
use crate::climate::error::ClimateFault;
use crate::climate::grid::{Climate, HeightScaling, Provenance, WindFields};
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::climate::rice::{LEAST_DEVIATION_MS, deviation_ms};
use crate::climate::series::{U_VARIANCE, V_VARIANCE, VARIANCE_METHOD};

/// A share of nodes at the least standard deviation above this is reported.
const MANY_AT_LEAST_DEVIATION: f64 = 0.05;

/// Reads the climate in an open file called `name`.
pub(super) fn read_climate(
    file: &File,
    name: &str,
    options: &SourceOptions,
    region: &Region,
) -> Result<Climate, ClimateFault> {
    let eastward = Field::new(
        file,
        variables::require(file, Quantity::EastwardWind, options)?,
        Quantity::EastwardWind,
        Steps::Twelve,
    )?;
    let other = |quantity: Quantity, variable| {
        let field = Field::new(file, variable, quantity, Steps::Twelve)?;
        field
            .layout
            .require_same_grid(&field.variable, (&eastward.layout, &eastward.variable))?;
        Ok::<_, ClimateFault>(field)
    };
    let optional = |quantity: Quantity| {
        let variable = variables::find(file, quantity, options)?;
        variable
            .map(|variable| other(quantity, variable))
            .transpose()
    };
    let northward = other(
        Quantity::NorthwardWind,
        variables::require(file, Quantity::NorthwardWind, options)?,
    )?;
    let speed = optional(Quantity::WindSpeed)?;
    let temperature = optional(Quantity::AirTemperature)?;

    let part = Part::new(file, &eastward.layout, region)?;
    let mut provenance = Provenance {
        label: label(file, name),
        notes: part
            .notes
            .iter()
            .cloned()
            .chain(height::level_note(
                file,
                &eastward.variable,
                &eastward.layout,
                options,
            )?)
            .collect(),
        ..Provenance::default()
    };
    let mut read_wind = |field: &Field| {
        let scaling = height::scaling(file, &field.variable, &field.layout, options)?;
        note_height(&mut provenance, &field.variable.name(), scaling);
        part.read(field, scaling.map_or(1.0, |scaling| scaling.factor))
    };
    let u_ms = read_wind(&eastward)?;
    let v_ms = read_wind(&northward)?;
    part.check_speed(
        (&eastward.variable.name(), &u_ms),
        (&northward.variable.name(), &v_ms),
        ("m/s", MOST_MEAN_WIND_MS),
    )?;
    let mean_speed_ms = speed.as_ref().map(read_wind).transpose()?;
    let air_temperature_c = temperature
        .map(|field| part.read(&field, 1.0))
        .transpose()?;
    let replaced = part.read_replaced(file, &eastward)?;
    let s_ms = match measured_deviations_ms(file, &part, &eastward)? {
        Some(s_ms) => kept_as_measured(s_ms, options, &mut provenance),
        None => deviations_ms(&u_ms, &v_ms, mean_speed_ms, options, &mut provenance)?,
    };
    if provenance.node_months_with_wind == 0 {
        return Err(ClimateFault::NoWind { region: *region });
    }
    Ok(Climate {
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
        wind: WindFields { u_ms, v_ms, s_ms },
        air_temperature_c,
        replaced,
        currents: Currents::None,
        provenance,
    })
}

/// The standard deviation of one component that a climate measured by this program has: the root of the
/// mean of both variances.
fn measured_deviations_ms(
    file: &File,
    part: &Part,
    eastward: &Field,
) -> Result<Option<Array3<f32>>, ClimateFault> {
    let mut sum: Option<Array3<f32>> = None;
    for name in [U_VARIANCE, V_VARIANCE] {
        let Some(variable) = variables::by_name(file, name) else {
            return Ok(None);
        };
        if attributes::text(&variable, "cell_methods")?.as_deref() != Some(VARIANCE_METHOD) {
            return Ok(None);
        }
        let field = Field::new(file, variable, Quantity::WindVariance, Steps::Twelve)?;
        let grid = (&eastward.layout, &eastward.variable);
        field.layout.require_same_grid(&field.variable, grid)?;
        let variance = part.read(&field, 1.0)?;
        sum = Some(match sum {
            None => variance,
            Some(sum) => sum + &variance,
        });
    }
    Ok(sum.map(|sum| sum.mapv(|both| (0.5 * both).sqrt())))
}

fn kept_as_measured(
    mut s_ms: Array3<f32>,
    options: &SourceOptions,
    provenance: &mut Provenance,
) -> Array3<f32> {
    for s_ms in s_ms.iter_mut().filter(|s_ms| !s_ms.is_nan()) {
        provenance.node_months_with_wind += 1;
        if f64::from(*s_ms) < LEAST_DEVIATION_MS {
            provenance.node_months_at_least_deviation += 1;
            *s_ms = LEAST_DEVIATION_MS as f32;
        }
    }
    provenance.notes.push(
        "the wind's standard deviation is that which was measured, one for both components; the memory \
         of the wind in the file is not used, and its years do not widen the spread of the passages"
            .to_owned(),
    );
    note_unused_steadiness(options, provenance, "the standard deviation was measured");
    s_ms
}

fn note_unused_steadiness(options: &SourceOptions, provenance: &mut Provenance, why: &str) {
    if options.assumed_steadiness.is_some() {
        let note = format!("the assumed steadiness was not used: {why}");
        provenance.notes.push(note);
    }
}

/// Means by calendar month that were taken of a series, on the axes they lie on.
pub(in crate::climate) struct MonthlyMeans {
    pub(in crate::climate) latitudes: Axis,
    pub(in crate::climate) longitudes: Axis,
    pub(in crate::climate) u_ms: Array3<f32>,
    pub(in crate::climate) v_ms: Array3<f32>,
    pub(in crate::climate) mean_speed_ms: Option<Array3<f32>>,
    pub(in crate::climate) air_temperature_c: Option<Array3<f32>>,
    pub(in crate::climate) label: String,
    pub(in crate::climate) notes: Vec<String>,
}

/// The climate of such means.
pub(in crate::climate) fn climate_of_means(
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
        replaced: None,
        currents: Currents::None,
        provenance,
    })
}

/// Whether a file has more steps than the months of a year, with dates.
pub(super) fn is_series(file: &File, options: &SourceOptions) -> Result<bool, ClimateFault> {
    let eastward = variables::require(file, Quantity::EastwardWind, options)?;
    // What is laid out otherwise is refused where the twelve months are read.
    let Ok(layout) = Layout::of(file, &eastward, Steps::Any) else {
        return Ok(false);
    };
    let time = layout::variable_along(file, &layout.time)?;
    let units = time
        .map(|time| attributes::text(&time, "units"))
        .transpose()?;
    let has_dates = units
        .flatten()
        .is_some_and(|units| units.contains(" since "));
    Ok(has_dates && layout.steps > Month::ALL.len())
}

/// The standard deviation that gives each node its mean speed, or the one of an assumed steadiness.
fn deviations_ms(
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

fn note_height(provenance: &mut Provenance, variable: &str, scaling: Option<HeightScaling>) {
    if let Some(found) = scaling {
        provenance.height_scaling = scaling;
        provenance.notes.push(height_note(variable, found));
    }
}

/// What to say about a wind that was brought to 10 m.
pub(in crate::climate) fn height_note(variable: &str, scaling: HeightScaling) -> String {
    let HeightScaling {
        from_height_m,
        factor,
    } = scaling;
    format!(
        "'{variable}' is for {from_height_m} m; brought to 10 m by the factor {factor:.3} (neutral \
         logarithmic profile)"
    )
}

pub(super) fn label(file: &File, name: &str) -> String {
    let title = file.attribute("title").and_then(|title| title.value().ok());
    match title {
        Some(netcdf::AttributeValue::Str(title)) if !title.trim().is_empty() => {
            format!("{name} ({})", title.trim())
        }
        _ => name.to_owned(),
    }
}
