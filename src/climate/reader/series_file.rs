//! What one file of a series holds: its variables of use, their grid, and the times of their steps.

use std::path::Path;

use netcdf::{File, Variable};

use super::encoding::{Conversion, Encoding, conversion};
use super::fields::height_note;
use super::layout::{self, Layout, Steps};
use super::time_units::{Calendar, DAY_MINUTES, TimeUnits};
use super::variables::{self, Quantity, SourceOptions};
use super::window::{self, Window};
use super::{attributes, height, months, open};
use crate::climate::axis::Axis;
use crate::climate::error::ClimateFault;
use crate::climate::month::Month;
use crate::climate::region::Region;

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
    /// The lengths of the file's chunks in time, latitude and longitude; none where it has no chunks.
    pub(in crate::climate) chunk: Option<[usize; 3]>,
    pub(super) rows: Window,
    pub(super) columns: Window,
    pub(super) layout: Layout,
    pub(super) encoding: Encoding,
    pub(super) conversion: Conversion,
    /// What a wind is multiplied by that is to be one of 10 m.
    pub(super) factor: f64,
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
            grid: super::part::describe_grid(&latitudes_deg, &longitudes_deg),
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
        chunk: variable
            .chunking()
            .ok()
            .flatten()
            .map(|lengths| layout.by_role(&lengths)),
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

    /// Where chunks begin along the rows and the columns of the grid kept, from 0, and last the number of
    /// rows or columns; every row and column where the file has no chunks.
    pub(in crate::climate) fn chunk_edges(&self) -> [Vec<usize>; 2] {
        let [_, row, column] = self.chunk.unwrap_or([1; 3]);
        [(&self.rows, row), (&self.columns, column)].map(|(window, length)| {
            let places = window.places(0..window.axis.len());
            let begins =
                |&place: &usize| place == 0 || places[place] / length != places[place - 1] / length;
            let edges = (0..places.len()).filter(begins);
            edges.chain([places.len()]).collect()
        })
    }
}
