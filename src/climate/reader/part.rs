//! The part of a file a region needs, reading a field in it, and which of its values were observed.

use ndarray::{Array3, ArrayView2, ShapeBuilder};
use netcdf::{File, Variable};

use super::chunks::{Chunks, Kind, Wanted};
use super::encoding::{Conversion, Encoding, conversion};
use super::layout::{self, Layout, Steps};
use super::months::{MonthSteps, month_steps};
use super::variables::Quantity;
use super::window::{self, Run, Window};
use super::{attributes, spacing, variables};
use crate::climate::error::ClimateFault;
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::geodesy::Coordinate;

/// More nodes take gigabytes; a passage never needs them.
pub(super) const MOST_NODES: usize = 4_000_000;

/// One quantity of the file, ready to be read.
pub(super) struct Field<'f> {
    file: &'f File,
    pub(super) variable: Variable<'f>,
    quantity: Quantity,
    pub(super) layout: Layout,
    encoding: Encoding,
    conversion: Conversion,
}

/// The part of the file that is kept.
pub(super) struct Part {
    pub(super) rows: Window,
    pub(super) columns: Window,
    /// The file's time steps in the order of the months, or the one of the year.
    steps: Vec<usize>,
    /// What is to be said about the months and the grid.
    pub(super) notes: Vec<String>,
    region: Region,
}

impl<'f> Field<'f> {
    pub(super) fn new(
        file: &'f File,
        variable: Variable<'f>,
        quantity: Quantity,
        steps: Steps,
    ) -> Result<Self, ClimateFault> {
        Ok(Self {
            file,
            layout: Layout::of(file, &variable, steps)?,
            encoding: Encoding::of(&variable)?,
            conversion: conversion(&variable, quantity)?,
            variable,
            quantity,
        })
    }

    /// The value of a stored number in the unit we keep.
    fn value(&self, stored: f64) -> Option<f64> {
        let value = self.encoding.decode(stored)?;
        Some(value * self.conversion.scale + self.conversion.offset)
    }
}

impl Part {
    pub(super) fn new(file: &File, layout: &Layout, region: &Region) -> Result<Self, ClimateFault> {
        let coordinate = |dimension: &str| {
            layout::variable_along(file, dimension)?.ok_or_else(|| ClimateFault::Coordinate {
                variable: dimension.to_owned(),
                problem: "is a dimension without a variable that gives its degrees".to_owned(),
            })
        };
        let latitude = coordinate(&layout.latitude)?;
        let latitudes_deg = layout::latitudes_deg(&latitude)?;
        let longitude = coordinate(&layout.longitude)?;
        let longitudes_deg = layout::longitudes_deg(&longitude)?;
        let columns = window::columns(&longitudes_deg, region).map_err(|problem| {
            ClimateFault::Coordinate {
                variable: longitude.name(),
                problem: problem.to_owned(),
            }
        })?;
        for (variable, values_deg) in [(latitude, &latitudes_deg), (longitude, &longitudes_deg)] {
            if let Some(problem) = spacing::jump(values_deg) {
                return Err(ClimateFault::Coordinate {
                    variable: variable.name(),
                    problem,
                });
            }
        }
        let (Some(rows), Some(columns)) = (window::rows(&latitudes_deg, region), columns) else {
            return Err(ClimateFault::Misses {
                grid: describe_grid(&latitudes_deg, &longitudes_deg),
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
        let months = if layout.steps == 1 {
            MonthSteps::of_the_year()
        } else {
            month_steps(file, &layout.time)?
        };
        let MonthSteps { steps, mut notes } = months;
        notes.extend(spacing::note("latitudes", &latitudes_deg));
        notes.extend(spacing::note("longitudes", &longitudes_deg));
        Ok(Self {
            rows,
            columns,
            steps,
            notes,
            region: *region,
        })
    }

    /// Months, latitudes and longitudes.
    fn shape(&self) -> [usize; 3] {
        let (rows, columns) = (self.rows.axis.len(), self.columns.axis.len());
        [self.steps.len(), rows, columns]
    }

    /// The values of the field in the region, each times `factor`; NaN where one is missing.
    ///
    /// # Errors
    /// [`ClimateFault::AllMissing`] where all are.
    pub(super) fn read(&self, field: &Field, factor: f64) -> Result<Array3<f32>, ClimateFault> {
        let values = self.read_or_nothing(field, factor)?;
        if values.iter().any(|value| !value.is_nan()) {
            return Ok(values);
        }
        Err(ClimateFault::AllMissing {
            variable: field.variable.name(),
            region: self.region,
        })
    }

    /// Like [`Self::read`], for a field that may be missing in all of the region.
    pub(super) fn read_or_nothing(
        &self,
        field: &Field,
        factor: f64,
    ) -> Result<Array3<f32>, ClimateFault> {
        let (unit, least, most) = field.quantity.unit_and_plausible_mean();
        let mut values = Array3::from_elem(self.shape(), f32::NAN);
        self.read_stored(
            field.file,
            &field.variable,
            &field.layout,
            |node, stored| {
                let Some(value) = field.value(stored) else {
                    return Ok(());
                };
                if !(least..=most).contains(&value) {
                    let variable = field.variable.name();
                    return Err(self.absurd(variable, value, node, (unit, least, most)));
                }
                values[node] = (value * factor) as f32;
                Ok(())
            },
        )?;
        Ok(values)
    }

    /// Refuses a vector longer than `most` of `unit`, given by its parts toward the east and north.
    pub(super) fn check_speed(
        &self,
        (east, eastward): (&Field, &Array3<f32>),
        (north, northward): (&Field, &Array3<f32>),
        (unit, most): (&'static str, f64),
    ) -> Result<(), ClimateFault> {
        for ((node, &eastward), &northward) in eastward.indexed_iter().zip(northward) {
            let speed = f64::from(eastward).hypot(f64::from(northward));
            if speed > most {
                let both = format!("{}' and '{}", east.variable.name(), north.variable.name());
                return Err(self.absurd(both, speed, node.into(), (unit, 0.0, most)));
            }
        }
        Ok(())
    }

    /// A value at a node that is outside the plausible ones, given with their unit.
    pub(super) fn absurd(
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

    /// Whether each node's wind was filled in by the file's makers, where the file says so.
    pub(super) fn read_replaced(
        &self,
        file: &File,
        wind: &Field,
    ) -> Result<Option<Array3<bool>>, ClimateFault> {
        let Some(flags) = Flags::of(file, &wind.variable, "observed")? else {
            return Ok(None);
        };
        let replaced = |meaning: &str| !matches!(meaning, "observed" | "none");
        self.read_flags(file, wind, &flags, replaced).map(Some)
    }

    /// Whether each node's value was left out because the current turns there with the season, where
    /// the file says so.
    pub(super) fn read_not_applied(
        &self,
        file: &File,
        current: &Field,
    ) -> Result<Option<Array3<bool>>, ClimateFault> {
        const MEANING: &str = "monsoon_not_applied";
        let Some(flags) = Flags::of(file, &current.variable, MEANING)? else {
            return Ok(None);
        };
        let not_applied = |meaning: &str| meaning == MEANING;
        self.read_flags(file, current, &flags, not_applied)
            .map(Some)
    }

    /// Whether each node's flag is of a meaning that is `wanted`.
    fn read_flags(
        &self,
        file: &File,
        field: &Field,
        flags: &Flags<'_>,
        wanted: impl Fn(&str) -> bool,
    ) -> Result<Array3<bool>, ClimateFault> {
        let variable = &flags.variable;
        let layout = Layout::of(file, variable, Steps::TwelveOrOne)?;
        layout.require_same_grid(variable, (&field.layout, &field.variable))?;
        let meanings = flags.meanings.iter();
        let wanted: Vec<f64> = meanings
            .filter(|(meaning, _)| wanted(meaning))
            .map(|(_, value)| *value)
            .collect();
        let mut marked = Array3::from_elem(self.shape(), false);
        self.read_stored(file, variable, &layout, |node, flag| {
            marked[node] = wanted.contains(&flag);
            Ok(())
        })?;
        Ok(marked)
    }

    /// Hands over every stored number in the region with its place by month, row and column, one
    /// month of one run of the file at a time.
    fn read_stored(
        &self,
        file: &File,
        variable: &Variable,
        layout: &Layout,
        mut take: impl FnMut([usize; 3], f64) -> Result<(), ClimateFault>,
    ) -> Result<(), ClimateFault> {
        if let Some(chunks) = chunks_of(file, variable, layout) {
            return self.read_chunks(&chunks, &mut take);
        }
        let (row_runs, column_runs) = (self.rows.runs(), self.columns.runs());
        let mut stored = Vec::new();
        for (month, &step) in self.steps.iter().enumerate() {
            for (row_run, rows) in &row_runs {
                for (column_run, columns) in &column_runs {
                    read_block(variable, layout, step, (*row_run, *column_run), &mut stored)?;
                    let by_column = layout.longitude_first();
                    let shape = (rows.len(), columns.len()).set_f(by_column);
                    let block = ArrayView2::from_shape(shape, &stored).expect("a block read whole");
                    for ((row, column), &number) in block.indexed_iter() {
                        take([month, rows[row], columns[column]], number)?;
                    }
                }
            }
        }
        Ok(())
    }
}

impl Part {
    /// The same from the file's chunks, each inflated once.
    fn read_chunks(
        &self,
        chunks: &Chunks,
        take: &mut impl FnMut([usize; 3], f64) -> Result<(), ClimateFault>,
    ) -> Result<(), ClimateFault> {
        let [rows, columns] = [&self.rows, &self.columns].map(Window::all_places);
        let nodes = rows.len() * columns.len();
        // Months that share chunks are read at once.
        let of_file = self.steps.iter().max().map_or(0, |last| last + 1);
        let at_once = if chunks.steps() == 1 { 1 } else { of_file };
        let mut stored = vec![0.0; at_once * nodes];
        for start in (0..of_file).step_by(at_once) {
            let wanted = Wanted {
                steps: Run {
                    start,
                    count: at_once,
                },
                rows,
                columns,
            };
            match chunks.kind() {
                Kind::Short => {
                    chunks.read_shorts(&wanted, |bits| f32::from(bits as i16), &mut stored)?;
                }
                Kind::Single => chunks.read_singles(&wanted, |number| number, &mut stored)?,
            }
            for (month, &step) in self.steps.iter().enumerate() {
                let Some(at) = step.checked_sub(start).filter(|at| *at < at_once) else {
                    continue;
                };
                let of_month = &stored[at * nodes..][..nodes];
                for (node, &number) in of_month.iter().enumerate() {
                    let at = [month, node / columns.len(), node % columns.len()];
                    take(at, f64::from(number))?;
                }
            }
        }
        Ok(())
    }
}

/// Where a variable's chunks lie; none where the library has to read it, or where the file is in memory.
fn chunks_of(file: &File, variable: &Variable, layout: &Layout) -> Option<Chunks> {
    let path = file.path().ok()?;
    // One in memory has a name and no path.
    if !path.is_absolute() {
        return None;
    }
    Chunks::of(&path, &variable.name(), layout)
}

fn read_block(
    variable: &Variable,
    layout: &Layout,
    step: usize,
    (rows, columns): (Run, Run),
    stored: &mut Vec<f64>,
) -> Result<(), ClimateFault> {
    stored.resize(rows.count * columns.count, 0.0);
    variable
        .get_values_into(stored, layout.extents(step, rows, columns))
        .map_err(|error| {
            ClimateFault::damaged(
                format!("variable '{}', time step {}", variable.name(), step + 1),
                &error,
            )
        })
}

pub(super) fn describe_grid(latitudes_deg: &[f64], longitudes_deg: &[f64]) -> String {
    let ends = |values_deg: &[f64]| {
        let least = values_deg.iter().copied().fold(f64::INFINITY, f64::min);
        let most = values_deg.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        [least, most]
    };
    let [south, north] = ends(latitudes_deg).map(Coordinate::latitude);
    let [west, east] = ends(longitudes_deg).map(Coordinate::longitude);
    format!("latitudes {south} to {north}, longitudes {west} to {east}")
}

/// The flag variable of a field, and what its flags mean.
struct Flags<'f> {
    variable: Variable<'f>,
    meanings: Vec<(String, f64)>,
}

impl<'f> Flags<'f> {
    /// The flag variable that `field` names in `ancillary_variables` and that has a certain meaning
    /// (CF conventions, sections 3.4 and 3.5); `None` where there is none.
    fn of(file: &'f File, field: &Variable, meaning: &str) -> Result<Option<Self>, ClimateFault> {
        let named = attributes::text(field, "ancillary_variables")?.unwrap_or_default();
        for name in named.split_whitespace() {
            let Some(variable) = variables::by_name(file, name) else {
                continue;
            };
            let meanings = attributes::text(&variable, "flag_meanings")?.unwrap_or_default();
            let meanings: Vec<String> = meanings.split_whitespace().map(str::to_owned).collect();
            if !meanings.iter().any(|one| one == meaning) {
                continue;
            }
            let values = attributes::numbers(&variable, "flag_values")?.unwrap_or_default();
            if values.len() != meanings.len() {
                return Err(ClimateFault::Attribute {
                    variable: variable.name(),
                    attribute: "flag_values".into(),
                    found: attributes::listed(&values),
                    expected: "one number for each of flag_meanings".into(),
                });
            }
            let meanings = meanings.into_iter().zip(values).collect();
            return Ok(Some(Self { variable, meanings }));
        }
        Ok(None)
    }
}
