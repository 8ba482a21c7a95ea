//! From a file's variables to a climate: which fields it has, and the wind's standard deviation.

use ndarray::Array3;
use netcdf::File;

use super::layout::{Layout, Steps};
use super::measured::{read_currents, read_measured};
use super::part::Field;
use super::{attributes, height, layout, variables};
use crate::climate::currents::Currents;
use crate::climate::error::ClimateFault;
use crate::climate::grid::{Climate, HeightScaling, Provenance, WindFields};
use crate::climate::gridded::{MOST_MEAN_WIND_MS, Part, Quantity, height_note};
use crate::climate::means::{deviations_ms, note_unused_steadiness};
use crate::climate::measured::{MeasuredFields, MeasuredFigure};
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::climate::rice::LEAST_DEVIATION_MS;
use crate::climate::series::{U_VARIANCE, V_VARIANCE, VARIANCE_METHOD};
use crate::climate::source::SourceOptions;

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
    let variances = measured_variances(file, &part, &eastward)?;
    let (mut measured, mut currents) = (MeasuredFields::default(), Currents::None);
    let s_ms = match &variances {
        Some([u, v]) => {
            measured = read_measured(file, &part, &eastward, [u, v])?;
            currents = read_currents(file, name, &part, &eastward)?;
            let s_ms = (u + v).mapv(|both| (0.5 * both).sqrt());
            kept_as_measured(s_ms, options, &mut provenance)
        }
        None => deviations_ms(&u_ms, &v_ms, mean_speed_ms, options, &mut provenance)?,
    };
    if provenance.node_months_with_wind == 0 {
        return Err(ClimateFault::NoWind { region: *region });
    }
    let mut climate = Climate {
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
        wind: WindFields { u_ms, v_ms, s_ms },
        air_temperature_c,
        replaced,
        currents,
        measured,
        provenance,
    };
    if variances.is_some() {
        let note = measured_note(&climate.measured());
        climate.provenance.notes.push(note);
    }
    Ok(climate)
}

/// The variances of u and v that a climate measured by this program has.
fn measured_variances(
    file: &File,
    part: &Part,
    eastward: &Field,
) -> Result<Option<[Array3<f32>; 2]>, ClimateFault> {
    let mut variances = Vec::new();
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
        variances.push(part.read(&field, 1.0)?);
    }
    Ok(variances.try_into().ok())
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
    note_unused_steadiness(options, provenance, "the standard deviation was measured");
    s_ms
}

/// What is used of a measured climate, and what is not.
fn measured_note(measured: &[MeasuredFigure]) -> String {
    let mut note = "the wind's standard deviation is that which was measured".to_owned();
    let has = |figure| measured.contains(&figure);
    if has(MeasuredFigure::Scatter) {
        note += ", toward the east and the north and between them, along the routes; mean speeds, the 95 % \
                 wind and the search for a course take one for both";
    }
    note += match has(MeasuredFigure::Memory) {
        true => "; how long winds last is measured, by place and month",
        false => "; how long winds last is assumed",
    };
    if has(MeasuredFigure::GalesAndCalms) {
        note += "; gales and calms as counted stand beside the model's, which the passages meet";
    }
    if has(MeasuredFigure::WaveHeight) {
        note += "; the mean significant wave height is measured";
    }
    note + "; the years do not widen the spread of the passages"
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

fn note_height(provenance: &mut Provenance, variable: &str, scaling: Option<HeightScaling>) {
    if let Some(found) = scaling {
        provenance.height_scaling = scaling;
        provenance.notes.push(height_note(variable, found));
    }
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
