//! The order of a variable's dimensions.

use netcdf::{Extent, File, Variable};

use super::super::{ClimateFault, Month};
use super::coordinates::{self, Role};

/// Time, latitude and longitude.
pub(super) const LEAST_DIMENSIONS: usize = 3;

/// Where a variable keeps its months, latitudes and longitudes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    roles: Vec<Role>,
    pub(super) time: String,
    pub(super) latitude: String,
    pub(super) longitude: String,
    /// Names of the remaining dimensions, all of length 1.
    pub(super) single: Vec<String>,
}

/// A run of neighbouring rows or columns of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Run {
    pub(super) start: usize,
    pub(super) count: usize,
}

impl Layout {
    /// The layout of `variable`, which must have twelve months and be a grid.
    pub(super) fn of(file: &File, variable: &Variable) -> Result<Self, ClimateFault> {
        let mut layout = Self {
            roles: Vec::new(),
            time: String::new(),
            latitude: String::new(),
            longitude: String::new(),
            single: Vec::new(),
        };
        let wrong = || ClimateFault::Layout {
            variable: variable.name(),
            found: describe(variable),
        };
        let mut months = 0;
        for dimension in variable.dimensions() {
            let name = dimension.name();
            let role = match coordinates::variable_along(file, &name)? {
                Some(coordinate) => coordinates::role(&coordinate)?,
                None => coordinates::role_by_name(&name),
            };
            let place = match role {
                Role::Time => {
                    months = dimension.len();
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
        if layout.time.is_empty() || layout.latitude.is_empty() || layout.longitude.is_empty() {
            return Err(wrong());
        }
        if months != Month::ALL.len() {
            return Err(ClimateFault::Months {
                variable: variable.name(),
                found: months,
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
