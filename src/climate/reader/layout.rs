//! Coordinates of a grid and the order of a variable's dimensions: which is what, and its values.

use netcdf::{Extent, File, Variable};

use super::attributes;
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{checked_latitudes, checked_longitudes};
use crate::climate::month::Month;
use crate::climate::window::Run;

/// No coordinate is longer; a file that says so is not trusted.
const MOST_VALUES: usize = 2_000_000;

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
    let values = variable.get_values::<f64, _>(..).map_err(|error| {
        ClimateFault::damaged(format!("coordinate '{}'", variable.name()), &error)
    })?;
    match values.iter().find(|value| !value.is_finite()) {
        Some(value) => Err(unusable(format!("holds {value}; expected numbers"))),
        None => Ok(values),
    }
}

/// Latitudes in the file's order, checked.
pub(super) fn latitudes_deg(variable: &Variable) -> Result<Vec<f64>, ClimateFault> {
    checked_latitudes(&variable.name(), values(variable)?)
}

/// Longitudes in the file's order, checked.
pub(super) fn longitudes_deg(variable: &Variable) -> Result<Vec<f64>, ClimateFault> {
    checked_longitudes(&variable.name(), values(variable)?)
}

fn is_length(units: &str) -> bool {
    matches!(units, "m" | "km" | "metre" | "meter" | "metres" | "meters")
}

/// How many time steps a variable may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Steps {
    /// One for each month.
    Twelve,
    /// One, or no time at all.
    One,
    /// Either.
    TwelveOrOne,
    /// Any number of them.
    Any,
}

impl Steps {
    fn allows(self, found: usize) -> bool {
        match self {
            Self::Twelve => found == Month::ALL.len(),
            Self::One => found == 1,
            Self::TwelveOrOne => found == 1 || found == Month::ALL.len(),
            Self::Any => found > 0,
        }
    }

    /// What is allowed, in words.
    fn expected(self) -> &'static str {
        match self {
            Self::Twelve => "12, one for each month",
            Self::One => "one, the mean of the year",
            Self::TwelveOrOne => "12, one for each month, or one, the mean of the year",
            Self::Any => "one or more",
        }
    }
}

/// Where a variable keeps its months, latitudes and longitudes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    roles: Vec<Role>,
    /// The time dimension; empty where there is none.
    pub(super) time: String,
    /// Time steps: twelve or one.
    pub(super) steps: usize,
    pub(super) latitude: String,
    pub(super) longitude: String,
    /// Names of the remaining dimensions, all of length 1.
    pub(super) single: Vec<String>,
}

impl Layout {
    /// The layout of `variable`, which must be a grid with as many time steps as are allowed.
    pub(super) fn of(
        file: &File,
        variable: &Variable,
        allowed: Steps,
    ) -> Result<Self, ClimateFault> {
        let mut layout = Self {
            roles: Vec::new(),
            time: String::new(),
            steps: 1,
            latitude: String::new(),
            longitude: String::new(),
            single: Vec::new(),
        };
        let wrong = || ClimateFault::Layout {
            variable: variable.name(),
            found: describe(variable),
            steps: allowed.expected().into(),
        };
        for dimension in variable.dimensions() {
            let name = dimension.name();
            let role = match variable_along(file, &name)? {
                Some(coordinate) => role(&coordinate)?,
                None => role_by_name(&name),
            };
            let place = match role {
                Role::Time => {
                    layout.steps = dimension.len();
                    &mut layout.time
                }
                Role::Latitude => &mut layout.latitude,
                Role::Longitude => &mut layout.longitude,
                Role::Other if dimension.len() == 1 => {
                    layout.single.push(name);
                    layout.roles.push(role);
                    continue;
                }
                Role::Other => return Err(wrong()),
            };
            if !place.is_empty() {
                return Err(wrong());
            }
            *place = name;
            layout.roles.push(role);
        }
        let timeless = layout.time.is_empty() && matches!(allowed, Steps::Twelve | Steps::Any);
        if timeless || layout.latitude.is_empty() || layout.longitude.is_empty() {
            return Err(wrong());
        }
        if !allowed.allows(layout.steps) {
            return Err(ClimateFault::Months {
                variable: variable.name(),
                found: layout.steps,
                expected: allowed.expected().into(),
            });
        }
        Ok(layout)
    }

    /// Refuses a variable whose grid is not that of `reference`.
    pub(super) fn require_same_grid(
        &self,
        variable: &Variable,
        reference: (&Layout, &Variable),
    ) -> Result<(), ClimateFault> {
        let grid = |layout: &Layout| {
            (
                layout.time.clone(),
                layout.latitude.clone(),
                layout.longitude.clone(),
            )
        };
        if grid(self) == grid(reference.0) {
            return Ok(());
        }
        Err(ClimateFault::OtherGrid {
            variable: variable.name(),
            found: describe(variable),
            reference: reference.1.name(),
            expected: describe(reference.1),
        })
    }

    /// The part of the variable at some time steps, rows and columns, and how far apart its numbers
    /// lie from one step, one row and one column to the next.
    pub(super) fn block(&self, [steps, rows, columns]: [Run; 3]) -> (Vec<Extent>, [usize; 3]) {
        let mut strides = [0; 3];
        let mut apart = 1;
        for role in self.roles.iter().rev() {
            let (place, count) = match role {
                Role::Time => (0, steps.count),
                Role::Latitude => (1, rows.count),
                Role::Longitude => (2, columns.count),
                Role::Other => continue,
            };
            strides[place] = apart;
            apart *= count;
        }
        let run = |run: Run| Extent::SliceCount {
            start: run.start,
            count: run.count,
            stride: 1,
        };
        let extents = self.roles.iter().map(|role| match role {
            Role::Time => run(steps),
            Role::Latitude => run(rows),
            Role::Longitude => run(columns),
            Role::Other => Extent::Index(0),
        });
        (extents.collect(), strides)
    }

    /// The chunks the file stores the variable in, by time, latitude and longitude, of the lengths of its
    /// dimensions in that order.
    pub(super) fn by_role(&self, lengths: &[usize]) -> [usize; 3] {
        let mut sorted = [1; 3];
        for (role, &length) in self.roles.iter().zip(lengths) {
            match role {
                Role::Time => sorted[0] = length,
                Role::Latitude => sorted[1] = length,
                Role::Longitude => sorted[2] = length,
                Role::Other => {}
            }
        }
        sorted
    }

    /// The part of the variable at one time step, some rows and some columns.
    pub(super) fn extents(&self, step: usize, rows: Run, columns: Run) -> Vec<Extent> {
        let run = |run: Run| Extent::SliceCount {
            start: run.start,
            count: run.count,
            stride: 1,
        };
        self.roles
            .iter()
            .map(|role| match role {
                Role::Time => Extent::Index(step),
                Role::Latitude => run(rows),
                Role::Longitude => run(columns),
                Role::Other => Extent::Index(0),
            })
            .collect()
    }

    /// Whether the dimensions come in the order of time, latitude and longitude.
    pub(super) fn is_time_row_column(&self) -> bool {
        let long = self.roles.iter().filter(|role| **role != Role::Other);
        long.eq(&[Role::Time, Role::Latitude, Role::Longitude])
    }

    /// Whether a column of the grid lies together in the file, rather than a row.
    pub(super) fn longitude_first(&self) -> bool {
        let place = |wanted| self.roles.iter().position(|&role| role == wanted);
        place(Role::Longitude) < place(Role::Latitude)
    }
}

fn describe(variable: &Variable) -> String {
    let dimensions: Vec<String> = variable
        .dimensions()
        .iter()
        .map(|dimension| format!("{} = {}", dimension.name(), dimension.len()))
        .collect();
    dimensions.join(", ")
}
