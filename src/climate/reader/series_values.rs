//! Reading some time steps of a series' variable: all of a series' values pass through here.

use std::collections::HashMap;
use std::ops::Range;
use std::path::{Path, PathBuf};

use netcdf::types::{FloatType, IntType, NcVariableType};
use netcdf::{Extent, File, Variable};
use rayon::prelude::*;

use super::chunks::{Chunks, Kind, Wanted};
use super::open;
use super::series_file::Source;
use super::time_units::DAY_MINUTES;
use super::variables;
use crate::climate::error::ClimateFault;
use crate::climate::month::Month;
use crate::climate::window::Run;

/// Some time steps, rows and columns of a series; the last two of the grid kept.
#[derive(Debug, Clone)]
pub(in crate::climate) struct Slab {
    pub(in crate::climate) steps: Run,
    pub(in crate::climate) rows: Range<usize>,
    pub(in crate::climate) columns: Range<usize>,
}

/// A file that is open for reading.
pub(in crate::climate) struct OpenFile {
    path: PathBuf,
    /// As the NetCDF library sees it; opened where it is needed.
    library: Option<File>,
    /// By variable; none where the library has to read it.
    chunks: HashMap<String, Option<Chunks>>,
    /// The values of all stored 16-bit numbers, by variable.
    tables: HashMap<String, Vec<f32>>,
}

impl OpenFile {
    /// Opens the file at `path`.
    ///
    /// # Errors
    /// A file that is not there or is not whole.
    pub(in crate::climate) fn open(path: &Path) -> Result<Self, ClimateFault> {
        Ok(Self {
            path: open::whole(path)?,
            library: None,
            chunks: HashMap::new(),
            tables: HashMap::new(),
        })
    }

    /// Reads a slab into `values`, by step, row and column; NaN where one is missing.
    ///
    /// # Errors
    /// A file that is damaged or has changed, and a value that is not plausible.
    pub(in crate::climate) fn read(
        &mut self,
        source: &Source,
        slab: &Slab,
        values: &mut [f32],
    ) -> Result<(), ClimateFault> {
        let name = &source.variable;
        let path = &self.path;
        let chunks = self
            .chunks
            .entry(name.clone())
            .or_insert_with(|| Chunks::of(path, name, &source.layout));
        match chunks {
            Some(chunks) => {
                let wanted = Wanted {
                    steps: slab.steps,
                    rows: source.rows.places(slab.rows.clone()),
                    columns: source.columns.places(slab.columns.clone()),
                };
                match chunks.kind() {
                    Kind::Short => {
                        let table = table_of(&mut self.tables, source);
                        let value = |stored: u16| table[usize::from(stored)];
                        chunks.read_shorts(&wanted, value, values)?;
                    }
                    Kind::Single => {
                        let value = |stored: f32| source.value(f64::from(stored));
                        chunks.read_singles(&wanted, value, values)?;
                    }
                }
            }
            None => {
                if self.library.is_none() {
                    self.library = Some(open::opened(path)?);
                }
                let file = self.library.as_ref().expect("opened above");
                read_by_library(file, &mut self.tables, source, slab, values)?;
            }
        }
        check(source, slab, values)
    }
}

fn table_of<'t>(tables: &'t mut HashMap<String, Vec<f32>>, source: &Source) -> &'t [f32] {
    tables
        .entry(source.variable.clone())
        .or_insert_with(|| source.table())
}

/// Reads a slab through the NetCDF library: formats and packings other than deflated chunks.
fn read_by_library(
    file: &File,
    tables: &mut HashMap<String, Vec<f32>>,
    source: &Source,
    slab: &Slab,
    values: &mut [f32],
) -> Result<(), ClimateFault> {
    let variable = variables::by_name(file, &source.variable);
    let variable = variable.ok_or_else(|| ClimateFault::Damaged {
        doing: format!("variable '{}'", source.variable),
        reason: "it is there no longer".to_owned(),
    })?;
    let kind = variable.vartype();
    let table = match kind {
        NcVariableType::Int(IntType::I16) => table_of(tables, source),
        _ => &[],
    };
    let columns = source.columns.runs_of(slab.columns.clone());
    for (row_run, row_places) in source.rows.runs_of(slab.rows.clone()) {
        for (column_run, column_places) in &columns {
            let (extents, strides) = source.layout.block([slab.steps, row_run, *column_run]);
            let count = slab.steps.count * row_run.count * column_run.count;
            let places = Places {
                steps: slab.steps.count,
                strides,
                shape: [slab.rows.len(), slab.columns.len()],
                rows: &row_places,
                columns: column_places,
            };
            match kind {
                NcVariableType::Int(IntType::I16) => {
                    let stored: Vec<i16> = get(&variable, extents, count)?;
                    let value = |stored: i16| table[usize::from(stored as u16)];
                    places.put(&stored, value, values);
                }
                NcVariableType::Float(FloatType::F32) => {
                    let stored: Vec<f32> = get(&variable, extents, count)?;
                    let value = |stored: f32| source.value(f64::from(stored));
                    places.put(&stored, value, values);
                }
                _ => {
                    let stored: Vec<f64> = get(&variable, extents, count)?;
                    places.put(&stored, |stored| source.value(stored), values);
                }
            }
        }
    }
    Ok(())
}

fn get<T: netcdf::NcTypeDescriptor + Copy + Default>(
    variable: &Variable,
    extents: Vec<Extent>,
    count: usize,
) -> Result<Vec<T>, ClimateFault> {
    let mut stored = vec![T::default(); count];
    variable
        .get_values_into(&mut stored, extents)
        .map_err(|error| {
            ClimateFault::damaged(format!("variable '{}'", variable.name()), &error)
        })?;
    Ok(stored)
}

impl Source {
    /// The value of a stored number in the unit we keep; NaN where it stands for none.
    fn value(&self, stored: f64) -> f32 {
        let value = self.encoding.decode(stored);
        value.map_or(f32::NAN, |value| {
            ((value * self.conversion.scale + self.conversion.offset) * self.factor) as f32
        })
    }

    /// The values of all 16-bit numbers, by the number as if it had no sign.
    fn table(&self) -> Vec<f32> {
        (0..=u16::MAX)
            .map(|number| self.value(f64::from(number as i16)))
            .collect()
    }
}

/// Where the numbers of a block go.
struct Places<'p> {
    steps: usize,
    /// From one step, row and column of the block to the next.
    strides: [usize; 3],
    /// Rows and columns of what is filled.
    shape: [usize; 2],
    rows: &'p [usize],
    columns: &'p [usize],
}

impl Places<'_> {
    fn put<T: Copy>(&self, stored: &[T], value: impl Fn(T) -> f32, values: &mut [f32]) {
        let [by_step, by_row, by_column] = self.strides;
        for step in 0..self.steps {
            for (row, &row_place) in self.rows.iter().enumerate() {
                let from = step * by_step + row * by_row;
                let to = (step * self.shape[0] + row_place) * self.shape[1];
                for (column, &column_place) in self.columns.iter().enumerate() {
                    values[to + column_place] = value(stored[from + column * by_column]);
                }
            }
        }
    }
}

/// Refuses the first value that is not plausible.
fn check(source: &Source, slab: &Slab, values: &[f32]) -> Result<(), ClimateFault> {
    let (unit, least, most) = source.quantity.unit_and_plausible();
    let [least_kept, most_kept] = [least, most].map(|end| (end * source.factor) as f32);
    let is_absurd = |value: &f32| *value < least_kept || *value > most_kept;
    let columns = slab.columns.len();
    // Rows are looked at whole: that is a few instructions for each four values.
    let row = values.par_chunks(columns).position_first(|row| {
        row.iter()
            .fold(false, |absurd, value| absurd | is_absurd(value))
    });
    let Some(row) = row else { return Ok(()) };
    let of_row = &values[row * columns..][..columns];
    let column = of_row.iter().position(is_absurd).unwrap_or_default();
    let minutes = source.times.minutes[slab.steps.start + row / slab.rows.len()];
    let day = minutes.div_euclid(DAY_MINUTES);
    let (_, month) = source.times.calendar.year_and_month(day);
    let (latitudes, longitudes) = source.axes();
    Err(ClimateFault::Absurd {
        variable: source.variable.clone(),
        found: f64::from(of_row[column]) / source.factor,
        unit: unit.into(),
        month: Month::ALL[month].name().into(),
        latitude_deg: latitudes.value_deg(slab.rows.start + row % slab.rows.len()),
        longitude_deg: longitudes.value_deg(slab.columns.start + column),
        least,
        most,
    })
}
