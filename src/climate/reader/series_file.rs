//! What one file of a series holds, and reading some of its time steps: all of a series' reading passes
//! through here.

use std::collections::HashMap;
use std::ops::Range;
use std::path::Path;

use netcdf::types::{FloatType, IntType, NcVariableType};
use netcdf::{Extent, File, Variable};

use super::encoding::{Encoding, conversion};
use super::layout::{self, Layout, Steps};
use super::time_units::{Calendar, DAY_MINUTES, TimeUnits};
use super::{attributes, height, months, open, variables};
use crate::climate::axis::Axis;
use crate::climate::error::ClimateFault;
use crate::climate::gridded::{Conversion, Quantity, height_note};
use crate::climate::month::Month;
use crate::climate::region::Region;
use crate::climate::source::SourceOptions;
use crate::climate::window::{self, Run, Window};

/// Bounds wider than this, in days, are those of a mean of several months or years.
const WIDEST_MEAN_DAYS: i64 = 45;

/// What a file holds of a series.
pub(in crate::climate) struct Contents {
    /// The variables of use.
    pub(in crate::climate) sources: Vec<Source>,
    /// Where the file comes from, by attribute: title, institution and the like.
    pub(in crate::climate) origin: Vec<(&'static str, String)>,
    /// What was assumed or changed, a sentence each.
    pub(in crate::climate) notes: Vec<String>,
}

/// One variable of one file.
pub(in crate::climate) struct Source {
    pub(in crate::climate) quantity: Quantity,
    pub(in crate::climate) variable: String,
    pub(in crate::climate) times: Times,
    /// Whether a step is the mean over its time (true) or the value at it; none where the file does not say.
    pub(in crate::climate) is_mean: Option<bool>,
    /// The lengths of the file's chunks in time and latitude; none where it has no chunks.
    pub(in crate::climate) chunk: Option<[usize; 2]>,
    rows: Window,
    columns: Window,
    layout: Layout,
    encoding: Encoding,
    conversion: Conversion,
    factor: f64,
}

/// When the steps of a variable are.
#[derive(Clone)]
pub(in crate::climate) struct Times {
    pub(in crate::climate) calendar: Calendar,
    /// Minutes since the start of the calendar's day 0, a step each, in the file's order.
    pub(in crate::climate) minutes: Vec<i64>,
    /// The minutes are the middles of bounds that the file has.
    pub(in crate::climate) by_bounds: bool,
    /// The steps are twelve means over many years already; their minutes lie in a year of no meaning.
    pub(in crate::climate) is_climatology: bool,
}

/// Global attributes that say where a file comes from.
const ORIGIN: [&str; 8] = [
    "title",
    "institution",
    "source",
    "references",
    "license",
    "licence",
    "dataset_title",
    "Conventions",
];

/// Looks for the quantities of a series in the file at `path`, on `region`.
///
/// # Errors
/// A file that cannot be read, that has none of the quantities, or whose variables cannot be used.
pub(in crate::climate) fn describe(
    path: &Path,
    options: &SourceOptions,
    region: &Region,
) -> Result<Contents, ClimateFault> {
    let file = open::opened(path)?;
    let mut notes = Vec::new();
    let mut sources: Vec<Source> = Vec::new();
    for quantity in Quantity::SERIES {
        // A name that is given need not be in every file: they may be split by variable.
        let found = match variables::find(&file, quantity, options) {
            Err(ClimateFault::NoSuchVariable { .. }) => None,
            found => found?,
        };
        let Some(variable) = found else { continue };
        // A letter may stand for a wind or a current; the wind was looked for first.
        if sources
            .iter()
            .any(|source| source.variable == variable.name())
        {
            continue;
        }
        sources.push(source(
            &file, &variable, quantity, options, region, &mut notes,
        )?);
    }
    if sources.is_empty() {
        variables::require(&file, Quantity::EastwardWind, options)?;
    }
    let origin =
        ORIGIN
            .into_iter()
            .filter_map(|name| match file.attribute(name)?.value().ok()? {
                netcdf::AttributeValue::Str(text) if !text.trim().is_empty() => {
                    Some((name, text.split_whitespace().collect::<Vec<_>>().join(" ")))
                }
                _ => None,
            });
    Ok(Contents {
        origin: origin.collect(),
        sources,
        notes,
    })
}

fn source(
    file: &File,
    variable: &Variable,
    quantity: Quantity,
    options: &SourceOptions,
    region: &Region,
    notes: &mut Vec<String>,
) -> Result<Source, ClimateFault> {
    let layout = Layout::of(file, variable, Steps::Any)?;
    let coordinate = |dimension: &str| {
        layout::variable_along(file, dimension)?.ok_or_else(|| ClimateFault::Coordinate {
            variable: dimension.to_owned(),
            problem: "is a dimension without a variable that gives its values".to_owned(),
        })
    };
    let latitudes_deg = layout::latitudes_deg(&coordinate(&layout.latitude)?)?;
    let longitude = coordinate(&layout.longitude)?;
    let longitudes_deg = layout::longitudes_deg(&longitude)?;
    let columns =
        window::columns(&longitudes_deg, region).map_err(|problem| ClimateFault::Coordinate {
            variable: longitude.name(),
            problem: problem.to_owned(),
        })?;
    let (Some(rows), Some(columns)) = (window::rows(&latitudes_deg, region), columns) else {
        return Err(ClimateFault::Misses {
            grid: window::describe(&latitudes_deg, &longitudes_deg),
            region: *region,
        });
    };
    let mut factor = 1.0;
    if quantity.is_wind_at_a_height() {
        let scaling = height::scaling(file, variable, &layout, options)?;
        notes.extend(scaling.map(|scaling| height_note(&variable.name(), scaling)));
        notes.extend(height::level_note(file, variable, &layout, options)?);
        factor = scaling.map_or(1.0, |scaling| scaling.factor);
    }
    let methods = attributes::text(variable, "cell_methods")?.unwrap_or_default();
    Ok(Source {
        quantity,
        variable: variable.name(),
        times: times(file, &coordinate(&layout.time)?)?,
        is_mean: if methods.contains("time: mean") {
            Some(true)
        } else if methods.contains("time: point") {
            Some(false)
        } else {
            None
        },
        // Only NetCDF-4 has chunks; another kind answers with an error.
        chunk: variable.chunking().ok().flatten().map(|lengths| {
            let [time, row, _] = layout.by_role(&lengths);
            [time, row]
        }),
        rows,
        columns,
        encoding: Encoding::of(variable)?,
        conversion: conversion(variable, quantity)?,
        factor,
        layout,
    })
}

/// When the steps along the coordinate `time` are: by the middles of its bounds, else by itself.
fn times(file: &File, time: &Variable) -> Result<Times, ClimateFault> {
    let text = |attribute| attributes::text(time, attribute).map(Option::unwrap_or_default);
    let (units, calendar) = (text("units")?, text("calendar")?);
    let no_dates = |problem: String| ClimateFault::Coordinate {
        variable: time.name(),
        problem,
    };
    let read = TimeUnits::read(&units, &calendar).ok_or_else(|| {
        let calendar = match calendar.as_str() {
            "" => String::new(),
            named => format!(" in the calendar '{named}'"),
        };
        no_dates(format!(
            "has units '{units}'{calendar}; expected a count like 'hours since 1900-01-01' in one of \
             the calendars standard, proleptic_gregorian, julian, noleap, all_leap and 360_day"
        ))
    })?;
    let at = |units: &TimeUnits, value: f64| {
        let minutes = units.minutes(value);
        minutes.ok_or_else(|| no_dates(format!("holds {value}, which is no date")))
    };
    let values = layout::values(time)?;
    let mut times = Times {
        calendar: read.calendar(),
        minutes: Vec::new(),
        by_bounds: false,
        is_climatology: false,
    };
    let mut name = text("climatology")?;
    let climatology = !name.is_empty();
    if !climatology {
        name = text("bounds")?;
    }
    let bounds = variables::by_name(file, &name).filter(|bounds| {
        matches!(bounds.dimensions(), [along, pair] if along.len() == values.len() && pair.len() == 2)
    });
    if climatology && values.len() == Month::ALL.len() {
        let months = months::month_steps(file, &time.dimensions()[0].name())?;
        times.is_climatology = true;
        times.minutes = vec![0; values.len()];
        for (month, &step) in months.steps.iter().enumerate() {
            let start = times.calendar.month_start(NO_YEAR, month);
            times.minutes[step] = (start + 14) * DAY_MINUTES;
        }
        return Ok(times);
    }
    if let Some(bounds) = bounds {
        let own = attributes::text(&bounds, "units")?;
        let own = own.and_then(|units| TimeUnits::read(&units, &calendar));
        let units = own.as_ref().unwrap_or(&read);
        let mut middles = Vec::with_capacity(values.len());
        for pair in layout::values(&bounds)?.chunks_exact(2) {
            let [begin, end] = [at(units, pair[0])?, at(units, pair[1])?];
            if !(1..=WIDEST_MEAN_DAYS * DAY_MINUTES).contains(&(end - begin)) {
                break;
            }
            middles.push(begin + (end - begin) / 2);
        }
        // Bounds that say nothing of use leave the steps' own times.
        if middles.len() == values.len() {
            times.minutes = middles;
            times.by_bounds = true;
            return Ok(times);
        }
    }
    times.minutes = values
        .into_iter()
        .map(|value| at(&read, value))
        .collect::<Result<_, _>>()?;
    Ok(times)
}

/// The year that stands for none where the steps are means over many years.
pub(in crate::climate) const NO_YEAR: i64 = 1;

impl Source {
    /// The grid kept of this variable: latitudes from south to north, longitudes from west to east.
    pub(in crate::climate) fn axes(&self) -> (&Axis, &Axis) {
        (&self.rows.axis, &self.columns.axis)
    }
}

/// A file that is open for reading.
pub(in crate::climate) struct OpenFile {
    file: File,
    /// The values of all stored 16-bit numbers, by variable.
    tables: HashMap<String, Vec<f32>>,
}

impl OpenFile {
    /// Opens the file at `path`.
    ///
    /// # Errors
    /// As [`describe`].
    pub(in crate::climate) fn open(path: &Path) -> Result<Self, ClimateFault> {
        Ok(Self {
            file: open::opened(path)?,
            tables: HashMap::new(),
        })
    }

    /// Reads some time steps of some rows of the grid kept into `values`, by step, row and column; NaN
    /// where one is missing.
    ///
    /// # Errors
    /// A file that is damaged or has changed, and a value that is not plausible.
    pub(in crate::climate) fn read(
        &mut self,
        source: &Source,
        steps: Run,
        rows: Range<usize>,
        values: &mut [f32],
    ) -> Result<(), ClimateFault> {
        let variable = variables::by_name(&self.file, &source.variable);
        let variable = variable.ok_or_else(|| ClimateFault::Damaged {
            doing: format!("variable '{}'", source.variable),
            reason: "it is there no longer".to_owned(),
        })?;
        let columns = source.columns.runs();
        let shape = [rows.len(), source.columns.axis.len()];
        for (row_run, row_places) in source.rows.runs_of(rows.clone()) {
            for (column_run, column_places) in &columns {
                let (extents, strides) = source.layout.block([steps, row_run, *column_run]);
                let count = steps.count * row_run.count * column_run.count;
                let places = Places {
                    first_row: rows.start,
                    steps,
                    strides,
                    shape,
                    rows: &row_places,
                    columns: column_places,
                };
                match variable.vartype() {
                    NcVariableType::Int(IntType::I16) => {
                        let table = self
                            .tables
                            .entry(source.variable.clone())
                            .or_insert_with(|| source.table());
                        let stored: Vec<i16> = get(&variable, extents, count)?;
                        let value = |stored: i16| table[usize::from(stored as u16)];
                        places.put(source, &stored, value, values)?;
                    }
                    NcVariableType::Float(FloatType::F32) => {
                        let stored: Vec<f32> = get(&variable, extents, count)?;
                        let value = |stored: f32| source.value(f64::from(stored));
                        places.put(source, &stored, value, values)?;
                    }
                    _ => {
                        let stored: Vec<f64> = get(&variable, extents, count)?;
                        places.put(source, &stored, |stored| source.value(stored), values)?;
                    }
                }
            }
        }
        Ok(())
    }
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
    first_row: usize,
    steps: Run,
    /// From one step, row and column of the block to the next.
    strides: [usize; 3],
    /// Rows and columns of what is filled.
    shape: [usize; 2],
    rows: &'p [usize],
    columns: &'p [usize],
}

impl Places<'_> {
    fn put<T: Copy>(
        &self,
        source: &Source,
        stored: &[T],
        value: impl Fn(T) -> f32,
        values: &mut [f32],
    ) -> Result<(), ClimateFault> {
        let (unit, least, most) = source.quantity.unit_and_plausible();
        let [least_kept, most_kept] = [least, most].map(|end| (end * source.factor) as f32);
        let [by_step, by_row, by_column] = self.strides;
        for step in 0..self.steps.count {
            for (row, &row_place) in self.rows.iter().enumerate() {
                let from = step * by_step + row * by_row;
                let to = (step * self.shape[0] + row_place) * self.shape[1];
                for (column, &column_place) in self.columns.iter().enumerate() {
                    let value = value(stored[from + column * by_column]);
                    if value < least_kept || value > most_kept {
                        let minutes = source.times.minutes[self.steps.start + step];
                        let day = minutes.div_euclid(DAY_MINUTES);
                        let (_, month) = source.times.calendar.year_and_month(day);
                        let (latitudes, longitudes) = source.axes();
                        return Err(ClimateFault::Absurd {
                            variable: source.variable.clone(),
                            found: f64::from(value) / source.factor,
                            unit: unit.into(),
                            month: Month::ALL[month].name().into(),
                            latitude_deg: latitudes.value_deg(self.first_row + row_place),
                            longitude_deg: longitudes.value_deg(column_place),
                            least,
                            most,
                        });
                    }
                    values[to + column_place] = value;
                }
            }
        }
        Ok(())
    }
}
