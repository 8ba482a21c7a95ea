//! Coordinates of a grid: which dimension is what, and their values.

use netcdf::{File, Variable};

use super::super::ClimateFault;
use super::{attributes, open::damaged};

/// No coordinate is longer; a file that says so is not trusted.
const MOST_VALUES: usize = 200_000;

/// What a dimension runs along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    Time,
    Latitude,
    Longitude,
    Other,
}

/// The variable that gives the values along the dimension called `name`: the one of the same name,
/// else one along it alone that is known for a latitude, a longitude or a time.
pub(super) fn variable_along<'f>(
    file: &'f File,
    name: &str,
) -> Result<Option<Variable<'f>>, ClimateFault> {
    let mut known = None;
    for variable in file.variables() {
        match variable.dimensions() {
            [only] if only.name() == name => {}
            _ => continue,
        }
        if variable.name() == name {
            return Ok(Some(variable));
        }
        if known.is_none() && role(&variable)? != Role::Other {
            known = Some(variable);
        }
    }
    Ok(known)
}

/// What a coordinate variable stands for: by standard name, units, axis, or else by its name.
pub(super) fn role(variable: &Variable) -> Result<Role, ClimateFault> {
    let lower = |attribute: &str| {
        attributes::text(variable, attribute).map(|text| text.unwrap_or_default().to_lowercase())
    };
    match lower("standard_name")?.as_str() {
        "latitude" => return Ok(Role::Latitude),
        "longitude" => return Ok(Role::Longitude),
        "time" => return Ok(Role::Time),
        // A rotated or projected grid; its axes are no latitudes.
        "" | "unknown" => {}
        _ => return Ok(Role::Other),
    }
    let units = lower("units")?;
    match units.as_str() {
        "degrees_north" | "degree_north" | "degree_n" | "degrees_n" | "degreen" | "degreesn" => {
            return Ok(Role::Latitude);
        }
        "degrees_east" | "degree_east" | "degree_e" | "degrees_e" | "degreee" | "degreese" => {
            return Ok(Role::Longitude);
        }
        units if units.contains(" since ") => return Ok(Role::Time),
        _ => {}
    }
    let by_name = role_by_name(&variable.name());
    let by_axis = match lower("axis")?.as_str() {
        "t" => Role::Time,
        // Axes in metres are those of a map projection.
        "y" if !is_length(&units) => Role::Latitude,
        "x" if !is_length(&units) => Role::Longitude,
        _ => Role::Other,
    };
    Ok(if by_name == Role::Other {
        by_axis
    } else {
        by_name
    })
}

/// What a dimension without a coordinate variable stands for.
pub(super) fn role_by_name(name: &str) -> Role {
    match name.to_lowercase().as_str() {
        "time" | "month" | "months" | "mon" | "moy" | "t" => Role::Time,
        "lat" | "lats" | "latitude" | "latitudes" | "nav_lat" => Role::Latitude,
        "lon" | "lons" | "long" | "longitude" | "longitudes" | "nav_lon" => Role::Longitude,
        _ => Role::Other,
    }
}

/// All values of a coordinate variable.
pub(super) fn values(variable: &Variable) -> Result<Vec<f64>, ClimateFault> {
    let unusable = |problem: String| ClimateFault::Coordinate {
        variable: variable.name(),
        problem,
    };
    let length = variable.len();
    if length == 0 || length > MOST_VALUES {
        return Err(unusable(format!(
            "has {length} values; expected 1 to {MOST_VALUES}"
        )));
    }
    let values = variable
        .get_values::<f64, _>(..)
        .map_err(|error| damaged(format!("coordinate '{}'", variable.name()), &error))?;
    match values.iter().find(|value| !value.is_finite()) {
        Some(value) => Err(unusable(format!("holds {value}; expected numbers"))),
        None => Ok(values),
    }
}

/// Latitudes in the file's order, checked.
pub(super) fn latitudes_deg(variable: &Variable) -> Result<Vec<f64>, ClimateFault> {
    let values_deg = values(variable)?;
    let unusable = |problem: String| ClimateFault::Coordinate {
        variable: variable.name(),
        problem,
    };
    // Single precision may lie a hair beyond the pole.
    if let Some(value) = values_deg.iter().find(|value| value.abs() > 90.0 + 1e-4) {
        return Err(unusable(format!(
            "holds {value:?}; expected latitudes from -90 to 90"
        )));
    }
    let ascends = values_deg.windows(2).all(|pair| pair[0] < pair[1]);
    let descends = values_deg.windows(2).all(|pair| pair[0] > pair[1]);
    if ascends || descends {
        Ok(values_deg)
    } else {
        Err(unusable(
            "goes back on itself; expected latitudes that rise or fall throughout".to_owned(),
        ))
    }
}

/// Longitudes in the file's order, checked.
pub(super) fn longitudes_deg(variable: &Variable) -> Result<Vec<f64>, ClimateFault> {
    let values_deg = values(variable)?;
    match values_deg.iter().find(|value| value.abs() > 720.0) {
        Some(value) => Err(ClimateFault::Coordinate {
            variable: variable.name(),
            problem: format!("holds {value:?}; expected longitudes in degrees east"),
        }),
        None => Ok(values_deg),
    }
}

fn is_length(units: &str) -> bool {
    matches!(units, "m" | "km" | "metre" | "meter" | "metres" | "meters")
}
