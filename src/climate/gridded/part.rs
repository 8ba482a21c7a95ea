//! The part of a grid that a region needs.

use ndarray::Array3;

use super::months::MonthSteps;
use super::spacing;
use crate::climate::error::ClimateFault;
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::climate::window::{self, Window};

/// More nodes take gigabytes; a passage never needs them.
pub(in crate::climate) const MOST_NODES: usize = 4_000_000;

/// The part of a grid that is kept.
pub(in crate::climate) struct Part {
    pub(in crate::climate) rows: Window,
    pub(in crate::climate) columns: Window,
    /// The time steps by where they lie, in the order of the months, or the one of the year.
    pub(in crate::climate) steps: Vec<usize>,
    /// What is to be said about the months and the grid.
    pub(in crate::climate) notes: Vec<String>,
    region: Region,
}

/// The two sides of a grid, each with the name of its coordinate, checked.
pub(in crate::climate) struct Sides<'a> {
    pub(in crate::climate) latitudes_deg: (&'a str, &'a [f64]),
    pub(in crate::climate) longitudes_deg: (&'a str, &'a [f64]),
}

impl Part {
    /// The part of a grid with these sides, whose time steps `months` finds.
    pub(in crate::climate) fn of(
        sides: &Sides<'_>,
        months: impl FnOnce() -> Result<MonthSteps, ClimateFault>,
        region: &Region,
    ) -> Result<Self, ClimateFault> {
        let unusable = |variable: &str, problem: String| ClimateFault::Coordinate {
            variable: variable.to_owned(),
            problem,
        };
        let (longitude, longitudes_deg) = sides.longitudes_deg;
        let latitudes_deg = sides.latitudes_deg.1;
        let columns = window::columns(longitudes_deg, region)
            .map_err(|problem| unusable(longitude, problem.to_owned()))?;
        for (variable, values_deg) in [sides.latitudes_deg, sides.longitudes_deg] {
            if let Some(problem) = spacing::jump(values_deg) {
                return Err(unusable(variable, problem));
            }
        }
        let (Some(rows), Some(columns)) = (window::rows(latitudes_deg, region), columns) else {
            return Err(ClimateFault::Misses {
                grid: window::describe(latitudes_deg, longitudes_deg),
                region: *region,
            });
        };
        let nodes = rows.axis.len() * columns.axis.len();
        if nodes > MOST_NODES {
            return Err(ClimateFault::TooFine {
                nodes,
                most: MOST_NODES,
            });
        }
        let MonthSteps { steps, mut notes } = months()?;
        notes.extend(spacing::note("latitudes", latitudes_deg));
        notes.extend(spacing::note("longitudes", longitudes_deg));
        Ok(Self {
            rows,
            columns,
            steps,
            notes,
            region: *region,
        })
    }

    /// Months, latitudes and longitudes.
    pub(in crate::climate) fn shape(&self) -> [usize; 3] {
        let (rows, columns) = (self.rows.axis.len(), self.columns.axis.len());
        [self.steps.len(), rows, columns]
    }

    /// The values, unless every one is missing.
    pub(in crate::climate) fn not_all_missing(
        &self,
        values: Array3<f32>,
        variable: &str,
    ) -> Result<Array3<f32>, ClimateFault> {
        if values.iter().any(|value| !value.is_nan()) {
            return Ok(values);
        }
        Err(ClimateFault::AllMissing {
            variable: variable.to_owned(),
            region: self.region,
        })
    }

    /// Refuses a vector longer than `most` of `unit`, given by its parts toward the east and north.
    pub(in crate::climate) fn check_speed(
        &self,
        (east, eastward): (&str, &Array3<f32>),
        (north, northward): (&str, &Array3<f32>),
        (unit, most): (&'static str, f64),
    ) -> Result<(), ClimateFault> {
        for ((node, &eastward), &northward) in eastward.indexed_iter().zip(northward) {
            let speed = f64::from(eastward).hypot(f64::from(northward));
            if speed > most {
                let both = format!("{east}' and '{north}");
                return Err(self.absurd(both, speed, node.into(), (unit, 0.0, most)));
            }
        }
        Ok(())
    }

    /// A value at a node that is outside the plausible ones, given with their unit.
    pub(in crate::climate) fn absurd(
        &self,
        variable: String,
        found: f64,
        [month, row, column]: [usize; 3],
        (unit, least, most): (&'static str, f64, f64),
    ) -> ClimateFault {
        ClimateFault::Absurd {
            variable,
            found,
            unit: unit.into(),
            month: if self.steps.len() == 1 {
                "the mean of the year".into()
            } else {
                Month::ALL[month].name().into()
            },
            latitude_deg: self.rows.axis.value_deg(row),
            longitude_deg: self.columns.axis.value_deg(column),
            least,
            most,
        }
    }
}

/// Latitudes of the coordinate called `variable`, where they can be those of a grid.
pub(in crate::climate) fn checked_latitudes(
    variable: &str,
    values_deg: Vec<f64>,
) -> Result<Vec<f64>, ClimateFault> {
    let unusable = |problem: String| ClimateFault::Coordinate {
        variable: variable.to_owned(),
        problem,
    };
    // Single precision may lie just beyond the pole.
    if let Some(value) = values_deg.iter().find(|value| value.abs() > 90.0 + 1e-4) {
        return Err(unusable(format!(
            "holds {value:?}; expected latitudes from -90 to 90"
        )));
    }
    let ascends = values_deg.windows(2).all(|pair| pair[0] < pair[1]);
    let descends = values_deg.windows(2).all(|pair| pair[0] > pair[1]);
    if !ascends && !descends {
        return Err(unusable(
            "goes back on itself; expected latitudes that rise or fall throughout".to_owned(),
        ));
    }
    Ok(values_deg)
}

/// The same of longitudes.
pub(in crate::climate) fn checked_longitudes(
    variable: &str,
    values_deg: Vec<f64>,
) -> Result<Vec<f64>, ClimateFault> {
    match values_deg.iter().find(|value| value.abs() > 720.0) {
        Some(value) => Err(ClimateFault::Coordinate {
            variable: variable.to_owned(),
            problem: format!("holds {value:?}; expected longitudes in degrees east"),
        }),
        None => Ok(values_deg),
    }
}
