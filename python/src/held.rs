//! Winds in NumPy's arrays, read where they lie.

use std::io;

use numpy::{PyArray3, PyArrayMethods, PyReadonlyArray3, PyUntypedArrayMethods};
use offing::Climate;
use offing::climate::{
    ClimateError, ClimateFault, ClimatePart, FieldInMemory, HeldWinds, NamedVariable, Region,
    SourceOptions, StepMonths, WindVariables, WindsInMemory,
};
use pyo3::prelude::*;

use crate::error::from_library;
use crate::winds::Reading;

/// Monthly fields on one grid. The arrays are kept, not copied.
#[derive(Debug, FromPyObject)]
pub(crate) struct HeldFields {
    label: String,
    time: String,
    month_numbers: Option<Vec<u8>>,
    months_into_year: Option<Vec<f64>>,
    latitude: (String, Vec<f64>),
    longitude: (String, Vec<f64>),
    eastward_wind: HeldField,
    northward_wind: HeldField,
    wind_speed: Option<HeldField>,
    air_temperature: Option<HeldField>,
}

#[derive(Debug, FromPyObject)]
struct HeldField {
    name: String,
    units: Option<String>,
    height_m: Option<f64>,
    values: Values,
}

/// By step, latitude and longitude.
#[derive(Debug, FromPyObject)]
enum Values {
    Single(Py<PyArray3<f32>>),
    Double(Py<PyArray3<f64>>),
}

/// An array that nothing writes to meanwhile.
enum Readable<'py> {
    Single(PyReadonlyArray3<'py, f32>),
    Double(PyReadonlyArray3<'py, f64>),
}

impl HeldWinds for HeldFields {
    fn open(&self, options: &SourceOptions, region: &Region) -> Result<Climate, ClimateError> {
        Python::attach(|py| {
            let readable = |field: &HeldField| {
                field.readable(py).map_err(|error| ClimateError {
                    of: ClimatePart::Winds,
                    file: self.label.clone(),
                    fault: Box::new(ClimateFault::Unreadable(error)),
                })
            };
            let optional = |field: &Option<HeldField>| field.as_ref().map(readable).transpose();
            let (east, north) = (
                readable(&self.eastward_wind)?,
                readable(&self.northward_wind)?,
            );
            let (speed, air) = (
                optional(&self.wind_speed)?,
                optional(&self.air_temperature)?,
            );
            let winds = WindsInMemory {
                label: self.label.clone(),
                time: self.time.clone(),
                steps: match (&self.month_numbers, &self.months_into_year) {
                    (Some(numbers), _) => StepMonths::Numbers(numbers.clone()),
                    (None, Some(stamps)) => StepMonths::IntoYear(stamps.clone()),
                    (None, None) => StepMonths::InOrder,
                },
                latitudes_deg: self.latitude.clone(),
                longitudes_deg: self.longitude.clone(),
                eastward_wind: self.eastward_wind.in_memory(&east),
                northward_wind: self.northward_wind.in_memory(&north),
                wind_speed: in_memory(&self.wind_speed, &speed),
                air_temperature: in_memory(&self.air_temperature, &air),
            };
            Climate::from_fields(&winds, options, region)
        })
    }
}

fn in_memory<'a>(
    field: &Option<HeldField>,
    readable: &'a Option<Readable<'_>>,
) -> Option<FieldInMemory<'a>> {
    let readable = readable.as_ref();
    field
        .as_ref()
        .zip(readable)
        .map(|(field, readable)| field.in_memory(readable))
}

/// The value at a place of an array: month, row and column.
type ValueAt<'a> = Box<dyn Fn([usize; 3]) -> f64 + 'a>;

impl HeldField {
    fn readable<'py>(&self, py: Python<'py>) -> io::Result<Readable<'py>> {
        let written =
            |error: numpy::BorrowError| io::Error::other(format!("array '{}': {error}", self.name));
        match &self.values {
            Values::Single(array) => array.bind(py).try_readonly().map(Readable::Single),
            Values::Double(array) => array.bind(py).try_readonly().map(Readable::Double),
        }
        .map_err(written)
    }

    fn in_memory<'a>(&self, readable: &'a Readable<'_>) -> FieldInMemory<'a> {
        let (shape, values): (&[usize], ValueAt<'a>) = match readable {
            Readable::Single(array) => {
                let view = array.as_array();
                (array.shape(), Box::new(move |at| f64::from(view[at])))
            }
            Readable::Double(array) => {
                let view = array.as_array();
                (array.shape(), Box::new(move |at| view[at]))
            }
        };
        FieldInMemory {
            name: self.name.clone(),
            units: self.units.clone(),
            height_m: self.height_m,
            shape: [shape[0], shape[1], shape[2]],
            values,
        }
    }
}

/// Which of some variables (name, standard name, number of dimensions) hold the winds: the places of
/// the wind toward the east, toward the north, of the speed and of the air temperature.
#[pyfunction]
pub(crate) fn find_winds(
    py: Python<'_>,
    variables: Vec<(String, Option<String>, usize)>,
    label: &str,
    reading: Reading,
) -> PyResult<(usize, usize, Option<usize>, Option<usize>)> {
    let variables = variables.into_iter();
    let variables: Vec<NamedVariable> = variables
        .map(|(name, standard_name, dimensions)| NamedVariable {
            name,
            standard_name,
            dimensions,
        })
        .collect();
    let found = WindVariables::find(&variables, label, &reading.into())
        .map_err(|error| from_library(py, error))?;
    Ok((
        found.eastward_wind,
        found.northward_wind,
        found.wind_speed,
        found.air_temperature,
    ))
}
