//! From a file's variables to a climate: which fields it has, and the spread at its nodes.

use netcdf::File;

use super::super::grid::{Node, Provenance};
use super::super::rice::{LEAST_SPREAD_MS, spread_ms};
use super::super::{Climate, ClimateFault, HeightScaling, Month, Region};
use super::part::{Field, Part};
use super::variables::{self, Quantity};
use super::{DEFAULT_STEADINESS, SourceOptions, height};

/// A share of nodes at the least spread above this is worth a word.
const MANY_AT_LEAST_SPREAD: f64 = 0.05;

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
    )?;
    let other = |quantity: Quantity, variable| {
        let field = Field::new(file, variable, quantity)?;
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
            .months
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
    let count = part.rows.axis.len() * part.columns.axis.len() * Month::ALL.len();
    let mut nodes = vec![Node::MISSING; count];

    let mut read_wind = |field: &Field, put: fn(&mut Node, f32)| {
        let scaling = height::scaling(file, &field.variable, &field.layout, options)?;
        let factor = scaling.map_or(1.0, |scaling| scaling.factor);
        note_height(&mut provenance, &field.variable.name(), scaling);
        part.read(field, |index, value| {
            put(&mut nodes[index], (value * factor) as f32)
        })
    };
    read_wind(&eastward, |node, value| node.u_ms = value)?;
    read_wind(&northward, |node, value| node.v_ms = value)?;
    // Until the spread is worked out, the mean speed stands in its place.
    if let Some(speed) = &speed {
        read_wind(speed, |node, value| node.s_ms = value)?;
    }
    if let Some(temperature) = &temperature {
        part.read(temperature, |index, value| {
            nodes[index].air_temperature_c = value as f32
        })?;
    }
    let replaced = part.read_replaced(file, &eastward, count)?;
    solve_spreads(&mut nodes, speed.is_some(), options, &mut provenance)?;
    if provenance.node_months_with_wind == 0 {
        return Err(ClimateFault::NoWind { region: *region });
    }
    Ok(Climate {
        latitudes: part.rows.axis,
        longitudes: part.columns.axis,
        nodes,
        replaced,
        has_air_temperature: temperature.is_some(),
        provenance,
    })
}

/// Replaces the mean speeds kept in `s_ms` by spreads, or works them out from a steadiness.
fn solve_spreads(
    nodes: &mut [Node],
    has_speed: bool,
    options: &SourceOptions,
    provenance: &mut Provenance,
) -> Result<(), ClimateFault> {
    let steadiness = match options.assumed_steadiness {
        Some(steadiness) => SourceOptions::STEADINESS.check(steadiness)?,
        None => DEFAULT_STEADINESS,
    };
    for node in nodes {
        let vector_mean_ms = f64::from(node.u_ms).hypot(f64::from(node.v_ms));
        let mean_speed_ms = if has_speed {
            f64::from(node.s_ms)
        } else {
            vector_mean_ms / steadiness
        };
        if vector_mean_ms.is_nan() || mean_speed_ms.is_nan() {
            node.s_ms = f32::NAN;
            continue;
        }
        provenance.node_months_with_wind += 1;
        let spread = spread_ms(mean_speed_ms, vector_mean_ms);
        provenance.node_months_at_least_spread += usize::from(spread.is_none());
        node.s_ms = spread.unwrap_or(LEAST_SPREAD_MS) as f32;
    }
    let (at_least, all) = (
        provenance.node_months_at_least_spread,
        provenance.node_months_with_wind,
    );
    if has_speed {
        if options.assumed_steadiness.is_some() {
            provenance.notes.push(
                "the assumed steadiness was not used: the file has a mean wind speed".to_owned(),
            );
        }
        if at_least as f64 > MANY_AT_LEAST_SPREAD * all as f64 {
            provenance.notes.push(format!(
                "in {at_least} of {all} node months the mean wind speed leaves a spread below \
                 {LEAST_SPREAD_MS} m/s, which is given instead; check that it is the mean of the \
                 speed, in the same unit as the components"
            ));
        }
    } else {
        provenance.spread_assumed = Some(steadiness);
        provenance.notes.push(format!(
            "the file has no mean wind speed: the wind's spread is worked out from an assumed \
             steadiness of {steadiness}, so gales and headwinds are a guess"
        ));
    }
    Ok(())
}

fn note_height(provenance: &mut Provenance, variable: &str, scaling: Option<HeightScaling>) {
    if let Some(HeightScaling {
        from_height_m,
        factor,
    }) = scaling
    {
        provenance.height_scaling = scaling;
        provenance.notes.push(format!(
            "'{variable}' is for {from_height_m} m; brought to 10 m by the factor {factor:.3} \
             (neutral logarithmic profile)"
        ));
    }
}

fn label(file: &File, name: &str) -> String {
    let title = file.attribute("title").and_then(|title| title.value().ok());
    match title {
        Some(netcdf::AttributeValue::Str(title)) if !title.trim().is_empty() => {
            format!("{name} ({})", title.trim())
        }
        _ => name.to_owned(),
    }
}
